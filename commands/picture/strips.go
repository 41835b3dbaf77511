package picture

import (
	"fmt"
	"math"
	"strings"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/stock"
)

// mostStrips is how many strips one picture shows.
const mostStrips = 30

// Strips draws a cutting plan: every offcut and spool as a strip with its pieces
// and what is left of it. Offcuts are to one scale and spools to another, each
// named below its heading. Every piece is named in its strip, at a line below it
// where there is no room, and the places to cut at are summed up from the strip's
// beginning. Title is what the plan is for.
func Strips(plan stock.Plan, title string, units length.Style) *paint.Drawing {
	d := &paint.Drawing{Title: title, Width: paint.PageWidth, Pixels: 1200}
	y := d.Heading(title, "")
	y = d.Paragraph(stripsLine(plan, units), paint.At(paint.PageMargin, y+4), paint.SubStyle(), paint.PageWidth-2*paint.PageMargin, 14)
	y, left := strips{d, units, paint.PageMargin}.all(plan, y+6, mostStrips)
	if left > 0 {
		y = d.Paragraph(fmt.Sprintf("and %s more", noun.Count(left, "strip")), paint.At(paint.PageMargin, y), paint.NoteStyle(), paint.PageWidth-2*paint.PageMargin, 12)
	}
	d.Finish(y)
	return d
}

func stripsLine(plan stock.Plan, units length.Style) string {
	parts := []string{noun.Count(plan.Cuts, "cut")}
	if offcuts := plan.Strips - plan.Spools; offcuts > 0 {
		parts = append(parts, noun.Count(offcuts, "offcut"))
	}
	if plan.Spools > 0 {
		parts = append(parts, noun.Count(plan.Spools, "spool"))
	}
	if plan.Short > 0 {
		parts = append(parts, units.Format(plan.Short)+" short")
	}
	if plan.Proved {
		parts = append(parts, "proved best")
	} else {
		parts = append(parts, fmt.Sprintf("within %.1f %% of the best", math.Ceil(plan.Gap()*1000)/10))
	}
	return strings.Join(parts, " · ")
}

// longestStrip is the longest offcut, or spool, of a plan; zero when there is none.
func longestStrip(plan stock.Plan, offcut bool) length.Length {
	longest := length.Length(0)
	for _, p := range plan.Patterns {
		if p.Offcut == offcut {
			longest = max(longest, p.Length)
		}
	}
	return longest
}

// strips draws cutting plans on a page, so far in from its edges.
type strips struct {
	*paint.Drawing
	units length.Style
	left  paint.Points
}

// all draws the strips of a plan, and what is short; it returns how many were
// left out.
func (d strips) all(plan stock.Plan, y paint.Points, most int) (paint.Points, int) {
	drawn := 0
	for _, offcut := range []bool{true, false} {
		longest := longestStrip(plan, offcut)
		if longest == 0 {
			continue
		}
		y = d.scaleLine(offcut, longest, y+8)
		for i, p := range plan.Patterns {
			if p.Offcut != offcut || drawn == most {
				continue
			}
			drawn++
			y = d.strip(i, p, longest, y)
		}
	}
	return d.shortages(plan, y), len(plan.Patterns) - drawn
}

// scaleLine names what follows and its scale.
func (d strips) scaleLine(offcut bool, longest length.Length, y paint.Points) paint.Points {
	heading := "spools"
	if offcut {
		heading = "offcuts"
	}
	part := d.Open(paint.ALine, -1, paint.At(d.left, y))
	d.Write(fmt.Sprintf("%s, the whole width is %s", heading, d.units.Format(longest)), paint.At(d.left, y), paint.SectionStyle(), paint.Leftward, d.Width-2*d.left)
	d.Close(part)
	return y + 16
}

// stripHigh is the height of a strip, and belowStrip that of what is written below it.
const (
	stripHigh  paint.Points = 18
	belowStrip paint.Points = 30
)

// high is how high strip draws, with the words above it.
func (d strips) high(p stock.Pattern) paint.Points {
	lines := func(text string, s paint.Style) int { return len(s.Face.Wrap(text, s.Size, d.Width-2*d.left)) }
	above := lines(stripName(p, d.units), paint.BoldStyle()) + lines(stripWords(p, d.units), paint.SubStyle())
	return 14*paint.Points(above) + stripHigh + belowStrip + 12
}

