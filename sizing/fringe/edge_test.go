package fringe

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/cord"
	"larkfold/sizing/dowel"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

const (
	cm = length.Centimetre
	mm = length.Millimetre
)

// take is what the knot book's fringe lark's head takes of each end.
func take(t *testing.T, d, edge length.Length) length.Length {
	t.Helper()
	k, ok := knot.Standard().Knot("fringe lark's head")
	require.True(t, ok)
	size, err := k.Size(knot.Gauge{Diameter: d, Rod: edge, Ends: 2})
	require.NoError(t, err)
	return k.Take(size, "end")
}

// T. de Dillmont, Encyclopedia of Needlework (1886), Macramé, and G. Christie,
// Embroidery and Tapestry Weaving (1906), ch. XIII: threads for a fringe are cut
// double the wanted fringe, or about double, folded and looped on. The thin threads of those books hardly
// feel the knot; the piece is never less than double, and little more.
func TestPieceIsAboutDouble(t *testing.T) {
	cuts, err := Edge{Loops: 40, PerLoop: 1, Drop: 20 * cm, Take: take(t, 1*mm, 1*mm)}.Cuts()
	require.NoError(t, err)
	require.Len(t, cuts, 1)
	require.Equal(t, 40, cuts[0].Count)
	require.GreaterOrEqual(t, cuts[0].Length, 40*cm)
	require.Less(t, cuts[0].Length, 42*cm)
}

// Common practice, no source: two pieces to a loop, and pieces of 50 cm give a
// fringe a little under 25 cm.
func TestFiftyCentimetrePieces(t *testing.T) {
	d := cord.Cord{Nominal: 4 * mm, Construction: cord.SingleStrand}.Diameter()
	e := Edge{Loops: 20, PerLoop: 2, Drop: 20 * cm, Take: take(t, d, d)}
	require.Equal(t, 40, e.Pieces())
	drop := e.DropOf(50 * cm)
	require.Less(t, drop, 25*cm)
	require.Greater(t, drop, 22*cm)
}

func TestCutsByHand(t *testing.T) {
	// 22 cm drop, 25 mm to knot and 1 cm spare: 2 × 25.5 = 51 cm, cut in steps of 2 cm.
	e := Edge{Loops: 20, PerLoop: 2, Drop: 22 * cm, Take: 25 * mm, Spare: cm}
	cuts, err := e.Cuts()
	require.NoError(t, err)
	require.Equal(t, []Cut{{51 * cm, 40, 1, 20}}, cuts)
	e.RoundUp = 2 * cm
	cuts, err = e.Cuts()
	require.NoError(t, err)
	require.Equal(t, []Cut{{52 * cm, 40, 1, 20}}, cuts)

	// A slope from 20 to 10 cm over 5 loops falls 2.5 cm a loop, 5 cm a piece.
	slope := Edge{Loops: 5, PerLoop: 1, Trim: Slope, Drop: 20 * cm, FarDrop: 10 * cm}
	cuts, err = slope.Cuts()
	require.NoError(t, err)
	require.Equal(t, []Cut{{40 * cm, 1, 1, 1}, {35 * cm, 1, 2, 2}, {30 * cm, 1, 3, 3}, {25 * cm, 1, 4, 4}, {20 * cm, 1, 5, 5}}, cuts)

	one := Edge{Loops: 1, PerLoop: 1, Trim: Slope, Drop: 10 * cm, FarDrop: 20 * cm}
	cuts, err = one.Cuts()
	require.NoError(t, err)
	require.Equal(t, []Cut{{20 * cm, 1, 1, 1}}, cuts)
}

func drawEdge(t *rapid.T) Edge {
	between := func(name string, low, high length.Length) length.Length {
		return length.Length(rapid.Int64Range(int64(low), int64(high)).Draw(t, name))
	}
	return Edge{
		Loops:   rapid.IntRange(1, 30).Draw(t, "loops"),
		PerLoop: rapid.IntRange(1, 4).Draw(t, "per loop"),
		Trim:    rapid.SampledFrom([]Trim{Level, Slope}).Draw(t, "trim"),
		Drop:    between("drop", cm, 60*cm),
		FarDrop: between("far drop", cm, 60*cm),
		Take:    between("take", 0, 8*cm),
		Spare:   between("spare", 0, 3*cm),
		RoundUp: between("step", 0, 5*cm),
	}
}

func TestCutsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawEdge(t)
		cuts, err := e.Cuts()
		require.NoError(t, err)
		count := 0
		low, high := e.Drop, e.Drop
		if e.Trim != Level {
			low, high = min(e.Drop, e.FarDrop), max(e.Drop, e.FarDrop)
		}
		for _, c := range cuts {
			count += c.Count
			require.GreaterOrEqual(t, c.Length, 2*low, "never less than double")
			require.GreaterOrEqual(t, e.DropOf(c.Length), low)
			require.Less(t, e.DropOf(c.Length), high+e.RoundUp+1)
		}
		require.Equal(t, e.Pieces(), count)

		// The straight line of the trim is never undercut.
		for loop := range e.Loops {
			share := 0.0
			if e.Trim == Slope && e.Loops > 1 {
				share = float64(loop) / float64(e.Loops-1)
			}
			line := float64(e.Drop) + share*float64(e.FarDrop-e.Drop)
			require.InDelta(t, line+0.5, float64(e.dropAt(loop)), 0.6)
		}

		longer := e
		longer.Take += mm
		more, err := longer.Cuts()
		require.NoError(t, err)
		require.GreaterOrEqual(t, sum(more), sum(cuts))
	})
}

func sum(cuts []Cut) length.Length {
	total := length.Length(0)
	for _, c := range cuts {
		total += length.Length(c.Count) * c.Length
	}
	return total
}

func TestTheMostFringeIsCut(t *testing.T) {
	for _, most := range []Edge{{Loops: 5000, PerLoop: 4, Drop: cm}, {Loops: 10, PerLoop: 2000, Drop: 10 * length.Metre}} {
		cuts, err := most.Cuts()
		require.NoError(t, err)
		require.NotEmpty(t, cuts)
	}
}

func TestEdgeRefuses(t *testing.T) {
	good := Edge{Loops: 10, PerLoop: 2, Drop: 20 * cm}
	for _, tt := range []struct {
		change func(*Edge)
		want   string
	}{
		{func(e *Edge) { e.Loops = 0 }, "0 loops to hang the fringe on: there must be from 1 to 5000"},
		{func(e *Edge) { e.Loops = 5001 }, "5001 loops"},
		{func(e *Edge) { e.PerLoop = 0 }, "0 pieces to a loop"},
		{func(e *Edge) { e.PerLoop = 2001 }, "at most 20000 pieces in all"},
		{func(e *Edge) { e.Trim = 7 }, "trim 7"},
		{func(e *Edge) { e.Drop = 0 }, "fringe drop 0"},
		{func(e *Edge) { e.Drop = -5 * cm }, "fringe drop -5 cm: it must be more than zero and at most 10 m"},
		{func(e *Edge) { e.Drop = 11 * length.Metre }, "fringe drop 11 m"},
		{func(e *Edge) { e.Trim = Slope }, "far drop of the fringe 0"},
		{func(e *Edge) { e.Take = -1 }, "knot of a fringe piece"},
		{func(e *Edge) { e.Spare = -1 }, "length to trim off"},
		{func(e *Edge) { e.RoundUp = -1 }, "rounding step"},
	} {
		e := good
		tt.change(&e)
		_, err := e.Cuts()
		require.ErrorContains(t, err, tt.want)
		_, err = e.Fill(t.Context(), nil)
		require.ErrorContains(t, err, tt.want)
	}
}

func TestBrushing(t *testing.T) {
	for _, c := range cord.Constructions() {
		how, cautions := BrushingOf(c)
		require.Equal(t, how == DoesNotBrush, c == cord.Braided)
		require.Equal(t, how == UnlayFirst, c == cord.Plied)
		if how == DoesNotBrush {
			require.Empty(t, cautions)
		} else {
			require.Equal(t, []dowel.Caution{dowel.BrushedBurns}, cautions)
		}
	}
}
