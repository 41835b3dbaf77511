package cutlist_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

const strip = "cord main 4 mm\npanel p\n  mount 4 folded\n  net square rows 20\n"

// tracedBy traces by hands that took so many times the book's cord for square knots.
func tracedBy(t *testing.T, takeUps ...float64) trace.Result {
	t.Helper()
	var list []swatch.Swatch
	for _, r := range takeUps {
		used := length.Length(math.Round(r * float64(680*mm)))
		list = append(list, swatch.Swatch{Family: knot.Square, Count: 10, Used: used, BookUsed: 68 * mm})
	}
	hands, err := swatch.HandsOf(list)
	require.NoError(t, err)
	s, faults := sheet.Parse(strip, knot.Standard())
	require.NoError(t, faults.Err())
	m := trace.Maker{Book: knot.Standard()}
	if len(takeUps) > 0 {
		m.Hands = map[string]trace.Hand{"main": {Knots: hands}}
	}
	r, found, err := trace.Trace(context.Background(), s, m)
	require.NoError(t, err)
	require.Empty(t, found)
	return r
}

// The margin is the larger of what is set and what the hand calls for, and the list
// says which; without swatches what is set stands.
func TestMarginIsTheLarger(t *testing.T) {
	wild := tracedBy(t, 0.85, 1.0, 1.15)
	for _, tt := range []struct {
		r      trace.Result
		set    cutlist.Fraction
		called bool
	}{
		{tracedBy(t), 0.01, false},
		{tracedBy(t, 1.0, 1.01, 1.02), 0.10, false},
		{wild, 0.10, true},
		{wild, 0.90, false},
	} {
		list := made(t, tt.r, cutlist.Terms{Margin: tt.set})
		why := list.Cuts[0].Why
		require.Equal(t, tt.called, why.Called)
		used := why.Need.Total() - why.Need.Tail
		require.InDelta(t, float64(why.Fraction), float64(why.Margin)/float64(used), 1e-6)
		if !tt.called {
			require.Equal(t, tt.set, why.Fraction)
			continue
		}
		e := tt.r.Ends[why.End]
		factor := tt.r.Hands[0][knot.Square].TakeUp
		margin, err := factor.Margin(swatch.DefaultRisk)
		require.NoError(t, err)
		require.Greater(t, why.Fraction, tt.set)
		require.Less(t, float64(why.Fraction), float64(margin), "what runs straight needs no margin")
		require.Greater(t, float64(why.Fraction), float64(margin)*float64(e.TakeUp)/float64(used)-1e-9)
	}
}

// What the swatches call for is a call only above what is set, not where it is the same.
func TestMarginThatIsSetAsCalledFor(t *testing.T) {
	wild := tracedBy(t, 0.85, 1.0, 1.15)
	called := made(t, wild, cutlist.Terms{}).Cuts[0].Why.Fraction
	for _, set := range []cutlist.Fraction{called - 1e-9, called, called + 1e-9} {
		why := made(t, wild, cutlist.Terms{Margin: set}).Cuts[0].Why
		require.Equal(t, set < called, why.Called)
		require.Equal(t, max(set, called), why.Fraction)
	}
}

// A tail that is cut longer by as much makes no cord likelier to run short, and one too
// short to tie with is cut as long as hands need it.
func TestChanceWhateverTheTails(t *testing.T) {
	of := func(tail string) float64 {
		return made(t, traced(t, strip+"  tail "+tail+"\n"), cutlist.Terms{Margin: 0.10, Tying: 12 * cm}).Chance
	}
	require.Greater(t, of("12 cm"), 0.02, "a tenth is not enough for everybody")
	require.InDelta(t, of("12 cm"), of("80 cm"), 1e-9)
	require.InDelta(t, of("12 cm"), of("2 cm"), 1e-9)
}

// The chance of the list is that of makers who differ from one another, from piece to
// piece, and from cord to cord, as is assumed: cut by the list, take what they take, and count.
func TestChanceOfTheList(t *testing.T) {
	const makers = 4000
	random := rand.New(rand.NewPCG(5, 8))
	r := tracedBy(t)
	for _, margin := range []cutlist.Fraction{0, 0.10, 0.25} {
		list := made(t, r, cutlist.Terms{Margin: margin, Tying: 12 * cm})
		short := 0
		for range makers {
			hand := 1 + float64(swatch.SpreadOfHands)*random.NormFloat64()
			day := float64(swatch.DefaultSpread) * math.Sqrt(0.5) * random.NormFloat64()
			for _, e := range r.Ends {
				mine := hand + day + float64(swatch.DefaultSpread)*math.Sqrt(0.5*10/float64(max(e.Knots, 10)))*random.NormFloat64()
				if needs := float64(e.Run) + mine*float64(e.TakeUp+e.Mount); needs > float64(list.Cuts[0].Length/2-12*cm) {
					short++
					break
				}
			}
		}
		share := float64(short) / makers
		require.InDelta(t, share, list.Chance, 0.03+4*math.Sqrt(share*(1-share)/makers), "margin %v", margin)
		require.GreaterOrEqual(t, list.Chance, share-4*math.Sqrt(share*(1-share)/makers)-0.005, "never said to be less")
	}
}
