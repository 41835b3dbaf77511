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
// named below its heading. Title is what the plan is for.
func Strips(plan stock.Plan, title string, units length.Style) *Drawing {
	d := &Drawing{Title: title, Width: pageWidth, pixels: 1200}
	y := d.heading(title, stripsLine(plan, units))
	y, left := d.strips(plan, units, y+6, mostStrips)
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

// strips draws the strips of a plan, and what is short; it returns how many were
// left out.
func (d *Drawing) strips(plan stock.Plan, units length.Style, y Points, most int) (Points, int) {
	drawn := 0
	for _, offcut := range []bool{true, false} {
		longest := longestStrip(plan, offcut)
		if longest == 0 {
			continue
		}
		y = d.scaleLine(offcut, longest, units, pageMargin, y+8)
		for i, p := range plan.Patterns {
			if p.Offcut != offcut || drawn == most {
				continue
			}
			drawn++
			y = d.strip(i, p, longest, units, pageMargin, y)
		}
	}
	return d.shortages(plan, units, pageMargin, y), len(plan.Patterns) - drawn
}

// scaleLine names what follows and its scale.
func (d *Drawing) scaleLine(offcut bool, longest length.Length, units length.Style, left, y Points) Points {
	heading := "spools"
	if offcut {
		heading = "offcuts"
	}
	part := d.open(ALine, -1, Point{left, y})
	d.write(fmt.Sprintf("%s, the whole width is %s", heading, units.Format(longest)), Point{left, y}, sectionStyle(), leftward, d.Width-2*left)
	d.close(part)
	return y + 16
}

// strip draws one length of stock between margins of so much.
func (d *Drawing) strip(i int, p stock.Pattern, longest length.Length, units length.Style, left, y Points) Points {
	whole := d.Width - 2*left
	at := func(l length.Length) Points { return left + whole*Points(float64(l)/float64(longest)) }
	name := units.Format(p.Length)
	if p.Label != "" {
		name = p.Label + ", " + name
	}
	if p.Times > 1 {
		name = fmt.Sprintf("%d × %s", p.Times, name)
	}
	line := d.open(ALine, -1, Point{left, y})
	wide := d.write(name, Point{left, y + 4}, boldStyle(), leftward, whole*0.45)
	d.write(stripWords(p, units), Point{left + wide + 9, y + 4}, subStyle(), leftward, whole-wide-9)
	d.close(line)
	y += 10
	box := Box{left, y, at(p.Length), y + 17}
	strip := d.open(AStrip, i, Point{box.Left, y})
	d.fill(rectangle(box), rgb(0xFFFDF8))
	d.close(strip)
	end := length.Length(0)
	for n, c := range p.Cuts {
		piece := Box{at(c.Start), y, at(c.Start + c.Length), y + 17}
		part := d.open(APiece, n, Point{piece.Left, y})
		ground := rgb(0xEFE2C6)
		if c.Piece%2 == 1 {
			ground = rgb(0xC9D9CE)
		}
		s := Shape{Path: rectangle(piece), Fill: ground}
		if piece.Right-piece.Left > 1.6 {
			s.Stroke, s.Width = quietInk(), 0.6
		}
		d.add(s)
		if Bold.measure(c.Label, 9)+4 < piece.Right-piece.Left {
			d.write(c.Label, Point{(piece.Left + piece.Right) / 2, y + 11.8}, style{Bold, 9, accentInk()}, centred, 0)
		}
		d.close(part)
		d.Parts[part].Name = c.Label
		end = c.Start + c.Length
	}
	if p.Remainder > 0 {
		rest := Box{at(max(end, p.Length-p.Remainder)), y, at(p.Length), y + 17}
		part := d.open(ARest, i, Point{rest.Left, y})
		look := crossed
		if p.Keep {
			look = slanted
		}
		d.textured(rest, look, rgb(0xFFFDF8), faintInk())
		text := "waste"
		if p.Keep {
			text = "keep " + units.Format(p.Remainder)
		}
		if wide := Plain.measure(text, 9); wide+10 < rest.Right-rest.Left {
			middle := (rest.Left + rest.Right) / 2
			d.fill(rectangle(Box{middle - wide/2 - 3, y + 3, middle + wide/2 + 3, y + 14.5}), rgb(0xFFFDF8))
			d.write(text, Point{middle, y + 11.8}, style{Plain, 9, darkInk()}, centred, 0)
		}
		d.close(part)
	}
	d.line(rectangle(box), darkInk(), 1)
	d.say(fmt.Sprintf("%s: %s.", name, stripWords(p, units)))
	return y + 17 + 16
}

// stripWords list the pieces of a strip and what is left.
func stripWords(p stock.Pattern, units length.Style) string {
	var parts []string
	for i := 0; i < len(p.Cuts); {
		n := i
		for n < len(p.Cuts) && p.Cuts[n].Piece == p.Cuts[i].Piece {
			n++
		}
		parts = append(parts, fmt.Sprintf("%d × %s %s", n-i, p.Cuts[i].Label, units.Format(p.Cuts[i].Length)))
		i = n
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
func (d *Drawing) shortages(plan stock.Plan, units length.Style, left, y Points) Points {
	for _, s := range plan.Unplaced {
		text := fmt.Sprintf("Missing: %d × %s %s", s.Count, s.Label, units.Format(s.Length))
		y = d.paragraph(text, Point{left, y + 4}, style{Bold, 10.5, accentInk()}, d.Width-2*left, 14)
		d.say(text + ".")
	}
	return y
}
