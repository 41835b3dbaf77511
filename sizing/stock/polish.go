package stock

import (
	"context"
	"slices"

	"larkfold/sizing/length"
)

// polish improves a solution by exchanges between two bars: by moving a piece,
// by swapping two, and by cutting the same from another bar. An exchange is made
// when it lowers the first of these that changes: the cost, what is taken off
// spools, the number of cuts, the usefulness lost.
func polish(ctx context.Context, in *instance, lengths []length.Length, kerf, keep length.Length, uses []use) []use {
	w := &workshop{in: in, lengths: lengths, kerf: kerf, keep: keep, spare: make([]int, len(in.bars)), steps: polishSteps}
	for k, b := range in.bars {
		w.spare[k] = b.count
	}
	for _, u := range uses {
		w.spare[u.bar] -= u.times
		for range u.times {
			s := &strip{bar: u.bar, takes: slices.Clone(u.takes), content: u.content}
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

// polishSteps is how many exchanges are looked at.
const polishSteps = 400_000

// A workshop is a solution bar by bar.
type workshop struct {
	in         *instance
	lengths    []length.Length // of the bars
	kerf, keep length.Length
	strips     []*strip
	spare      []int // bars of each class that are not cut
	steps      int
}

// A strip is one bar and what is cut from it.
type strip struct {
	bar     int
	takes   []take // by item
	content int64
	pieces  int
	worth   worth
}

// worth is what a strip counts for, in the order of the aims; less is better.
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

// worth returns what a strip of that bar counts for; the strip of no pieces is
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

// improve makes every exchange that helps in one pass over the strips, and
// reports whether there was one.
func (w *workshop) improve(ctx context.Context) bool {
	helped := false
	for _, s := range w.strips {
		if w.steps > 0 && w.rehouse(s) {
			helped = true
		}
	}
	for i, a := range w.strips {
		if w.steps <= 0 || ctx.Err() != nil {
			return false
		}
		for _, b := range w.strips[i+1:] {
			for a.pieces > 0 && b.pieces > 0 && w.steps > 0 && w.exchange(a, b) {
				helped = true
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
	s.bar, s.worth = best, value
	return true
}

// exchange moves one piece, or swaps one for one, between two strips when that
// is better.
func (w *workshop) exchange(a, b *strip) bool {
	for _, x := range a.takes {
		if w.try(a, b, x.item, -1) {
			return true
		}
		for _, y := range b.takes {
			if x.item != y.item && w.try(a, b, x.item, y.item) {
				return true
			}
		}
	}
	for _, y := range b.takes {
		if w.try(b, a, y.item, -1) {
			return true
		}
	}
	return false
}

// try gives item x of strip a to strip b, for item y if it is not -1.
func (w *workshop) try(a, b *strip, x, y int) bool {
	w.steps--
	shift, moved := w.in.size[x], 1
	if y >= 0 {
		shift -= w.in.size[y]
		moved = 0
	}
	if a.content-shift > w.in.bars[a.bar].capacity || b.content+shift > w.in.bars[b.bar].capacity {
		return false
	}
	va := w.worth(a.bar, a.content-shift, a.pieces-moved)
	vb := w.worth(b.bar, b.content+shift, b.pieces+moved)
	if !va.add(vb).lessThan(a.worth.add(b.worth)) {
		return false
	}
	a.change(x, -1)
	b.change(x, 1)
	if y >= 0 {
		b.change(y, -1)
		a.change(y, 1)
	}
	a.content -= shift
	b.content += shift
	a.pieces -= moved
	b.pieces += moved
	a.worth, b.worth = va, vb
	if a.pieces == 0 {
		w.spare[a.bar]++
	}
	return true
}

// change adds n pieces of an item to the strip's takes.
func (s *strip) change(item, n int) {
	at, ok := slices.BinarySearchFunc(s.takes, item, func(t take, item int) int { return t.item - item })
	if !ok {
		s.takes = slices.Insert(s.takes, at, take{item: item})
	}
	if s.takes[at].n += n; s.takes[at].n == 0 {
		s.takes = slices.Delete(s.takes, at, at+1)
	}
}
