package resize

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// needs is all cord of a result, by its real cut list.
func needs(t *testing.T, r trace.Result) length.Length {
	t.Helper()
	list, err := cutlist.Make(r, cutlist.Terms{Margin: cutlist.DefaultMargin, Tying: trace.TyingTail(), Step: 5 * length.Centimetre})
	require.NoError(t, err)
	var all length.Length
	for _, total := range list.Totals {
		all += total.Length
	}
	return all
}

// The largest that there is cord for is the largest of all sizes between, tried one
// by one; one repeat more needs more.
func TestNoLargerSizeIsOverlooked(t *testing.T) {
	if testing.Short() {
		t.Skip("many sizes, one after the other")
	}
	for _, name := range []string{"tide-line", "three-herons", "signal-flags", "low-water", "harbour-swag", "moss-cradle"} {
		text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "sheets", name+".sheet"))
		require.NoError(t, err)
		s, faults := sheet.Parse(string(text), knot.Standard())
		require.NoError(t, faults.Err())
		z, s, before, err := begin(context.Background(), s, trace.Maker{Book: knot.Standard()}, Change{})
		require.NoError(t, err)
		z.maker.Loose = false
		at, err := z.whole(s, Change{})
		require.NoError(t, err)
		for _, part := range []float64{0.7, 1, 1.9} {
			have := length.Length(float64(needs(t, before)) * part)
			got, err := Largest(context.Background(), s, trace.Maker{Book: knot.Standard()}, Change{}, func(r trace.Result) (bool, error) {
				return needs(t, r) <= have, nil
			})
			require.NoError(t, err, name)
			used := needs(t, got.After)
			require.LessOrEqual(t, used, have, name)
			require.NotNil(t, got.Next, name)
			require.Greater(t, needs(t, *got.Next), have, "%s: one repeat more", name)
			var largest length.Length
			for f := 0.5; f < 2; f *= 1.002 {
				if _, r, fault, err := z.traced(at, factor(f)); err == nil && fault == nil {
					if n := needs(t, r); n <= have {
						largest = max(largest, n)
					}
				}
			}
			require.GreaterOrEqual(t, used, largest, "%s with %s", name, have)
		}
	}
}

// With next to no cord the smallest is named, and a width that is asked for is kept.
func TestLargestAtItsEnds(t *testing.T) {
	s, faults := sheet.Parse("cord main 4 mm\npanel p\n mount 8 folded\n net square rows 6\n tail 15 cm\n", knot.Standard())
	require.NoError(t, faults.Err())
	maker := trace.Maker{Book: knot.Standard()}
	have := func(l length.Length) func(trace.Result) (bool, error) {
		return func(r trace.Result) (bool, error) { return needs(t, r) <= l, nil }
	}
	_, err := Largest(context.Background(), s, maker, Change{}, have(length.Centimetre))
	var little *TooLittleError
	require.ErrorAs(t, err, &little)
	require.Greater(t, needs(t, little.Smallest), length.Centimetre)
	require.Less(t, needs(t, little.Smallest), needs(t, sizedOf(t, s)))

	wide, err := Largest(context.Background(), s, maker, Change{Width: 20 * length.Centimetre}, have(100*length.Metre))
	require.NoError(t, err)
	require.InDelta(t, 200, Width(wide.After).Millimetres(), 12)
	require.Greater(t, Drop(wide.After), 2*Drop(sizedOf(t, s)))

	_, err = Largest(context.Background(), s, maker, Change{Drop: 20 * length.Centimetre}, have(length.Metre))
	var refused *Error
	require.ErrorAs(t, err, &refused)

	all, err := Largest(context.Background(), s, maker, Change{}, func(trace.Result) (bool, error) { return true, nil })
	require.NoError(t, err)
	require.Nil(t, all.Next)
	require.NotEmpty(t, all.Why, "a sheet holds only so many ends")
	require.Greater(t, math.Sqrt(float64(len(all.After.Ends))), 30.0)
}

// On a rod that is asked for it grows as far as there is room between its bare ends.
func TestLargestOnARod(t *testing.T) {
	s, faults := sheet.Parse("cord main 4 mm\ndowel 60 cm x 20 mm\npanel p\n mount 12 folded\n net square rows 6\n tail 15 cm\n", knot.Standard())
	require.NoError(t, faults.Err())
	all, err := Largest(context.Background(), s, trace.Maker{Book: knot.Standard()}, Change{Rod: &sheet.Rod{Length: 40 * length.Centimetre}}, func(trace.Result) (bool, error) { return true, nil })
	require.NoError(t, err)
	require.Contains(t, all.Why, "more than the rod of 40 cm has room for")
	// 34 cm for 8.4 mm each: 40 cords, by pairs.
	require.Equal(t, 40, len(all.After.Strands))
	require.LessOrEqual(t, all.After.Mounted, 34*length.Centimetre)
	for _, n := range all.Notes {
		require.NotContains(t, n, "keeps", "it has more of them")
	}
}

func sizedOf(t *testing.T, s sheet.Sheet) trace.Result {
	t.Helper()
	r, faults, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	require.Empty(t, faults)
	return r
}
