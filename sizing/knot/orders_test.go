package knot

import "strings"

// orders are what every working strand of a knot meets on its way, read off the way
// it is tied; see [diagram.Drawing.Order]. Of a fold round a rod, and of fillers led
// round knots, the closed ends prove nothing: the order of the crossings does.
var orders = map[string][]string{
	"lark's head":                {"1 and 2: under itself, over rod, under rod, over itself, over itself, under rod, over rod, under itself"},
	"reversed lark's head":       {"1 and 2: over itself, under rod, over rod, under itself, under itself, over rod, under rod, over itself"},
	"fringe lark's head":         {"1 and 2: under itself, over rod, under rod, over itself, over itself, under rod, over rod, under itself"},
	"single mount":               {"1: over itself, under rod, over rod, under itself, under rod, under itself, over rod, under rod, over itself"},
	"double half hitch":          {"2: over itself, under 1, over 1, under itself, under 1, under itself, over 1, under 1, over itself"},
	"vertical double half hitch": {"1: over itself, under 2, over 2, under itself, under 2, under itself, over 2, under 2, over itself"},
	"half hitch":                 {"1: under itself, over 2, under 2, over itself"},
	"vertical lark's head":       {"1: under itself, over 2, under 2, over itself, over itself, under 2, over 2, under itself"},
	"alternating half-hitch chain": {
		"1: under itself, over 2, under 2, over itself, over 2, under 2",
		"2: over 1, under 1, under itself, over 1, under 1, over itself",
	},
	"square knot": {
		"1: under 4, over 4, over 2, over 3, under 4, under 4, over 4, over 3, over 2, under 4",
		"4: over 1, under 3, under 2, under 1, over 1, over 1, under 2, under 3, under 1, over 1",
	},
	"right square knot": {
		"4: under 1, over 1, over 3, over 2, under 1, under 1, over 1, over 2, over 3, under 1",
		"1: over 4, under 2, under 3, under 4, over 4, over 4, under 3, under 2, under 4, over 4",
	},
	"half knot": {
		"1: under 4, over 4, over 2, over 3, under 4",
		"4: over 1, under 3, under 2, under 1, over 1",
	},
	"right half knot": {
		"4: under 1, over 1, over 3, over 2, under 1",
		"1: over 4, under 2, under 3, under 4, over 4",
	},
	"picot knot": {
		"1: under 4, over 4, over 2, over 3, under 4, under 4, over 4, over 3, over 2, under 4",
		"4: over 1, under 3, under 2, under 1, over 1, over 1, under 2, under 3, under 1, over 1",
	},
	"berry knot": {
		"1: " + strings.Repeat("under 4, under 2, over 4, over 2, over 2, over 3, over 3, under 3, under 4, under 4, under 3, over 4, over 3, over 3, over 2, over 2, under 2, under 4, ", 3) +
			"under 4, over 4, over 2, over 3, under 4, under 4, over 4, over 3, over 2, under 4",
		"4: " + strings.Repeat("over 1, under 3, over 3, under 3, under 2, over 2, under 1, under 2, over 1, over 1, under 2, over 2, under 2, under 3, over 3, under 1, under 3, over 1, ", 3) +
			"over 1, under 3, under 2, under 1, over 1, over 1, under 2, under 3, under 1, over 1",
	},
	"overhand knot": {"1: over itself, under itself, over itself, under itself, over itself, under itself"},
	"barrel knot":   {"1: " + strings.Repeat("over itself, under itself, ", 4) + "over itself, under itself"},
	"three-strand plait": {
		"1: over 2, under 3, over 2, under 3",
		"2: under 1, over 3, under 1, over 3",
		"3: over 1, under 2, over 1, under 2",
	},
	"four-strand plait": {
		"1: over 2, under 4, over 3, under 2, over 4, under 3",
		"2: under 1, over 4, under 3, over 1, under 4, over 3",
		"3: over 4, under 1, over 2, under 4, over 1, under 2",
		"4: under 3, over 1, under 2, over 3, under 1, over 2",
	},
	"crown sinnet": {"1: over 4, under 2", "2: over 1, under 3", "3: over 2, under 4", "4: over 3, under 1"},
	"josephine knot": {
		"1: under 2, over itself, under 2, over 2, under 2, over 2, under itself, over 2",
		"2: over 1, under itself, over 1, under 1, over 1, under 1, over itself, under 1",
	},
	"gathering wrap": {
		"wrap: over itself, under itself, over itself, under itself, over itself, under itself, over itself, under itself, over 2, over itself, " +
			"over itself, under itself, over itself, under itself, over itself, under itself, over itself, over 1, " +
			strings.Repeat("under 1, under itself, under 2, under itself, under 3, over 3, over itself, over 2, over itself, over 1, ", 3) +
			"under 1, under itself, under 2, under itself, under 3, over 3, over itself, over 2, under itself, over 1",
	},
}
