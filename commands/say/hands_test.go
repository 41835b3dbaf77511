package say_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

// factor is what so many swatches say: how much more than the book they take, and by how
// much they differ.
func factor(n int, mean, spread cord.Ratio) swatch.Factor {
	return swatch.Factor{N: n, Mean: mean, Spread: spread}
}

// By whose hands a cord is sized: only what the member's own swatches of a family say,
// with a word where they are too few or differ by more than twice the usual 4 %.
func TestHandNotes(t *testing.T) {
	hand := func(count int, seen swatch.Hands) sitting.Hand {
		return sitting.Hand{Cord: sheet.Cord{Name: "main", Thickness: 4 * length.Millimetre}, Made: cord.Plied, Count: count, Seen: seen}
	}
	own := func(f knot.Family, up, high swatch.Factor) swatch.Hands {
		return swatch.Hands{f: {From: f, TakeUp: up, Height: high}}
	}
	named := hand(3, own(knot.Square, factor(3, 1.1, 0.04), swatch.Factor{}))
	named.Name, named.Others = "Gull White", []string{"Tern Grey", "Reed"}
	const few = "; three or more would show how much your hand varies"
	for _, tt := range []struct {
		hand sitting.Hand
		want string
	}{
		{hand(0, own(knot.Square, factor(3, 1.1, 0.04), swatch.Factor{})), ""},
		{hand(1, own(knot.Square, factor(1, 1.1, 0.04), swatch.Factor{})), "cord main: by your 1 swatch of 4 mm plied, square and half knots: take-up 1.10 of the book's" + few},
		{hand(2, own(knot.Hitches, factor(2, 0.9, 0.04), factor(1, 1.05, 0.04))), "cord main: by your 2 swatches of 4 mm plied, hitches: take-up 0.90 and height 1.05 of the book's" + few},
		{hand(3, own(knot.Square, factor(3, 1.1, 0.08), swatch.Factor{})), "cord main: by your 3 swatches of 4 mm plied, square and half knots: take-up 1.10 of the book's"},
		{hand(3, own(knot.Square, factor(3, 1.1, 0.09), swatch.Factor{})), "cord main: by your 3 swatches of 4 mm plied, square and half knots: take-up 1.10 of the book's, which disagree (9 % apart), so the margin is wide"},
		{hand(5, swatch.Hands{knot.Square: {From: knot.Square, TakeUp: factor(3, 1.1, 0.04)}, knot.Hitches: {From: knot.Hitches, TakeUp: factor(2, 1.2, 0.04)}}), "cord main: by your 5 swatches of 4 mm plied, square and half knots: take-up 1.10 of the book's, hitches: take-up 1.20 of the book's" + few},
		{hand(3, swatch.Hands{knot.Square: {From: knot.Square, TakeUp: factor(3, 1.1, 0.04)}, knot.Hitches: {From: knot.Square, TakeUp: factor(2, 1.2, 0.04)}}), "cord main: by your 3 swatches of 4 mm plied, square and half knots: take-up 1.10 of the book's"},
		{named, `cord main: by your 3 swatches of 4 mm plied Gull White, square and half knots: take-up 1.10 of the book's; of your cords of that make it takes most and is used to be safe, not Tern Grey and Reed: name the one you mean, in the sheet as "cord NAME", in /cord as cord:NAME`},
	} {
		notes := say.HandNotes([]sitting.Hand{tt.hand}, sitting.Prefs{})
		if tt.want == "" {
			require.Empty(t, notes)
			continue
		}
		require.Len(t, notes, 1)
		require.Equal(t, tt.want, notes[0].Text)
	}
}

// A chance is told in pieces from one in 200 to one in two and a half, and what it rests
// on: a guess, swatches that are too few, or the swatches themselves.
func TestWhatMarginsAreWorth(t *testing.T) {
	said := func(chance float64, hands ...swatch.Hands) string {
		told := factsOf(say.Words(sizedWith(t, func(s *sizing.Sized) { s.List.Chance, s.Hands = chance, hands }), sitting.Prefs{}, nil), "chance")
		require.Len(t, told, 1)
		return told[0]
	}
	for chance, want := range map[float64]string{
		0.0049: "less than one piece in 200 like this", 0.005: "about one piece in 200 like this", 0.04: "about one piece in 25 like this",
		0.4: "about one piece in 3 like this", 0.41: "every second piece or more like this",
	} {
		require.Contains(t, said(chance), want)
	}
	square := func(n int, spread cord.Ratio) swatch.Hands {
		return swatch.Hands{knot.Square: {From: knot.Square, TakeUp: factor(n, 1, spread)}}
	}
	require.Contains(t, said(0.1), "as a guess for a hand I do not know: hands differ by 6 %, one hand from sample to sample by 4 %, half of it")
	require.Contains(t, said(0.1, square(2, 0.03)), "if your samples differ by no more than 4 %", "less than the usual is not taken for granted")
	require.Contains(t, said(0.1, square(2, 0.05)), "if your samples differ by no more than 5 %")
	require.Contains(t, said(0.1, square(9, 0.05), square(2, 0.03)), "if your samples differ by no more than 5 %", "the fewest count, and the widest")
	require.Contains(t, said(0.1, square(3, 0.05)), ", by how much your swatches differ, half of it")

	untied := sizedWith(t, func(s *sizing.Sized) { s.List.Tied = false })
	require.Empty(t, factsOf(say.Words(untied, sitting.Prefs{}, nil), "chance"))
}

