package say_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

const (
	m  = length.Metre
	cm = length.Centimetre
)

// A strip says from what it is cut, how often, into what and what is left.
func TestStrips(t *testing.T) {
	cuts := func(labels string) (all []stock.Cut) {
		for _, l := range labels {
			all = append(all, stock.Cut{Label: string(l)})
		}
		return all
	}
	plan := stock.Plan{Patterns: []stock.Pattern{
		{Label: "your offcut", Length: 2 * m, Times: 3, Cuts: cuts("AABA")},
		{Label: "new spool", Length: 50 * m, Times: 1, Cuts: cuts("C"), Remainder: 5 * cm},
	}}
	both := sitting.Prefs{Style: length.Style{System: length.Both}}
	require.Equal(t, [][]string{
		{"your offcut 2.00 m", "3", "2 A, 1 B, 1 A", "none"},
		{"new spool 50.00 m", "1", "1 C", "5 cm"},
	}, say.Strips(plan, sitting.Prefs{}).Rows)
	require.Equal(t, []string{"3x 2.00 m: 2 A, 1 B, 1 A", "1x 50.00 m: 1 C"}, say.Strips(plan, both).Short, "one system on a narrow screen")
	inches := sitting.Prefs{Style: length.Style{System: length.Imperial}}
	require.Equal(t, "1x 164 ft 1/2 in: 1 C", say.Strips(plan, inches).Short[1], "50 m are 1968.50 in")
}

// What a plan costs, leaves and cannot cut, and how good it is; what is nothing is not told.
func TestWhatAPlanComesTo(t *testing.T) {
	kept := []stock.Pattern{{Stock: 1, Times: 2, Remainder: 3 * m, Keep: true}, {Stock: 2, Times: 1, Remainder: 50 * cm, Keep: true}, {Times: 4, Remainder: 5 * cm}}
	for _, tt := range []struct {
		what string
		plan stock.Plan
		want reply.Facts
	}{
		{"all from the shelf", stock.Plan{FromOffcuts: 7 * m, Cuts: 1, Proved: true}, reply.Facts{
			{Label: "to buy", Value: "nothing"}, {Label: "from your shelf", Value: "7.00 m"}, {Label: "to cut", Value: "1 time"}, {Label: "how good", Value: "proved: no plan buys less"},
		}},
		{"one spool, without a price", stock.Plan{Spools: 1, NewCord: 50 * m, Cuts: 2, Proved: true}, reply.Facts{
			{Label: "to buy", Value: "1 new spool, 50.00 m in all"}, {Label: "to cut", Value: "2 times"}, {Label: "how good", Value: "proved: no plan buys less"},
		}},
		{"two with one, and rests", stock.Plan{Spools: 2, NewCord: 100 * m, Cost: 2450, Goal: stock.LeastCost, Cuts: 9, Patterns: kept, Waste: 20 * cm, Proved: true}, reply.Facts{
			{Label: "to buy", Value: "2 new spools, 100.00 m in all, cost 24.50"}, {Label: "left over", Value: "3 pieces long enough to keep, 6.50 m in all; 20 cm in scraps too short to keep"},
			{Label: "to cut", Value: "9 times"}, {Label: "how good", Value: "proved: no plan costs less"},
		}},
		{"too little", stock.Plan{Cuts: 3, Unplaced: []stock.Shortage{{Length: 3 * m, Count: 2, Label: "B"}}, Waste: cm, Proved: true}, reply.Facts{
			{Label: "left over", Value: "1 cm in scraps too short to keep"}, {Label: "to cut", Value: "3 times"}, {Label: "short of", Value: "2 x 3.00 m (B), 6.00 m in all"},
			{Label: "for the rest", Value: "name a new spool, such as spool:100m"}, {Label: "how good", Value: "proved: no plan leaves out less"},
		}},
		{"not proved: 100 m where 96 m might do", stock.Plan{Spools: 1, NewCord: 100 * m, Bound: stock.Bound{NewCord: 96 * m}, Cuts: 3}, reply.Facts{
			{Label: "to buy", Value: "1 new spool, 100.00 m in all"}, {Label: "to cut", Value: "3 times"}, {Label: "how good", Value: "the best found in the time; at most 4 % could still be saved"},
		}},
	} {
		require.Equal(t, []reply.Fact(tt.want), say.StripFacts(tt.plan, sitting.Prefs{}), tt.what)
	}
}
