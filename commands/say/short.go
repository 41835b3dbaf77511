package say

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/trace"
)

// Short says what happens when the cords of a line of the cut list are too short by so
// much, and what can be done.
func Short(sized sizing.Sized, p sitting.Prefs, c cutlist.Cut, by length.Length) reply.Reply {
	f := p.Style.Format
	facts := []reply.Fact{{Label: "short", Value: fmt.Sprintf("%s by %s: %s instead of %s", c.Label, f(by), f(c.Length-by), p.Cut(c.Length))}}
	if c.Why.End < 0 {
		facts = append(facts, reply.Fact{Label: "so", Value: shortExtra(p, c, by)})
		return reply.Reply{Blocks: []reply.Block{reply.Heading(fmt.Sprintf("%s, %s short", c.Label, f(by))), reply.Facts(facts)}}
	}
	lost := by
	if c.Folded {
		lost = (by + 1) / 2
		facts[0].Value += ", folded as before: " + f(lost) + " less on each side"
	}
	outs, spare, ends := runsOut(sized, c, lost)
	blocks := []reply.Block{reply.Heading(fmt.Sprintf("%s, %s short", c.Label, f(by)))}
	if len(outs) == 0 {
		value := fmt.Sprintf("none of the %s, if your hand takes what was reckoned: margin and rounding are worth more, %s are left over", noun.Count(ends, "end"), f(spare))
		if spare < 0 {
			value = fmt.Sprintf("none of the %s before its last knot, but the tails come out up to %s shorter: trim all to match", noun.Count(ends, "end"), f(-spare))
		}
		return reply.Reply{Blocks: append(blocks, reply.Facts(append(facts, reply.Fact{Label: "runs out", Value: value})))}
	}
	facts = append(facts, runsOutFacts(sized, p, outs, ends)...)
	return reply.Reply{Blocks: append(blocks, reply.Facts(facts), reply.Caution(joinCaution))}
}

// joinCaution is shown with every joined cord (common practice, no source).
const joinCaution = "A joined cord holds by the knots round the join. Never join where a cord hangs load: in a hanger, at a mount, in what carries a pot, a shelf or a child's swing. Cut those anew."

// runsOut are the ends of a line that run out, the first first; else how much the one
// that has least keeps beyond its tail. Ends are how many the line has.
func runsOut(sized sizing.Sized, c cutlist.Cut, lost length.Length) (outs []trace.RunsOut, spare length.Length, ends int) {
	first := true
	for _, strand := range c.Strands {
		for side, n := range sized.Strands[strand].Ends {
			ends++
			long := c.Leg(trace.Side(side)) - lost
			if out, ok := sized.RunsOut(n, long, sized.List.Terms.Tying); ok {
				outs = append(outs, out)
			}
			if left := long - sized.Ends[n].Total(); first || left < spare {
				spare, first = left, false
			}
		}
	}
	slices.SortStableFunc(outs, func(a, b trace.RunsOut) int { return cmp.Compare(a.Placed, b.Placed) })
	return outs, spare, ends
}

// runsOutFacts say which end runs out first, at which step, and what can be done.
func runsOutFacts(sized sizing.Sized, p sitting.Prefs, outs []trace.RunsOut, ends int) []reply.Fact {
	f := p.Style.Format
	out := outs[0]
	e := sized.Ends[out.End]
	which := fmt.Sprintf("end %d of %s, %s of its cord", e.Number, sized.Panels[e.Panel].Name, sideWords(sized, e))
	if len(outs) > 1 {
		which += fmt.Sprintf("; %d of the %s do before they are done", len(outs), noun.Count(ends, "end"))
	}
	facts := []reply.Fact{{Label: "runs out first", Value: which}}
	if out.Placed < 0 {
		return append(facts, reply.Fact{Label: "at", Value: "its mount: what is left is too short to tie with. Cut it anew"})
	}
	k := sized.Placed[out.Placed]
	facts = append(facts, reply.Fact{Label: "at", Value: fmt.Sprintf("%s It has used about %s by then, and this knot would leave less than %s in the hand", stepOf(sized, p, k), f(out.Used.Tidy()), f(sized.List.Terms.Tying))},
		reply.Fact{Label: "leave out", Value: leaveOut(sized, k)})
	if sized.Panels[k.Panel].Round {
		return append(facts, reply.Fact{Label: "join", Value: "not here: a round panel may hang a load. Cut the cord anew"})
	}
	piece := (out.Rest + 2*joinOverlap).RoundUp(sized.List.Terms.Step)
	return append(facts, reply.Fact{Label: "or join", Value: fmt.Sprintf("a piece of %s: %s (trade practice, no source)", p.Cut(piece), joining(k, out.Works))})
}

