package swatch

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// maker is somebody who takes so many times the book's cord, with a spread from one
// sample or cord to the next.
type maker struct {
	random       *rand.Rand
	mean, spread float64
}

func (m maker) ties() float64 { return m.mean + m.spread*m.random.NormFloat64() }

func (m maker) samples(n int) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = m.ties()
	}
	return list
}

// A chance of 5 % is one: 10,000 makers, who differ by SpreadOfHands, each with so
// many swatches and one more cord to cut. With three swatches and more no row may pass
// 7 %; with fewer that holds where makers vary no more than is assumed, and answers
// name what is. Run it with -v for the table.
func TestStatedChancesHold(t *testing.T) {
	const makers, most = 10_000, 0.07
	random := rand.New(rand.NewPCG(20, 26))
	spreads := []float64{0.02, 0.04, 0.06, 0.08}
	var table strings.Builder
	fmt.Fprintf(&table, "cords that run short of a stated 5 %%, by the true spread\nswatches")
	for _, s := range spreads {
		fmt.Fprintf(&table, "%8.0f %%", 100*s)
	}
	for n := range 11 {
		fmt.Fprintf(&table, "\n%8d", n)
		z := quantile(n, 1-float64(DefaultRisk)) // once, since it takes long
		for _, spread := range spreads {
			short := 0
			for range makers {
				m := maker{random, 1 + float64(SpreadOfHands)*random.NormFloat64(), spread}
				f := factorOf(m.samples(n))
				d := f.Doubt()
				margin := cord.Ratio(z * math.Hypot(float64(d.Own), float64(d.Shared)))
				if short == 0 {
					said, err := f.Margin(DefaultRisk)
					require.NoError(t, err)
					require.InDelta(t, float64(said), float64(margin), 1e-12)
				}
				if m.ties() > float64(f.Mean)*(1+float64(margin)) {
					short++
				}
			}
			share := float64(short) / makers
			fmt.Fprintf(&table, "%8.1f %%", 100*share)
			if n >= Enough || spread <= float64(DefaultSpread) {
				require.LessOrEqual(t, share, most, "%d swatches, spread %v", n, spread)
			}
			if n >= Enough && spread > 2*float64(LeastSpread) {
				require.GreaterOrEqual(t, share, 0.04, "no more cord than promised: %d swatches, spread %v", n, spread)
			}
		}
	}
	t.Log(table.String())
}

// What a margin buys for several cords is what it buys: the margin that leaves one
// piece in twenty with a cord that runs short does so, whatever the spread where it is
// the hand's own, and at the spread assumed where it is not.
func TestChanceOfAPiece(t *testing.T) {
	const pieces = 4000
	random := rand.New(rand.NewPCG(3, 34))
	for _, tt := range []struct {
		n, cords, knots int
		spread          float64
	}{
		{0, 1, 10, 0.04}, {0, 26, 45, 0.04}, {1, 8, 3, 0.04}, {2, 26, 45, 0.04},
		{3, 8, 45, 0.12}, {5, 1, 20, 0.06}, {5, 26, 10, 0.09}, {10, 60, 100, 0.08}, // so that LeastSpread does not matter
	} {
		k := needed(tt.n, tt.cords, tt.knots)
		short := 0
		for range pieces {
			m := maker{random, 1 + float64(SpreadOfHands)*random.NormFloat64(), tt.spread}
			f := factorOf(m.samples(tt.n))
			if tt.n == 2 {
				f.Spread = DefaultSpread // else what two samples show now and then widens it
			}
			if m.runsShort(float64(f.Mean)+k*float64(f.Spread), tt.cords, tt.knots) {
				short++
			}
		}
		require.InDelta(t, 0.05, float64(short)/pieces, 4*math.Sqrt(0.05*0.95/pieces), "%+v", tt)
	}
}

// runsShort ties a piece of so many cords of so many knots each, half of whose variance
// is the day's, and tells whether one of them takes more than it was cut to.
func (m maker) runsShort(cut float64, cords, knots int) bool {
	day := m.mean + m.spread*math.Sqrt(0.5)*m.random.NormFloat64()
	each := m.spread * math.Sqrt(0.5*10/float64(max(knots, 10)))
	for range cords {
		if day+each*m.random.NormFloat64() > cut {
			return true
		}
	}
	return false
}

