package knot

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
)

// d is the working diameter that the figures are measured in.
const d = 10 * length.Millimetre

// Figures from tightening ideal rope, see sizing/tight: what each role takes, in
// working diameters. The book's closed forms must agree to 3 %.
func TestClosedFormsAgreeWithTightRope(t *testing.T) {
	for _, c := range []struct {
		knot, role string
		gauge      Gauge
		tight      float64
	}{
		{"square knot", "worker", Gauge{Ends: 3, Pitch: 4 * d}, 15.11},
		{"square knot", "worker", Gauge{Ends: 4, Pitch: 4 * d}, 16.84},
		{"square knot", "worker", Gauge{Ends: 5, Pitch: 4 * d}, 17.94},
		{"square knot", "worker", Gauge{Ends: 6, Pitch: 4 * d}, 18.85},
		{"square knot", "worker", Gauge{Ends: 8, Pitch: 4 * d}, 20.61},
		{"square knot", "worker", Gauge{Ends: 10, Pitch: 4 * d}, 21.80},
		{"square knot", "filler", Gauge{Ends: 4, Pitch: 4 * d}, 4},
		{"half knot", "worker", Gauge{Ends: 4, Pitch: 18 * length.Millimetre}, 8.35},
		{"half knot", "worker", Gauge{Ends: 4, Pitch: 21 * length.Millimetre}, 8.55},
		{"half knot", "worker", Gauge{Ends: 4, Pitch: 23 * length.Millimetre}, 8.74},
		{"double half hitch", "hitching end", Gauge{Ends: 2, Pitch: 24 * length.Millimetre}, 16.61},
		{"square knot", "worker", Gauge{Ends: 4, Pitch: 34 * length.Millimetre}, 17.28},
		{"double half hitch", "hitching end", Gauge{Ends: 2, Pitch: 29_300 * length.Micrometre}, 15.45}, // between 15.1 and 15.8
		{"double half hitch", "hitching end", Gauge{Ends: 3, Pitch: 29_300 * length.Micrometre}, 18.74},
		{"double half hitch", "hitching end", Gauge{Ends: 4, Pitch: 29_300 * length.Micrometre}, 20.88},
		{"double half hitch", "hitching end", Gauge{Ends: 5, Pitch: 29_300 * length.Micrometre}, 22.89},
		{"double half hitch", "hitching end", Gauge{Ends: 6, Pitch: 29_300 * length.Micrometre}, 24.44},
		{"double half hitch", "hitching end", Gauge{Ends: 7, Pitch: 29_300 * length.Micrometre}, 26.04},
		{"double half hitch", "hitching end", Gauge{Ends: 8, Pitch: 29_300 * length.Micrometre}, 26.99},
		{"double half hitch", "hitching end", Gauge{Ends: 9, Pitch: 29_300 * length.Micrometre}, 28.46},
		{"lark's head", "end", Gauge{Ends: 2, Rod: 1 * d}, 7.43},
		{"lark's head", "end", Gauge{Ends: 2, Rod: 2 * d}, 10.02},
		{"lark's head", "end", Gauge{Ends: 2, Rod: 4 * d}, 15.24},
		{"lark's head", "end", Gauge{Ends: 2, Rod: 6 * d}, 20.47},
		{"lark's head", "end", Gauge{Ends: 2, Rod: 10 * d}, 30.93},
		{"reversed lark's head", "end", Gauge{Ends: 2, Rod: 6 * d}, 20.47},
		{"fringe lark's head", "end", Gauge{Ends: 2, Rod: 1 * d}, 7.43},
		{"vertical lark's head", "hitching end", Gauge{Ends: 2, Pitch: 4 * d}, 21.19},
		{"half hitch", "hitching end", Gauge{Ends: 2}, 10.52},
		{"half hitch", "hitching end", Gauge{Ends: 2, Core: 2 * d}, 13.62},
	} {
		require.InEpsilon(t, c.tight, takes(t, c.knot, c.role, c.gauge), 0.03, "%s %s %+v", c.knot, c.role, c.gauge)
	}
	// An overhand knot's figure is what it takes beyond its own height.
	for i, tight := range []float64{10.10, 13.60, 16.79, 19.15} {
		g := Gauge{Diameter: d, Ends: i + 1}
		k, _ := Standard().Knot("overhand knot")
		s, err := k.Size(g)
		require.NoError(t, err)
		require.InEpsilon(t, tight, inD(s.Takes[0]-s.Pitch), 0.03, "%d ends", i+1)
	}
	// A plait's figure is the length of a strand over that of the plait.
	for p, ratio := range map[int]float64{6: 1.53, 7: 1.38, 8: 1.30, 9: 1.24, 10: 1.20, 12: 1.14} {
		pitch := length.Length(p) * d
		require.InEpsilon(t, ratio, takes(t, "three-strand plait", "strand", Gauge{Ends: 3, Pitch: pitch})/float64(p), 0.03, "period %d", p)
	}
}

