package fringe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// T. de Dillmont, Encyclopedia of Needlework (1886), Macramé, fig. 550: bunches of
// 8 threads of 15 cm, 1.2 m in all; thread about 1 mm (diameter from memory). Such a
// bunch hangs a little under half of 15 cm.
func TestDillmontTassel(t *testing.T) {
	tassel := Tassel{Strands: 8, Strand: mm, Tie: mm, Drop: 70 * mm}
	got, err := tassel.Bundle()
	require.NoError(t, err)
	require.Equal(t, 16, got.Ends, "each thread hangs down twice")
	tassel.Drop += (15*cm - got.Cut) / 2
	exact, err := tassel.Bundle()
	require.NoError(t, err)
	require.InDelta(t, 1.2, float64(8*exact.Cut)/float64(length.Metre), 1e-6)
	require.Less(t, tassel.Drop, 75*mm)
	require.Greater(t, tassel.Drop, 68*mm)
}

func TestTasselByHand(t *testing.T) {
	// One 4 mm strand over a 6 mm tie: half a turn at 5 mm from the axis.
	got, err := Tassel{Strands: 1, Strand: 4 * mm, Tie: 6 * mm, Drop: 10 * cm, Spare: cm}.Bundle()
	require.NoError(t, err)
	require.InDelta(t, 5*math.Pi, got.Fold.Millimetres(), 1e-5)
	require.Equal(t, 22*cm+got.Fold, got.Cut)
	require.Equal(t, 2, got.Ends)
}

func wrapOf(t require.TestingT, ends int, end, wrapping length.Length, soft cord.Ratio) Wrap {
	k, ok := knot.Standard().Knot("gathering wrap")
	require.True(t, ok)
	size, err := k.Size(knot.Gauge{Diameter: wrapping, Core: end, Ends: ends + 1, Soft: soft})
	require.NoError(t, err)
	return Wrap{Turn: k.Take(size, "turn"), Tails: k.Take(size, "tails"), Cover: size.Height}
}

func TestWrapByHand(t *testing.T) {
	// One end and the two legs of the wrap's own loop, same cord of 4 mm: a turn is
	// (2π + 3) × 4 mm along the middle, the helix climbs 4 mm; the loop goes down under it
	// and up again.
	w := wrapOf(t, 1, 4*mm, 4*mm, 0)
	require.InDelta(t, 4*math.Hypot(2*math.Pi+3, 1)+2*4, w.Turn.Millimetres(), 1e-5)
	require.Equal(t, 10*cm, w.Tails, "common practice, no source")
	got, err := w.ForTurns(10)
	require.NoError(t, err)
	require.Equal(t, Wrapped{Turns: 10, Cut: 10*w.Turn + 10*cm}, got)
	require.Equal(t, 4*mm, w.Cover)

	// Five ends and two legs lie as six round one, fold line 6 diameters; one end more
	// makes it 7, and so does the one after that, 8.
	for ends, hull := range map[int]float64{5: 6, 6: 7, 7: 8} {
		w := wrapOf(t, ends, 4*mm, 2*mm, 0)
		require.InDelta(t, math.Hypot(hull*4+math.Pi*(4+2), 2)+2*2, w.Turn.Millimetres(), 1e-5, "%d ends", ends)
	}
	// Soft ends lie in a circle of their area.
	soft := wrapOf(t, 14, 4*mm, 2*mm, 1)
	require.InDelta(t, math.Hypot(math.Pi*(2+4*4), 2)+2*2, soft.Turn.Millimetres(), 1e-5)
}

func TestWrapProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		between := func(name string, low, high length.Length) length.Length {
			return length.Length(rapid.Int64Range(int64(low), int64(high)).Draw(t, name))
		}
		ends := rapid.IntRange(1, 200).Draw(t, "ends")
		end, wrapping := between("end", mm, 10*mm), between("wrapping", mm, 10*mm)
		w := wrapOf(t, ends, end, wrapping, 0)
		require.Greater(t, float64(w.Turn), math.Pi*float64(end+wrapping))
		require.GreaterOrEqual(t, wrapOf(t, ends+1, end, wrapping, 0).Turn, w.Turn)

		// The cord for so many turns gives so many, and a nanometre less gives one fewer.
		turns := rapid.IntRange(1, 99).Draw(t, "turns")
		got, err := w.ForTurns(turns)
		require.NoError(t, err)
		back, err := w.FromCord(got.Cut)
		require.NoError(t, err)
		require.Equal(t, got, back)
		fewer, err := w.FromCord(got.Cut - 1)
		if turns == 1 {
			require.ErrorContains(t, err, "for one turn and the tails")
			return
		}
		require.NoError(t, err)
		require.Equal(t, turns-1, fewer.Turns)
	})
}

func TestTasselProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tassel := Tassel{
			Strands: rapid.IntRange(1, 200).Draw(t, "strands"),
			Strand:  length.Length(rapid.Int64Range(int64(mm), int64(10*mm)).Draw(t, "strand")),
			Tie:     length.Length(rapid.Int64Range(int64(mm), int64(10*mm)).Draw(t, "tie")),
			Drop:    length.Length(rapid.Int64Range(int64(cm), int64(40*cm)).Draw(t, "drop")),
		}
		got, err := tassel.Bundle()
		require.NoError(t, err)
		require.Greater(t, got.Cut, 2*tassel.Drop)
		tassel.Strands++
		more, err := tassel.Bundle()
		require.NoError(t, err)
		require.GreaterOrEqual(t, more.Cut, got.Cut)
	})
}

func TestTasselAndWrapRefuse(t *testing.T) {
	for _, tt := range []struct {
		tassel Tassel
		want   string
	}{
		{Tassel{Strand: mm, Tie: mm, Drop: cm}, "0 strands in a tassel: there must be from 1 to 10000"},
		{Tassel{Strands: 10_001, Strand: mm, Tie: mm, Drop: cm}, "10001 strands"},
		{Tassel{Strands: 8, Tie: mm, Drop: cm}, "thickness of a strand 0"},
		{Tassel{Strands: 8, Strand: mm, Drop: cm}, "thickness of the tie 0"},
		{Tassel{Strands: 8, Strand: mm, Tie: mm}, "tassel drop 0"},
		{Tassel{Strands: 8, Strand: mm, Tie: mm, Drop: cm, Spare: -1}, "length to trim off"},
	} {
		_, err := tt.tassel.Bundle()
		require.ErrorContains(t, err, tt.want)
	}
	_, err := Tassel{Strands: 10_000, Strand: mm, Tie: mm, Drop: cm}.Bundle()
	require.NoError(t, err)
	good := wrapOf(t, 6, 4*mm, 4*mm, 0)
	_, err = good.ForTurns(1000)
	require.NoError(t, err)
	_, err = good.ForTurns(0)
	require.ErrorContains(t, err, "0 turns: a wrap must have from 1 to 1000")
	_, err = good.ForTurns(1001)
	require.ErrorContains(t, err, "1001 turns")
	_, err = good.FromCord(10 * cm)
	require.ErrorContains(t, err, "wrapping cord 10 cm: it must be from")
}
