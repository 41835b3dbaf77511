package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"larkfold/sizing/knot"
)

// crossingsForm is the shape of the answer in JSON.
const crossingsForm = `[{"knot","mirror","closure","type","components":[[[crossing, over or under, sign], ...], ...]}]

every closed strand lists its crossings in the order in which it meets them, and whether it is
over or under there; the sign is 1 where the lower strand comes from the right of the upper one, else -1.`

// crossed is one knot of the book, or its mirror image, with its ends joined: what
// `derive --crossings --json` lists.
type crossed struct {
	Knot       string     `json:"knot"`
	Mirror     bool       `json:"mirror"`
	Closure    string     `json:"closure"`
	Type       string     `json:"type"`
	Components [][]visits `json:"components"` // every closed strand in the order in which it meets its crossings
	jones      string
	order      []string
}

// visits is a crossing as a strand meets it: [number, "over" or "under", sign].
type visits [3]any

// crossedOf is both hands of one knot; none for an arrangement of another.
func crossedOf(k *knot.Knot) []crossed {
	var both []crossed
	d := k.Diagram
	if d == nil || d.Draw == nil {
		return nil
	}
	for _, mirror := range []bool{false, true} {
		code := d.Code(mirror)
		c := crossed{
			Knot: k.Name, Mirror: mirror, Closure: string(d.Closure), Type: d.TypeOf(mirror), Components: [][]visits{},
			jones: code.Jones().String(), order: d.Drawing(mirror).Order(),
		}
		for _, strand := range code {
			component := []visits{}
			for _, v := range strand {
				word := "under"
				if v.Over {
					word = "over"
				}
				component = append(component, visits{v.Crossing, word, v.Sign})
			}
			c.Components = append(c.Components, component)
		}
		both = append(both, c)
	}
	return both
}

// printCrossings prints the crossings of the knots of that name, or of all.
func printCrossings(out io.Writer, names []string, asJSON bool) error {
	all := []crossed{}
	for _, k := range knot.Standard().Knots() {
		if len(names) == 0 || names[0] == k.Name {
			all = append(all, crossedOf(k)...)
		}
	}
	if len(all) == 0 {
		return badInput{fmt.Sprintf("“%s” has no diagram in the knot book", names[0])}
	}
	if asJSON {
		return json.NewEncoder(out).Encode(all)
	}
	for _, c := range all {
		hand := ""
		if c.Mirror {
			hand = ", mirrored"
		}
		fmt.Fprintf(out, "%s%s\n  the working ends meet\n    %s\n  %s\n  make: %s\n  Jones polynomial: %s\n", c.Knot, hand, strings.Join(c.order, "\n    "), c.Closure, c.Type, c.jones)
		for i, strand := range c.Components {
			var code strings.Builder
			for _, v := range strand {
				fmt.Fprintf(&code, " %v%c%c", v[0], strings.ToUpper(v[1].(string))[0], "-?+"[v[2].(int)+1])
			}
			fmt.Fprintf(out, "  closed strand %d:%s\n", i+1, code.String())
		}
		fmt.Fprintln(out)
	}
	return nil
}
