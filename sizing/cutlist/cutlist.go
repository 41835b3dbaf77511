// Package cutlist turns what every end needs into lengths to cut: allowances,
// rounding up, folding, grouping, labels and totals.
//
// Its nouns: a [Cut] is a line of the list (so many pieces of one length for one
// purpose); a [Total] adds up one cord. The [Terms] say how to cut: margin,
// hands, step, economy. What will hurt you: a cut is never rounded down, and a
// tail shorter than hands can tie is cut longer and trimmed, so a cut can be well
// above need plus margin.
package cutlist

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

// Fraction is a part of a whole: 0.1 for 10 %.
type Fraction float64

// DefaultMargin is added to every need when neither the sheet, the member nor a
// swatch says otherwise (common practice, no source).
const DefaultMargin Fraction = 0.10

// mostMargin is as much as a sheet can ask for.
const mostMargin Fraction = 2

// Terms are how to cut.
type Terms struct {
	Margin  Fraction
	Tying   length.Length // shortest tail that can still be tied with
	Step    length.Length // cuts are rounded up to a multiple of it; zero for none
	Economy bool          // group by need and fold off centre instead of one length per panel
}

// TyingOf is what an end needs beyond its tail, so that hands can tie its last knot.
func (t Terms) TyingOf(e trace.End) length.Length {
	if e.Knots == 0 {
		return 0
	}
	return max(0, t.Tying-e.Tail)
}

// Cut is one line of the cut list.
type Cut struct {
	Label   string
	Count   int
	Length  length.Length
	Folded  bool
	Fold    length.Length // length of the short leg when folded off centre; zero otherwise
	Short   trace.Side    // which leg is the short one; only with Fold
	Cord    int           // index into the traced cords
	For     string        // such as "wave" or "fringe on wave"
	About   string        // more about it; may be empty
	Strands []int         // the hung cords that it is for, indices into the traced strands
	Why     Why
}

// Why tells where a cut's length comes from.
type Why struct {
	End      int         // the end that decides, an index into the traced ends; -1 for an extra
	Need     trace.Parts // what that end needs
	Margin   length.Length
	Fraction Fraction      // the margin, of all but the tail
	Called   bool          // the maker's swatches call for this margin, which is more than the terms'
	Tying    length.Length // added for hands beyond the tail
	Rounded  length.Length // added by rounding up the whole cut
}

// Total adds up one cord.
type Total struct {
	Cord   int
	Length length.Length
	Mass   length.Mass
	Spools int        // to buy by the cutting plan; zero when a spool's length is not known, or shorter than a piece
	Fewest bool       // it is proved that no plan buys fewer
	Cost   cord.Price // zero when the price is not known
}

// List is a cut list.
type List struct {
	Cuts   []Cut
	Copies int // pieces that Cuts and Totals are for, one or more; what a cut is for and why is of one of them
	Totals []Total
	Terms  Terms
	Saves  length.Length // what cutting with economy would save, or saves
	Chance float64       // that at least one hung cord of the piece runs short, see [swatch.Chance]
	Tied   bool          // there are hung cords that tie knots, so that Chance means something
}

// Make turns a traced sheet into a cut list.
func Make(r trace.Result, terms Terms) (List, error) {
	if !(terms.Margin >= 0 && terms.Margin <= mostMargin) {
		return List{}, fmt.Errorf("a margin of %.0f %%: it must be from 0 to %.0f %%", float64(terms.Margin)*100, float64(mostMargin)*100)
	}
	m := maker{result: r, terms: terms, book: swatch.BookHands()}
	plain, thrifty := m.panels(false), m.panels(true)
	list := List{Terms: terms, Saves: sum(plain) - sum(thrifty), Cuts: plain}
	if terms.Economy {
		list.Cuts = thrifty
	}
	list.Cuts = append(list.Cuts, m.extras()...)
	for i := range list.Cuts {
		list.Cuts[i].Label = Label(i)
	}
	list.Chance, list.Tied = m.chance(list.Cuts)
	list.Copies = max(r.Sheet.Copies, 1)
	for i := range list.Cuts {
		list.Cuts[i].Count *= list.Copies
	}
	list.Saves *= length.Length(list.Copies)
	list.Totals = m.totals(list.Cuts)
	return list, nil
}

type maker struct {
	result trace.Result
	terms  Terms
	book   swatch.Hands
}

// end is what one end must be cut to, before rounding.
func (m *maker) end(i int) (length.Length, Why) {
	e := m.result.Ends[i]
	w := Why{End: i, Need: e.Parts}
	w.Fraction, w.Called = m.margin(m.result.Strands[e.Strand].Cord, func() []swatch.Part { return parts(e) })
	w.Margin = fraction(e.Total()-e.Tail, w.Fraction)
	w.Tying = m.terms.TyingOf(e)
	return e.Total() + w.Margin + w.Tying, w
}

// fraction is a part of a length, rounded up.
func fraction(l length.Length, s Fraction) length.Length {
	return length.Length(math.Ceil(float64(l) * float64(s)))
}

