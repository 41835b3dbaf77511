package trace

import (
	"context"
	"maps"
	"slices"

	"larkfold/sizing/sheet"
)

// Stand is a sheet that is traced up to a step of one panel, to find out what comes of
// it when it goes on from there in one way or another: each costs what is tied from
// there on. It is not for several goroutines at once.
type Stand struct {
	panel  int          // index into Sheet.Panels
	before []sheet.Step // its steps up to there
	done   int          // the same, with those that repeat written out
	at     *tracer
}

// NewStand traces a sheet up to a step of a panel, both indices into the sheet; the
// step is none that a repeat stands before and its end behind. The faults are those of
// the whole sheet, and there is no stand then.
func NewStand(ctx context.Context, s sheet.Sheet, m Maker, panel, step int) (*Stand, []sheet.Fault, error) {
	m.Bare = true
	before := slices.Clip(s.Panels[panel].Steps[:step])
	stand := &Stand{panel: panel, before: before, done: len(Unrolled(before))}
	t := newTracer(ctx, s, m)
	t.watched, t.barred = stand, true
	t.begin()
	if _, faults, err := t.end(); len(faults) > 0 || err != nil {
		return nil, faults, err
	}
	return stand, nil, nil
}

// With is what the sheet comes to when the panel goes on with these steps and ends
// with them. They mount nothing and leave no rod bare. The knots are counted and not
// kept in Result.Placed. The error is that of the context the stand was made with.
func (s *Stand) With(steps ...sheet.Step) (Result, []sheet.Fault, error) {
	t := s.at.clone()
	w := t.works[s.panel]
	w.def.Steps = append(s.before, steps...)
	t.sheet.Panels = slices.Clone(t.sheet.Panels)
	t.sheet.Panels[s.panel] = w.def
	t.result.Sheet = t.sheet
	t.result.Panels[s.panel].Done = Unrolled(w.def.Steps)
	w.state = inHand
	if w.ready() && w.tieFrom(s.done) {
		w.state = finished
	} else {
		w.state = failed
	}
	return t.end()
}

// clone is the trace as it stands, to go on with by itself. What it has sized is
// known to both.
func (t *tracer) clone() *tracer {
	c := *t
	c.watched, c.arena, c.lastSized = nil, nil, nil
	c.faults, c.hangs, c.meetings = slices.Clone(t.faults), slices.Clone(t.hangs), slices.Clip(t.meetings)
	c.ends = slices.Clone(t.ends)
	used := 0
	for _, e := range t.ends {
		used += len(e.uses)
	}
	uses := make([]use, 0, used)
	for i, e := range t.ends {
		from := len(uses)
		uses = append(uses, e.uses...)
		c.ends[i].uses = slices.Clip(uses[from:])
	}
	c.works = make([]*work, len(t.works))
	for i, w := range t.works {
		own := *w
		own.t, own.order, own.cols, own.tallies = &c, slices.Clone(w.order), slices.Clone(w.cols), slices.Clone(w.tallies)
		if own.state == inHand { // it waited for the panel that is traced now
			own.state = waiting
		}
		c.works[i] = &own
	}
	r := &c.result
	r.Panels, r.Strands = slices.Clone(r.Panels), slices.Clone(r.Strands)
	for i := range r.Panels {
		r.Panels[i].Knots, r.Panels[i].From = maps.Clone(r.Panels[i].Knots), slices.Clip(r.Panels[i].From)
		r.Panels[i].Ends, r.Panels[i].Columns = slices.Clip(r.Panels[i].Ends), slices.Clip(r.Panels[i].Columns)
	}
	r.Extras, r.Beads, r.Lowers = slices.Clone(r.Extras), slices.Clone(r.Beads), slices.Clone(r.Lowers)
	r.Freed, r.Rods, r.Notes = slices.Clip(r.Freed), slices.Clip(r.Rods), slices.Clip(r.Notes)
	return &c
}
