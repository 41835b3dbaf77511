package say

import (
	"fmt"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/stock"
)

// Strips is one line for every way to cut a length of stock.
func Strips(plan stock.Plan, p sitting.Prefs) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "from", Right: false}, {Title: "times", Right: true}, {Title: "cut", Right: false}, {Title: "rest", Right: true}}}
	for _, pattern := range plan.Patterns {
		from := pattern.Label + " " + p.Style.Format(pattern.Length)
		rest := p.Style.Format(pattern.Remainder)
		if pattern.Remainder == 0 {
			rest = "none"
		}
		cut := runs(pattern.Cuts)
		t.Rows = append(t.Rows, []string{from, fmt.Sprint(pattern.Times), strings.Join(cut, ", "), rest})
		t.Short = append(t.Short, fmt.Sprintf("%dx %s: %s", pattern.Times, OneSystem(p).Format(pattern.Length), strings.Join(cut, ", ")))
	}
	return t
}

// OneSystem writes lengths in one system only, for narrow screens.
func OneSystem(p sitting.Prefs) length.Style {
	style := p.Style
	if style.System == length.Both {
		style.System = length.Metric
	}
	return style
}

// runs writes the cuts of a strip, equal neighbours together: "4 A", "2 B".
func runs(cuts []stock.Cut) []string {
	var parts []string
	for i := 0; i < len(cuts); {
		j := i
		for j < len(cuts) && cuts[j].Label == cuts[i].Label {
			j++
		}
		parts = append(parts, fmt.Sprintf("%d %s", j-i, cuts[i].Label))
		i = j
	}
	return parts
}

// StripFacts are what a cutting plan uses, and how good it is.
func StripFacts(plan stock.Plan, p sitting.Prefs) []reply.Fact {
	f := p.Style.Format
	facts := []reply.Fact{}
	switch {
	case plan.Spools > 0:
		buy := fmt.Sprintf("%s, %s in all", noun.Count(plan.Spools, "new spool"), f(plan.NewCord))
		if plan.Cost > 0 {
			buy += ", cost " + plan.Cost.String()
		}
		facts = append(facts, reply.Fact{Label: "to buy", Value: buy})
	case len(plan.Unplaced) == 0:
		facts = append(facts, reply.Fact{Label: "to buy", Value: "nothing"})
	}
	if plan.FromOffcuts > 0 {
		facts = append(facts, reply.Fact{Label: "from your shelf", Value: f(plan.FromOffcuts)})
	}
	if rests := rests(plan, p); rests != "" {
		facts = append(facts, reply.Fact{Label: "left over", Value: rests})
	}
	facts = append(facts, reply.Fact{Label: "to cut", Value: noun.Count(plan.Cuts, "time")})
	for _, s := range plan.Unplaced {
		facts = append(facts, reply.Fact{Label: "short of", Value: fmt.Sprintf("%d x %s (%s), %s in all", s.Count, p.Style.Cut(s.Length), s.Label, p.Cuts(s.Length, s.Count))})
	}
	best := "proved: no plan buys less"
	if plan.Goal == stock.LeastCost {
		best = "proved: no plan costs less"
	}
	if len(plan.Unplaced) > 0 {
		facts = append(facts, reply.Fact{Label: "for the rest", Value: p.Sample("name a new spool, such as spool:100m")})
		best = "proved: no plan leaves out less"
	}
	if !plan.Proved {
		best = fmt.Sprintf("the best found in the time; at most %.2g %% could still be saved", plan.Gap()*100)
	}
	return append(facts, reply.Fact{Label: "how good", Value: best})
}

// rests are what goes back on the shelf and what is too short for it.
func rests(plan stock.Plan, p sitting.Prefs) string {
	var parts []string
	var kept length.Length
	n := 0
	for _, r := range plan.Remainders() {
		n += r.Count
		kept += r.Length * length.Length(r.Count)
	}
	if n > 0 {
		parts = append(parts, fmt.Sprintf("%s long enough to keep, %s in all", noun.Count(n, "piece"), p.Style.Format(kept)))
	}
	if plan.Waste > 0 {
		parts = append(parts, p.Style.Format(plan.Waste)+" in scraps too short to keep")
	}
	return strings.Join(parts, "; ")
}
