package dowel

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/length"
)

const cm = length.Centimetre

// A hand-worked rod: 60 cm with 3 cm bare at both ends leaves 54 cm. 24 cords at
// 16 mm and 8 at 12 mm with 4 cm between take 38.4 + 4 + 9.6 = 52 cm.
func TestFitByHand(t *testing.T) {
	a := Arrangement{
		Rod: 60 * cm, BareEnd: BareEnd, Spread: Centred,
		Groups: []Group{
			{Name: "wave", Cords: 24, Lot: 2, Relaxed: mm(16), Pushed: mm(12)},
			{Name: "reed", Cords: 8, Relaxed: mm(12), Pushed: mm(9), Gap: 4 * cm},
		},
	}
	fit, err := a.Fit()
	require.NoError(t, err)
	require.True(t, fit.Fits)
	require.Equal(t, fit.Relaxed, fit.Use)
	require.Equal(t, 52*cm, fit.Use.Width)
	require.Equal(t, 2*cm, fit.Use.Spare)
	require.Equal(t, 4*cm, fit.Use.LeftBare)
	require.Equal(t, 4*cm, fit.Use.RightBare)
	require.Equal(t, []Mark{
		{"wave", 24, mm(16), mm(40), mm(424)},
		{"reed", 8, mm(12), mm(464), mm(560)},
	}, fit.Use.Marks)
	require.Equal(t, mm(384), fit.Use.Marks[0].Width())
	require.Equal(t, 58*cm, fit.RodRelaxed)
	// Pushed together: 28.8 + 4 + 7.2 = 40 cm, so 46 cm of rod would do.
	require.Equal(t, 46*cm, fit.RodPushed)
	require.Equal(t, 14*cm, fit.Pushed.Spare)
	// 50 cm for cords in the proportion 24 : 8, wave by twos: 24 and 8 take 48;
	// 26 and 8 take 51.2.
	require.Equal(t, []int{24, 8}, fit.MostRelaxed)
	// Pushed: 32 and 10 take 47.4, 32 and 11 take 48.3, 34 and 11 take 50.7.
	require.Equal(t, []int{32, 11}, fit.MostPushed)

	a.Spread = FromLeft
	fit, err = a.Fit()
	require.NoError(t, err)
	require.Equal(t, 3*cm, fit.Use.LeftBare)
	require.Equal(t, 5*cm, fit.Use.RightBare)

	a.Groups[0].Gap = 5 * cm // a bare left end of its own
	a.Spread = Centred
	fit, err = a.Fit()
	require.NoError(t, err)
	require.Equal(t, 5*cm, fit.Use.LeftBare)
	require.Equal(t, 3*cm, fit.Use.RightBare)
	require.Zero(t, fit.Use.Spare)
}

func TestFitGivesWay(t *testing.T) {
	// 30 cm rod less 2 × 3 cm: 24 cm for 20 cords that take 16 mm, or 10 mm pushed.
	a := Arrangement{Rod: 30 * cm, BareEnd: 3 * cm, Groups: []Group{{Name: "a", Cords: 20, Relaxed: mm(16), Pushed: mm(10)}}}
	fit, err := a.Fit()
	require.NoError(t, err)
	require.True(t, fit.Fits)
	require.Equal(t, -8*cm, fit.Relaxed.Spare)
	require.InDelta(t, 12, fit.Use.Marks[0].PerCord.Millimetres(), 1e-5)
	require.Equal(t, []int{15}, fit.MostRelaxed)
	require.Equal(t, []int{24}, fit.MostPushed)
	require.Equal(t, 38*cm, fit.RodRelaxed)

	a.Groups[0].Cords = 25
	fit, err = a.Fit()
	require.NoError(t, err)
	require.False(t, fit.Fits)
	require.Equal(t, -1*cm, fit.Pushed.Spare)
	require.Equal(t, fit.Pushed, fit.Use)
	require.Equal(t, 31*cm, fit.RodPushed)
}

func TestFitShared(t *testing.T) {
	g := Group{Cords: 5, Relaxed: mm(20), Pushed: mm(15)}
	fixed := g
	fixed.Gap = 2 * cm
	a := Arrangement{Rod: 60 * cm, BareEnd: 4 * cm, Groups: []Group{g, g, fixed, g}, Spread: Shared}
	fit, err := a.Fit()
	require.NoError(t, err)
	require.Equal(t, 10*cm, fit.Use.Spare)
	var gaps []length.Length
	for i := 1; i < 4; i++ {
		gaps = append(gaps, fit.Use.Marks[i].Start-fit.Use.Marks[i-1].End)
	}
	require.Equal(t, []length.Length{5 * cm, 2 * cm, 5 * cm}, gaps)
	require.Equal(t, 4*cm, fit.Use.LeftBare)
	require.Equal(t, 4*cm, fit.Use.RightBare)
}

