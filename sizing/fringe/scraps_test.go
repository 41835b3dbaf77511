package fringe

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

func scrap(l length.Length, count int) stock.Stock {
	return stock.Stock{Length: l, Count: count, Offcut: true}
}

// By hand: 10 pieces of 50 cm. Scraps of 1.30 m give 2 each, of 60 cm 1, of 40 cm none.
func TestFillByHand(t *testing.T) {
	e := Edge{Loops: 5, PerLoop: 2, Drop: 22 * cm, Take: 25 * mm, Spare: 5 * mm}
	scraps := []stock.Stock{scrap(130*cm, 2), scrap(60*cm, 3), scrap(40*cm, 9)}

	got, err := e.Fill(t.Context(), scraps)
	require.NoError(t, err)
	require.Equal(t, 7, got.FromScraps)
	require.Zero(t, got.FromSpools)
	require.Equal(t, 3, got.ShortPieces)
	require.Equal(t, 150*cm, lengthOf(got.Short))
	require.Equal(t, []Cut{{50 * cm, 3, 1, 5}}, got.Short)
	// Ten pieces of 43⅓ cm: three from each 1.30 m, one from each 60 cm, are 9, the
	// 40 cm give none; of 40 cm, the longest of which there are ten, there are many.
	require.Equal(t, e.DropOf(40*cm), got.LongestDrop)

	withSpool, err := e.Fill(t.Context(), append(scraps, stock.Stock{Length: 50 * length.Metre}))
	require.NoError(t, err)
	require.Equal(t, 7, withSpool.FromScraps)
	require.Equal(t, 3, withSpool.FromSpools)
	require.Zero(t, withSpool.ShortPieces)
	require.Contains(t, withSpool.Plan.Remainders(), stock.Remainder{Length: 50*length.Metre - 150*cm, Count: 1, Stock: 3})
	require.Zero(t, withSpool.LongestDrop)

	none, err := e.Fill(t.Context(), nil)
	require.NoError(t, err)
	require.Equal(t, 10, none.ShortPieces)
	require.Equal(t, 5*length.Metre, lengthOf(none.Short))

	tooShort, err := e.Fill(t.Context(), []stock.Stock{scrap(49*cm, 100)})
	require.NoError(t, err)
	require.Equal(t, 10, tooShort.ShortPieces)
	require.Equal(t, e.DropOf(49*cm), tooShort.LongestDrop)
	metres, err := e.Fill(t.Context(), []stock.Stock{scrap(9*length.Metre, 2)})
	require.NoError(t, err)
	require.Equal(t, e.DropOf(180*cm), metres.LongestDrop, "five from each 9 m; more nanometres than 32 bits hold")
	e.RoundUp = 2 * cm
	inSteps, err := e.Fill(t.Context(), []stock.Stock{scrap(49*cm, 100)})
	require.NoError(t, err)
	require.Equal(t, e.DropOf(48*cm), inSteps.LongestDrop, "48 cm is the longest whole step in 49 cm")
}

// On a slope the short scraps serve the short loops.
func TestFillSlope(t *testing.T) {
	e := Edge{Loops: 5, PerLoop: 1, Trim: Slope, Drop: 20 * cm, FarDrop: 10 * cm} // 40, 35, 30, 25, 20 cm
	got, err := e.Fill(t.Context(), []stock.Stock{scrap(41*cm, 1), scrap(36*cm, 1), scrap(31*cm, 1), scrap(26*cm, 1), scrap(21*cm, 1)})
	require.NoError(t, err)
	require.Equal(t, 5, got.FromScraps)
	require.Zero(t, got.ShortPieces)
	checkFilling(t, e, got)

	// Without the longest scrap only the first loop goes without, though nothing fits it at all.
	got, err = e.Fill(t.Context(), []stock.Stock{scrap(36*cm, 1), scrap(31*cm, 1), scrap(26*cm, 1), scrap(21*cm, 1)})
	require.NoError(t, err)
	require.Equal(t, []Cut{{40 * cm, 1, 1, 1}}, got.Short)
	require.Equal(t, 4, got.FromScraps)
	checkFilling(t, e, got)
}

type tester interface {
	require.TestingT
	Helper()
}

