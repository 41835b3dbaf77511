package stock

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// A knapsack finds the fill of greatest worth for one bar: at most most[j] of
// the j-th ware, sizes within the capacity. Wares of no worth are left out; the
// rest stand in order of worth for their size. It keeps its buffers from one
// question to the next.
type knapsack struct {
	wares []ware
	least []int64 // smallest size from this ware on
	now   []int
	best  []int
	table table
	work  int // done so far, about in nanoseconds
}

type ware struct {
	item  int
	size  int64
	most  int
	value float64
	dense float64 // worth / size
}

// nearlyEqual is the relative difference below which two worths are the same;
// the bounds leave a far wider margin.
const nearlyEqual = 1e-12

// set takes the wares of the next questions.
func (k *knapsack) set(size []int64, most []int, worth func(item int) float64) {
	k.wares = k.wares[:0]
	for i, n := range most {
		if w := worth(i); n > 0 && w > 0 {
			k.wares = append(k.wares, ware{i, size[i], n, w, w / float64(size[i])})
		}
	}
	slices.SortFunc(k.wares, func(a, b ware) int {
		return cmp.Or(cmp.Compare(b.dense, a.dense), cmp.Compare(a.item, b.item))
	})
	n := len(k.wares)
	k.table.ready = false
	k.least = slices.Grow(k.least[:0], n+1)[:n+1]
	k.least[n] = math.MaxInt64
	for j := n - 1; j >= 0; j-- {
		k.least[j] = min(k.least[j+1], k.wares[j].size)
	}
	k.now = slices.Grow(k.now[:0], n)[:n]
	k.best = slices.Grow(k.best[:0], n)[:n]
	k.table.ready = false
}

// solve returns the fill of greatest worth above the threshold, and a worth that
// no fill exceeds. The fill is empty when none is above the threshold. Without
// a table it may be short of the greatest when the search was given up after so
// many steps or with the context; then exact is false.
func (k *knapsack) solve(ctx context.Context, capacity int64, threshold float64, widest int64, steps int) (fill []take, atMost float64, exact bool) {
	worth, found, exact := k.branch(ctx, capacity, threshold, branchSteps)
	if !exact && k.table.affordable(len(k.wares), widest) {
		if !k.table.ready {
			k.table.fill(k.wares, widest)
			k.work += 10 * len(k.table.value)
		}
		worth = k.table.read(k.wares, capacity, k.best)
		found, exact = worth > threshold, true
	} else if !exact {
		worth, found, exact = k.branch(ctx, capacity, threshold, steps)
	}
	atMost = max(worth, threshold)
	if !exact {
		atMost = k.dantzig(capacity)
	}
	if !found {
		return nil, atMost, exact
	}
	return k.takes(), atMost, exact
}

// takes returns the best fill, by item.
func (k *knapsack) takes() []take {
	var takes []take
	for j, n := range k.best {
		if n > 0 {
			takes = append(takes, take{k.wares[j].item, n})
		}
	}
	slices.SortFunc(takes, func(a, b take) int { return cmp.Compare(a.item, b.item) })
	return takes
}

// branchSteps is after how many fills the search turns to the table; longSteps
// after how many it gives up when the table would be too large and the greatest
// worth is not needed yet.
const (
	branchSteps = 3000
	longSteps   = 150_000
	workOfStep  = 20 // about in nanoseconds
)

// checkEvery is after how many fills the search looks whether its time is over.
const checkEvery = 1 << 15

