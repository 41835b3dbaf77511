package tight

import (
	"strings"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// bookRole says how a derived length is looked up in the knot book.
type bookRole struct {
	role    string
	around  int       // ends of the book's knot beside the cores
	buried  Diameters // what the role takes besides the derived length
	advance bool      // the role's take-up holds the advance on top of the derived length
}

// bookRoles are the knots that the book has.
var bookRoles = map[string]bookRole{
	"square knot":          {role: "worker", around: 2},
	"half knot":            {role: "worker", around: 2},
	"double half hitch":    {role: "hitching end", around: 1},
	"lark's head":          {role: "end", around: 2},
	"vertical lark's head": {role: "hitching end", around: 1},
	"half hitch":           {role: "hitching end", around: 1},
	"overhand knot":        {role: "strand", advance: true},
	"three-strand plait":   {role: "strand"},
	"gathering wrap":       {role: "turn", around: 1 - wrapLegs, buried: wrapLegs},
}

// wrapLegs are the legs of its own loop that a gathering wrap goes round and buries.
const wrapLegs = 2

// untouched is a pitch at which double half hitches do not touch.
const untouched Diameters = 2.93

// compare sets the row beside the book's own formula, where the book ties the knot so,
// and nothing published is there to compare with. The cord is firm, as ideal rope is.
func (r *Row) compare() {
	b, ok := bookRoles[r.Knot]
	k, found := knot.Standard().Knot(r.Knot)
	if !ok || !found || strings.HasPrefix(r.Source, published) {
		r.difference()
		return
	}
	const d = length.Centimetre
	of := func(x Diameters) length.Length { return length.Length(float64(x) * float64(d)) }
	g := knot.Gauge{Diameter: d, Ends: r.Cores + b.around, Pitch: of(r.Pitch)}
	switch {
	case k.Shape == knot.Mount:
		g.Rod, g.Pitch, g.Ends = of(r.Rod), 0, k.Ends
	case r.Ends > 0:
		g.Ends = r.Ends
	case r.Rod > 0: // a round core: one cord as thick as the rod
		g.Ends, g.Core = 1+b.around, of(r.Rod)
	}
	if k.Shape == knot.Hitch && r.Pitch == 0 {
		g.Pitch = of(untouched)
	}
	if k.Fits(max(g.Ends, 1)) != nil && k.Shape != knot.Mount {
		r.difference()
		return
	}
	size, err := k.Size(g)
	if err != nil {
		r.difference()
		return
	}
	takes := k.Take(size, b.role)
	if b.advance {
		takes -= size.Pitch
	}
	r.Expected = Diameters(float64(takes)/float64(d)) - b.buried
	r.Source = "the book's " + b.role + ": " + k.Roles[roleOf(k, b.role)].Takes
	r.difference()
}

func roleOf(k *knot.Knot, name string) int {
	for i, role := range k.Roles {
		if role.Name == name {
			return i
		}
	}
	return 0
}

// difference is by how much the length is more than expected.
func (r *Row) difference() {
	r.Difference = 0
	if r.Expected > 0 {
		r.Difference = float64(r.Length/r.Expected) - 1
	}
}
