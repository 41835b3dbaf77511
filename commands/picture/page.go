package picture

import "strings"

// The page of a picture for the chat.
const (
	pageWidth  Points = 400
	pageMargin Points = 20
)

// headStyle is the type of titles.
func headStyle() style { return style{Title, 19, darkInk()} }

// subStyle is the type of lines below a title, and of what a line says besides.
func subStyle() style { return style{Plain, 10.5, quietInk()} }

// textStyle is the type of sentences.
func textStyle() style { return style{Plain, 10.5, darkInk()} }

// boldStyle is the type of what is read first.
func boldStyle() style { return style{Bold, 10.5, darkInk()} }

// noteStyle is the type of notes.
func noteStyle() style { return style{Plain, 10, quietInk()} }

// sizeStyle is the type of sizes.
func sizeStyle() style { return style{Plain, 10, darkInk()} }

// sectionStyle is the type of small headings.
func sectionStyle() style { return style{Bold, 10, quietInk()} }

// heading sets the title and the line below it and returns where the page goes on.
func (d *Drawing) heading(title, below string) Points {
	y := pageMargin + 14
	part := d.open(ALine, -1, Point{pageMargin, y})
	d.write(title, Point{pageMargin, y}, headStyle(), leftward, d.Width-2*pageMargin)
	d.close(part)
	if below != "" {
		y += 17
		part := d.open(ALine, -1, Point{pageMargin, y})
		d.write(below, Point{pageMargin, y}, subStyle(), leftward, d.Width-2*pageMargin)
		d.close(part)
	}
	y += 11
	d.rule(Point{pageMargin, y}, Point{d.Width - pageMargin, y}, faintInk(), 0.8)
	return y + 10
}

// paragraph sets text in lines and returns where the page goes on.
func (d *Drawing) paragraph(text string, at Point, s style, most, leading Points) Points {
	text, boxed := s.face.known(text)
	d.boxed = d.boxed || boxed
	for _, line := range s.face.wrap(text, s.size, most) {
		part := d.open(ALine, -1, at)
		d.write(line, at, s, leftward, most)
		d.close(part)
		at.Y += leading
	}
	return at.Y
}

// finish sets the height of the page and, when some sign could not be shown, says so.
func (d *Drawing) finish(y Points) {
	if d.boxed {
		y = d.paragraph(missing+" stands for a sign that this picture cannot show.", Point{pageMargin, y + 4}, noteStyle(), d.Width-2*pageMargin, 12)
	}
	d.Height = y + pageMargin - 8
}

// section sets a small heading.
func (d *Drawing) section(text string, y Points) Points {
	part := d.open(ALine, -1, Point{pageMargin, y})
	d.write(text, Point{pageMargin, y}, sectionStyle(), leftward, d.Width-2*pageMargin)
	d.close(part)
	return y + 16
}

// measure draws a dimension line with its size: a level one below its middle, an
// upright one beside it.
func (d *Drawing) measure(a, b Point, text string) {
	part := d.open(ADimension, -1, a)
	ink := quietInk()
	d.rule(a, b, ink, 0.7)
	level := a.Y == b.Y
	for _, p := range []Point{a, b} {
		if level {
			d.rule(Point{p.X, p.Y - 3.5}, Point{p.X, p.Y + 3.5}, ink, 0.7)
		} else {
			d.rule(Point{p.X - 3.5, p.Y}, Point{p.X + 3.5, p.Y}, ink, 0.7)
		}
	}
	s := sizeStyle()
	shown, _ := s.face.known(text)
	wide := s.face.measure(shown, s.size)
	if level {
		middle := (a.X + b.X) / 2
		if wide < b.X-a.X-12 {
			d.fill(rectangle(Box{middle - wide/2 - 4, a.Y - 4, middle + wide/2 + 4, a.Y + 4}), d.ground())
			d.write(text, Point{middle, a.Y + 3.6}, s, centred, 0)
		} else {
			at := max(pageMargin+wide/2, min(middle, d.Width-pageMargin-wide/2))
			d.write(text, Point{at, a.Y + 14}, s, centred, 0)
		}
	} else {
		first, second, both := strings.Cut(text, " (")
		middle, most := (a.Y+b.Y)/2+3.6, max(20, d.Width-6-a.X-7)
		if both {
			d.write("("+second, Point{a.X + 7, middle + 6}, s, leftward, most)
			middle -= 6
		}
		d.write(first, Point{a.X + 7, middle}, s, leftward, most)
	}
	d.close(part)
}

// ground is the colour of the page.
func (d *Drawing) ground() Ink {
	if d.paper {
		return whiteInk()
	}
	return paperInk()
}

// chipWidth is how wide the disc of a label is.
func chipWidth(label string) Points { return max(13, Bold.measure(label, 9)+7) }

// chip is a label in its disc.
func (d *Drawing) chip(label string, at Point) {
	half := chipWidth(label) / 2
	d.add(Shape{Path: rounded(Box{at.X - half, at.Y - 6.5, at.X + half, at.Y + 6.5}, 6.5), Fill: d.ground(), Stroke: accentInk(), Width: 0.9})
	d.write(label, Point{at.X, at.Y + 3.6}, style{Bold, 10, accentInk()}, centred, 0)
}
