package trace_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// Whole-hand figures, as makers and handbooks print them: friction, soft cord and a
// person's pull are in them, which ideal rope does not know.

// sized is a knot of the book in a cord, by its own number of ends.
func sized(t *testing.T, name string, c cord.Cord) knot.Size {
	t.Helper()
	k, ok := knot.Standard().Knot(name)
	require.True(t, ok)
	s, err := k.Size(knot.Gauge{Diameter: c.Diameter(), Soft: c.Construction.Softness(), Ends: k.Ends})
	require.NoError(t, err)
	return s
}

func times(s knot.Size) float64 { return float64(s.Takes[0]) / float64(s.Pitch) }

// A maker's measurement, before and after, one sample (weblog devilchasnme, 2008):
// square knots pushed snug over two fillers in braided cord of about 4 mm, 34 in of each
// worker to 7 in of sinnet.
func TestAMeasuredSinnet(t *testing.T) {
	s := sized(t, "square knot", cord.Cord{Nominal: 4 * mm, Construction: cord.Braided})
	require.InEpsilon(t, 34.0/7, times(s), 0.05)
}

// D. Pawson, Knot Craft, 2nd ed. 2009, p. 69: square knotting in fine hard-laid line
// takes 4 to 5 times the finished length.
func TestFineLine(t *testing.T) {
	for _, c := range []cord.Cord{{Nominal: 1 * mm, Construction: cord.Plied}, {Nominal: 2 * mm, Construction: cord.Braided}} {
		got := times(sized(t, "square knot", c))
		require.GreaterOrEqual(t, got, 4.0)
		require.LessOrEqual(t, got, 5.0)
	}
}

// A published pattern for a plant hanger (onelittleproject, cord of 4 mm, construction
// not said): about 24 half knots to 6 in. The two usual cords lie within 15 %.
func TestSpiralsOfAPattern(t *testing.T) {
	for _, made := range []cord.Construction{cord.SingleStrand, cord.Plied} {
		s := sized(t, "half knot", cord.Cord{Nominal: 4 * mm, Construction: made})
		require.InEpsilon(t, 6*25.4/24, s.Pitch.Millimetres(), 0.15, made)
	}
}

// A maker's allowances for one square knot, each worker, rounded up (common practice,
// no source): 6 cm in 5 mm cord, 5 cm in 3 mm, 3 cm in 1.5 mm. Single-strand takes no
// more; in 5 mm, where rounding matters least, they are near.
func TestAllowancesForASquareKnot(t *testing.T) {
	for _, c := range []struct {
		thick   length.Length
		allowed float64 // mm
	}{{5 * mm, 60}, {3 * mm, 50}, {1500 * length.Micrometre, 30}} {
		single := sized(t, "square knot", cord.Cord{Nominal: c.thick}).Takes[0].Millimetres()
		require.LessOrEqual(t, single, c.allowed, c.thick)
	}
	require.InEpsilon(t, 60, sized(t, "square knot", cord.Cord{Nominal: 5 * mm}).Takes[0].Millimetres(), 0.15)
	for thick, allowed := range map[length.Length]float64{5 * mm: 60, 3 * mm: 50} {
		require.InEpsilon(t, allowed, sized(t, "square knot", cord.Cord{Nominal: thick, Construction: cord.Plied}).Takes[0].Millimetres(), 0.20, thick)
	}
}

// Two published patterns for plant hangers (bhg.com.au; ourwayoflife.co.nz, which says 3
// to 4 mm): 60 cm for a gathering wrap of 7 or 8 turns round 16 strands.
func TestWrapsOfPatterns(t *testing.T) {
	need := func(thick string, turns int) length.Length {
		r := traced(t, "cord main "+thick+"\npanel p\n  mount 8 folded\n  space 20 cm\n  wrap turns "+strconv.Itoa(turns)+"\n")
		return r.Extras[0].Need.Total()
	}
	for _, made := range []string{"single-strand", "plied"} {
		require.LessOrEqual(t, need("3 mm "+made, 8), 60*cm, made)
		require.LessOrEqual(t, need("4 mm "+made, 7), 66*cm, made)
		require.GreaterOrEqual(t, need("4 mm "+made, 7), 40*cm, made)
	}
}
