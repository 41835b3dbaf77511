package stock

import (
	"cmp"
	"slices"
)

// An enumeration lists the full patterns that hold a lead item.
type enumeration struct {
	in     *instance
	part   *partial
	r      relaxation
	enough func(reduced float64) bool
	steps  int
	list   []child

	k    int
	sack knapsack
	now  []int // by ware
	lead int
}

// bar lists the patterns for one class of bars. Unless cord is paid by the
// metre, a pattern with room for another piece is left out: moving a piece
// there from another bar never costs more.
func (e *enumeration) bar(k, lead int) {
	bar := e.in.bars[k]
	e.k, e.lead = k, lead
	demand := slices.Clone(e.part.demand)
	demand[lead]--
	worth := func(i int) float64 { return e.r.pieceDual[i] - float64(bar.rate)*float64(e.in.size[i]) }
	e.sack.wares = e.sack.wares[:0]
	for i, n := range demand {
		if n > 0 {
			w := worth(i)
			e.sack.wares = append(e.sack.wares, ware{i, e.in.size[i], n, w, w / float64(e.in.size[i])})
		}
	}
	slices.SortStableFunc(e.sack.wares, func(x, y ware) int { return cmp.Compare(y.dense, x.dense) })
	e.now = make([]int, len(e.sack.wares))
	e.walk(0, bar.capacity-e.in.size[lead], float64(bar.fixed)-e.r.barDual[k]-worth(lead))
}

// walk tries the wares from j on, with so much room and reduced cost so far.
func (e *enumeration) walk(j int, room int64, reduced float64) {
	if e.steps--; e.steps <= 0 || len(e.list) >= maxChildren {
		return
	}
	least := reduced
	if j < len(e.now) {
		least -= max(0, float64(room)*e.sack.wares[j].dense)
	}
	if e.enough(max(0, least)) {
		return
	}
	if j == len(e.now) {
		if e.in.bars[e.k].rate == 0 {
			for n, w := range e.sack.wares {
				if w.most > e.now[n] && w.size <= room {
					return
				}
			}
		}
		e.emit(room, reduced)
		return
	}
	w := e.sack.wares[j]
	for n := int(min(int64(w.most), room/w.size)); n >= 0; n-- {
		e.now[j] = n
		e.walk(j+1, room-int64(n)*w.size, reduced-float64(n)*w.value)
	}
	e.now[j] = 0
}

func (e *enumeration) emit(room int64, reduced float64) {
	p := pattern{bar: e.k, content: e.in.bars[e.k].capacity - room}
	counts := make(map[int]int, len(e.now))
	for n, w := range e.sack.wares {
		counts[w.item] = e.now[n]
	}
	counts[e.lead]++
	for i := range e.in.size {
		if counts[i] > 0 {
			p.takes = append(p.takes, take{i, counts[i]})
		}
	}
	e.list = append(e.list, child{pattern: p, reduced: max(0, reduced)})
}
