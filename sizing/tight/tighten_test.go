package tight

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// rough settings are for checks that need a tight rope, but no figure from it.
func rough() Settings {
	s := Coarse()
	s.Edges, s.Stiffness, s.Rounds = s.Edges[:1], []float64{20, 100}, 4
	return s
}

func TestTightenRefuses(t *testing.T) {
	line := []r3.Vec{{}, {X: 1}, {X: 2}, {X: 3}}
	for name, c := range map[string]struct {
		rope rope
		want string
	}{
		"nothing":        {rope{}, "a rope needs at least one cord"},
		"too few points": {rope{cords: []cord{{points: line[:3]}}}, "cord 1 has 3 points; it needs at least 4"},
		"no period":      {rope{cords: []cord{{points: line, ending: chain}}}, "cord 1 runs on into the next period, but there is none for it"},
		"no pitch":       {rope{cords: []cord{{points: line, ending: open}}, periodic: true}, "the pitch is 0; it must be more than 0"},
		"tangled": {rope{cords: []cord{
			{points: line, ending: open}, {points: []r3.Vec{{X: 1.5, Y: -2, Z: 0.1}, {X: 1.5, Y: -1, Z: 0.1}, {X: 1.5, Y: 1, Z: 0.1}, {X: 1.5, Y: 2, Z: 0.1}}, ending: open, held: yAxis},
		}}, "the starting shape has strands inside one another"},
	} {
		_, err := tighten(context.Background(), &c.rope, rough())
		require.EqualError(t, err, c.want, name)
	}
}

func TestTightenIsTheSameEveryTime(t *testing.T) {
	var lengths []float64
	for range 2 {
		stages, err := tighten(context.Background(), squareKnots(bundle(2, 0)), rough())
		require.NoError(t, err)
		lengths = append(lengths, stages[0].length)
	}
	require.Equal(t, lengths[0], lengths[1])
}

func TestTightenStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	calls := 0
	_, err := Derive(ctx, "trefoil", Coarse(), func(Progress) { calls++; cancel() })
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, 1, calls)
}

// TestPublishedRopelengths compares with testdata/tight/published.csv.
func TestPublishedRopelengths(t *testing.T) {
	if testing.Short() {
		t.Skip("many steps of one goroutine")
	}
	f, err := os.Open("../../testdata/tight/published.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 4)
	settings := Coarse()
	settings.Stiffness = []float64{20, 400}
	derived := map[string]Row{}
	for _, r := range rows[1:] {
		name := r[0]
		want, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		tolerance, err := strconv.ParseFloat(r[3], 64)
		require.NoError(t, err)
		got, ok := derived[name]
		if !ok {
			got, err = deriveFirst(name, settings)
			require.NoError(t, err)
			derived[name] = got
		}
		t.Logf("%s: %.3f, published %.3f (%+.2f %%)", name, got.Length, want, 100*(float64(got.Length)/want-1))
		require.InEpsilon(t, want, float64(got.Length), tolerance/100, "%s: %s", name, r[4])
	}
}

// deriveFirst derives the first row of a knot.
func deriveFirst(name string, settings Settings) (Row, error) {
	list, err := specimensOf(name)
	if err != nil {
		return Row{}, err
	}
	return list[0].derive(context.Background(), settings)
}

func TestHelixIsExact(t *testing.T) {
	table, err := Derive(context.Background(), "helix", Coarse(), nil)
	require.NoError(t, err)
	require.NotEmpty(t, table.Rows)
	for _, r := range table.Rows {
		require.InEpsilon(t, float64(r.Expected), float64(r.Length), 0.001, "rod %v, pitch %v", r.Rod, r.Pitch)
	}
}

// TestRing is all bend: the shortest ring of a cord is a circle of radius 1/2,
// whose ropelength is pi diameters (2 pi radii: Cantarella, Kusner, Sullivan 2002).
func TestRing(t *testing.T) {
	ring := &rope{cords: []cord{{points: curve(40, func(t float64) r3.Vec {
		return r3.Vec{X: 2 * math.Cos(t), Y: 1.5 * math.Sin(t)}
	})}}}
	settings := Coarse()
	settings.Stiffness = []float64{20, 100, 400}
	stages, err := tighten(context.Background(), ring, settings)
	require.NoError(t, err)
	length, _ := limit(stages)
	require.InEpsilon(t, math.Pi, length, 0.005)
}

func BenchmarkTrefoil(b *testing.B) {
	for b.Loop() {
		if _, err := deriveFirst("trefoil", Coarse()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSquareKnot(b *testing.B) {
	for b.Loop() {
		if _, err := deriveFirst("square knot", Coarse()); err != nil {
			b.Fatal(err)
		}
	}
}
