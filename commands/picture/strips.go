package picture

import (
	"fmt"
	"math"
	"strings"

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
func Strips(plan stock.Plan, title string, units length.Style) *Drawing {
	d := &Drawing{Title: title, Width: pageWidth, pixels: 1200}
	y := d.heading(title, "")
	y = d.paragraph(stripsLine(plan, units), Point{pageMargin, y + 4}, subStyle(), pageWidth-2*pageMargin, 14)
	y, left := strips{d, units, pageMargin}.all(plan, y+6, mostStrips)
	if left > 0 {
		y = d.paragraph(fmt.Sprintf("and %s more", noun.Count(left, "strip")), Point{pageMargin, y}, noteStyle(), pageWidth-2*pageMargin, 12)
	}
	d.finish(y)
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
	*Drawing
	units length.Style
	left  Points
}

// all draws the strips of a plan, and what is short; it returns how many were
// left out.
func (d strips) all(plan stock.Plan, y Points, most int) (Points, int) {
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
func (d strips) scaleLine(offcut bool, longest length.Length, y Points) Points {
	heading := "spools"
	if offcut {
		heading = "offcuts"
	}
	part := d.open(ALine, -1, Point{d.left, y})
	d.write(fmt.Sprintf("%s, the whole width is %s", heading, d.units.Format(longest)), Point{d.left, y}, sectionStyle(), leftward, d.Width-2*d.left)
	d.close(part)
	return y + 16
}

// stripHigh is the height of a strip, and belowStrip that of what is written below it.
const (
	stripHigh  Points = 18
	belowStrip Points = 30
)

// high is how high strip draws, with the words above it.
func (d strips) high(p stock.Pattern) Points {
	lines := len(Plain.wrap(stripWords(p, d.units), subStyle().size, d.Width-2*d.left))
	return 14*Points(lines+1) + stripHigh + belowStrip + 12
}

// cutRun is the cuts of one piece that follow each other in a strip.
type cutRun struct {
	cuts []stock.Cut
	look int // its ground, other than its neighbours'
}

func (r cutRun) label() string        { return r.cuts[0].Label }
func (r cutRun) start() length.Length { return r.cuts[0].Start }
func (r cutRun) end() length.Length {
	last := r.cuts[len(r.cuts)-1]
	return last.Start + last.Length
}

func runsOf(p stock.Pattern) []cutRun {
	var runs []cutRun
	for i, c := range p.Cuts {
		if n := len(runs); i > 0 && p.Cuts[i-1].Piece == c.Piece {
			runs[n-1].cuts = append(runs[n-1].cuts, c)
			continue
		}
		r := cutRun{cuts: []stock.Cut{c}, look: c.Piece % 4}
		if n := len(runs); n > 0 && runs[n-1].look == r.look {
			r.look = (r.look + 1) % 4
		}
		runs = append(runs, r)
	}
	return runs
}

// stripGround is a ground of pieces; they differ in lightness by more than what
// tells two greys apart.
func stripGround(look int) Ink {
	return rgb([...]uint32{0xF6EBD2, 0xA9C3B4, 0xD9C19A, 0x86A5B8}[look])
}

// strip draws one length of stock between margins of so much.
func (d strips) strip(i int, p stock.Pattern, longest length.Length, y Points) Points {
	whole := d.Width - 2*d.left
	at := func(l length.Length) Points { return d.left + whole*Points(float64(l)/float64(longest)) }
	name := d.units.Format(p.Length)
	if p.Label != "" {
		name = p.Label + ", " + name
	}
	if p.Times > 1 {
		name = fmt.Sprintf("%d × %s", p.Times, name)
	}
	y = d.paragraph(name, Point{d.left, y + 4}, boldStyle(), whole, 14)
	y = d.paragraph(stripWords(p, d.units), Point{d.left, y}, subStyle(), whole, 14) - 6
	box := Box{d.left, y, at(p.Length), y + stripHigh}
	strip := d.open(AStrip, i, Point{box.Left, y})
	d.fill(rectangle(box), cardInk())
	d.close(strip)
	end := length.Length(0)
	for _, r := range runsOf(p) {
		for _, c := range r.cuts {
			piece := Box{at(c.Start), y, at(c.Start + c.Length), y + stripHigh}
			part := d.open(APiece, c.Piece, Point{piece.Left, y})
			s := Shape{Path: rectangle(piece), Fill: stripGround(r.look)}
			if piece.Right-piece.Left > 1.6 {
				s.Stroke, s.Width = quietInk(), 0.6
			}
			d.add(s)
			if named(c.Label, piece) {
				d.name(c.Label, piece, stripGround(r.look))
			}
			d.close(part)
			d.Parts[part].Name = c.Label
			end = c.Start + c.Length
		}
	}
	d.rest(i, p, Box{at(max(end, p.Length-p.Remainder)), y, at(p.Length), y + stripHigh})
	d.line(rectangle(box), darkInk(), 1)
	d.below(p, at, y+stripHigh)
	d.say(fmt.Sprintf("%s: %s.", name, stripWords(p, d.units)))
	return y + stripHigh + belowStrip + 8
}

// named tells whether there is room for a name in a box.
func named(label string, b Box) bool {
	return Bold.measure(label, 10)+3 < b.Right-b.Left
}

// name writes a name into the middle of a box, on a plate of its ground.
func (d strips) name(label string, b Box, ground Ink) {
	middle, half := (b.Left+b.Right)/2, Bold.measure(label, 10)/2
	d.fill(rectangle(Box{middle - half - 1, b.Top + 3, middle + half + 1, b.Bottom - 3}), ground)
	d.write(label, Point{middle, b.Top + 12.6}, style{Bold, 10, darkInk()}, centred, 0)
}

// below names the runs whose pieces are too narrow for their names, with a
// line to each, and says how far from the beginning each run ends.
func (d strips) below(p stock.Pattern, at func(length.Length) Points, y Points) {
	const small = 10
	free := [2]Points{} // from where a line of words is free
	write := func(line int, text string, x Points, face Face, ink Ink) bool {
		wide := face.measure(text, small)
		from := max(x-wide/2, free[line])
		from = min(from, d.Width-8-wide)
		if from < free[line] {
			return false
		}
		part := d.open(ALine, -1, Point{x, y})
		d.rule(Point{x, y}, Point{from + wide/2, y + 4 + 13*Points(line)}, quietInk(), 0.5)
		d.write(text, Point{from, y + 13 + 13*Points(line)}, style{face, small, ink}, leftward, 0)
		d.close(part)
		d.Parts[part].Name = text
		free[line] = from + wide + 5
		return true
	}
	for _, r := range runsOf(p) {
		first := r.cuts[0]
		if !named(first.Label, Box{Left: at(first.Start), Right: at(first.Start + first.Length)}) {
			text := first.Label
			if len(r.cuts) > 1 {
				text = fmt.Sprintf("%d %s", len(r.cuts), first.Label)
			}
			write(0, text, (at(r.start())+at(r.end()))/2, Bold, darkInk())
		}
		write(1, d.units.Format(r.end()), at(r.end()), Plain, quietInk())
	}
}

// rest draws what is left of a strip.
func (d strips) rest(i int, p stock.Pattern, rest Box) {
	if p.Remainder <= 0 {
		return
	}
	part := d.open(ARest, i, Point{rest.Left, rest.Top})
	look := crossed
	if p.Keep {
		look = slanted
	}
	d.textured(rest, look, cardInk(), faintInk())
	text := "waste"
	if p.Keep {
		text = "keep " + d.units.Format(p.Remainder)
	}
	if wide := Plain.measure(text, 10); wide+10 < rest.Right-rest.Left {
		middle := (rest.Left + rest.Right) / 2
		d.fill(rectangle(Box{middle - wide/2 - 3, rest.Top + 3, middle + wide/2 + 3, rest.Bottom - 3}), cardInk())
		d.write(text, Point{middle, rest.Top + 12.6}, style{Plain, 10, darkInk()}, centred, 0)
	}
	d.close(part)
}

// stripWords list the pieces of a strip, how far from its beginning they end, and
// what is left.
func stripWords(p stock.Pattern, units length.Style) string {
	var parts []string
	for _, r := range runsOf(p) {
		words := fmt.Sprintf("%d × %s %s", len(r.cuts), r.label(), units.Format(r.cuts[0].Length))
		if r.end() > r.cuts[0].Length {
			words += " to " + units.Format(r.end())
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
func (d strips) shortages(plan stock.Plan, y Points) Points {
	for _, s := range plan.Unplaced {
		text := fmt.Sprintf("Missing: %d × %s %s", s.Count, s.Label, d.units.Format(s.Length))
		y = d.paragraph(text, Point{d.left, y + 4}, style{Bold, 10.5, accentInk()}, d.Width-2*d.left, 14)
		d.say(text + ".")
	}
	return y
}
