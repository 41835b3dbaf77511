package formula

import (
	"math"
	"strings"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// referee works a formula out with the expression library's own compiler and
// machine, which share nothing with ours but the tokens.
func referee(t require.TestingT, source string, use Use, q Quantities) float64 {
	tokens, fault := scan(source, use)
	require.Nil(t, fault)
	tokens, fault = arrange(source, tokens)
	require.Nil(t, fault)
	var text strings.Builder
	for _, token := range tokens {
		text.WriteString(token.text)
		if token.kind == number && !strings.Contains(token.text, ".") {
			text.WriteString(".0") // its functions of float64 take no integers
		}
		text.WriteString(" ")
	}
	core := q.Core
	if core == 0 {
		core = q.Diameter
	}
	d, c := float64(q.Diameter), float64(core)
	environment := map[string]any{
		"d": d, "c": c, "k": float64(q.Cores), "D": float64(q.Rod), "pitch": float64(q.Pitch), "n": float64(q.Ends),
		"finished": float64(q.Finished), "drop": float64(q.Drop), "width": float64(q.Width), "fringe": float64(q.Fringe),
		"pi": math.Pi, "mm": 1e6, "cm": 1e7, "m": 1e9, "inch": 25.4e6, "ft": 304.8e6, "yd": 914.4e6,
		"turn":   func(k float64) float64 { return float64(turnOf(int(math.Ceil(k)), q.Diameter, core, q.Soft)) },
		"loop":   func(rod float64) float64 { return float64(turnOf(1, q.Diameter, length.Length(rod), 0)) },
		"hull":   func(k float64) float64 { return float64(cord.Hull(int(math.Ceil(k)))) },
		"bundle": func(n float64) float64 { return float64(cord.BundleDiameter(int(math.Ceil(n)), q.Diameter, q.Soft)) },
		"hypot":  math.Hypot, "sqrt": math.Sqrt, "pow": math.Pow,
	}
	got, err := expr.Eval(text.String(), environment)
	require.NoError(t, err, source)
	x, ok := got.(float64)
	require.True(t, ok, "%s gives a %T", source, got)
	return x
}

func TestRefereeAgreesOnTheAcceptedTable(t *testing.T) {
	for _, tt := range accepted {
		f, err := Compile(tt.source, tt.use)
		require.NoError(t, err, tt.source)
		got, err := f.Length(example)
		require.NoError(t, err)
		require.InDelta(t, referee(t, tt.source, tt.use, example), float64(got), 50, tt.source) // nanometres; the referee's loops are rounded
	}
}

// numeric and lengthy draw formulas at random that have the dimension they say.
func numeric(t *rapid.T, depth int) string {
	if depth == 0 {
		return rapid.SampledFrom([]string{"2", "0.5", "3", "k", "n", "pi", "1.25"}).Draw(t, "number")
	}
	a := func() string { return numeric(t, depth-1) }
	switch rapid.IntRange(0, 8).Draw(t, "form") {
	case 0:
		return a() + " + " + a()
	case 1:
		return a() + "*" + a()
	case 2:
		return a() + " / (" + a() + ")"
	case 3:
		return "(" + a() + ")^" + rapid.SampledFrom([]string{"2", "0.5", "-1", "2^0.5"}).Draw(t, "power")
	case 4:
		return "max(" + a() + ", " + a() + ")"
	case 5:
		return "hull(" + a() + ")"
	case 6:
		return "sqrt(" + a() + ")"
	case 7:
		return "(" + lengthy(t, depth-1) + ")/(" + lengthy(t, depth-1) + ")"
	}
	return a() + " - " + a()
}

func lengthy(t *rapid.T, depth int) string {
	if depth == 0 {
		return rapid.SampledFrom([]string{"d", "c", "D", "pitch", "3 mm", "1/2 inch", "turn(k)", "loop(D)", "bundle(n)"}).Draw(t, "length")
	}
	a := func() string { return lengthy(t, depth-1) }
	n := func() string { return "(" + numeric(t, depth-1) + ")" }
	switch rapid.IntRange(0, 6).Draw(t, "form") {
	case 0:
		return a() + " + " + a()
	case 1:
		return n() + "*(" + a() + ")"
	case 2:
		return "(" + a() + ")/" + n()
	case 3:
		return "min(" + a() + ", " + a() + ")"
	case 4:
		return "hypot(" + a() + ", " + a() + ")"
	case 5:
		return "sqrt((" + a() + ")^2 + (" + a() + ")*(" + a() + "))"
	}
	return a() + " - " + a()
}

// Whatever compiles agrees with the referee; whatever has the wrong dimension is refused.
func TestRefereeAgreesOnRandomFormulas(t *testing.T) {
	compiled := 0
	rapid.Check(t, func(t *rapid.T) {
		depth := rapid.IntRange(0, 3).Draw(t, "depth")
		if bare := numeric(t, depth); len(bare) <= LongestSource {
			_, err := Compile(bare, KnotRole)
			require.Error(t, err, "%s is a bare number", bare)
		}
		source := lengthy(t, depth)
		f, err := Compile(source, KnotRole)
		if err != nil {
			fault := err.(*Fault)
			require.Contains(t, []Kind{Implausible, TooLong}, fault.Kind, "%v", err)
			return
		}
		compiled++
		q := Quantities{
			Diameter: length.Length(rapid.Int64Range(500_000, 20_000_000).Draw(t, "d")),
			Core:     length.Length(rapid.Int64Range(0, 20_000_000).Draw(t, "c")),
			Cores:    rapid.IntRange(1, 80).Draw(t, "k"),
			Ends:     rapid.IntRange(1, 80).Draw(t, "n"),
			Rod:      length.Length(rapid.Int64Range(1_000_000, 60_000_000).Draw(t, "D")),
			Pitch:    length.Length(rapid.Int64Range(1_000_000, 60_000_000).Draw(t, "pitch")),
		}
		want := referee(t, source, KnotRole, q)
		got, err := f.Length(q)
		if v := valuesOf(q); math.IsNaN(f.root.eval(&v)) {
			require.Error(t, err, source) // the library's own min and max pass over a term without a value; ours do not
			return
		}
		if err != nil {
			require.False(t, want > 1e3 && want < float64(longest), "%s gives %v: %v", source, want, err)
			return
		}
		require.InDelta(t, want, float64(got), 1e-6*math.Abs(want)+1e4, source)
	})
	least := 20
	if testing.Short() { // a fifth of the formulas are drawn then
		least = 4
	}
	require.Greater(t, compiled, least, "too few random formulas were sound to compare")
}

func TestFunctionsAreThoseOfTheCord(t *testing.T) {
	for _, tt := range []struct {
		source string
		want   func(d, c length.Length, count int) length.Length
	}{
		{"turn(k)", func(d, c length.Length, count int) length.Length { return turnOf(count, d, c, 0) }},
		{"bundle(k)", func(d, c length.Length, count int) length.Length { return cord.BundleDiameter(count, d, 0) }},
		{"hull(k)*d + d", func(d, c length.Length, count int) length.Length { return d * length.Length(cord.Hull(count)+1) }},
		{"loop(c)", func(d, c length.Length, count int) length.Length { return turnOf(1, d, c, 0) }},
	} {
		f, err := Compile(tt.source, KnotRole)
		require.NoError(t, err)
		for count := 1; count <= 100; count++ {
			d, c := 3*length.Millimetre, 5*length.Millimetre
			got, err := f.Length(Quantities{Diameter: d, Core: c, Cores: count})
			require.NoError(t, err)
			require.InDelta(t, float64(tt.want(d, c, count)), float64(got), 1, "%s of %d", tt.source, count)
		}
	}
}

// turnOf is one close loop of cord of diameter d round k cores of diameter c, along
// the loop's middle: pi (d + c) and the fold line of the bundle.
func turnOf(k int, d, c length.Length, soft cord.Ratio) length.Length {
	if k < 1 {
		return 0
	}
	firm, round := math.Pi+float64(cord.Hull(k)), math.Pi*math.Sqrt(float64(k))
	return length.Length(math.RoundToEven(math.Pi*float64(d) + (firm+float64(soft)*(round-firm))*float64(c)))
}

// One loop of a Hopf link is a circle of 2 pi diameters: J. Cantarella, R. B. Kusner,
// J. M. Sullivan, Inventiones Mathematicae 150 (2002), total 8 pi tube radii.
func TestTurnOfAHopfLink(t *testing.T) {
	const d = 4 * length.Millimetre
	f, err := Compile("turn(1)", KnotRole)
	require.NoError(t, err)
	got, err := f.Length(Quantities{Diameter: d, Cores: 1})
	require.NoError(t, err)
	require.InDelta(t, 8*math.Pi/2/2*float64(d), float64(got), 1)
}
