package diagram

import (
	"cmp"
	"slices"
)

// Visit is a closed strand meeting a crossing.
type Visit struct {
	Crossing int // from 1
	Over     bool
	Sign     int // +1 or -1
}

// Code is a signed Gauss code: for every closed strand, the crossings in the order
// in which it meets them.
type Code [][]Visit

// CodeOf reads the code of closed lines, each of which ends where it begins.
// Crossings are numbered in the order in which the strands first meet them.
func CodeOf(lines [][]Point) Code {
	crossings := Crossings(lines)
	type met struct {
		at       float64
		crossing int
		over     bool
	}
	strands := make([][]met, len(lines))
	for i, x := range crossings {
		strands[x.Over.Strand] = append(strands[x.Over.Strand], met{x.Over.At, i, true})
		strands[x.Under.Strand] = append(strands[x.Under.Strand], met{x.Under.At, i, false})
	}
	code := make(Code, len(lines))
	number := map[int]int{}
	for i, s := range strands {
		slices.SortFunc(s, func(a, b met) int { return cmp.Compare(a.at, b.at) })
		code[i] = []Visit{}
		for _, m := range s {
			if number[m.crossing] == 0 {
				number[m.crossing] = len(number) + 1
			}
			code[i] = append(code[i], Visit{number[m.crossing], m.over, crossings[m.crossing].Sign})
		}
	}
	return code
}

// Writhe is the sum of all signs.
func (c Code) Writhe() int {
	sum := 0
	for _, strand := range c {
		for _, v := range strand {
			if v.Over {
				sum += v.Sign
			}
		}
	}
	return sum
}

// Turns is how often two closed strands go round each other, by their signs: the
// linking number.
func (c Code) Turns(a, b int) int {
	in := map[int]bool{}
	for _, v := range c[a] {
		in[v.Crossing] = true
	}
	sum := 0
	for _, v := range c[b] {
		if in[v.Crossing] {
			sum += v.Sign
		}
	}
	return sum / 2
}
