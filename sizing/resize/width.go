package resize

import (
	"fmt"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Width is the finished width of everything that a result holds, a round panel by
// its girth.
func Width(r trace.Result) length.Length {
	if len(r.Panels) == 0 {
		return 0
	}
	left, right := r.Panels[0].Left, r.Panels[0].Right
	for _, p := range r.Panels {
		left, right = min(left, p.Left), max(right, p.Right)
	}
	return right - left
}

// toWidth meets a width.
func (z *sizer) toWidth(s sheet.Sheet, c Change) (sheet.Sheet, error) {
	r, err := z.trace(s)
	if err != nil {
		return s, err
	}
	g, err := z.grow(s, c.Rod == nil)
	if err != nil {
		return s, err
	}
	f, err := z.search(s, aim{target: c.Width, now: Width(r), at: g.to, measure: Width})
	if err != nil {
		return s, err
	}
	if f.blocked {
		limit := "widest"
		if f.measured > c.Width {
			limit = "narrowest"
		}
		return s, &Error{
			Wrong: fmt.Sprintf("it cannot be made %s wide%s", z.say(c.Width), f.why()),
			Right: fmt.Sprintf("the %s that keeps its pattern is %s", limit, z.say(f.measured)), Of: OfWidth, Nearest: f.measured,
		}
	}
	z.noteOff(f, c.Width, "wide")
	z.noteNumbers(s, f.measured != Width(r))
	return f.sheet, nil
}

func (z *sizer) noteNumbers(s sheet.Sheet, changed bool) {
	if changed && numbered(s) {
		z.note("ends named by their numbers have moved in proportion: check that they are the ones you mean")
	}
}

// growing makes a sheet wider or narrower.
type growing struct {
	sheet   sheet.Sheet
	book    *knot.Book
	rod     bool         // the rod goes along
	lots    []int        // ends by which each panel changes
	pointed map[int]bool // lines of the tapers and widenings that go on as long as they can
}

func (z *sizer) grow(s sheet.Sheet, rod bool) (*growing, error) {
	g := &growing{sheet: s, book: z.maker.Book, rod: rod, pointed: map[int]bool{}}
	for i, p := range s.Panels {
		g.lots = append(g.lots, g.lot(i))
		for j, step := range p.Steps {
			facts := sheet.FactsOf(step)
			if count := facts.Count(); count == nil || count.N == 0 || facts.Lot() > 0 {
				continue
			}
			full, err := full(z.ctx, s, z.maker, i, j)
			if err != nil {
				return nil, err
			}
			g.pointed[facts.Place.Line] = full
		}
	}
	return g, nil
}

// to is the sheet with a factor more ends; it is false when ends that the sheet
// names apart would run into each other.
func (g *growing) to(f factor) (sheet.Sheet, bool) {
	s := g.sheet.Copy()
	byName := map[string]runs{}
	for i := range s.Panels {
		p := &s.Panels[i]
		rs := g.hang(p, g.lots[i], f)
		for _, name := range p.From {
			rs = append(rs, byName[name]...)
		}
		for j, step := range p.Steps {
			var ok bool
			if p.Steps[j], rs, ok = g.step(scaled(step, f, sheet.Across), rs); !ok {
				return s, false
			}
		}
		byName[p.Name] = rs
	}
	for i := range s.Swags {
		s.Swags[i].Over = f.of(s.Swags[i].Over)
	}
	if s.Hanger != nil {
		s.Hanger.Rise = f.of(s.Hanger.Rise)
	}
	if g.rod {
		grown(&s, f)
	}
	return s, true
}

// grown makes the rods and rings of a sheet longer in proportion.
func grown(s *sheet.Sheet, f factor) {
	if s.Rod != nil {
		s.Rod.Length = f.up(s.Rod.Length)
	}
	for i := range s.More {
		s.More[i].Length = f.up(s.More[i].Length)
	}
}

// hang changes the mounts of a panel.
func (g *growing) hang(p *sheet.Panel, lot int, f factor) runs {
	var rs runs
	for _, h := range p.HungBy() {
		rs = append(rs, run{was: h.Count * p.EndsEach(h.Way), lot: lot})
	}
	rs.share(lot, f)
	next := 0
	for i, step := range p.Steps {
		facts := sheet.FactsOf(step)
		lots := facts.Hung()
		if lots == nil {
			continue
		}
		for j := range *lots {
			h := &(*lots)[j]
			h.Count = rs[next].is / p.EndsEach(h.Way)
			next++
		}
		p.Steps[i] = facts.Step()
	}
	return rs
}

// step moves the ends that a step names.
func (g *growing) step(step sheet.Step, rs runs) (sheet.Step, runs, bool) {
	facts := sheet.FactsOf(step)
	switch spots := facts.Spots(); {
	case facts.Adds > 0:
		where := spots[0]
		b := where.Among(rs.was(), -1)
		if where.Anchor != sheet.Left {
			b++
		}
		if where.Anchor == sheet.Absolute {
			where.Number = max(rs.at(where.Number), 1)
		}
		return facts.Step(), rs.insert(min(max(b, 0), rs.was()), facts.Adds), true
	case len(spots) == 2: // from one to the other
		carried(spots[0], spots[1], rs)
		return facts.Step(), rs, *spots[0] != *spots[1]
	}
	before, ok := onOf(step)
	if !ok {
		return step, rs, true
	}
	on, ok := moved(before, rs, max(g.group(step), 1))
	*facts.On() = on
	was, is, group := count(before, rs.was()), count(on, rs.is()), max(g.group(step), 1)
	if skip := facts.Skip(); skip != nil && *skip >= group {
		*skip = run{was, is, group}.at(*skip)
	}
	if rows := facts.Count(); rows != nil && g.pointed[facts.Place.Line] {
		rows.N = max(rows.N+(is-was)/group, 1)
	}
	return facts.Step(), rs, ok
}
