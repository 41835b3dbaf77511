package resize

import (
	"context"
	"slices"

	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// lot is the smallest number of ends by which a panel can change so that every
// group that its ends tie still divides them, here and in the panels that join
// it; an even number of cords stays even.
func (g *growing) lot(panel int) int {
	p := g.sheet.Panels[panel]
	cords, each := 0, 1
	for _, h := range p.HungBy() {
		cords += h.Count
		each = max(each, p.EndsEach(h.Way))
	}
	lot := 2
	if cords%2 == 0 {
		lot = 2 * each
	}
	lot = g.groups(panel, lot)
	if g.halved(p) {
		lot *= 2
	}
	return lot
}

// groups is the least common multiple of a lot and the groups of a panel.
func (g *growing) groups(panel, lot int) int {
	p := g.sheet.Panels[panel]
	for _, step := range p.Steps {
		on, _ := onOf(step)
		if of := g.group(step); of > 0 && (len(on.Parts) == 0 || hasNumbers(on)) {
			lot = lot / gcd(lot, of) * of
		}
	}
	for i, q := range g.sheet.Panels {
		if slices.Contains(q.From, p.Name) {
			lot = g.groups(i, lot)
		}
	}
	return lot
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// group is how many ends make a group of a step; zero when it has no groups.
func (g *growing) group(step sheet.Step) int {
	facts := sheet.FactsOf(step)
	of := facts.Of()
	switch {
	case of == nil:
		return 0
	case *of > 0:
		return *of
	}
	name := facts.Ties
	if knot := facts.Knot(); knot != nil {
		name = *knot
	}
	if k, ok := g.book.Knot(name); ok {
		return k.Ends
	}
	return 0
}

// halved tells whether mounts or groups meet in the exact middle of a panel, so
// that both halves must change by whole groups.
func (g *growing) halved(p sheet.Panel) bool {
	all, at := 0, []int{}
	for _, step := range p.Steps {
		if lots := sheet.FactsOf(step).Hung(); lots != nil {
			for _, h := range *lots {
				all += h.Count * p.EndsEach(h.Way)
				at = append(at, all)
			}
		}
		if on, _ := onOf(step); g.group(step) > 0 {
			for _, part := range on.Parts {
				if part.Kind == sheet.Numbers {
					at = append(at, part.To, part.From-1)
				}
			}
		}
	}
	return all%2 == 0 && slices.Contains(at, all/2)
}

// full tells whether a taper has no room for one row more.
func full(ctx context.Context, s sheet.Sheet, maker trace.Maker, panel, step int) (bool, error) {
	s = s.Copy()
	facts := sheet.FactsOf(s.Panels[panel].Steps[step])
	facts.Count().N++
	s.Panels[panel].Steps[step] = facts.Step()
	_, faults, err := trace.Trace(ctx, s, maker)
	return len(faults) > 0 && faults[0].Place == *facts.Place, err
}
