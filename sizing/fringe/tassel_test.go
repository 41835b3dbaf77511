package fringe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/length"
)

// T. de Dillmont, Encyclopedia of Needlework (1886), Macramé, fig. 550: bunches of
// 8 threads of 15 cm, 1.2 m in all; thread about 1 mm (diameter from memory). Such a
// bunch hangs a little under half of 15 cm.
func TestDillmontTassel(t *testing.T) {
	tassel := Tassel{Strands: 8, Strand: mm, Tie: mm, Drop: 70 * mm}
	got, err := tassel.Bundle()
	require.NoError(t, err)
	require.Equal(t, 8*got.Cut, got.Total)
	tassel.Drop += (15*cm - got.Cut) / 2
	exact, err := tassel.Bundle()
	require.NoError(t, err)
	require.InDelta(t, 1.2, float64(exact.Total)/float64(length.Metre), 1e-6)
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

func TestWrapByHand(t *testing.T) {
	// One core, same cord of 4 mm: a turn is 2π × 4 mm along the middle, the helix
	// climbs 4 mm, so √(4π²+1) × 4 mm.
	w := Wrap{Ends: 1, End: 4 * mm, Cord: 4 * mm, Tail: 10 * cm}
	got, err := w.ForTurns(10)
	require.NoError(t, err)
	require.InDelta(t, 4*math.Sqrt(4*math.Pi*math.Pi+1), got.PerTurn.Millimetres(), 1e-5)
	require.Equal(t, 4*cm, got.Height)
	require.Equal(t, 10*got.PerTurn+2*4*cm+2*10*cm, got.Cut)

	// Seven cores lie as six round one: fold line 6 diameters.
	seven := Wrap{Ends: 7, End: 4 * mm, Cord: 2 * mm}
	got, err = seven.ForTurns(1)
	require.NoError(t, err)
	require.InDelta(t, math.Hypot(6*4+math.Pi*(4+2), 2), got.PerTurn.Millimetres(), 1e-5)
}

func TestWrapProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		between := func(name string, low, high length.Length) length.Length {
			return length.Length(rapid.Int64Range(int64(low), int64(high)).Draw(t, name))
		}
		w := Wrap{
			Ends: rapid.IntRange(1, 200).Draw(t, "ends"),
			End:  between("end", mm, 10*mm),
			Cord: between("cord", mm, 10*mm),
			Tail: between("tail", 0, 20*cm),
		}
		turns := rapid.IntRange(1, 99).Draw(t, "turns")
		got, err := w.ForTurns(turns)
		require.NoError(t, err)
		require.Greater(t, float64(got.PerTurn), math.Pi*float64(w.End+w.Cord))

		// The cord for so many turns gives so many, and a nanometre less gives one fewer.
		back, err := w.FromCord(got.Cut)
		require.NoError(t, err)
		require.Equal(t, got, back)
		fewer, err := w.FromCord(got.Cut - 1)
		if turns == 1 {
			require.ErrorContains(t, err, "for one turn and the tails")
		} else {
			require.NoError(t, err)
			require.Equal(t, turns-1, fewer.Turns)
		}

		w.Ends++
		more, err := w.ForTurns(turns)
		require.NoError(t, err)
		require.GreaterOrEqual(t, more.Cut, got.Cut)
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
		{Tassel{0, mm, mm, cm, 0}, "0 strands in a tassel"},
		{Tassel{10_001, mm, mm, cm, 0}, "10001 strands"},
		{Tassel{8, 0, mm, cm, 0}, "thickness of a strand 0"},
		{Tassel{8, mm, 0, cm, 0}, "thickness of the tie 0"},
		{Tassel{8, mm, mm, 0, 0}, "tassel drop 0"},
		{Tassel{8, mm, mm, cm, -1}, "length to trim off"},
	} {
		_, err := tt.tassel.Bundle()
		require.ErrorContains(t, err, tt.want)
	}
	good := Wrap{Ends: 6, End: 4 * mm, Cord: 4 * mm, Tail: 10 * cm}
	for _, tt := range []struct {
		change func(*Wrap)
		want   string
	}{
		{func(w *Wrap) { w.Ends = 0 }, "0 ends to wrap"},
		{func(w *Wrap) { w.End = 0 }, "thickness of an end 0"},
		{func(w *Wrap) { w.Cord = -mm }, "thickness of the wrapping cord"},
		{func(w *Wrap) { w.Tail = 2 * length.Metre }, "tail of a wrap 2 m"},
	} {
		w := good
		tt.change(&w)
		_, err := w.ForTurns(5)
		require.ErrorContains(t, err, tt.want)
		_, err = w.FromCord(length.Metre)
		require.ErrorContains(t, err, tt.want)
	}
	_, err := good.ForTurns(0)
	require.ErrorContains(t, err, "0 turns: a wrap must have from 1 to 1000")
	_, err = good.ForTurns(1001)
	require.ErrorContains(t, err, "1001 turns")
	_, err = good.FromCord(20 * cm)
	require.ErrorContains(t, err, "wrapping cord 20 cm: it must be from")
}