// branch searches the fills in lexicographic order, from the densest ware on,
// leaving out those that cannot exceed the best so far even if the rest of the
// bar were filled with the next densest.
func (k *knapsack) branch(ctx context.Context, capacity int64, threshold float64, steps int) (best float64, found, done bool) {
	n := len(k.wares)
	clear(k.now)
	best = threshold
	room, worth := capacity, 0.0
	j := 0
	for {
		for ; j < n && k.least[j] <= room; j++ {
			w := &k.wares[j]
			if worth+float64(room)*w.dense <= best*(1+nearlyEqual) {
				break
			}
			if t := min(int64(w.most), room/w.size); t > 0 {
				k.now[j] = int(t)
				room -= t * w.size
				worth += float64(t) * w.value
			}
		}
		if worth > best*(1+nearlyEqual) {
			best, found = worth, true
			copy(k.best, k.now)
		}
		k.work += workOfStep
		if steps--; steps < 0 || steps%checkEvery == 0 && ctx.Err() != nil {
			return best, found, false
		}
		for j = min(j, n) - 1; j >= 0; j-- {
			if k.now[j] == 0 {
				continue
			}
			w := &k.wares[j]
			k.now[j]--
			room += w.size
			worth -= w.value
			if j+1 < n && worth+float64(room)*k.wares[j+1].dense > best*(1+nearlyEqual) {
				break
			}
			room += int64(k.now[j]) * w.size
			worth -= float64(k.now[j]) * w.value
			k.now[j] = 0
		}
		if j < 0 {
			return best, found, true
		}
		j++
	}
}

// dantzig returns the worth when the last ware may be cut to fit.
func (k *knapsack) dantzig(capacity int64) float64 {
	worth := 0.0
	for _, w := range k.wares {
		t := min(int64(w.most), capacity/w.size)
		worth += float64(t) * w.value
		capacity -= t * w.size
		if t < int64(w.most) {
			return worth + float64(capacity)*w.dense
		}
	}
	return worth
}

// A table holds the greatest worth for every capacity, by dynamic programming.
type table struct {
	ready bool
	width int       // capacities 0..width
	value []float64 // after each ware, one row of capacities
	queue []int
}

// maxTable is the most entries that a table may have: 32 MB.
const maxTable = 4_000_000

func (t *table) affordable(wares int, widest int64) bool {
	return widest < maxTable && int64(wares+1)*(widest+1) <= maxTable
}

// row returns the worths when only the first j wares are used.
func (t *table) row(j int) []float64 { return t.value[j*(t.width+1) : (j+1)*(t.width+1)] }

// fill computes the table. For each ware and each remainder of the capacity by
// its size, the best number to take is the maximum of a sliding window.
func (t *table) fill(wares []ware, widest int64) {
	t.width = int(widest)
	cells := (len(wares) + 1) * (t.width + 1)
	t.value = slices.Grow(t.value[:0], cells)[:cells]
	clear(t.row(0))
	for j, w := range wares {
		from, to, size := t.row(j), t.row(j+1), int(w.size)
		for r := 0; r < size && r <= t.width; r++ {
			t.queue = t.queue[:0]
			head := 0
			gain := func(n int) float64 { return from[r+n*size] - float64(n)*w.value }
			for n := 0; r+n*size <= t.width; n++ {
				for len(t.queue) > head && gain(t.queue[len(t.queue)-1]) <= gain(n) {
					t.queue = t.queue[:len(t.queue)-1]
				}
				t.queue = append(t.queue, n)
				if t.queue[head] < n-w.most {
					head++
				}
				m := t.queue[head]
				to[r+n*size] = from[r+m*size] + float64(n-m)*w.value
			}
		}
	}
	t.ready = true
}

// read returns the greatest worth for the capacity and writes how many of each
// ware reach it.
func (t *table) read(wares []ware, capacity int64, counts []int) float64 {
	c := int(min(capacity, int64(t.width)))
	worth := t.row(len(wares))[c]
	for j := len(wares) - 1; j >= 0; j-- {
		w, target := wares[j], t.row(j + 1)[c]
		counts[j] = 0
		for n := 0; n <= w.most && c-n*int(w.size) >= 0; n++ {
			if t.row(j)[c-n*int(w.size)]+float64(n)*w.value >= target-math.Abs(target)*nearlyEqual {
				counts[j] = n
				break
			}
		}
		c -= counts[j] * int(w.size)
	}
	return worth
}
