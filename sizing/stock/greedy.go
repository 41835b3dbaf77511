package stock

import (
	"cmp"
	"context"
	"slices"
)

// A partial is work in hand: what is still to be cut, the bars still there, and
// what has been cut.
type partial struct {
	in     *instance
	demand []int
	count  []int
	uses   []use
	left   int // pieces still to be cut
	sack   knapsack
}

func newPartial(in *instance) *partial {
	part := &partial{in: in, demand: slices.Clone(in.demand), count: make([]int, len(in.bars))}
	for k := range in.bars {
		part.count[k] = in.bars[k].count
	}
	for _, d := range part.demand {
		part.left += d
	}
	return part
}

func (part *partial) clone() *partial {
	return &partial{in: part.in, demand: slices.Clone(part.demand), count: slices.Clone(part.count), uses: slices.Clone(part.uses), left: part.left}
}

// room returns how many bars can be cut by the pattern, without cutting more
// pieces than are wanted.
func (part *partial) room(p pattern) int {
	times := part.count[p.bar]
	for _, t := range p.takes {
		times = min(times, part.demand[t.item]/t.n)
	}
	return times
}

// cut cuts that many bars by the pattern.
func (part *partial) cut(p pattern, times int) {
	part.count[p.bar] -= times
	for _, t := range p.takes {
		part.demand[t.item] -= t.n * times
		part.left -= t.n * times
	}
	part.uses = append(part.uses, use{p, times})
}

// undo takes back the last cut.
func (part *partial) undo() {
	last := len(part.uses) - 1
	u := part.uses[last]
	part.uses = part.uses[:last]
	part.count[u.bar] += u.times
	for _, t := range u.takes {
		part.demand[t.item] += t.n * u.times
		part.left += t.n * u.times
	}
}

// fill returns a full pattern for the bar, by a rule that differs from one
// heuristic to the next.
type fill func(part *partial, bar int) pattern

// largestFirst fills a bar with the largest pieces that still fit.
func largestFirst(part *partial, k int) pattern {
	p, room := pattern{bar: k}, part.in.bars[k].capacity
	for i, w := range part.in.size {
		if n := min(int64(part.demand[i]), room/w); n > 0 {
			p.takes = append(p.takes, take{i, int(n)})
			p.content += n * w
			room -= n * w
		}
	}
	return p
}

// fullest fills a bar as full as a short search can, starting with the largest
// piece that fits.
func fullest(part *partial, k int) pattern {
	lead := 0
	capacity := part.in.bars[k].capacity
	for lead < len(part.demand) && (part.demand[lead] == 0 || part.in.size[lead] > capacity) {
		lead++
	}
	if lead == len(part.demand) {
		return pattern{bar: k}
	}
	room := capacity - part.in.size[lead]
	part.demand[lead]--
	part.sack.set(part.in.size, part.demand, func(i int) float64 { return float64(part.in.size[i]) })
	part.demand[lead]++
	p := pattern{bar: k, content: part.in.size[lead]}
	if worth, found, _ := part.sack.branch(context.Background(), room, 0, fullestSteps); found {
		p.takes = part.sack.takes()
		p.content += int64(worth)
	}
	p.takes = change(p.takes, lead, 1)
	return p
}

// fullestSteps is how many fills are looked at for the fullest.
const fullestSteps = 500

// inOrder cuts the free bars in the order given, then the bars that cost
// something, each time the one that costs least for what it holds. It returns
// false when pieces are left over or the context ends.
func (part *partial) inOrder(ctx context.Context, free []int, f fill) bool {
	for _, k := range free {
		if ctx.Err() != nil {
			return false
		}
		for part.left > 0 && part.count[k] > 0 {
			p := f(part, k)
			if len(p.takes) == 0 {
				break
			}
			part.cut(p, part.room(p))
		}
	}
	for part.left > 0 {
		p, ok := part.cheapest(f)
		if !ok || ctx.Err() != nil {
			return false
		}
		part.cut(p, part.room(p))
	}
	return true
}

// cheapest returns the pattern with the least cost for its content among the
// bars that cost something.
func (part *partial) cheapest(f fill) (pattern, bool) {
	var best pattern
	found := false
	for k, bar := range part.in.bars {
		if part.count[k] == 0 || bar.free() {
			continue
		}
		p := f(part, k)
		if len(p.takes) == 0 {
			continue
		}
		if !found || less(part.in.cost(p), p.content, part.in.cost(best), best.content) {
			best, found = p, true
		}
	}
	return best, found
}

