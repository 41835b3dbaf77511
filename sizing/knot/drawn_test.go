package knot

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/diagram"
)

// What is drawn is what is charged: the strands of a drawn-up sinnet are as long as
// the row says that one knot takes.
func TestDrawnUpShapesTakeWhatTheRowSays(t *testing.T) {
	for _, c := range []struct {
		name, role string
		gauge      Gauge
	}{
		{"square knot", "worker", Gauge{Ends: 4}},
		{"half knot", "worker", Gauge{Ends: 4}},
		{"half hitch", "hitching end", Gauge{Ends: 2}},
		{"vertical lark's head", "hitching end", Gauge{Ends: 2}},
		{"alternating half-hitch chain", "end", Gauge{Ends: 2}},
		{"three-strand plait", "strand", Gauge{Ends: 3}},
		{"four-strand plait", "strand", Gauge{Ends: 4}},
		{"crown sinnet", "strand", Gauge{Ends: 4}},
	} {
		k, ok := Standard().Knot(c.name)
		require.True(t, ok)
		drawn, ok := k.DrawnUp()
		require.True(t, ok, c.name)
		c.gauge.Pitch = 0
		sum, n := 0.0, 0
		for _, s := range drawn.Strands {
			if s.Works {
				sum, n = sum+s.Length(), n+1
			}
		}
		require.InEpsilon(t, takes(t, c.name, c.role, c.gauge), sum/float64(n), 0.09, c.name) // what is kept from turning takes 5 to 9 % more
	}
}

// Every knot of the book that tightening knows has a drawn-up shape, and every
// strand in it keeps clear of the others.
func TestDrawnUpShapesAreCords(t *testing.T) {
	have := 0
	for _, k := range Standard().Knots() {
		drawn, ok := k.DrawnUp()
		if !ok {
			continue
		}
		have++
		for i, a := range drawn.Strands {
			for _, b := range drawn.Strands[:i] {
				if a.Works || b.Works {
					require.Greater(t, diagram.Gap(a.Line, b.Line), 0.85*(a.Thick+b.Thick)/2, k.Name)
				}
			}
		}
	}
	require.GreaterOrEqual(t, have, 15)
}