func drawArrangement(t *rapid.T) Arrangement {
	a := Arrangement{
		Rod:     length.Length(rapid.Int64Range(int64(10*cm), int64(300*cm)).Draw(t, "rod")),
		BareEnd: length.Length(rapid.Int64Range(0, int64(5*cm)).Draw(t, "bare")),
		Spread:  rapid.SampledFrom([]Spread{FromLeft, Centred, Shared}).Draw(t, "spread"),
	}
	for range rapid.IntRange(1, 5).Draw(t, "groups") {
		relaxed := rapid.Int64Range(int64(mm(2)), int64(mm(30))).Draw(t, "relaxed")
		a.Groups = append(a.Groups, Group{
			Cords:   rapid.IntRange(1, 60).Draw(t, "cords"),
			Lot:     rapid.IntRange(0, 4).Draw(t, "lot"),
			Relaxed: length.Length(relaxed),
			Pushed:  length.Length(rapid.Int64Range(relaxed/2, relaxed).Draw(t, "pushed")),
			Gap:     length.Length(rapid.SampledFrom([]int64{0, 0, int64(3 * cm)}).Draw(t, "gap")),
		})
	}
	return a
}

func TestFitProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawArrangement(t)
		fit, err := a.Fit()
		require.NoError(t, err)

		require.Equal(t, fit.Pushed.Spare >= 0, fit.Fits)
		require.LessOrEqual(t, fit.Relaxed.Spare, fit.Pushed.Spare)
		for _, l := range []Layout{fit.Relaxed, fit.Pushed, fit.Use} {
			last := length.Length(0)
			for i, m := range l.Marks {
				require.Equal(t, length.Length(m.Cords)*m.PerCord, m.Width())
				if i > 0 {
					require.GreaterOrEqual(t, m.Start-last, a.Groups[i].Gap)
				}
				last = m.End
			}
			require.Equal(t, a.Rod, last+l.RightBare)
			require.Equal(t, l.LeftBare, l.Marks[0].Start)
			if a.Spread == Centred && a.Groups[0].Gap == 0 {
				require.InDelta(t, float64(l.LeftBare), float64(l.RightBare), 1)
			}
		}
		if fit.Fits {
			require.GreaterOrEqual(t, fit.Use.RightBare, a.BareEnd)
			require.GreaterOrEqual(t, fit.Use.LeftBare, min(a.BareEnd, a.leftEnd()))
			for i, m := range fit.Use.Marks {
				require.True(t, m.PerCord >= a.Groups[i].Pushed && m.PerCord <= a.Groups[i].Relaxed)
			}
			// The loosest: what is left is too little to give every cord a nanometre or two more.
			if fit.Relaxed.Spare < 0 {
				cords := 0
				for _, g := range a.Groups {
					cords += g.Cords
				}
				require.LessOrEqual(t, fit.Use.Spare, length.Length(2*cords))
			}
		}

		// The rods it proposes fit exactly, and a nanometre less does not.
		for _, tt := range []struct {
			rod    length.Length
			layout func(Fit) Layout
		}{
			{fit.RodRelaxed, func(f Fit) Layout { return f.Relaxed }},
			{fit.RodPushed, func(f Fit) Layout { return f.Pushed }},
		} {
			b := a
			b.Rod = tt.rod
			if b.check() != nil {
				continue
			}
			other, err := b.Fit()
			require.NoError(t, err)
			require.Zero(t, tt.layout(other).Spare)
		}

		// The counts it proposes fit, in whole lots, and one more scale step does not:
		// some group would take its next lot first.
		for _, most := range []struct {
			counts []int
			width  func(Group) length.Length
		}{
			{fit.MostRelaxed, func(g Group) length.Length { return g.Relaxed }},
			{fit.MostPushed, func(g Group) length.Length { return g.Pushed }},
		} {
			taken, next := length.Length(0), 1e300
			for i, g := range a.Groups {
				lot := max(g.Lot, 1)
				require.Zero(t, most.counts[i]%lot)
				taken += length.Length(most.counts[i]) * most.width(g)
				next = min(next, float64(most.counts[i]+lot)/float64(g.Cords))
			}
			require.LessOrEqual(t, taken, max(a.room(), 0))
			more := length.Length(0)
			for _, g := range a.Groups {
				lot := max(g.Lot, 1)
				more += length.Length(lot*int(next*float64(g.Cords)/float64(lot)+1e-6)) * most.width(g)
			}
			require.Greater(t, more, a.room())
		}
	})
}