// joinOverlap is how far an old and a new cord run together, and what is left over to
// hide (common practice, no source).
const joinOverlap = 10 * length.Centimetre

// joining is how a new cord is taken in at a knot.
func joining(k trace.Placed, works bool) string {
	switch {
	case k.Knot.Shape == knot.Hitch && works:
		return "lay it along the carrier for three hitches, tie this hitch with it, and weave both ends in behind"
	case works:
		return "some three knots above, lay it in with the fillers; here let it tie, and let the old end fill until it is used up; hide both ends behind"
	}
	return "lay it beside the old end for some three knots, so that both fill or carry together; then go on with the new one and hide both ends behind"
}

// stepOf is where a knot stands in the instructions.
func stepOf(sized sizing.Sized, p sitting.Prefs, k trace.Placed) string {
	in := Instructions(sized.Result, p.Style)[k.Panel]
	for i, span := range in.Spans {
		if span.From <= k.Step && k.Step < span.To {
			words := fmt.Sprintf("step %d of %s", i+1, sized.Panels[k.Panel].Name)
			if n := rounds(sized, k); n > 1 {
				words += fmt.Sprintf(", row %d of %d", k.Round+1, n)
			}
			return words + ": " + in.Steps[i]
		}
	}
	return sized.Panels[k.Panel].Name
}

// rounds is how often the step of a knot is repeated.
func rounds(sized sizing.Sized, k trace.Placed) int {
	n := 0
	for _, other := range sized.Placed {
		if other.Panel == k.Panel && other.Step == k.Step {
			n = max(n, other.Round+1)
		}
	}
	return n
}

// leaveOut is what of the panel can be left out so that no end has to go on.
func leaveOut(sized sizing.Sized, k trace.Placed) string {
	words := "that step"
	if n := rounds(sized, k); n > 1 && k.Round > 0 {
		words = fmt.Sprintf("its rows %d to %d", k.Round+1, n)
		if k.Round+1 == n {
			words = fmt.Sprintf("its last row, %d", n)
		}
	}
	below := slices.ContainsFunc(sized.Placed, func(other trace.Placed) bool { return other.Panel == k.Panel && other.Step > k.Step })
	if below || sized.Panels[k.Panel].JoinedBy >= 0 {
		words += ", and what comes below it on these ends"
	}
	return words + "; the tails then begin there"
}

// shortExtra is what can be done with a piece that is cut besides the hung cords.
func shortExtra(p sitting.Prefs, c cutlist.Cut, by length.Length) string {
	f := p.Style.Format
	have := c.Length - by
	switch kind, _, _ := strings.Cut(c.For, " "); trace.Purpose(kind) {
	case trace.ForWrap:
		if spare := c.Why.Need.Total(); have >= spare {
			return "nothing: it needs " + p.Cut(spare) + ", the rest was margin"
		}
		return fmt.Sprintf("it needs %s: wind fewer turns (/wrap with your ends and cord:%s tells how many), or cut another; a wrap is not joined", p.Cut(c.Why.Need.Total()), reply.QuotedIfSpaced(f(have)))
	case trace.ForHanger, trace.ForSwag:
		if need := c.Why.Need.Total(); have >= need {
			return "nothing, if your knots take what was reckoned: it needs " + p.Cut(need) + ", the rest was margin"
		}
		return "it is not joined, for it hangs load: cut another, or give it less rise or drop"
	}
	return fmt.Sprintf("trim all of them shorter by %s, or use it where it does not show; it is not joined", f((by+1)/2))
}
