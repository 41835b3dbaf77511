package say

import (
	"fmt"
	"math"
	"strings"

	"larkfold/commands/picture"
	"larkfold/commands/picture/paint"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// Line is the line of the cut list with a letter.
func Line(sized sizing.Sized, label string) (cutlist.Cut, error) {
	labels := make([]string, len(sized.List.Cuts))
	for i, c := range sized.List.Cuts {
		if strings.EqualFold(c.Label, strings.TrimSpace(label)) {
			return c, nil
		}
		labels[i] = c.Label
	}
	return cutlist.Cut{}, &reply.UserError{Read: label, Wrong: "no line of the cut list has that letter", Right: strings.Join(labels, ", ")}
}

// Why explains one line of the cut list.
func Why(sized sizing.Sized, p sitting.Prefs, label string) (reply.Reply, error) {
	c, err := Line(sized, label)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading(fmt.Sprintf("Why %s is %s", c.Label, p.Cut(c.Length))), reply.Facts(whyFacts(sized, p, c)),
		ofSized("use", FileName(Title(sized))+"-use.png", sized, p, func() *paint.Drawing { return picture.Use(sized, p.Style) }),
	}}, nil
}

func whyFacts(sized sizing.Sized, p sitting.Prefs, c cutlist.Cut) []reply.Fact {
	w := c.Why
	sum := length.Sum{Style: p.Style}
	add := func(facts []reply.Fact, label string, l length.Length, more string) []reply.Fact {
		if l == 0 {
			return facts
		}
		if more != "" {
			more = " (" + more + ")"
		}
		return append(facts, reply.Fact{Label: label, Value: sum.Add(l) + more})
	}
	var facts []reply.Fact
	if w.End >= 0 {
		e := sized.Ends[w.End]
		facts = append(facts, reply.Fact{Label: "the longest", Value: fmt.Sprintf("end %s, %s of its cord", endWords(sized, e), sideWords(sized, e))})
		facts = add(facts, "mount", w.Need.Mount, "")
		facts = add(facts, "straight runs", w.Need.Run, "from knot to knot")
		for _, u := range e.Uses {
			facts = append(facts, reply.Fact{Label: u.Knot, Value: fmt.Sprintf("%s as %s of %d", sum.Add(u.Takes), u.Role, u.Times)})
		}
	} else {
		facts = append(facts, reply.Fact{Label: "for", Value: c.For + ": " + c.About})
		facts = add(facts, "tying on", w.Need.Mount, "")
		facts = add(facts, "straight", w.Need.Run, "")
		facts = add(facts, "winding", w.Need.TakeUp, "")
	}
	facts = add(facts, "tail", w.Need.Tail, "")
	if w.End >= 0 {
		facts = append(facts, leastCertain(sized, p, sized.Ends[w.End])...)
	}
	facts = append(facts, reply.Fact{Label: "needs", Value: sum.Total()})
	margin := Percent(float64(w.Fraction)) + " of all but the tail"
	if w.Called {
		margin = Percent(roundedFraction(w.Fraction)) + " of all but the tail, which your swatches call for"
	}
	facts = add(facts, "margin", w.Margin, margin)
	facts = add(facts, "for hands", w.Tying, "the tail is too short to tie with")
	rounded := func(to length.Length, times length.Length) {
		if w.Rounded > 0 {
			step := p.StepWords(sized.List.Terms.Step)
			if written := p.Style.CutStep(to); written > sized.List.Terms.Step {
				step += ", and written to " + p.StepWords(written)
			}
			facts = append(facts, reply.Fact{Label: "rounded up by", Value: sum.Missing(to, times) + " (to " + step + ")"})
		}
	}
	switch {
	case c.Fold > 0:
		rounded(c.Length-c.Fold, 1)
		facts = append(facts, reply.Fact{Label: "folded", Value: p.Cut(c.Fold) + " from one end; this half takes the other " + p.Cut(c.Length-c.Fold)})
	case c.Folded && w.End >= 0:
		facts = append(facts, reply.Fact{Label: "folded", Value: "twice " + sum.Total()})
		rounded(c.Length, 2)
	default:
		rounded(c.Length, 1)
	}
	return append(facts, reply.Fact{Label: "cut", Value: p.Cut(c.Length)})
}

// leastCertain is the part of an end's need that may be most off, by how much, and how
// that is known: from the maker's swatches of such knots, else from the trust of the
// knot's row.
func leastCertain(sized sizing.Sized, p sitting.Prefs, e trace.End) []reply.Fact {
	hands := sized.Hands[sized.Strands[e.Strand].Cord]
	var most length.Length
	var words string
	weigh := func(part string, k *knot.Knot, takes length.Length) {
		doubt, known := k.Trust.Doubt(), fmt.Sprintf("its numbers are of %s trust, and a swatch settles it", k.Trust)
		if hand := hands[k.Kin()]; hand.From == k.Kin() {
			d := hand.TakeUp.Doubt()
			doubt, known = cord.Ratio(math.Hypot(float64(d.Own), float64(d.Shared))), "as your swatches of "+Family(k.Kin())+" leave it"
		}
		if off := length.Length(float64(takes) * float64(doubt)); off > most {
			most = off
			words = fmt.Sprintf("%s, by %s either way (%s of what it takes; %s)", part, p.Style.Format(off.RoundUp(length.Millimetre)), Percent(math.Round(float64(doubt)*100)/100), known)
		}
	}
	for _, u := range e.Uses {
		if k, ok := sized.Book.Knot(u.Knot); ok {
			weigh(u.Knot+" as "+u.Role, k, u.Takes)
		}
	}
	if k, ok := sized.Book.Knot(trace.MountName(sized.Strands[e.Strand].Way)); ok {
		weigh("the mount", k, e.Mount)
	}
	if most == 0 {
		return nil
	}
	return []reply.Fact{{Label: "least certain", Value: words}}
}

// endWords is an end by its number, and its panel where there are several.
func endWords(sized sizing.Sized, e trace.End) string {
	if len(sized.Panels) == 1 {
		return fmt.Sprintf("%d from the left", e.Number)
	}
	return fmt.Sprintf("%d from the left in panel %s", e.Number, sized.Panels[e.Panel].Name)
}

func sideWords(sized sizing.Sized, e trace.End) string {
	if len(sized.Strands[e.Strand].Ends) == 1 {
		return "all"
	}
	return "the " + e.Side.String() + " half"
}