// stripName is what a strip is and how many there are alike.
func stripName(p stock.Pattern, units length.Style) string {
	name := units.Format(p.Length)
	if p.Label != "" {
		name = p.Label + ", " + name
	}
	if p.Times > 1 {
		name = fmt.Sprintf("%d × %s", p.Times, name)
	}
	return name
}

// cutRun is the cuts of one piece that follow each other in a strip.
type cutRun struct {
	cuts []stock.Cut
	look int    // its ground, other than its neighbours'
	to   string // where it ends, as far as the cuts before it and its own come to as they are written
}

func (r cutRun) label() string        { return r.cuts[0].Label }
func (r cutRun) start() length.Length { return r.cuts[0].Start }
func (r cutRun) end() length.Length {
	last := r.cuts[len(r.cuts)-1]
	return last.Start + last.Length
}

func runsOf(p stock.Pattern, units length.Style) []cutRun {
	var runs []cutRun
	taken, end := length.Cuts{Style: units}, length.Length(0)
	for i, c := range p.Cuts {
		taken.Add(c.Start-end, 1)
		taken.Add(c.Length, 1)
		end = c.Start + c.Length
		if n := len(runs); i > 0 && p.Cuts[i-1].Piece == c.Piece {
			runs[n-1].cuts, runs[n-1].to = append(runs[n-1].cuts, c), taken.Total()
			continue
		}
		r := cutRun{cuts: []stock.Cut{c}, look: c.Piece % 4, to: taken.Total()}
		if n := len(runs); n > 0 && runs[n-1].look == r.look {
			r.look = (r.look + 1) % 4
		}
		runs = append(runs, r)
	}
	return runs
}

// stripGround is a ground of pieces; they differ in lightness by more than what
// tells two greys apart.
func stripGround(look int) paint.Ink {
	return paint.RGB([...]uint32{0xF6EBD2, 0xA9C3B4, 0xD9C19A, 0x86A5B8}[look])
}

// strip draws one length of stock between margins of so much.
func (d strips) strip(i int, p stock.Pattern, longest length.Length, y paint.Points) paint.Points {
	whole := d.Width - 2*d.left
	at := func(l length.Length) paint.Points { return d.left + whole*paint.Points(float64(l)/float64(longest)) }
	name := stripName(p, d.units)
	y = d.Paragraph(name, paint.At(d.left, y+4), paint.BoldStyle(), whole, 14)
	y = d.Paragraph(stripWords(p, d.units), paint.At(d.left, y), paint.SubStyle(), whole, 14) - 6
	box := paint.Between(d.left, y, at(p.Length), y+stripHigh)
	strip := d.Open(AStrip, i, paint.At(box.Left, y))
	d.Fill(paint.Rectangle(box), paint.CardInk())
	d.Close(strip)
	end := length.Length(0)
	for _, r := range runsOf(p, d.units) {
		for _, c := range r.cuts {
			piece := paint.Between(at(c.Start), y, at(c.Start+c.Length), y+stripHigh)
			part := d.Open(APiece, c.Piece, paint.At(piece.Left, y))
			s := paint.Shape{Path: paint.Rectangle(piece), Fill: stripGround(r.look)}
			if piece.Right-piece.Left > 1.6 {
				s.Stroke, s.Width = paint.QuietInk(), 0.6
			}
			d.Add(s)
			if named(c.Label, piece) {
				d.name(c.Label, piece, stripGround(r.look))
			}
			d.Close(part)
			d.Parts[part].Name = c.Label
			end = c.Start + c.Length
		}
	}
	d.rest(i, p, paint.Between(at(max(end, p.Length-p.Remainder)), y, at(p.Length), y+stripHigh))
	d.Line(paint.Rectangle(box), paint.DarkInk(), 1)
	d.below(p, at, y+stripHigh)
	d.Say(fmt.Sprintf("%s: %s.", name, stripWords(p, d.units)))
	return y + stripHigh + belowStrip + 8
}

// named tells whether there is room for a name in a box.
func named(label string, b paint.Box) bool {
	return paint.Bold.Measure(label, 10)+3 < b.Right-b.Left
}

