package say

import (
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/trace"
)

// hangingOrder says, where a panel's cords are cut to several lengths, which hangs
// next to which: "2 A, 1 B, 2 A".
func hangingOrder(sized sizing.Sized) []reply.Fact {
	label := map[int]string{}
	for _, c := range sized.List.Cuts {
		for _, s := range c.Strands {
			label[s] = c.Label
		}
	}
	var facts []reply.Fact
	for _, panel := range sized.Panels {
		hung := slices.DeleteFunc(slices.Clone(panel.Strands), func(s int) bool { return sized.Strands[s].Added })
		var order []string
		kinds := map[string]bool{}
		for i := 0; i < len(hung); {
			j := i
			for j < len(hung) && label[hung[j]] == label[hung[i]] {
				j++
			}
			kinds[label[hung[i]]] = true
			order = append(order, fmt.Sprintf("%d %s", j-i, label[hung[i]]))
			i = j
		}
		if len(kinds) > 1 {
			facts = append(facts, reply.Fact{Label: "hang " + panel.Name, Value: strings.Join(order, ", ") + ", from the left"})
		}
	}
	return facts
}

// cutTable is the cut list.
func cutTable(sized sizing.Sized, p sitting.Prefs) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "", Right: false}, {Title: "count", Right: true}, {Title: "cut", Right: true}, {Title: "fold", Right: false}, {Title: "for", Right: false}}}
	several := len(sized.Cords) > 1
	for _, c := range sized.List.Cuts {
		use := drawn.Purpose(sized, c)
		if several {
			use += " (" + sized.Cords[c.Cord].Name + ")"
		}
		fold := foldWords(c, p)
		t.Rows = append(t.Rows, []string{c.Label, fmt.Sprint(c.Count), p.Cut(c.Length), fold, use})
		t.Short = append(t.Short, shortCut(c, p))
	}
	return t
}

func foldWords(c cutlist.Cut, p sitting.Prefs) string {
	switch {
	case !c.Folded:
		return ""
	case c.Fold == 0:
		return "in the middle"
	}
	return fmt.Sprintf("%s from one end, shorter half %s", p.Cut(c.Fold), c.Short)
}

// shortCut is one line of the list for a narrow screen.
func shortCut(c cutlist.Cut, p sitting.Prefs) string {
	what, _, _ := strings.Cut(c.For, " ")
	if c.Folded && !strings.HasPrefix(c.For, string(trace.ForFringe)) {
		what = "fold"
	}
	narrow := p
	if narrow.Style.System == length.Both {
		narrow.Style.System = length.Metric
	}
	return fmt.Sprintf("%-2s %3d x %s  %s", c.Label, c.Count, narrow.Cut(c.Length), what)
}

// totals adds up what to buy, or what is taken of cords that there are.
func totals(sized sizing.Sized, p sitting.Prefs, there func(cord int) bool) []reply.Fact {
	var facts []reply.Fact
	if n := sized.List.Copies; n > 1 {
		facts = append(facts, reply.Fact{Label: "pieces", Value: fmt.Sprintf("%d: counts and cord to buy are for all of them", n)})
	}
	for _, t := range sized.List.Totals {
		c := sized.Cords[t.Cord]
		all := sized.List.Sum(p.Style, t)
		value := fmt.Sprintf("%s, about %s", all.Total(), p.Style.Mass(t.Mass))
		if c.Spool.Length > 0 && !there(t.Cord) {
			if t.Spools == 0 {
				value += fmt.Sprintf("; a piece is longer than the spool of %s", p.Style.Format(c.Spool.Length))
			} else {
				value += fmt.Sprintf("; %s of %s, %s left over", noun.Count(t.Spools, "spool"), p.Style.Format(c.Spool.Length), all.Left(c.Spool.Length*length.Length(t.Spools))) + moreSpools(t, c.Spool.Length)
			}
			if t.Cost > 0 {
				value += "; cost " + t.Cost.String()
			}
		}
		label := "to buy"
		if there(t.Cord) {
			label = "takes"
		}
		if len(sized.List.Totals) > 1 {
			label = "of " + c.Name
		}
		facts = append(facts, reply.Fact{Label: label, Value: value})
	}
	facts = append(facts, beads(sized, p)...)
	for _, panel := range sized.Panels {
		width := "wide"
		if panel.Round {
			width = "around"
		}
		label := "finished"
		if len(sized.Panels) > 1 {
			label = panel.Name
		}
		facts = append(facts, reply.Fact{Label: label, Value: fmt.Sprintf("%s %s, %s long, %s", p.Style.Format(panel.Width.Tidy()), width, p.Style.Format(panel.Drop.Tidy()), knotted(panel.Knots))})
	}
	return facts
}

// moreSpools says why more spools are bought than the length alone would fill, and
// where it is not proved that so many are needed.
func moreSpools(t cutlist.Total, spool length.Length) string {
	words := ""
	if least := int((t.Length + spool - 1) / spool); t.Spools > least {
		words = fmt.Sprintf(", where the length alone would fill %d: no piece is joined from two spools", least)
	}
	if !t.Fewest {
		words += ", unless /plan finds a better way to cut them"
	}
	return words
}

// beads counts the beads to get, those alike together.
func beads(sized sizing.Sized, p sitting.Prefs) []reply.Fact {
	type kind struct{ long, hole, bundle length.Length }
	counts := map[kind]int{}
	var order []kind
	for _, b := range sized.Beads {
		k := kind{b.Long, b.Hole, b.Bundle}
		if counts[k] == 0 {
			order = append(order, k)
		}
		counts[k]++
	}
	facts := make([]reply.Fact, len(order))
	for i, k := range order {
		goes := "a hole of more than " + p.Style.Thickness(k.bundle)
		if k.hole > 0 {
			goes = fmt.Sprintf("a hole of %s, for cord of %s", p.Style.Thickness(k.hole), p.Style.Thickness(k.bundle))
		}
		facts[i] = reply.Fact{Label: "beads", Value: fmt.Sprintf("%d of %s with %s", counts[k]*max(sized.List.Copies, 1), p.Style.Format(k.long), goes)}
	}
	return facts
}