// Thirty-four folded cords of some 45 knots an end, cut a tenth above the book by a
// maker without a swatch: a hand is one for all cords of a piece, and so is half of what
// its samples vary by. Of 10,000 makers one in seven has a cord that runs short. Were
// every cord a sample of its own it would be nearly every second, were all alike one in 12.
func TestChanceOfAPieceOfManyCords(t *testing.T) {
	const makers, ends, knots, margin = 10_000, 68, 45, 0.10
	random := rand.New(rand.NewPCG(34, 10))
	short := 0
	for range makers {
		m := maker{random, 1 + float64(SpreadOfHands)*random.NormFloat64(), float64(DefaultSpread)}
		if m.runsShort(1+margin, ends, knots) {
			short++
		}
	}
	seen, book := float64(short)/makers, factorOf(nil).Doubt()
	said := Chance([]Cut{{book.InPiece(knots), margin, ends}})
	apart := Chance([]Cut{{book, margin, ends}})
	alike := Chance([]Cut{{book, margin, 1}})
	t.Logf("of %d makers %.1f %% have a cord that runs short, %.1f %% are said to; with every cord apart %.1f %%, with all alike %.1f %%", makers, 100*seen, 100*said, 100*apart, 100*alike)
	require.InDelta(t, seen, said, 4*math.Sqrt(seen*(1-seen)/makers)+0.002)
	require.InDelta(t, 1.0/7, said, 0.02)
	require.InDelta(t, 0.465, apart, 0.02)
	require.InDelta(t, 1.0/12, alike, 0.01)
}

// needed is how many spreads a cut has to lie above the mean for a chance of 5 %.
func needed(n, cords, knots int) float64 {
	f := Factor{Mean: 1, Spread: 0.05, N: n, Assumed: n < Enough}
	if n == 0 {
		f.Apart = 0.05 * SpreadOfHands / DefaultSpread
	}
	low, high := 0.0, 20.0
	for range 40 {
		k := (low + high) / 2
		if Chance([]Cut{{f.Doubt().InPiece(knots), cord.Ratio(k) * f.Spread, cords}}) > 0.05 {
			low = k
		} else {
			high = k
		}
	}
	return high
}

// For one cord, the chance of a piece is the margin's own.
func TestChanceOfOneCord(t *testing.T) {
	for n := range 12 {
		f := Factor{Mean: 1.1, Spread: 0.05, N: n, Apart: 0.03, Assumed: n < Enough}
		for _, risk := range []cord.Ratio{0.01, 0.05, 0.3} {
			margin, err := f.Margin(risk)
			require.NoError(t, err)
			require.InDelta(t, float64(risk), Chance([]Cut{{f.Doubt(), margin, 1}}), 0.004, "%d swatches", n)
		}
	}
	sure := Doubt{}
	require.InDelta(t, 0, Chance([]Cut{{sure, 0.01, 5}}), 1e-9)
	require.InDelta(t, 1, Chance([]Cut{{sure, -0.01, 5}}), 1e-9)
	require.InDelta(t, 0, Chance(nil), 1e-9)
}

// Families weigh by what they take; what runs straight is in no doubt.
func TestDoubtOfACord(t *testing.T) {
	hitches := tied(0.9)
	hitches[0].Family = knot.Hitches
	h, err := HandsOf(append(hitches, tied(1.0, 1.05, 1.1)...))
	require.NoError(t, err)
	d := h.Doubt([]Part{{knot.Square, 60 * length.Centimetre}, {knot.Hitches, 20 * length.Centimetre}, {"", 20 * length.Centimetre}})
	require.Equal(t, 1, d.N)
	require.InDelta(t, 0.6*0.05/1.05+0.2*0.04/0.9, float64(d.Own), 1e-9)
	require.InDelta(t, 0.6*0.05/math.Sqrt(3)/1.05+0.2*0.04/0.9, float64(d.Shared), 1e-9)
	square := h.Doubt([]Part{{knot.Square, length.Metre}, {knot.Plaits, 0}})
	require.Equal(t, h[knot.Square].TakeUp.Doubt(), square)
}
