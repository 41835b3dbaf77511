// Package say writes quantities as blocks for a reader: the cut list and why it is
// as it is, cutting tables, cautions, and the words that they share: plurals,
// labels, lists.
//
// It decides what is said and in which order; how wide a screen is and how much fits
// on it is a front end's affair. What will hurt you: cautions are part of the answer,
// so whatever shows something that will hang ends with [Cautions].
package say

import (
	"fmt"
	"math"
	"strings"

	"larkfold/commands/picture"
	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// Sized shows a sized sheet: cut list, totals, what it came from, what to watch for,
// and its picture.
func Sized(sized sizing.Sized, p sitting.Prefs, understood []reply.Fact) reply.Reply {
	return SizedOf(sized, p, understood, toBuy)
}

// toBuy is said of cords of which there are none.
func toBuy(int) bool { return false }

// SizedOf answers as [Sized] does, where some of the cords are there and not to buy.
func SizedOf(sized sizing.Sized, p sitting.Prefs, understood []reply.Fact, there func(cord int) bool) reply.Reply {
	blocks := words(sized, p, understood, there)
	return reply.Reply{Blocks: append(append(blocks, Piece(sized, p)), Cautions(sized)...)}
}

// Piece is the picture of a sized sheet's piece.
func Piece(sized sizing.Sized, p sitting.Prefs) reply.Block {
	return ofSized("piece", FileName(Title(sized))+".png", sized, p, func() *paint.Drawing { return drawn.Piece(sized, p.Style) })
}

// Summary is a sized sheet in words with its cautions, for whoever sizes a sheet without
// a member: by the book, in the units that they ask for.
func Summary(sized sizing.Sized, units length.Style) []reply.Block {
	return append(Words(sized, sitting.Prefs{Style: units}, nil), Cautions(sized)...)
}

// Words is all that is said of a sized sheet but its cautions.
func Words(sized sizing.Sized, p sitting.Prefs, understood []reply.Fact) []reply.Block {
	return words(sized, p, understood, toBuy)
}

func words(sized sizing.Sized, p sitting.Prefs, understood []reply.Fact, there func(cord int) bool) []reply.Block {
	blocks := []reply.Block{reply.Heading(Title(sized))}
	if len(understood) > 0 {
		blocks = append(blocks, reply.Facts(understood))
	}
	blocks = append(blocks, cutTable(sized, p), reply.Facts(totals(sized, p, there)))
	if order := hangingOrder(sized); len(order) > 0 {
		blocks = append(blocks, reply.Facts(order))
	}
	if !p.Short {
		blocks = append(blocks, reply.Facts(Assumptions(sized, p)))
	}
	if notes := notes(sized, p); notes != "" {
		blocks = append(blocks, reply.Text(notes))
	}
	return blocks
}

// Cautions are shown with every piece; a runner or a strap, all of which is worked both
// ways, does not hang.
func Cautions(sized sizing.Sized) []reply.Block {
	var words []string
	for _, c := range dowel.Cautions(dowel.Hanging{Brushed: true, Lies: sized.Sheet.Lies()}) {
		words = append(words, string(c))
	}
	cautions := []reply.Block{reply.Caution(strings.Join(words, " "))}
	if picture.HoldsPot(sized) {
		cautions = append(cautions, reply.Caution(picture.PotCaution))
	}
	return cautions
}

// Title is the name of the piece, or what the answer is when it has none.
func Title(sized sizing.Sized) string {
	if sized.Sheet.Piece != "" {
		return sized.Sheet.Piece
	}
	return "Cut list"
}

// knotted lists a knot count in words, the commonest first.
func knotted(counts map[string]int) string {
	if len(counts) == 0 {
		return "no knots"
	}
	names := byCount(counts)
	parts := make([]string, len(names))
	for i, name := range names {
		parts[i] = noun.Count(counts[name], name)
	}
	return strings.Join(parts, ", ")
}

// Assumptions are the numbers that the answer rests on.
func Assumptions(sized sizing.Sized, p sitting.Prefs) []reply.Fact {
	facts := []reply.Fact{}
	for i, c := range sized.Cords {
		facts = append(facts, reply.Fact{Label: "cord " + c.Name, Value: fmt.Sprintf("%s %s, which knots press to %s, %.2g of its label (%s)", p.Style.Thickness(c.Nominal), c.Construction, p.Style.Thickness(c.Diameter().RoundHalfEven(length.Millimetre/10)), float64(c.WorkingSqueeze()), squeezeSource(c, sized.Sheet.Cords[i], p))})
	}
	facts = append(facts, wayFacts(sized)...)
	if mass := massWords(sized, p); mass != "" {
		facts = append(facts, reply.Fact{Label: "mass", Value: mass})
	}
	t := sized.List.Terms
	facts = append(facts, reply.Fact{Label: "allowed", Value: fmt.Sprintf("%s; %s at least to tie with; rounded up to %s", MarginWords(sized.List), p.Style.Format(t.Tying), p.StepWords(t.Step))})
	if sized.List.Tied {
		facts = append(facts, reply.Fact{Label: "chance", Value: buys(sized)})
	}
	return facts
}

// massWords say how a mass without a label is come by; empty where every cord has one.
// It is that of a cord pressed as knots press it (see [cord.Cord.MassPerLength]), so a
// squeeze of the maker's own says how much fibre there is too.
func massWords(sized sizing.Sized, p sitting.Prefs) string {
	words := ""
	for _, total := range sized.List.Totals {
		c := sized.Cords[total.Cord]
		mass := c.MassPerLength()
		if mass.Spread == 0 {
			continue
		}
		if words == "" {
			words = "estimated from the diameter, " + Percent(float64(mass.Spread)) + " either way"
		}
		usual := c
		usual.Squeeze = 0
		more := math.Round((float64(mass.Density)/float64(usual.MassPerLength().Density) - 1) * 100)
		if more == 0 {
			continue
		}
		weighs := "heavier"
		if more < 0 {
			weighs = "lighter"
		}
		words += fmt.Sprintf("; since knots press cord %s to %.2g of its label (%s), not to the usual %.2g, it counts as %s %s", c.Name, float64(c.WorkingSqueeze()),
			squeezeSource(c, sized.Sheet.Cords[total.Cord], p), float64(usual.WorkingSqueeze()), Percent(math.Abs(more)/100), weighs)
	}
	if words == "" {
		return ""
	}
	return words + "; a spool's length and mass in the sheet are better"
}

// MarginWords are the margins of a list, with those that swatches call for: "10 %
// margin".
func MarginWords(list cutlist.List) string {
	words := Percent(float64(list.Terms.Margin)) + " margin"
	var called []string
	for _, c := range list.Cuts {
		if c.Why.Called {
			called = append(called, c.Label+" "+Percent(roundedFraction(c.Why.Fraction)))
		}
	}
	if len(called) == 0 {
		return words
	}
	return words + ", but more where your swatches call for it: " + strings.Join(called, ", ")
}

// roundedFraction is a fraction to the whole percent above it.
func roundedFraction(s cutlist.Fraction) float64 { return math.Ceil(float64(s)*100-1e-9) / 100 }

// squeezeSource is where the squeeze of a cord comes from, as it was made for the
// sheet that says what it says of it.
func squeezeSource(c cord.Cord, said sheet.Cord, p sitting.Prefs) string {
	switch {
	case said.Squeeze > 0:
		return "as the sheet says"
	case c.Squeeze > 0 && c.Squeeze == p.Squeeze(c.Construction):
		return "as your /prefs say"
	case c.Squeeze > 0:
		return "from your swatches"
	}
	return c.Construction.SqueezeSource() + "; your swatches correct it"
}

// wayFacts tell how the piece is taken to be tied, hung and plaited where that is not
// the usual, and who says so.
func wayFacts(sized sizing.Sized) []reply.Fact {
	var facts []reply.Fact
	for _, way := range []struct {
		label, words string
		ofSheet      bool
	}{
		{"tied", string(sized.Ways.Tie), sized.Sheet.Tie != ""},
		{"hung", string(sized.Ways.Hang), sized.Sheet.Hang != ""},
		{"plaited", string(sized.Ways.Plait), false},
	} {
		source := "as your /prefs say"
		if way.ofSheet {
			source = "as the sheet says"
		}
		if way.words != "" {
			facts = append(facts, reply.Fact{Label: way.label, Value: way.words + " (" + source + ")"})
		}
	}
	return facts
}

// notes are what the maker should know besides.
func notes(sized sizing.Sized, p sitting.Prefs) string {
	var lines []string
	for _, n := range sized.Notes {
		lines = append(lines, "· "+n.Text)
	}
	if sized.List.Saves >= 50*length.Centimetre && !sized.List.Terms.Economy {
		lines = append(lines, fmt.Sprintf("· cutting every cord to its own need would save %s: add the line \"economy\" to the sheet, or economy:yes to /cord", p.Style.Format(sized.List.Saves)))
	}
	return strings.Join(lines, "\n")
}

// Step is the small picture of what one sentence of the instructions does.
func Step(sized sizing.Sized, of drawn.Span, p sitting.Prefs) reply.Picture {
	what := fmt.Sprintf("step %d %d %d", of.Panel, of.From, of.To)
	return ofSized(what, FileName(Title(sized))+"-step.png", sized, p, func() *paint.Drawing { return drawn.Step(sized, of, p.Style) })
}

// Chart is the picture of a piece to work from, its steps and ends numbered.
func Chart(sized sizing.Sized, p sitting.Prefs) reply.Picture {
	return ofSized("chart", FileName(Title(sized))+"-chart.png", sized, p, func() *paint.Drawing {
		return drawn.Chart(sized, Instructions(sized.Result, p.Style), p.Style)
	})
}

// stepSheet is the small pictures of the steps of one panel.
func stepSheet(sized sizing.Sized, n int, in drawn.Instructions, p sitting.Prefs) reply.Picture {
	name := fmt.Sprintf("%s-steps-%d.png", FileName(Title(sized)), n+1)
	return ofSized(fmt.Sprintf("steps %d", n), name, sized, p, func() *paint.Drawing { return drawn.StepSheet(sized, in, p.Style) })
}