// less reports whether a cost of a for content x is cheaper than b for y;
// equals prefer more content.
func less(a, x, b, y int64) bool {
	l, r := float64(a)*float64(y), float64(b)*float64(x)
	if l != r {
		return l < r
	}
	return x > y
}

// bestFit places pieces from the largest down, each where it leaves least room,
// in a bar already cut or in a free one, and opens the bar that costs least for
// its length when it fits nowhere. It leaves out what fits nowhere and reports
// whether all was placed.
func (part *partial) bestFit() bool {
	in := part.in
	count := slices.Clone(part.count)
	var open []openBar // by room, smallest first
	whole := true
	content := part.short()
	for i, w := range in.size {
		for range part.demand[i] {
			at := roomFor(open, w)
			free := smallestFree(in, count, w)
			var o openBar
			switch {
			case at < len(open) && (free < 0 || open[at].room <= in.bars[free].capacity):
				o = open[at]
				open = slices.Delete(open, at, at+1)
			case free >= 0:
				o = openBar{bar: free, room: in.bars[free].capacity}
				count[free]--
			default:
				k := nextBar(in, count, w, content)
				if k < 0 {
					whole = false
					continue
				}
				o = openBar{bar: k, room: in.bars[k].capacity}
				count[k]--
			}
			if n := len(o.takes); n > 0 && o.takes[n-1].item == i {
				o.takes[n-1].n++
			} else {
				o.takes = append(o.takes, take{i, 1})
			}
			o.room -= w
			content -= w
			open = slices.Insert(open, roomFor(open, o.room), o)
		}
	}
	for _, o := range open {
		part.cut(pattern{bar: o.bar, takes: o.takes, content: in.bars[o.bar].capacity - o.room}, 1)
	}
	return whole
}

type openBar struct {
	bar   int
	room  int64
	takes []take
}

// roomFor returns where the first open bar with room for w stands.
func roomFor(open []openBar, w int64) int {
	at, _ := slices.BinarySearchFunc(open, w, func(o openBar, w int64) int { return cmp.Compare(o.room, w) })
	return at
}

// smallestFree returns the smallest free bar that holds w, or -1.
func smallestFree(in *instance, count []int, w int64) int {
	best := -1
	for k, bar := range in.bars {
		if count[k] > 0 && bar.free() && bar.capacity >= w && (best < 0 || bar.capacity < in.bars[best].capacity) {
			best = k
		}
	}
	return best
}

// nextBar returns the costly bar to open for a piece of size w when so much
// content is still to come, or -1.
func nextBar(in *instance, count []int, w, content int64) int {
	best := -1
	var bestCost, bestHold int64
	for k, bar := range in.bars {
		if count[k] == 0 || bar.capacity < w || bar.free() {
			continue
		}
		hold := min(bar.capacity, content)
		cost := bar.fixed + bar.rate*hold
		if best < 0 || less(cost, hold, bestCost, bestHold) {
			best, bestCost, bestHold = k, cost, hold
		}
	}
	return best
}

// greedy returns the cheapest of a handful of quick solutions, and whether any
// of them places every piece. When none does it returns the one that leaves out
// least. After the first it heeds the context.
func greedy(ctx context.Context, start *partial) (*partial, bool) {
	in := start.in
	var up []int
	for k, bar := range in.bars {
		if bar.free() {
			up = append(up, k)
		}
	}
	down := slices.Clone(up)
	slices.Reverse(down)
	var best *partial
	whole := false
	consider := func(part *partial, ok bool) {
		if best == nil || ok && !whole || ok == whole && part.better(best, whole) {
			best, whole = part, ok
		}
	}
	part := start.clone()
	consider(part, part.bestFit())
	for _, f := range []fill{largestFirst, fullest} {
		for _, order := range [][]int{up, down} {
			if ctx.Err() != nil {
				return best, whole
			}
			part = start.clone()
			consider(part, part.inOrder(ctx, order, f))
			if len(up) < 2 {
				break
			}
		}
	}
	return best, whole
}

// better compares two partial plans that both place everything, or both do not.
func (part *partial) better(other *partial, whole bool) bool {
	if whole {
		return part.in.total(part.uses) < part.in.total(other.uses)
	}
	return part.short() < other.short()
}

// short returns the content that is still to be cut.
func (part *partial) short() int64 {
	sum := int64(0)
	for i, d := range part.demand {
		sum += int64(d) * part.in.size[i]
	}
	return sum
}
