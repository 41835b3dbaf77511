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
			t, ok := step.(sheet.Taper)
			if !ok || t.Rows.N == 0 {
				continue
			}
			full, err := full(z.ctx, s, z.maker, i, j)
			if err != nil {
				return nil, err
			}
			g.pointed[t.Line] = full
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

// hang changes the mounts of a panel and the gap before it.
func (g *growing) hang(p *sheet.Panel, lot int, f factor) runs {
	var rs runs
	for _, h := range p.HungBy() {
		rs = append(rs, run{was: h.Count * p.EndsEach(h.Way), lot: lot})
	}
	rs.share(lot, f)
	next := 0
	for i, step := range p.Steps {
		switch m := step.(type) {
		case sheet.Gap:
			m.Length = f.of(m.Length)
			p.Steps[i] = m
		case sheet.Mount:
			for j := range m.Hung {
				h := &m.Hung[j]
				h.Count = rs[next].is / p.EndsEach(h.Way)
				next++
			}
			p.Steps[i] = m
		}
	}
	return rs
}

// step moves the ends that a step names.
func (g *growing) step(step sheet.Step, rs runs) (sheet.Step, runs, bool) {
	switch s := step.(type) {
	case sheet.Bar:
		s.From, s.To = carried(s, rs)
		return s, rs, s.From != s.To
	case sheet.Add:
		b := place(s.Where, rs.was(), -1)
		if s.Where.Anchor != sheet.Left {
			b++
		}
		if s.Where.Anchor == sheet.Absolute {
			s.Where.Number = max(rs.at(s.Where.Number), 1)
		}
		return s, rs.insert(min(max(b, 0), rs.was()), s.Count*s.Way.Ends()), true
	}
	before, ok := onOf(step)
	if !ok {
		return step, rs, true
	}
	on, ok := moved(before, rs, max(g.group(step), 1))
	step = withOn(step, on)
	if r, row := step.(sheet.Row); row && r.Skip >= g.group(r) {
		r.Skip = run{count(before, rs.was()), count(on, rs.is()), max(g.group(r), 1)}.at(r.Skip)
		step = r
	}
	if t, taper := step.(sheet.Taper); taper && g.pointed[t.Line] {
		t.Rows.N = max(t.Rows.N+(count(on, rs.is())-count(before, rs.was()))/g.group(t), 1)
		step = t
	}
	return step, rs, ok
}
