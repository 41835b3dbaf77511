package paint

import "strings"

// The page of a picture for the chat.
const (
	PageWidth  Points = 400
	PageMargin Points = 20
)

// headStyle is the type of titles.
func headStyle() Style { return Style{Title, 19, DarkInk()} }

// SubStyle is the type of lines below a title, and of what a line says besides.
func SubStyle() Style { return Style{Plain, 10.5, QuietInk()} }

// TextStyle is the type of sentences.
func TextStyle() Style { return Style{Plain, 10.5, DarkInk()} }

// BoldStyle is the type of what is read first.
func BoldStyle() Style { return Style{Bold, 10.5, DarkInk()} }

// NoteStyle is the type of notes.
func NoteStyle() Style { return Style{Plain, 10, QuietInk()} }

// SizeStyle is the type of sizes.
func SizeStyle() Style { return Style{Plain, 10, DarkInk()} }

// SectionStyle is the type of small headings.
func SectionStyle() Style { return Style{Bold, 10, QuietInk()} }

// Heading sets the title and the line below it and returns where the page goes on.
func (d *Drawing) Heading(title, below string) Points {
	y := PageMargin + 14
	part := d.Open(ALine, -1, Point{PageMargin, y})
	d.Write(title, Point{PageMargin, y}, headStyle(), Leftward, d.Width-2*PageMargin)
	d.Close(part)
	if below != "" {
		y += 17
		part := d.Open(ALine, -1, Point{PageMargin, y})
		d.Write(below, Point{PageMargin, y}, SubStyle(), Leftward, d.Width-2*PageMargin)
		d.Close(part)
	}
	y += 11
	d.Rule(Point{PageMargin, y}, Point{d.Width - PageMargin, y}, FaintInk(), 0.8)
	return y + 10
}

// Paragraph sets text in lines and returns where the page goes on.
func (d *Drawing) Paragraph(text string, at Point, s Style, most, leading Points) Points {
	text, boxed := s.Face.Known(text)
	d.Boxed = d.Boxed || boxed
	for _, line := range s.Face.Wrap(text, s.Size, most) {
		part := d.Open(ALine, -1, at)
		d.Write(line, at, s, Leftward, most)
		d.Close(part)
		at.Y += leading
	}
	return at.Y
}

// Finish sets the height of the page and, when some sign could not be shown, says so.
func (d *Drawing) Finish(y Points) {
	if d.Boxed {
		y = d.Paragraph(Missing+" stands for a sign that this picture cannot show.", Point{PageMargin, y + 4}, NoteStyle(), d.Width-2*PageMargin, 12)
	}
	d.Height = y + PageMargin - 8
}

// Section sets a small heading.
func (d *Drawing) Section(text string, y Points) Points {
	part := d.Open(ALine, -1, Point{PageMargin, y})
	d.Write(text, Point{PageMargin, y}, SectionStyle(), Leftward, d.Width-2*PageMargin)
	d.Close(part)
	return y + 16
}

// Measure draws a dimension line with its size: a level one below its middle, an
// upright one beside it.
func (d *Drawing) Measure(a, b Point, text string) {
	part := d.Open(ADimension, -1, a)
	ink := QuietInk()
	d.Rule(a, b, ink, 0.7)
	level := a.Y == b.Y
	for _, p := range []Point{a, b} {
		if level {
			d.Rule(Point{p.X, p.Y - 3.5}, Point{p.X, p.Y + 3.5}, ink, 0.7)
		} else {
			d.Rule(Point{p.X - 3.5, p.Y}, Point{p.X + 3.5, p.Y}, ink, 0.7)
		}
	}
	s := SizeStyle()
	shown, _ := s.Face.Known(text)
	wide := s.Face.Measure(shown, s.Size)
	if level {
		middle := (a.X + b.X) / 2
		if wide < b.X-a.X-12 {
			d.Fill(Rectangle(Box{middle - wide/2 - 4, a.Y - 4, middle + wide/2 + 4, a.Y + 4}), d.Ground())
			d.Write(text, Point{middle, a.Y + 3.6}, s, Centred, 0)
		} else {
			at := max(PageMargin+wide/2, min(middle, d.Width-PageMargin-wide/2))
			d.Write(text, Point{at, a.Y + 14}, s, Centred, 0)
		}
	} else {
		first, second, both := strings.Cut(text, " (")
		middle, most := (a.Y+b.Y)/2+3.6, max(20, d.Width-6-a.X-7)
		if both {
			d.Write("("+second, Point{a.X + 7, middle + 6}, s, Leftward, most)
			middle -= 6
		}
		d.Write(first, Point{a.X + 7, middle}, s, Leftward, most)
	}
	d.Close(part)
}

// Ground is the colour of the page.
func (d *Drawing) Ground() Ink {
	if d.Paper {
		return WhiteInk()
	}
	return PaperInk()
}

// ChipWidth is how wide the disc of a label is.
func ChipWidth(label string) Points { return max(13, Bold.Measure(label, 9)+7) }

// Chip is a label in its disc.
func (d *Drawing) Chip(label string, at Point) {
	half := ChipWidth(label) / 2
	d.Add(Shape{Path: Rounded(Box{at.X - half, at.Y - 6.5, at.X + half, at.Y + 6.5}, 6.5), Fill: d.Ground(), Stroke: AccentInk(), Width: 0.9})
	d.Write(label, Point{at.X, at.Y + 3.6}, Style{Bold, 10, AccentInk()}, Centred, 0)
}