// cut is the line for one strand: folded in the middle, or off centre when thrifty.
func (m *maker) cut(i int, thrifty bool) Cut {
	s := m.result.Strands[i]
	c := Cut{Count: 1, Folded: len(s.Ends) == 2, Cord: s.Cord, For: m.result.Panels[s.Panel].Name, Strands: []int{i}}
	if s.Added {
		c.For += ", added"
	}
	long, why := m.end(s.Ends[0])
	if !c.Folded {
		c.Length = m.round(long)
		why.Rounded = c.Length - long
		c.Why = why
		return c
	}
	short, other := m.end(s.Ends[1])
	c.Short = trace.Right
	if short > long {
		short, long, why, c.Short = long, short, other, trace.Left
	}
	whole := 2 * long
	c.Length = m.round(whole)
	if fold := m.round(short); thrifty && fold+m.round(long) < c.Length {
		whole = short + long
		c.Length, c.Fold = fold+m.round(long), fold
	}
	if c.Fold == 0 {
		c.Short = trace.Left
	}
	why.Rounded = c.Length - whole
	c.Why = why
	return c
}

func (m *maker) round(l length.Length) length.Length { return l.RoundUp(m.terms.Step) }

// panels cuts the hung cords: one length per panel and cord, or every need apart
// when thrifty.
func (m *maker) panels(thrifty bool) []Cut {
	var cuts []Cut
	for _, p := range m.result.Panels {
		from := len(cuts)
		for _, i := range p.Strands {
			cuts = put(cuts, from, m.cut(i, thrifty), thrifty)
		}
		slices.SortStableFunc(cuts[from:], func(a, b Cut) int {
			return cmp.Or(cmp.Compare(a.Cord, b.Cord), cmp.Compare(b.Length, a.Length))
		})
	}
	return cuts
}

// put adds a line to those of its panel: to a line that is alike, or, when not
// thrifty, to the one line of its cord, which then has the longer length.
func put(cuts []Cut, from int, c Cut, thrifty bool) []Cut {
	i := slices.IndexFunc(cuts[from:], func(have Cut) bool {
		alike := have.Cord == c.Cord && have.For == c.For && have.Folded == c.Folded
		return alike && (!thrifty || have.Length == c.Length && have.Fold == c.Fold && have.Short == c.Short)
	})
	if i < 0 {
		return append(cuts, c)
	}
	have := &cuts[from+i]
	have.Count++
	have.Strands = append(have.Strands, c.Strands...)
	if c.Length > have.Length {
		have.Length, have.Why = c.Length, c.Why
	}
	return cuts
}

// extras cuts wraps, fringe, swags and the hanger. Wraps that are alike share a line.
func (m *maker) extras() []Cut {
	var cuts []Cut
	for _, x := range m.result.Extras {
		w := Why{End: -1, Need: x.Need}
		if trimmed := x.For == trace.ForFringe || x.For == trace.ForTassel || x.For == trace.ForLeaf; !trimmed && !x.Exact { // those pieces are measured and trimmed, not tied
			w.Fraction, w.Called = m.margin(x.Cord, func() []swatch.Part {
				return []swatch.Part{{Takes: x.Need.Run}, {Family: knot.Mounts, Takes: x.Need.Mount}, {Family: knot.Hitches, Takes: x.Need.TakeUp}}
			})
			w.Margin = fraction(x.Need.Total()-x.Need.Tail, w.Fraction)
		}
		whole := x.Need.Total() + w.Margin
		cut := m.round(whole)
		if x.Exact {
			cut = whole
		}
		c := Cut{Count: x.Count, Length: cut, Folded: x.Folded, Cord: x.Cord, For: string(x.For), About: x.About, Why: w}
		c.Why.Rounded = c.Length - whole
		if x.Panel >= 0 {
			c.For += " on " + m.result.Panels[x.Panel].Name
		}
		i := slices.IndexFunc(cuts, func(have Cut) bool {
			return have.For == c.For && have.About == c.About && have.Cord == c.Cord && have.Length == c.Length
		})
		if i >= 0 {
			cuts[i].Count += c.Count
			continue
		}
		cuts = append(cuts, c)
	}
	return cuts
}

// totals adds up every cord that is cut.
func (m *maker) totals(cuts []Cut) []Total {
	totals := make([]Total, 0, len(m.result.Cords))
	for i, c := range m.result.Cords {
		t := Total{Cord: i}
		for _, cut := range cuts {
			if cut.Cord == i {
				t.Length += cut.Length * length.Length(cut.Count)
			}
		}
		if t.Length == 0 {
			continue
		}
		t.Mass = c.MassPerLength().Density.MassOf(t.Length)
		if t.Spools, t.Fewest = spools(cuts, i, c.Spool.Length); t.Spools > 0 {
			t.Cost = c.Spool.Price * cord.Price(t.Spools)
		}
		totals = append(totals, t)
	}
	return totals
}

// spools is how many spools the cutting plan of a cord opens, see [stock.Spools].
func spools(cuts []Cut, cord int, spool length.Length) (n int, fewest bool) {
	var pieces []stock.Piece
	for _, c := range cuts {
		if c.Cord == cord {
			pieces = append(pieces, stock.Piece{Length: c.Length, Count: c.Count})
		}
	}
	return stock.Spools(pieces, spool)
}

// Sum adds up the cuts of these totals as a style writes them.
func (l List) Sum(style length.Style, of ...Total) length.Cuts {
	all := length.Cuts{Style: style}
	for _, c := range l.Cuts {
		if slices.ContainsFunc(of, func(t Total) bool { return t.Cord == c.Cord }) {
			all.Add(c.Length, c.Count)
		}
	}
	return all
}

func sum(cuts []Cut) length.Length {
	var total length.Length
	for _, c := range cuts {
		total += c.Length * length.Length(c.Count)
	}
	return total
}

// Label is A, B ... Z, AA, AB ...
func Label(i int) string {
	name := ""
	for i++; i > 0; i = (i - 1) / 26 {
		name = string(rune('A'+(i-1)%26)) + name
	}
	return name
}
