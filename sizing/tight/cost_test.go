package tight

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func TestGradientMatchesDifferences(t *testing.T) {
	for name, r := range map[string]*rope{
		"trefoil": trefoil(), "half knots": halfKnots(2, 2), "row": rowOfHitches(2), "square": squareKnots(bundle(3, 0)), "lark's head": larksHead(2),
	} {
		r.resample(0.4)
		if r.periodic {
			r.stretch(0.8 * r.repeat.pitch)
		}
		r.disturb(0.15, 7)
		g := newCost(r, 50)
		x := make([]float64, g.size())
		g.read(x)
		for i := range x[:3*g.points] {
			x[i] *= 0.75 // press it together, so that there are contacts and tight bends
		}
		g.write(x)
		g.findContacts()
		gradient, scratch := make([]float64, len(x)), make([]float64, len(x))
		g.evaluate(x, gradient)
		require.Greater(t, g.owed, 0.01, "%s: the check needs contacts", name)
		random := rand.New(rand.NewPCG(1, 2))
		held := map[int]bool{}
		for _, h := range g.held {
			held[3*h.point+int(h.along)] = true
		}
		bad, tried := 0, 0
		for range 60 {
			i := random.IntN(len(x))
			if i == 0 || held[i] || i >= 3*g.points && gradient[i] == 0 {
				continue
			}
			const h = 1e-6
			keep := x[i]
			x[i] = keep + h
			up := g.evaluate(x, scratch)
			x[i] = keep - h
			down := g.evaluate(x, scratch)
			x[i] = keep
			tried++
			if math.Abs((up-down)/(2*h)-gradient[i]) > 1e-4*(1+math.Abs(gradient[i])) {
				bad++
			}
		}
		require.Greater(t, tried, 30)
		require.Zero(t, bad, "%s: of %d", name, tried)
	}
}

func TestClosestOfSegments(t *testing.T) {
	point := rapid.Custom(func(t *rapid.T) r3.Vec {
		c := rapid.Float64Range(-2, 2)
		return r3.Vec{X: c.Draw(t, "x"), Y: c.Draw(t, "y"), Z: c.Draw(t, "z")}
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b, c, d := point.Draw(t, "a"), point.Draw(t, "b"), point.Draw(t, "c"), point.Draw(t, "d")
		if r3.Norm(r3.Sub(a, b)) < 1e-3 || r3.Norm(r3.Sub(c, d)) < 1e-3 {
			return
		}
		s, u, apart := closest(a, b, c, d)
		on := func(p, q r3.Vec, t float64) r3.Vec { return r3.Add(p, r3.Scale(t, r3.Sub(q, p))) }
		require.InDelta(t, r3.Norm(r3.Sub(on(a, b, s), on(c, d, u))), r3.Norm(apart), 1e-9)
		// Segments within an angle whose sine squared is 1e-9 are taken as parallel.
		near := 1e-7 + math.Sqrt(1e-9)*max(r3.Norm(r3.Sub(a, b)), r3.Norm(r3.Sub(c, d)))
		for i := 0.0; i <= 1; i += 0.05 {
			for j := 0.0; j <= 1; j += 0.05 {
				require.GreaterOrEqual(t, r3.Norm(r3.Sub(on(a, b, i), on(c, d, j)))+near, r3.Norm(apart))
			}
		}
	})
}
