package diagram

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Laurent is a polynomial with whole coefficients and powers that may be
// negative: coefficient by power. A coefficient of zero is left out.
type Laurent map[int]int

func (p Laurent) add(q Laurent, times, power int) {
	for e, c := range q {
		p[e+power] += times * c
		if p[e+power] == 0 {
			delete(p, e+power)
		}
	}
}

// Times is the product of two polynomials.
func (p Laurent) Times(q Laurent) Laurent {
	product := Laurent{}
	for e, c := range p {
		product.add(q, c, e)
	}
	return product
}

// Mirror has every power of opposite sign: the polynomial of the mirror image.
func (p Laurent) Mirror() Laurent {
	m := Laurent{}
	for e, c := range p {
		m[-e] = c
	}
	return m
}

// Jones is a Jones polynomial, in powers of the square root of t.
type Jones struct{ Laurent }

// String writes it by rising powers of t.
func (j Jones) String() string {
	var text strings.Builder
	for _, e := range slices.Sorted(maps.Keys(j.Laurent)) {
		c := j.Laurent[e]
		sign := " + "
		if c < 0 {
			sign, c = " - ", -c
		}
		if text.Len() == 0 {
			sign = strings.TrimLeft(strings.TrimRight(sign, " "), " +")
		}
		text.WriteString(sign)
		power := fmt.Sprintf("t^%d", e/2)
		switch {
		case e%2 != 0:
			power = fmt.Sprintf("t^(%d/2)", e)
		case e == 2:
			power = "t"
		case e == 0:
			power = ""
		}
		if c != 1 || power == "" {
			fmt.Fprint(&text, c)
		}
		text.WriteString(power)
	}
	return text.String()
}

// Jones is the Jones polynomial by Kauffman's state sum (L. H. Kauffman, State
// models and the Jones polynomial, Topology 26, 1987). The crossings are taken
// in one by one: what is kept is not every state, but for every way in which the
// arcs so far are joined the sum of the states that join them so.
func (c Code) Jones() Jones {
	bracket := c.bracket()
	w := c.Writhe()
	v := Laurent{}
	for e, n := range bracket { // (-A^3)^-w <c>, with t = A^-4
		if w%2 != 0 {
			n = -n
		}
		v[-(e-3*w)/2] = n
	}
	return Jones{v}
}

// arcs are the four arcs at a crossing, counter-clockwise from the lower strand's
// coming in.
func (c Code) arcs() (crossings [][4]int, loose int) {
	byNumber := map[int]*[4]int{}
	next := 0
	for _, strand := range c {
		if len(strand) == 0 {
			loose++
			continue
		}
		first := next
		for i, v := range strand {
			in, out := first+i, first+(i+1)%len(strand)
			x := byNumber[v.Crossing]
			if x == nil {
				x = &[4]int{}
				byNumber[v.Crossing] = x
			}
			switch {
			case !v.Over:
				x[0], x[2] = in, out
			case v.Sign > 0:
				x[1], x[3] = out, in
			default:
				x[1], x[3] = in, out
			}
		}
		next += len(strand)
	}
	for _, n := range slices.Sorted(maps.Keys(byNumber)) {
		crossings = append(crossings, *byNumber[n])
	}
	return crossings, loose
}

// bracket is Kauffman's bracket in A; that of one ring is 1.
func (c Code) bracket() Laurent {
	crossings, loose := c.arcs()
	sums := map[string]*joined{"": {ends: map[int]int{}, sum: Laurent{0: 1}}}
	taken := make([]bool, len(crossings))
	open := map[int]bool{}
	for range crossings {
		// the crossing that shares most arcs with those taken leaves the fewest open
		best, shares := -1, -1
		for i, x := range crossings {
			if taken[i] {
				continue
			}
			n := 0
			for _, arc := range x {
				if open[arc] {
					n++
				}
			}
			if n > shares {
				best, shares = i, n
			}
		}
		taken[best] = true
		x := crossings[best]
		for _, arc := range x {
			open[arc] = !open[arc]
		}
		next := map[string]*joined{}
		for _, s := range sums {
			s.smooth(next, 1, x[0], x[1], x[2], x[3])
			s.smooth(next, -1, x[0], x[3], x[1], x[2])
		}
		sums = next
	}
	total := Laurent{}
	for _, s := range sums {
		total.add(s.sum, 1, 0)
	}
	for range loose {
		total = total.Times(ring())
	}
	return divided(total)
}

// ring is what every ring beside others counts.
func ring() Laurent { return Laurent{2: -1, -2: -1} }

// divided takes one ring out of a sum in which all are counted.
func divided(p Laurent) Laurent {
	rest, q := maps.Clone(p), Laurent{}
	for len(rest) > 0 {
		top := slices.Max(slices.Collect(maps.Keys(rest)))
		n := -rest[top]
		q[top-2] = n
		rest.add(ring(), -n, top-2)
	}
	return q
}

// joined is a set of arcs with loose ends, how they are joined, and the sum of all
// states that join them so.
type joined struct {
	ends map[int]int // loose end -> the loose end at the other side
	sum  Laurent
}

// smooth takes in one crossing, smoothed so that a runs into b and c into d.
func (s *joined) smooth(into map[string]*joined, power, a, b, c, d int) {
	ends := maps.Clone(s.ends)
	rings := 0
	for _, pair := range [][2]int{{a, b}, {c, d}} {
		far := [2]int{}
		closes := false
		for i, arc := range pair {
			other, met := ends[arc]
			if !met {
				far[i] = arc
				continue
			}
			closes = closes || other == pair[1-i]
			far[i] = other
			delete(ends, arc)
		}
		switch {
		case closes || pair[0] == pair[1]:
			delete(ends, pair[0])
			delete(ends, pair[1])
			rings++
		default:
			ends[far[0]], ends[far[1]] = far[1], far[0]
		}
	}
	keys := slices.Sorted(maps.Keys(ends))
	var key strings.Builder
	for _, k := range keys {
		fmt.Fprintf(&key, "%d-%d ", k, ends[k])
	}
	sum := s.sum
	for range rings {
		sum = sum.Times(ring())
	}
	t := into[key.String()]
	if t == nil {
		t = &joined{ends: ends, sum: Laurent{}}
		into[key.String()] = t
	}
	t.sum.add(sum, 1, power)
}
