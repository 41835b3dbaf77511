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
		for _, spread := range spreads {
			short := 0
			for range makers {
				m := maker{random, 1 + float64(SpreadOfHands)*random.NormFloat64(), spread}
				f := factorOf(m.samples(n))
				margin, err := f.Margin(DefaultRisk)
				require.NoError(t, err)
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
		n, cords int
		spread   float64
	}{
		{0, 1, 0.04}, {0, 26, 0.04}, {1, 8, 0.04}, {2, 26, 0.04},
		{3, 8, 0.12}, {5, 1, 0.06}, {5, 26, 0.09}, {10, 60, 0.08}, // so that LeastSpread does not matter
	} {
		k := needed(tt.n, tt.cords)
		short := 0
		for range pieces {
			m := maker{random, 1 + float64(SpreadOfHands)*random.NormFloat64(), tt.spread}
			f := factorOf(m.samples(tt.n))
			if tt.n == 2 {
				f.Spread = DefaultSpread // else what two samples show now and then widens it
			}
			cut := float64(f.Mean) + k*float64(f.Spread)
			for range tt.cords {
				if m.ties() > cut {
					short++
					break
				}
			}
		}
		require.InDelta(t, 0.05, float64(short)/pieces, 4*math.Sqrt(0.05*0.95/pieces), "%+v", tt)
	}
}

// needed is how many spreads a cut has to lie above the mean for a chance of 5 %.
func needed(n, cords int) float64 {
	f := Factor{Mean: 1, Spread: 0.05, N: n, Assumed: n < Enough}
	if n == 0 {
		f.Apart = 0.05 * SpreadOfHands / DefaultSpread
	}
	low, high := 0.0, 20.0
	for range 40 {
		k := (low + high) / 2
		if Chance([]Cut{{f.Doubt(), cord.Ratio(k) * f.Spread, cords}}) > 0.05 {
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
	d := h.Doubt(map[knot.Family]cord.Ratio{knot.Square: 0.6, knot.Hitches: 0.2})
	require.Equal(t, 1, d.N)
	require.InDelta(t, 0.6*0.05/1.05+0.2*0.04/0.9, float64(d.Own), 1e-9)
	require.InDelta(t, 0.6*0.05/math.Sqrt(3)/1.05+0.2*0.04/0.9, float64(d.Shared), 1e-9)
	square := h.Doubt(map[knot.Family]cord.Ratio{knot.Square: 1, knot.Plaits: 0})
	require.Equal(t, h[knot.Square].TakeUp.Doubt(), square)
}
