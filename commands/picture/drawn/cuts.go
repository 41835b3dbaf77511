package drawn

import (
	"fmt"
	"math"
	"strings"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/trace"
)

// LabelsOf is the label of every strand.
func LabelsOf(list cutlist.List, strands int) []string {
	of := make([]string, strands)
	for _, c := range list.Cuts {
		for _, s := range c.Strands {
			if s < strands {
				of[s] = c.Label
			}
		}
	}
	return of
}

// extraLabel is the label of the cut that an extra became.
func extraLabel(sized sizing.Sized, x trace.Extra) string {
	purpose := string(x.For)
	if x.Panel >= 0 && x.Panel < len(sized.Panels) {
		purpose += " on " + sized.Panels[x.Panel].Name
	}
	label, least := "", length.Length(math.MaxInt64)
	for _, c := range sized.List.Cuts {
		of := len(c.Strands) == 0 && c.For == purpose && c.About == x.About && c.Cord == x.Cord
		if of && c.Length >= x.Need.Total() && c.Length < least { // pairs of a leaf differ in length alone
			label, least = c.Label, c.Length
		}
	}
	return label
}

// cutLegend lists the cuts with the look of their cords and returns where the page
// goes on.
func cutLegend(d *paint.Drawing, sized sizing.Sized, units length.Style, y paint.Points, most int) paint.Points {
	left, dyes := paint.PageMargin, knots.DyesOf(sized.Cords)
	for i, c := range sized.List.Cuts {
		if i == most && len(sized.List.Cuts) > most+1 {
			part := d.Open(paint.ALine, -1, paint.At(left, y))
			d.Write(fmt.Sprintf("and %d more lines in the cut list", len(sized.List.Cuts)-most), paint.At(left+58, y+4), paint.SubStyle(), paint.Leftward, 0)
			d.Close(part)
			y += 17
			break
		}
		part := d.Open(paint.ALine, i, paint.At(left, y))
		d.Chip(c.Label, paint.At(left+9, y))
		dyes.Of(c.Cord).Sample(d, paint.Between(left+24, y, left+50, y), 5)
		x := left + 58
		x += d.Write(fmt.Sprintf("%d × %s", c.Count, units.Cut(c.Length)), paint.At(x, y+3.7), paint.BoldStyle(), paint.Leftward, 190)
		words, s := CutWords(sized, c, units), paint.SubStyle()
		for n, line := range s.Face.Wrap(words, s.Size, d.Width-paint.PageMargin-x-8) {
			if n > 0 {
				y += 13
			}
			d.Write(line, paint.At(x+8, y+3.7), s, paint.Leftward, d.Width-paint.PageMargin-x-8)
		}
		d.Close(part)
		y += 17
	}
	for _, t := range sized.List.Totals {
		part := d.Open(paint.ALine, -1, paint.At(left, y))
		x := left + 58
		x += d.Write(sized.List.Sum(units, t).Total(), paint.At(x, y+3.7), paint.BoldStyle(), paint.Leftward, 190)
		d.Write(TotalWords(sized, t, units), paint.At(x+8, y+3.7), paint.SubStyle(), paint.Leftward, d.Width-paint.PageMargin-x-8)
		d.Close(part)
		y += 17
	}
	return y
}

// CutWords say what a cut is for.
func CutWords(sized sizing.Sized, c cutlist.Cut, units length.Style) string {
	purpose := Purpose(sized, c)
	words := "single, " + purpose
	switch {
	case c.Fold > 0:
		words = fmt.Sprintf("fold %s from one end, the shorter half on the %s, %s", units.Cut(c.Fold), c.Short, purpose)
	case c.Folded:
		words = "fold in the middle, " + purpose
	case len(c.Strands) == 0:
		words = purpose
	}
	if len(sized.Cords) > 1 {
		words += ", " + sized.Cords[c.Cord].Name
	}
	return words
}

// Purpose is what a cut is for, in a maker's words: which panel, where there are several.
func Purpose(sized sizing.Sized, c cutlist.Cut) string {
	if len(sized.Panels) > 1 && len(c.Strands) > 0 {
		return "panel " + c.For
	}
	if len(sized.Panels) != 1 {
		return c.For
	}
	name := sized.Panels[0].Name
	switch c.For {
	case name:
		return "hanging cords"
	case name + ", added":
		return "added cords"
	}
	return strings.TrimSuffix(c.For, " on "+name)
}

// TotalWords say what a total is of, and how many spools it takes.
func TotalWords(sized sizing.Sized, t cutlist.Total, units length.Style) string {
	words := "in all"
	if len(sized.Cords) > 1 {
		words += " of " + sized.Cords[t.Cord].Name
	}
	if t.Spools > 0 {
		words += ", " + noun.Count(t.Spools, "spool")
	}
	return words
}
