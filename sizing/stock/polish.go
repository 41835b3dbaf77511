package stock

import (
	"context"
	"slices"

	"larkfold/sizing/length"
)

// polish improves a solution by dealing the pieces of two bars out again, of
// which one may be an offcut that is still whole, and by cutting the same pieces
// from another bar. It does so when that lowers the first of these that changes:
// the cost, what is taken off spools, the number of cuts, the usefulness lost.
func polish(ctx context.Context, in *instance, lengths []length.Length, kerf, keep length.Length, uses []use) []use {
	w := &workshop{in: in, lengths: lengths, kerf: kerf, keep: keep, spare: make([]int, len(in.bars)), steps: polishSteps}
	for k, b := range in.bars {
		w.spare[k] = b.count
	}
	for _, u := range uses {
		w.spare[u.bar] -= u.times
		for range u.times {
			s := &strip{bar: u.bar, takes: slices.Clone(u.takes), content: u.content, changed: 1}
			s.pieces = pieces(s.takes)
			s.worth = w.worth(s.bar, s.content, s.pieces)
			w.strips = append(w.strips, s)
		}
	}
	for w.improve(ctx) {
	}
	var out []use
	for _, s := range w.strips {
		if s.pieces > 0 {
			out = append(out, use{pattern{bar: s.bar, takes: s.takes, content: s.content}, 1})
		}
	}
	return out
}

// polishSteps is how many ways to deal out pieces are looked at.
const polishSteps = 300_000

// A workshop is a solution bar by bar.
type workshop struct {
	in         *instance
	lengths    []length.Length // of the bars
	kerf, keep length.Length
	strips     []*strip
	spare      []int // bars of each class that are not cut
	steps      int
	pass       int
}

// A strip is one bar and what is cut from it.
type strip struct {
	bar     int
	takes   []take // by item
	content int64
	pieces  int
	worth   worth
	changed int // the pass in which it last did
}

// pieceDual is what a strip counts for, in the order of the aims; less is better.
type worth struct {
	cost, taken int64
	cuts        int
	lost        float64 // usefulness: squares of what was there, less squares of what is kept, in m2
}

func (a worth) add(b worth) worth {
	return worth{a.cost + b.cost, a.taken + b.taken, a.cuts + b.cuts, a.lost + b.lost}
}

// lessThan compares in the order of the aims; a square centimetre of usefulness
// is not worth an exchange.
func (a worth) lessThan(b worth) bool {
	switch {
	case a.cost != b.cost:
		return a.cost < b.cost
	case a.taken != b.taken:
		return a.taken < b.taken
	case a.cuts != b.cuts:
		return a.cuts < b.cuts
	}
	return a.lost < b.lost-1e-4
}

func pieces(takes []take) int {
	n := 0
	for _, t := range takes {
		n += t.n
	}
	return n
}

// pieceDual returns what a strip of that bar counts for; the strip of no pieces is
// the bar left whole, and counts for nothing.
func (w *workshop) worth(bar int, content int64, pieces int) worth {
	if pieces == 0 {
		return worth{}
	}
	b, whole := w.in.bars[bar], w.lengths[bar]
	used := length.Length(content) * w.in.unit
	v := worth{cost: b.fixed + b.rate*content, cuts: pieces}
	if used-w.kerf == whole {
		v.cuts--
	}
	if rest := whole - used; rest > 0 && rest >= w.keep {
		v.lost -= square(rest)
	}
	if b.free() {
		v.lost += square(whole)
	} else {
		v.taken = content
	}
	return v
}

func square(l length.Length) float64 {
	m := float64(l) / float64(length.Metre)
	return m * m
}

