package resize

import (
	"math"
	"slices"
)

// run is some ends that hang side by side: so many before and so many after. It
// grows and shrinks by whole lots.
type run struct{ was, is, lot int }

// runs are the ends of a panel from left to right.
type runs []run

// resized is a count in proportion, changed by whole lots and never to nothing.
func resized(was, lot int, f factor) int {
	is := was + lot*int(math.Round(float64(was)*(float64(f)-1)/float64(lot)))
	return max(is, least(was, lot))
}

// least is the smallest count that differs from one by whole lots.
func least(count, lot int) int {
	if rest := count % lot; rest > 0 {
		return rest
	}
	return min(count, lot)
}

// share gives every run its part of the ends that a factor makes of all of them. It
// goes from both edges inwards, so that mirror images stay so, and what lies in the
// middle takes the rest; none becomes less than its least.
func (rs runs) share(lot int, f factor) {
	all := rs.was()
	whole := run{all, resized(all, lot, f), lot}
	half := len(rs) / 2
	left := rs[:half].shared(whole)
	mirrored := slices.Clone(rs[len(rs)-half:])
	slices.Reverse(mirrored)
	right := mirrored.shared(whole)
	slices.Reverse(mirrored)
	copy(rs[len(rs)-half:], mirrored)
	if len(rs)%2 == 1 {
		middle := &rs[half]
		middle.is = max(whole.is-left-right, least(middle.was, lot))
	}
}

// shared gives runs from an edge on their part of the whole and tells how many ends
// they have then.
func (rs runs) shared(whole run) int {
	was, is := 0, 0
	for i := range rs {
		r := &rs[i]
		was += r.was
		to := max(whole.at(was), is+least(r.was, whole.lot))
		r.is = to - is
		is = to
	}
	return is
}

// at is where a boundary between ends has gone: so many ends left of it. What
// lies at the same distance from both edges stays so.
func (r run) at(b int) int {
	switch {
	case b <= 0:
		return 0
	case b >= r.was:
		return r.is
	case 2*b == r.was && r.is%2 == 0:
		return r.is / 2
	case 2*b > r.was:
		return r.is - r.at(r.was-b)
	}
	lots := math.Round(float64((r.is-r.was)/r.lot) * float64(b) / float64(r.was))
	return b + r.lot*int(lots)
}

// at is where a boundary has gone.
func (rs runs) at(b int) int {
	moved := 0
	for _, r := range rs {
		if b <= r.was {
			return moved + r.at(b)
		}
		b -= r.was
		moved += r.is
	}
	return moved
}

// was and is are how many ends there were and are.
func (rs runs) was() int {
	sum := 0
	for _, r := range rs {
		sum += r.was
	}
	return sum
}

func (rs runs) is() int {
	sum := 0
	for _, r := range rs {
		sum += r.is
	}
	return sum
}

// block is where the ends from one number to another have gone. So few as the
// fewest are never lost.
func (rs runs) block(from, to, fewest int) (int, int) {
	low, high := rs.at(from-1), rs.at(to)
	if high-low < fewest {
		left, right, middle := from-1, rs.was()-to, rs.was()-rs.was()/2
		if left <= right && right != middle || left == middle {
			high = low + fewest
		} else { // it keeps to the middle from the left, or to the right
			low = high - fewest
		}
	}
	return low + 1, high
}

// insert puts new ends between others.
func (rs runs) insert(b, count int) runs {
	out := make(runs, 0, len(rs)+2)
	done := false
	for _, r := range rs {
		if !done && b <= r.was {
			left := r.at(b)
			out = append(out, run{b, left, r.lot}, run{count, count, r.lot}, run{r.was - b, r.is - left, r.lot})
			done = true
			continue
		}
		if !done {
			b -= r.was
		}
		out = append(out, r)
	}
	return out
}