func TestFitRefuses(t *testing.T) {
	good := Group{Name: "wave", Cords: 4, Relaxed: mm(16), Pushed: mm(12)}
	with := func(change func(*Group)) []Group {
		g := good
		change(&g)
		return []Group{g}
	}
	for _, tt := range []struct {
		a    Arrangement
		want string
	}{
		{Arrangement{Rod: 0, Groups: []Group{good}}, "rod length 0"},
		{Arrangement{Rod: -60 * cm, Groups: []Group{good}}, "rod length -"},
		{Arrangement{Rod: 60 * cm}, "0 groups on the rod: there must be from 1 to 200"},
		{Arrangement{Rod: 60 * cm, BareEnd: -1, Groups: []Group{good}}, "bare end"},
		{Arrangement{Rod: 60 * cm, BareEnd: 31 * cm, Groups: []Group{good}}, "it must be from zero to half the rod"},
		{Arrangement{Rod: 60 * cm, Groups: []Group{good}, Spread: 9}, "spread 9"},
		{Arrangement{Rod: 60 * cm, Groups: with(func(g *Group) { g.Cords = 0 })}, `group "wave" has 0 cords: it must have from 1 to 10000`},
		{Arrangement{Rod: 60 * cm, Groups: with(func(g *Group) { g.Cords = 10_001 })}, "has 10001 cords"},
		{Arrangement{Rod: 60 * cm, Groups: with(func(g *Group) { g.Lot = -2 })}, "lots of -2 cords"},
		{Arrangement{Rod: 60 * cm, Groups: with(func(g *Group) { g.Relaxed = 0 })}, `group "wave" takes 0`},
		{Arrangement{Rod: 60 * cm, Groups: with(func(g *Group) { g.Pushed = 0 })}, "pushed together"},
		{Arrangement{Rod: 60 * cm, Groups: with(func(g *Group) { g.Pushed = mm(17) })}, "at most the relaxed"},
		{Arrangement{Rod: 60 * cm, Groups: with(func(g *Group) { g.Gap = -1 })}, "gap -"},
		{Arrangement{Rod: 60 * cm, Groups: []Group{{Cords: 9000, Relaxed: 1, Pushed: 1}, {Cords: 9000, Relaxed: 1, Pushed: 1}}}, "18000 cords on the rod"},
	} {
		_, err := tt.a.Fit()
		require.ErrorContains(t, err, tt.want)
	}
	groups := func(n int) []Group {
		all := make([]Group, n)
		for i := range all {
			all[i] = Group{Cords: 1, Relaxed: mm(1), Pushed: mm(1)}
		}
		return all
	}
	_, err := Arrangement{Rod: 60 * cm, Groups: []Group{{Cords: 5000, Relaxed: 1, Pushed: 1}, {Cords: 5000, Relaxed: 1, Pushed: 1}}}.Fit()
	require.NoError(t, err, "the most cords")
	_, err = Arrangement{Rod: 60 * cm, Groups: []Group{{Cords: 5000, Relaxed: 1, Pushed: 1}, {Cords: 5001, Relaxed: 1, Pushed: 1}}}.Fit()
	require.ErrorContains(t, err, "10001 cords on the rod")
	_, err = Arrangement{Rod: 60 * cm, Groups: groups(200)}.Fit()
	require.NoError(t, err)
	_, err = Arrangement{Rod: 60 * cm, Groups: groups(201)}.Fit()
	require.ErrorContains(t, err, "201 groups on the rod")
	_, err = Arrangement{Rod: 60 * cm, BareEnd: 30 * cm, Groups: groups(1)}.Fit()
	require.NoError(t, err, "half the rod is still a bare end")
	_, err = Arrangement{Rod: 60 * cm, BareEnd: 30*cm + 1, Groups: groups(1)}.Fit()
	require.ErrorContains(t, err, "it must be from zero to half the rod")
}