// improve makes every change that helps in one pass over the strips, and reports
// whether there was one. It passes over pairs that have not changed since they
// were last looked at.
func (w *workshop) improve(ctx context.Context) bool {
	helped := false
	w.pass++
	for _, s := range w.strips {
		if w.steps > 0 && w.rehouse(s) {
			helped = true
		}
	}
	for i := 0; i < len(w.strips); i++ {
		a := w.strips[i]
		if w.steps <= 0 || ctx.Err() != nil {
			return false
		}
		for _, b := range w.strips[i+1:] {
			if w.steps > 0 && a.pieces > 0 && b.pieces > 0 && max(a.changed, b.changed) >= w.pass-1 && w.deal(a, b) {
				helped = true
			}
		}
		for k, bar := range w.in.bars {
			if w.steps <= 0 || w.spare[k] == 0 || !bar.free() || a.pieces < 2 || a.changed < w.pass-1 {
				continue
			}
			if b := (&strip{bar: k}); w.deal(a, b) {
				helped = true
				w.spare[k]--
				w.strips = append(w.strips, b)
			}
		}
	}
	return helped
}

// rehouse cuts the same pieces from another class of bars when that is better.
func (w *workshop) rehouse(s *strip) bool {
	best, value := s.bar, s.worth
	for k, b := range w.in.bars {
		if k == s.bar || w.spare[k] == 0 || b.capacity < s.content {
			continue
		}
		w.steps--
		if v := w.worth(k, s.content, s.pieces); v.lessThan(value) {
			best, value = k, v
		}
	}
	if best == s.bar {
		return false
	}
	w.spare[s.bar]++
	w.spare[best]--
	s.bar, s.worth, s.changed = best, value, w.pass
	return true
}

// deal deals the pieces of two strips out again in the best of all ways, and
// reports whether that is better than it was.
func (w *workshop) deal(a, b *strip) bool {
	w.steps -= 5
	d := dealing{w: w, a: a, b: b, pieces: a.pieces + b.pieces, content: a.content + b.content, best: a.worth.add(b.worth)}
	d.both = slices.Clone(a.takes)
	for _, t := range b.takes {
		d.both = change(d.both, t.item, t.n)
	}
	ways := 1
	for _, t := range d.both {
		if ways *= t.n + 1; ways > maxDeal {
			return false
		}
	}
	d.now = make([]int, len(d.both))
	d.walk(0, 0, 0)
	if d.found == nil {
		return false
	}
	a.takes, b.takes = nil, nil
	a.pieces, b.pieces, a.content, b.content = 0, 0, 0, 0
	for i, t := range d.both {
		a.give(w.in, t.item, d.found[i])
		b.give(w.in, t.item, t.n-d.found[i])
	}
	for _, s := range []*strip{a, b} {
		s.worth = w.worth(s.bar, s.content, s.pieces)
		s.changed = w.pass
		if s.pieces == 0 {
			w.spare[s.bar]++
		}
	}
	return true
}

// maxDeal is how many ways to deal out a pair are looked into.
const maxDeal = 1500

// A dealing is a search for the best way to deal the pieces of two strips out.
type dealing struct {
	w       *workshop
	a, b    *strip
	both    []take
	pieces  int
	content int64
	now     []int // how many of each go to a
	found   []int
	best    worth
}

// walk decides the takes from i on, when a has so many pieces and so much content.
func (d *dealing) walk(i, pieces int, content int64) {
	w := d.w
	if content > w.in.bars[d.a.bar].capacity {
		return
	}
	if i < len(d.both) {
		for n := 0; n <= d.both[i].n; n++ {
			d.now[i] = n
			d.walk(i+1, pieces+n, content+int64(n)*w.in.size[d.both[i].item])
		}
		return
	}
	w.steps--
	if d.content-content > w.in.bars[d.b.bar].capacity {
		return
	}
	v := w.worth(d.a.bar, content, pieces).add(w.worth(d.b.bar, d.content-content, d.pieces-pieces))
	if v.lessThan(d.best) {
		d.best, d.found = v, slices.Clone(d.now)
	}
}

// give adds n pieces of an item.
func (s *strip) give(in *instance, item, n int) {
	if n > 0 {
		s.takes = append(s.takes, take{item, n})
		s.pieces += n
		s.content += int64(n) * in.size[item]
	}
}

// change returns the takes with n more pieces of an item.
func change(takes []take, item, n int) []take {
	at, ok := slices.BinarySearchFunc(takes, item, func(t take, item int) int { return t.item - item })
	if !ok {
		takes = slices.Insert(takes, at, take{item: item})
	}
	takes[at].n += n
	return takes
}