// checkFilling holds the plan against the pieces: every cut is one of the
// pieces, in number what was asked less what is short, and inside its scrap.
func checkFilling(t tester, e Edge, f Filling) {
	t.Helper()
	count := make([]int, len(f.Cuts))
	for _, p := range f.Plan.Patterns {
		taken := length.Length(0)
		for _, c := range p.Cuts {
			require.Equal(t, f.Cuts[c.Piece].Length, c.Length)
			count[c.Piece] += p.Times
			taken += c.Length
		}
		require.LessOrEqual(t, taken, p.Length)
	}
	missing := length.Length(0)
	for _, s := range f.Short {
		missing += length.Length(s.Count) * s.Length
		for i, c := range f.Cuts {
			if c.Length == s.Length {
				count[i] += s.Count
			}
		}
	}
	for i, c := range f.Cuts {
		require.Equal(t, c.Count, count[i])
	}
	require.Equal(t, missing, lengthOf(f.Short))
	require.Equal(t, e.Pieces(), f.FromScraps+f.FromSpools+f.ShortPieces)
}

func drawScraps(t *rapid.T, name string) []stock.Stock {
	var scraps []stock.Stock
	for range rapid.IntRange(0, 4).Draw(t, name) {
		scraps = append(scraps, scrap(
			length.Length(rapid.IntRange(5, 150).Draw(t, "scrap"))*cm,
			rapid.IntRange(1, 5).Draw(t, "count")))
	}
	return scraps
}

func drawSmallEdge(t *rapid.T) Edge {
	return Edge{
		Loops:   rapid.IntRange(1, 8).Draw(t, "loops"),
		PerLoop: rapid.IntRange(1, 2).Draw(t, "per loop"),
		Trim:    rapid.SampledFrom([]Trim{Level, Slope}).Draw(t, "trim"),
		Drop:    length.Length(rapid.IntRange(5, 40).Draw(t, "drop")) * cm,
		FarDrop: length.Length(rapid.IntRange(5, 40).Draw(t, "far drop")) * cm,
		Take:    2 * cm,
		RoundUp: 5 * cm,
	}
}

func TestFillProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		e := drawSmallEdge(rt)
		scraps := drawScraps(rt, "scraps")
		got, err := e.Fill(t.Context(), scraps)
		require.NoError(rt, err)
		checkFilling(rt, e, got)

		if e.Trim == Level {
			// Alike pieces: each scrap gives what goes into it, and that is the most.
			gives := 0
			for _, s := range scraps {
				gives += s.Count * int(s.Length/got.Cuts[0].Length)
			}
			require.Equal(rt, min(gives, e.Pieces()), got.FromScraps)

			longest := e
			longest.Drop = got.LongestDrop
			if got.LongestDrop > 0 {
				enough, err := longest.Fill(t.Context(), scraps)
				require.NoError(rt, err)
				require.Zero(rt, enough.ShortPieces)
			}
			longest.Drop++
			tooMuch, err := longest.Fill(t.Context(), scraps)
			require.NoError(rt, err)
			if got.LongestDrop > 0 {
				require.NotZero(rt, tooMuch.ShortPieces)
			}
		}

		// More scraps never leave more short, nor call for more new cord.
		more := slices.Concat(scraps, drawScraps(rt, "more scraps"))
		richer, err := e.Fill(t.Context(), more)
		require.NoError(rt, err)
		checkFilling(rt, e, richer)
		if richer.Plan.Proved {
			require.LessOrEqual(rt, lengthOf(richer.Short), lengthOf(got.Short))
		}
		spool := []stock.Stock{{Length: 2 * length.Metre}}
		few, err := e.Fill(t.Context(), slices.Concat(scraps, spool))
		require.NoError(rt, err)
		many, err := e.Fill(t.Context(), slices.Concat(more, spool))
		require.NoError(rt, err)
		require.Zero(rt, few.ShortPieces)
		if many.Plan.Proved {
			require.LessOrEqual(rt, many.Plan.NewCord, few.Plan.NewCord)
		}
	})
}

func TestFillRefuses(t *testing.T) {
	e := Edge{Loops: 5, PerLoop: 2, Drop: 22 * cm}
	for _, tt := range []struct {
		at   stock.Stock
		want string
	}{
		{scrap(0, 1), "scrap or spool 1: 1 of 0"},
		{scrap(-cm, 1), "its length must be more than zero"},
		{scrap(cm, -1), "its count not less"},
		{scrap(length.Metre, 0), "offcut without a count"},
		{stock.Stock{Length: 11 * length.Kilometre}, "want at most"},
	} {
		_, err := e.Fill(t.Context(), []stock.Stock{tt.at})
		require.ErrorContains(t, err, tt.want)
	}
}

func lengthOf(cuts []Cut) length.Length {
	var all length.Length
	for _, c := range cuts {
		all += c.Length * length.Length(c.Count)
	}
	return all
}