// name writes a name into the middle of a box, on a plate of its ground.
func (d strips) name(label string, b paint.Box, ground paint.Ink) {
	middle, half := (b.Left+b.Right)/2, paint.Bold.Measure(label, 10)/2
	d.Fill(paint.Rectangle(paint.Between(middle-half-1, b.Top+3, middle+half+1, b.Bottom-3)), ground)
	d.Write(label, paint.At(middle, b.Top+12.6), paint.Style{Face: paint.Bold, Size: 10, Ink: paint.DarkInk()}, paint.Centred, 0)
}

// below names the runs whose pieces are too narrow for their names, with a
// line to each, and says how far from the beginning each run ends.
func (d strips) below(p stock.Pattern, at func(length.Length) paint.Points, y paint.Points) {
	const small, beyond = 10, 12 // the size of the words, and how far they may reach over the margin
	free := [2]paint.Points{}    // from where a line of words is free
	write := func(line int, text string, x paint.Points, face paint.Face, ink paint.Ink) {
		wide := face.Measure(text, small)
		from := max(x-wide/2, free[line])
		from = min(from, d.Width-d.left+beyond-wide)
		if from < free[line] {
			return
		}
		part := d.Open(paint.ALine, -1, paint.At(x, y))
		d.Rule(paint.At(x, y), paint.At(from+wide/2, y+4+13*paint.Points(line)), paint.QuietInk(), 0.5)
		d.Write(text, paint.At(from, y+13+13*paint.Points(line)), paint.Style{Face: face, Size: small, Ink: ink}, paint.Leftward, 0)
		d.Close(part)
		d.Parts[part].Name = text
		free[line] = from + wide + 5
	}
	for _, r := range runsOf(p, d.units) {
		first := r.cuts[0]
		if !named(first.Label, paint.Box{Left: at(first.Start), Right: at(first.Start + first.Length)}) {
			text := first.Label
			if len(r.cuts) > 1 {
				text = fmt.Sprintf("%d %s", len(r.cuts), first.Label)
			}
			write(0, text, (at(r.start())+at(r.end()))/2, paint.Bold, paint.DarkInk())
		}
		write(1, r.to, at(r.end()), paint.Plain, paint.QuietInk())
	}
}

// rest draws what is left of a strip.
func (d strips) rest(i int, p stock.Pattern, rest paint.Box) {
	if p.Remainder <= 0 {
		return
	}
	part := d.Open(ARest, i, paint.At(rest.Left, rest.Top))
	look := paint.Crossed
	if p.Keep {
		look = paint.Slanted
	}
	d.Textured(rest, look, paint.CardInk(), paint.FaintInk())
	text := "waste"
	if p.Keep {
		text = "keep " + d.units.Format(p.Remainder)
	}
	if wide := paint.Plain.Measure(text, 10); wide+10 < rest.Right-rest.Left {
		middle := (rest.Left + rest.Right) / 2
		d.Fill(paint.Rectangle(paint.Between(middle-wide/2-3, rest.Top+3, middle+wide/2+3, rest.Bottom-3)), paint.CardInk())
		d.Write(text, paint.At(middle, rest.Top+12.6), paint.Style{Face: paint.Plain, Size: 10, Ink: paint.DarkInk()}, paint.Centred, 0)
	}
	d.Close(part)
}

// stripWords list the pieces of a strip, how far from its beginning they end, and
// what is left.
func stripWords(p stock.Pattern, units length.Style) string {
	var parts []string
	for _, r := range runsOf(p, units) {
		words := fmt.Sprintf("%d × %s %s", len(r.cuts), r.label(), units.Cut(r.cuts[0].Length))
		if r.end() > r.cuts[0].Length {
			words += " to " + r.to
		}
		parts = append(parts, words)
	}
	switch {
	case p.Remainder > 0 && p.Keep:
		parts = append(parts, units.Format(p.Remainder)+" left")
	case p.Remainder > 0:
		parts = append(parts, units.Format(p.Remainder)+" waste")
	}
	return strings.Join(parts, ", ")
}

// shortages lists what the stock could not give.
func (d strips) shortages(plan stock.Plan, y paint.Points) paint.Points {
	for _, s := range plan.Unplaced {
		text := fmt.Sprintf("Missing: %d × %s %s", s.Count, s.Label, d.units.Cut(s.Length))
		y = d.Paragraph(text, paint.At(d.left, y+4), paint.Style{Face: paint.Bold, Size: 10.5, Ink: paint.AccentInk()}, d.Width-2*d.left, 14)
		d.Say(text + ".")
	}
	return y
}
