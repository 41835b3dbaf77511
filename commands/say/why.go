package say

import (
	"fmt"
	"strings"

	"larkfold/commands/picture"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// Why explains one line of the cut list.
func Why(sized sizing.Sized, p sitting.Prefs, label string) (reply.Reply, error) {
	for _, c := range sized.List.Cuts {
		if strings.EqualFold(c.Label, strings.TrimSpace(label)) {
			return reply.Reply{Blocks: []reply.Block{
				reply.Heading(fmt.Sprintf("Why %s is %s", c.Label, p.Cut(c.Length))), reply.Facts(whyFacts(sized, p, c)),
				ofSized("use", FileName(Title(sized))+"-use.png", sized, p, func() *picture.Drawing { return picture.Use(sized, p.Style) }),
			}}, nil
		}
	}
	labels := make([]string, len(sized.List.Cuts))
	for i, c := range sized.List.Cuts {
		labels[i] = c.Label
	}
	return reply.Reply{}, &reply.UserError{Read: label, Wrong: "no line of the cut list has that letter", Right: strings.Join(labels, ", ")}
}

func whyFacts(sized sizing.Sized, p sitting.Prefs, c cutlist.Cut) []reply.Fact {
	w := c.Why
	f := p.Style.Format
	add := func(facts []reply.Fact, label string, l length.Length, more string) []reply.Fact {
		if l == 0 {
			return facts
		}
		if more != "" {
			more = " (" + more + ")"
		}
		return append(facts, reply.Fact{Label: label, Value: f(l) + more})
	}
	var facts []reply.Fact
	if w.End >= 0 {
		e := sized.Ends[w.End]
		facts = append(facts, reply.Fact{Label: "the longest", Value: fmt.Sprintf("end %d of %s, %s of its cord", e.Number, sized.Panels[e.Panel].Name, sideWords(sized, e))})
		facts = add(facts, "mount", w.Need.Mount, "")
		facts = add(facts, "straight runs", w.Need.Run, "from knot to knot")
		for _, u := range e.Uses {
			facts = append(facts, reply.Fact{Label: u.Knot, Value: fmt.Sprintf("%s as %s of %d", f(u.Takes), u.Role, u.Times)})
		}
	} else {
		facts = append(facts, reply.Fact{Label: "for", Value: c.For + ": " + c.About})
		facts = add(facts, "tying on", w.Need.Mount, "")
		facts = add(facts, "straight", w.Need.Run, "")
		facts = add(facts, "winding", w.Need.TakeUp, "")
	}
	facts = add(facts, "tail", w.Need.Tail, "")
	facts = append(facts, reply.Fact{Label: "needs", Value: f(w.Need.Total())})
	margin := Percent(float64(w.Fraction)) + " of all but the tail"
	if w.Called {
		margin = Percent(roundedFraction(w.Fraction)) + " of all but the tail, which your swatches call for"
	}
	facts = add(facts, "margin", w.Margin, margin)
	facts = add(facts, "for hands", w.Tying, "the tail is too short to tie with")
	switch {
	case c.Folded && w.End >= 0 && c.Fold == 0:
		facts = append(facts, reply.Fact{Label: "folded", Value: "twice " + f(w.Need.Total()+w.Margin+w.Tying)})
	case c.Fold > 0:
		facts = append(facts, reply.Fact{Label: "folded", Value: f(c.Fold) + " from one end; the other leg takes the rest"})
	}
	return append(add(facts, "rounded up by", w.Rounded, "to "+p.StepWords(sized.List.Terms.Step)), reply.Fact{Label: "cut", Value: p.Cut(c.Length)})
}

func sideWords(sized sizing.Sized, e trace.End) string {
	if len(sized.Strands[e.Strand].Ends) == 1 {
		return "all"
	}
	return "the " + e.Side.String() + " half"
}