// What just makes sense is answered, and the next that does not is refused.
func TestEdgesOfAnArrangement(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(a *Arrangement, beyond length.Length) // one step beyond the edge, or none
	}{
		{"rod of 10 m", func(a *Arrangement, beyond length.Length) { a.Rod = 10*length.Metre + beyond }},
		{"no bare end", func(a *Arrangement, beyond length.Length) { a.BareEnd = -beyond }},
		{"first spread", func(a *Arrangement, beyond length.Length) { a.Spread = FromLeft - Spread(beyond) }},
		{"last spread", func(a *Arrangement, beyond length.Length) { a.Spread = Shared + Spread(beyond) }},
		{"one cord", func(a *Arrangement, beyond length.Length) { a.Groups[0].Cords = 1 - int(beyond) }},
		{"10,000 cords", func(a *Arrangement, beyond length.Length) { a.Groups[0].Cords = 10_000 + int(beyond) }},
		{"no lots", func(a *Arrangement, beyond length.Length) { a.Groups[0].Lot = -int(beyond) }},
		{"lots of 100", func(a *Arrangement, beyond length.Length) { a.Groups[0].Lot = 100 + int(beyond) }},
		{"the thinnest cord", func(a *Arrangement, beyond length.Length) {
			a.Groups[0].Relaxed, a.Groups[0].Pushed = 1-beyond, 1-beyond
		}},
		{"a cord 10 cm wide", func(a *Arrangement, beyond length.Length) { a.Groups[0].Relaxed = 10*cm + beyond }},
		{"a cord that gives way to nothing", func(a *Arrangement, beyond length.Length) { a.Groups[0].Pushed = 1 - beyond }},
		{"a cord that does not give way", func(a *Arrangement, beyond length.Length) { a.Groups[0].Pushed = a.Groups[0].Relaxed + beyond }},
		{"no gap", func(a *Arrangement, beyond length.Length) { a.Groups[0].Gap = -beyond }},
		{"a gap of 10 m", func(a *Arrangement, beyond length.Length) { a.Groups[0].Gap = 10*length.Metre + beyond }},
	} {
		for beyond := range length.Length(2) {
			a := Arrangement{Rod: 60 * cm, BareEnd: BareEnd, Groups: []Group{{Name: "wave", Cords: 4, Relaxed: mm(16), Pushed: mm(12)}}}
			tt.change(&a, beyond)
			_, err := a.Fit()
			require.Equal(t, beyond > 0, err != nil, "%s and %d beyond: %v", tt.name, beyond, err)
		}
	}
}

// Work that takes the rod to the last nanometre fits it; a nanometre more has to give
// way, and one more than pushing together saves does not fit.
func TestFitToTheLastNanometre(t *testing.T) {
	for _, tt := range []struct {
		rod     length.Length
		fits    bool
		perCord length.Length
	}{
		{mm(60 + 320), true, mm(16)},
		{mm(60+320) - 1, true, mm(16) - 1},
		{mm(60 + 200), true, mm(10)},
		{mm(60+200) - 1, false, mm(10)},
	} {
		fit, err := Arrangement{Rod: tt.rod, BareEnd: BareEnd, Groups: []Group{{Cords: 20, Relaxed: mm(16), Pushed: mm(10)}}}.Fit()
		require.NoError(t, err)
		require.Equal(t, tt.fits, fit.Fits)
		require.Equal(t, tt.perCord, fit.Use.Marks[0].PerCord)
	}
}

// Work too wide for its rod hangs over both ends alike, wherever spare rod would go, and
// the groups still lie side by side.
func TestTooWideHangsOverBothEnds(t *testing.T) {
	for spread, left := range map[Spread]length.Length{FromLeft: 3 * cm, Centred: 1 * cm, Shared: 1 * cm} {
		a := Arrangement{Rod: 26 * cm, BareEnd: BareEnd, Spread: spread, Groups: []Group{
			{Cords: 10, Relaxed: mm(16), Pushed: mm(12)}, {Cords: 10, Relaxed: mm(16), Pushed: mm(12)},
		}}
		fit, err := a.Fit()
		require.NoError(t, err)
		require.False(t, fit.Fits)
		require.Equal(t, -4*cm, fit.Use.Spare)
		require.Equal(t, left, fit.Use.LeftBare)
		require.Equal(t, left+12*cm, fit.Use.Marks[1].Start)
		require.Equal(t, 26*cm-24*cm-left, fit.Use.RightBare)
	}
}

// One cord in lots of four on a rod with room for seven: four; for three, none.
func TestMostByWholeLots(t *testing.T) {
	for room, most := range map[length.Length]int{7: 4, 8: 8, 3: 0, 4: 4, 0: 0} {
		fit, err := Arrangement{Rod: room*cm + 1, Groups: []Group{{Cords: 1, Lot: 4, Relaxed: cm, Pushed: cm}}}.Fit()
		require.NoError(t, err)
		require.Equal(t, []int{most}, fit.MostRelaxed, "room for %d", room)
	}
}
