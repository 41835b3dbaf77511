package knot

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/sebdah/goldie/v2"
)

// What every picture of a knot starts from, in cord diameters: how long each strand of
// its diagram is, what room it takes across, down and in depth, and how much of it has
// met the others at each step. The pictures themselves were looked at, in
// commands/picture; here a change shows that nobody meant. Written down anew with
// go test ./sizing/knot -run TestDrawings -update.
func TestDrawings(t *testing.T) {
	var all strings.Builder
	for _, k := range Standard().Knots() {
		d := k.Diagram
		if d == nil || d.Draw == nil {
			continue
		}
		fmt.Fprintf(&all, "%s, round %d\n", k.Name, d.Body.Cores)
		drawing := d.Drawing(false)
		for i, s := range drawing {
			fmt.Fprintf(&all, "  %s: %.3f long", s.Name, s.Length())
			for _, along := range []int{0, 1, 2} {
				low, high := math.Inf(1), math.Inf(-1)
				for _, p := range s.Line {
					at := []float64{p.X, p.Y, p.Z}[along]
					low, high = min(low, at), max(high, at)
				}
				fmt.Fprintf(&all, ", %.3f to %.3f", thousandths(low), thousandths(high))
			}
			for _, stage := range d.Stages {
				if stage.Drawn > 0 {
					fmt.Fprintf(&all, ", %d drawn up", stage.Drawn)
					continue
				}
				fmt.Fprintf(&all, ", %.3f", stage.Come(drawing, i))
			}
			all.WriteByte('\n')
		}
	}
	goldie.New(t).Assert(t, "drawings", []byte(all.String()))
}

// thousandths rounds, and has no zero below zero.
func thousandths(x float64) float64 { return math.Round(x*1000)/1000 + 0 }
