package stock

import (
	"math"
	"sort"
)

// A ladder is the costs that whole bars can add up to, so that a bound between
// two rungs rises to the upper one. It is empty when every whole cost is taken
// to be possible.
type ladder struct{ rungs []int64 }

// maxLadder is how much work a ladder may be: costs times classes of bars.
const maxLadder = 1 << 22

// newLadder lists the sums of the bars' costs up to the cost given.
func newLadder(in *instance, cost int64) ladder {
	if cost > maxLadder/int64(len(in.bars)) {
		return ladder{}
	}
	reached := make([]bool, cost+1)
	reached[0] = true
	for k, bar := range in.bars {
		switch {
		case bar.rate > 0:
			return ladder{}
		case bar.fixed == 0 || bar.fixed > cost:
			continue
		}
		used := make([]int, cost+1) // bars of this class in the sum
		for c := bar.fixed; c <= cost; c++ {
			if !reached[c] && reached[c-bar.fixed] && used[c-bar.fixed] < in.bars[k].count {
				reached[c] = true
				used[c] = used[c-bar.fixed] + 1
			}
		}
	}
	var l ladder
	for c, ok := range reached {
		if ok {
			l.rungs = append(l.rungs, int64(c))
		}
	}
	return l
}

// up returns the least possible cost that is not below the bound.
func (l ladder) up(bound float64) int64 {
	least := int64(math.Ceil(bound))
	at := sort.Search(len(l.rungs), func(i int) bool { return l.rungs[i] >= least })
	if at == len(l.rungs) {
		return least
	}
	return l.rungs[at]
}