// What an answer rests on names who said it: the sheet, the member's preferences, their
// swatches or the trade.
func TestWhoSaysSo(t *testing.T) {
	prefs := sitting.Prefs{Squeezes: map[string]cord.Ratio{"single-strand": 0.6}}
	for _, tt := range []struct {
		what             string
		sheet, cord      cord.Ratio
		squeeze, heavier string
	}{
		{"the sheet", 0.8, 0.8, "3.2 mm, 0.8 of its label (as the sheet says)", "(as the sheet says), not to the usual 0.7, it counts as 31 % heavier"},
		{"the preferences", 0, 0.6, "2.4 mm, 0.6 of its label (as your /prefs say)", "(as your /prefs say), not to the usual 0.7, it counts as 27 % lighter"},
		{"swatches", 0, 0.65, "2.6 mm, 0.65 of its label (from your swatches)", "(from your swatches), not to the usual 0.7, it counts as 14 % lighter"},
		{"the trade", 0, 0, "2.8 mm, 0.7 of its label (common practice, no source; your swatches correct it)", "estimated from the diameter, 30 % either way; a spool's"},
		{"the trade's number, said by the sheet", 0.7, 0.7, "2.8 mm, 0.7 of its label (as the sheet says)", "estimated from the diameter, 30 % either way; a spool's"},
	} {
		sized := sizedWith(t, func(s *sizing.Sized) { s.Cords[0].Squeeze, s.Sheet.Cords[0].Squeeze = tt.cord, tt.sheet })
		blocks := say.Words(sized, prefs, nil)
		require.Contains(t, factsOf(blocks, "cord main")[0], tt.squeeze, tt.what)
		// As thick as 0.8 instead of 0.7 of the label is (0.8/0.7)² = 1.31 times the section.
		require.Contains(t, factsOf(blocks, "mass")[0], tt.heavier, tt.what)
	}
	labelled := sizedWith(t, func(s *sizing.Sized) { s.Cords[0].Spool = cord.Spool{Length: 100 * m, Mass: 900 * length.Gram} })
	require.Empty(t, factsOf(say.Words(labelled, prefs, nil), "mass"), "a label is no estimate")

	ways := func(change func(*sizing.Sized)) (all []string) {
		for _, label := range []string{"tied", "hung", "plaited"} {
			all = append(all, factsOf(say.Words(sizedWith(t, change), prefs, nil), label)...)
		}
		return all
	}
	require.Empty(t, ways(func(*sizing.Sized) {}))
	require.Equal(t, []string{"pushed up (as your /prefs say)", "touching (as the sheet says)", "tight (as your /prefs say)"}, ways(func(s *sizing.Sized) {
		s.Ways = trace.Ways{Tie: sheet.PushedUp, Hang: sheet.Touching, Plait: trace.Tight}
		s.Sheet.Hang = sheet.Touching
	}))
	require.Equal(t, []string{"pushed up (as the sheet says)", "touching (as your /prefs say)"}, ways(func(s *sizing.Sized) {
		s.Ways = trace.Ways{Tie: sheet.PushedUp, Hang: sheet.Touching}
		s.Sheet.Tie = sheet.PushedUp
	}))
}

// Margins that swatches call for are told to the percent above, and only those.
func TestMarginWords(t *testing.T) {
	called := func(label string, f cutlist.Fraction) cutlist.Cut {
		return cutlist.Cut{Label: label, Why: cutlist.Why{Called: true, Fraction: f}}
	}
	plain := cutlist.Cut{Label: "B", Why: cutlist.Why{Fraction: 0.1}}
	for want, cuts := range map[string][]cutlist.Cut{
		"10 % margin": {plain},
		"10 % margin, but more where your swatches call for it: A 12 %, C 13 %": {called("A", 0.12), plain, called("C", 0.1201)},
	} {
		require.Equal(t, want, say.MarginWords(cutlist.List{Terms: cutlist.Terms{Margin: 0.1}, Cuts: cuts}))
	}
}

// Cutting every cord to its own need is worth a word from 50 cm on, unless it is done.
func TestWhatEconomyIsWorth(t *testing.T) {
	for _, tt := range []struct {
		saves   length.Length
		economy bool
		told    bool
	}{{50 * cm, false, true}, {50*cm - 1, false, false}, {50 * cm, true, false}} {
		sized := sizedWith(t, func(s *sizing.Sized) { s.List.Saves, s.List.Terms.Economy = tt.saves, tt.economy })
		require.Equal(t, tt.told, containsText(say.Words(sized, sitting.Prefs{}, nil), "would save 50 cm"), tt)
	}
}

// The blocks of an answer that would be empty are left out, and a piece without a name
// is called what it is.
func TestNothingEmptyIsSaid(t *testing.T) {
	plain := sizedWith(t, func(s *sizing.Sized) { s.Notes, s.List.Saves = nil, 0 })
	short := say.Words(plain, sitting.Prefs{Short: true}, nil)
	require.Len(t, short, 3, "title, cut list, totals")
	require.Equal(t, "Cut list", say.Title(plain))
	require.Len(t, say.Words(plain, sitting.Prefs{}, nil), 4, "and what it rests on")
	require.Len(t, say.Words(plain, sitting.Prefs{Short: true}, []reply.Fact{{Label: "cord", Value: "4 mm"}}), 4, "and what was understood")
	plain.Notes = []trace.Note{{Text: "a note"}}
	require.True(t, containsText(say.Words(plain, sitting.Prefs{Short: true}, nil), "· a note"))
	plain.Sheet.Piece = "Tide Line"
	require.Equal(t, "Tide Line", say.Title(plain))
}
