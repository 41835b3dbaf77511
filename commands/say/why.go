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
func Why(plan sizing.Plan, p sitting.Prefs, label string) (reply.Reply, error) {
	for _, c := range plan.List.Cuts {
		if strings.EqualFold(c.Label, strings.TrimSpace(label)) {
			return reply.Reply{Blocks: []reply.Block{
				reply.Heading(fmt.Sprintf("Why %s is %s", c.Label, p.Cut(c.Length))), reply.Facts(whyFacts(plan, p, c)),
				ofPlan("use", FileName(Title(plan))+"-use.png", plan, p, func() *picture.Drawing { return picture.Use(plan, p.Style) }),
			}}, nil
		}
	}
	labels := make([]string, len(plan.List.Cuts))
	for i, c := range plan.List.Cuts {
		labels[i] = c.Label
	}
	return reply.Reply{}, &reply.UserError{Read: label, Wrong: "no line of the cut list has that letter", Right: strings.Join(labels, ", ")}
}

func whyFacts(plan sizing.Plan, p sitting.Prefs, c cutlist.Cut) []reply.Fact {
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
		e := plan.Ends[w.End]
		facts = append(facts, reply.Fact{Label: "the longest", Value: fmt.Sprintf("end %d of %s, %s of its cord", e.Number, plan.Panels[e.Panel].Name, sideWords(plan, e))})
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
	margin := Percent(float64(w.Share)) + " of all but the tail"
	if w.Called {
		margin = Percent(roundedShare(w.Share)) + " of all but the tail, which your swatches call for"
	}
	facts = add(facts, "margin", w.Margin, margin)
	facts = add(facts, "for hands", w.Hands, "the tail is too short to tie with")
	switch {
	case c.Folded && w.End >= 0 && c.Fold == 0:
		facts = append(facts, reply.Fact{Label: "folded", Value: "twice " + f(w.Need.Total()+w.Margin+w.Hands)})
	case c.Fold > 0:
		facts = append(facts, reply.Fact{Label: "folded", Value: f(c.Fold) + " from one end; the other leg takes the rest"})
	}
	return append(add(facts, "rounded up by", w.Rounded, "to "+p.StepWords(plan.List.Terms.Step)), reply.Fact{Label: "cut", Value: p.Cut(c.Length)})
}

func sideWords(plan sizing.Plan, e trace.End) string {
	if len(plan.Strands[e.Strand].Ends) == 1 {
		return "all"
	}
	return "the " + e.Side.String() + " half"
}