// Figures from tightening ideal rope, see sizing/tight: pitches and widths.
func TestSizesAgreeWithTightRope(t *testing.T) {
	for _, c := range []struct {
		knot  string
		gauge Gauge
		of    func(Size) length.Length
		tight float64
	}{
		{"square knot", Gauge{Ends: 4}, width, 5.8},
		{"square knot", Gauge{Ends: 6}, width, 6.25},
		{"square knot", Gauge{Ends: 10}, width, 7.4},
		{"half hitch", Gauge{Ends: 2}, pitch, 1.86},
		{"double half hitch", Gauge{Ends: 2}, pitch, 2.93},
		{"double half hitch", Gauge{Ends: 2}, height, 3},
		{"double half hitch", Gauge{Ends: 2}, closer, 2}, // jams below
		{"lark's head", Gauge{Ends: 2, Rod: 4 * d}, width, 4},
		{"lark's head", Gauge{Ends: 2, Rod: 4 * d}, closer, 3},
	} {
		k, ok := Standard().Knot(c.knot)
		require.True(t, ok)
		c.gauge.Diameter = d
		s, err := k.Size(c.gauge)
		require.NoError(t, err)
		require.InEpsilon(t, c.tight, inD(c.of(s)), 0.03, "%s %+v", c.knot, c.gauge)
	}
	// A hand-tight square knot lies between one pushed up and one relaxed.
	k, _ := Standard().Knot("square knot")
	s, err := k.Size(Gauge{Diameter: d, Ends: 4})
	require.NoError(t, err)
	require.GreaterOrEqual(t, inD(s.Pitch), 3.4)
	require.LessOrEqual(t, inD(s.Pitch), 4.0)
}

func pitch(s Size) length.Length  { return s.Pitch }
func width(s Size) length.Length  { return s.Width }
func height(s Size) length.Length { return s.Height }
func closer(s Size) length.Length { return s.Closer }

func inD(l length.Length) float64 { return float64(l) / float64(d) }

// takes is what one end in a role uses in cord of diameter d, in diameters.
func takes(t *testing.T, name, role string, g Gauge) float64 {
	t.Helper()
	k, ok := Standard().Knot(name)
	require.True(t, ok, name)
	require.GreaterOrEqual(t, k.role(role), 0, "%s has no %s", name, role)
	g.Diameter = d
	s, err := k.Size(g)
	require.NoError(t, err)
	return inD(k.Take(s, role))
}

// For thicker cord, more cores and a thicker rod the working ends never take less.
// (A filler only advances, and half knots lie closer round a thicker core.)
func TestNothingTakesLessWhenThereIsMore(t *testing.T) {
	for _, k := range Standard().Knots() {
		if k.Shape == Pattern {
			continue
		}
		compare := func(name string, less, more Gauge) {
			a, err := k.Size(less)
			require.NoError(t, err, k.Name)
			b, err := k.Size(more)
			require.NoError(t, err, k.Name)
			for i, role := range k.Roles {
				if !role.Works {
					continue
				}
				// Bundles of equal hull differ by less than 1 % in a double half hitch.
				require.GreaterOrEqual(t, float64(b.Takes[i])*1.01, float64(a.Takes[i]), "%s, %s: %s", k.Name, role.Name, name)
			}
		}
		rod := 20 * length.Millimetre
		for mm := range 12 {
			thin, thick := length.Length(mm+1)*length.Millimetre, length.Length(mm+2)*length.Millimetre
			compare("thicker", Gauge{Diameter: thin, Rod: rod, Ends: k.Ends}, Gauge{Diameter: thick, Rod: rod, Ends: k.Ends})
			compare("thicker core", Gauge{Diameter: d, Core: thin, Rod: rod, Ends: k.Ends}, Gauge{Diameter: d, Core: thick, Rod: rod, Ends: k.Ends})
			compare("thicker rod", Gauge{Diameter: d, Rod: thin, Ends: k.Ends}, Gauge{Diameter: d, Rod: thick, Ends: k.Ends})
		}
		step := max(k.Step, 1)
		for n := k.Fewest; n+step <= min(k.Most, 60); n += step {
			compare("more ends", Gauge{Diameter: d, Rod: rod, Ends: n}, Gauge{Diameter: d, Rod: rod, Ends: n + step})
		}
	}
}

// Everything in a knot goes with the thickness of the cord, save what is cut for
// the hands.
func TestKnotsScaleWithTheCord(t *testing.T) {
	for _, k := range Standard().Knots() {
		if k.Shape == Pattern {
			continue
		}
		one, err := k.Size(Gauge{Diameter: d, Rod: 2 * d, Ends: k.Ends})
		require.NoError(t, err)
		two, err := k.Size(Gauge{Diameter: 2 * d, Rod: 4 * d, Ends: k.Ends})
		require.NoError(t, err)
		require.InDelta(t, 2*float64(one.Height), float64(two.Height), 4, k.Name)
		require.InDelta(t, 2*float64(one.Width), float64(two.Width), 4, k.Name)
		for i, role := range k.Roles {
			hands := length.Length(0)
			switch {
			case role.Once:
				hands = 10 * length.Centimetre
			case k.Name == "single mount":
				hands = 6 * length.Centimetre
			}
			require.InDelta(t, 2*float64(one.Takes[i]-hands), float64(two.Takes[i]-hands), 4, "%s, %s", k.Name, role.Name)
		}
	}
}
