package dowel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/length"
)

// weightless is a wood of the given stiffness whose own weight does not count.
func weightless(e Modulus) Wood { return Wood{Name: "weightless", Gravity: 1e-9, Stiffness: e} }

func mass(newtons float64) length.Mass {
	return length.Mass(newtons / standardGravity * float64(length.Kilogram))
}

// shape is the bent line of a rod where tables give it, beside its sag: halfway between
// the hangers and at both ends, positive downwards, and what each hanger carries.
type shape struct {
	Sag
	Middle, LeftEnd, RightEnd length.Length
	LeftPull, RightPull       length.Mass
}

func bent(r Rod, h Hangers, loads []Load) (shape, error) {
	sag, err := r.Sag(h, loads)
	if err != nil {
		return shape{}, err
	}
	b := r.bend(h, loads)
	return shape{
		Sag:    sag,
		Middle: fromMetres(b.down(metres(h.Left+h.Right) / 2)), LeftEnd: fromMetres(b.down(0)), RightEnd: fromMetres(b.down(metres(r.Length))),
		LeftPull: mass(b.left), RightPull: mass(b.right),
	}, nil
}

func mm(x float64) length.Length { return length.Length(math.Round(x * float64(length.Millimetre))) }

// Worked dowel: yellow birch 13.9 GPa (Wood Handbook Table 5-3a), 25 mm thick,
// span 0.9 m, 30 N/m: 5wL⁴/384EI; the same 27 N at the centre: PL³/48EI, 1.6 times
// as much (Wood Handbook, FPL-GTR-282, Table 9-1: k_b = 5/384 and 1/48).
func TestSagWorkedDowel(t *testing.T) {
	rod := Rod{900 * length.Millimetre, 25 * length.Millimetre, weightless(13_900)}
	ends := Hangers{0, rod.Length}

	even, err := bent(rod, ends, []Load{{mass(27), 0, rod.Length}})
	require.NoError(t, err)
	require.InDelta(t, 0.961580, even.Middle.Millimetres(), 1e-6)
	require.Equal(t, even.Middle, even.Worst)
	require.Equal(t, 2*even.Worst, even.AfterYears.RoundHalfEven(2))

	centre, err := bent(rod, ends, []Load{{mass(27), rod.Length / 2, rod.Length / 2}})
	require.NoError(t, err)
	require.InDelta(t, 1.538528, centre.Middle.Millimetres(), 1e-6)
	require.InDelta(t, 1.6, float64(centre.Middle)/float64(even.Middle), 1e-6)
}

// Overhanging beam under an even load: mid sag w l²(5l²-24a²)/384EI, end sag
// w a(3a²(a+2l)-l³)/24EI (AWC Design Aid 6 and AISC Manual Table 3-23, formulas
// from memory; the figures are theirs, worked by numerical integration).
func TestSagOverhang(t *testing.T) {
	for _, tt := range []struct{ a, l, middle, end float64 }{
		{0.2, 1, 0.0105208, -0.0061333},
		{0.5, 1, -0.0026042, 0.0182292},
		{0.3, 2, 0.1858333, -0.0854875},
	} {
		rod := Rod{mm(1000 * (tt.l + 2*tt.a)), 20 * length.Millimetre, weightless(10_000)}
		stiffness := 1e10 * math.Pi * math.Pow(0.02, 4) / 64
		const w = 1.0 // N/m
		sag, err := bent(rod, Hangers{mm(1000 * tt.a), mm(1000 * (tt.a + tt.l))},
			[]Load{{mass(w * (tt.l + 2*tt.a)), 0, rod.Length}})
		require.NoError(t, err)
		unit := w / stiffness * 1000 // mm of sag when w/EI is 1
		require.InDelta(t, tt.middle, sag.Middle.Millimetres()/unit, 1e-6)
		require.InDelta(t, tt.end, sag.LeftEnd.Millimetres()/unit, 1e-6)
		require.InDelta(t, tt.end, sag.RightEnd.Millimetres()/unit, 1e-6)
	}
}

// Load between the hangers only: each end rises by w l³ a/24EI (AISC case of a
// beam overhanging its supports).
func TestSagEndsRise(t *testing.T) {
	const a, l, w = 0.1, 0.8, 50.0
	rod := Rod{length.Metre, 20 * length.Millimetre, weightless(10_000)}
	sag, err := bent(rod, Hangers{mm(100), mm(900)}, []Load{{mass(w * l), mm(100), mm(900)}})
	require.NoError(t, err)
	rise := w * l * l * l * a / 24 / (1e10 * math.Pi * math.Pow(0.02, 4) / 64) * 1000
	require.InDelta(t, -rise, sag.LeftEnd.Millimetres(), 1e-6)
	require.InDelta(t, -rise, sag.RightEnd.Millimetres(), 1e-6)
	require.Positive(t, sag.Worst)
}

// I = πd⁴/64 in mm⁴, as any handbook has it: recovered from the sag under a
// centre load, PL³/48EI.
func TestSecondMomentOfArea(t *testing.T) {
	for _, tt := range []struct{ d, i float64 }{
		{12, 1017.876}, {16, 3216.991}, {19.05, 6464.721}, {20, 7853.982}, {25, 19174.760}, {25.4, 20431.712}, {30, 39760.782},
	} {
		rod := Rod{2 * length.Metre, mm(tt.d), weightless(10_000)}
		sag, err := bent(rod, Hangers{0, rod.Length}, []Load{{mass(10), length.Metre, length.Metre}})
		require.NoError(t, err)
		require.InEpsilon(t, tt.i, 10*8e9/48/10_000/sag.Middle.Millimetres(), 1e-6)
	}
}

// Special hanger positions, from the closed forms above.
func TestEvenHangers(t *testing.T) {
	rod := Rod{length.Metre, 15 * length.Millimetre, mustWood(t, "pine")}
	h := EvenHangers(rod.Length)
	share := float64(h.Left) / float64(rod.Length)
	require.InDelta(t, 0.223149, share, 1e-6)
	require.True(t, share > 0.20 && share < 0.23)
	sag, err := bent(rod, h, []Load{{2 * length.Kilogram, 0, rod.Length}})
	require.NoError(t, err)
	require.InEpsilon(t, sag.Middle.Millimetres(), sag.LeftEnd.Millimetres(), 1e-4)
	require.InEpsilon(t, sag.Middle.Millimetres(), sag.RightEnd.Millimetres(), 1e-4)

	// Zero end deflection at 0.214175 of the length; no mid sag at a/l = √(5/24).
	level, err := bent(rod, Hangers{mm(214.175), mm(785.825)}, nil)
	require.NoError(t, err)
	require.InDelta(t, 0, float64(level.LeftEnd)/float64(level.Middle), 1e-4)
	l := 1000 / (1 + 2*0.456435)
	flat, err := bent(rod, Hangers{mm((1000 - l) / 2), mm((1000 + l) / 2)}, nil)
	require.NoError(t, err)
	require.InDelta(t, 0, float64(flat.Middle)/float64(flat.LeftEnd), 1e-4)
}

// integrate is the referee: it knows only statics and sums moments of curvature
// twice over a fine grid (trapezoids), then turns the line so that it passes
// through both hangers.
func integrate(r Rod, h Hangers, loads []Load) (down func(float64) float64) {
	const n = 20000
	total := metres(r.Length)
	dx := total / n
	ei := float64(r.Wood.Stiffness) * 1e6 * math.Pi * math.Pow(metres(r.Thickness), 4) / 64
	left, right := metres(h.Left), metres(h.Right)
	weight := func(l Load) float64 { return float64(l.Mass) / float64(length.Kilogram) * standardGravity }
	pullRight := 0.0
	sum := 0.0
	for _, l := range loads {
		pullRight += weight(l) * ((metres(l.From)+metres(l.To))/2 - left) / (right - left)
		sum += weight(l)
	}
	pullLeft := sum - pullRight
	moment := func(x float64) float64 {
		m := 0.0
		if x > left {
			m += pullLeft * (x - left)
		}
		if x > right {
			m += pullRight * (x - right)
		}
		for _, l := range loads {
			from, to := metres(l.From), metres(l.To)
			switch {
			case x <= from:
			case x >= to:
				m -= weight(l) * (x - (from+to)/2)
			default:
				m -= weight(l) * (x - from) / (to - from) * (x - from) / 2
			}
		}
		return m
	}
	y := make([]float64, n+1)
	slope := 0.0
	for i := range n {
		x := float64(i) * dx
		next := slope - (moment(x)+moment(x+dx))/2/ei*dx
		y[i+1] = y[i] + (slope+next)/2*dx
		slope = next
	}
	at := func(x float64) float64 {
		i := min(int(x/dx), n-1)
		f := x/dx - float64(i)
		return y[i]*(1-f) + y[i+1]*f
	}
	return func(x float64) float64 {
		return at(x) - at(left) - (at(right)-at(left))*(x-left)/(right-left)
	}
}

func TestSagAgreesWithIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rod, h, loads := drawRod(t)
		sag, err := bent(rod, h, loads)
		if err != nil {
			t.Skip(err)
		}
		all := append([]Load{{rod.Mass(), 0, rod.Length}}, loads...)
		down := integrate(rod, h, all)
		close := func(want, got length.Length) {
			tolerance := 1e-3*math.Abs(float64(sag.Worst)) + float64(10*length.Nanometre)
			require.InDelta(t, float64(want), float64(got), tolerance)
		}
		close(fromMetres(down(metres(h.Left+h.Right)/2)), sag.Middle)
		close(fromMetres(down(0)), sag.LeftEnd)
		close(fromMetres(down(metres(rod.Length))), sag.RightEnd)
		worst := 0.0
		for i := range 2001 {
			worst = max(worst, math.Abs(down(float64(i)/2000*metres(rod.Length))))
		}
		close(fromMetres(worst), max(sag.Worst, -sag.Worst))
	})
}

func drawRod(t *rapid.T) (Rod, Hangers, []Load) {
	length200mm, length3m := int64(200*length.Millimetre), int64(3*length.Metre)
	rod := Rod{
		Length:    length.Length(rapid.Int64Range(length200mm, length3m).Draw(t, "length")),
		Thickness: length.Length(rapid.Int64Range(int64(8*length.Millimetre), int64(40*length.Millimetre)).Draw(t, "thickness")),
		Wood:      rapid.SampledFrom(Woods()).Draw(t, "wood"),
	}
	place := func(name string, low, high float64) length.Length {
		return length.Length(rapid.Float64Range(low, high).Draw(t, name) * float64(rod.Length))
	}
	h := Hangers{place("left", 0, 0.4), place("right", 0.6, 1)}
	var loads []Load
	for range rapid.IntRange(0, 4).Draw(t, "loads") {
		from, to := place("from", 0, 1), place("to", 0, 1)
		if from > to {
			from = to
		}
		loads = append(loads, Load{length.Mass(rapid.Int64Range(0, int64(3*length.Kilogram)).Draw(t, "mass")), from, to})
	}
	return rod, h, loads
}

func TestSagProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rod, h, loads := drawRod(t)
		sag, err := bent(rod, h, loads)
		if err != nil {
			t.Skip(err)
		}
		require.InDelta(t, float64(sag.LeftPull+sag.RightPull), float64(rod.Mass()+total(loads)), 10)

		// Turned round, the rod sags the same the other way round.
		turned := make([]Load, len(loads))
		for i, l := range loads {
			turned[i] = Load{l.Mass, rod.Length - l.To, rod.Length - l.From}
		}
		mirror, err := bent(rod, Hangers{rod.Length - h.Right, rod.Length - h.Left}, turned)
		require.NoError(t, err)
		tolerance := 1e-7*math.Abs(float64(sag.Worst)) + 10
		require.InDelta(t, float64(sag.LeftEnd), float64(mirror.RightEnd), tolerance)
		require.InDelta(t, float64(sag.Middle), float64(mirror.Middle), tolerance)
		require.InDelta(t, math.Abs(float64(sag.Worst)), math.Abs(float64(mirror.Worst)), tolerance)

		// Superposition: the sags of parts add up to that of the whole.
		light := rod
		light.Wood = weightless(rod.Wood.Stiffness)
		parts, err := bent(light, h, loads)
		own, errOwn := bent(rod, h, nil)
		if err == nil && errOwn == nil {
			require.InDelta(t, float64(sag.Middle), float64(parts.Middle+own.Middle), tolerance+10)
			require.InDelta(t, float64(sag.LeftEnd), float64(parts.LeftEnd+own.LeftEnd), tolerance+10)
		}

		// A stiffer wood of the same weight bends less.
		stiff := rod
		stiff.Wood.Stiffness *= 2
		less, err := bent(stiff, h, loads)
		require.NoError(t, err)
		require.InDelta(t, float64(sag.Worst)/2, float64(less.Worst), tolerance)
	})
}

func total(loads []Load) length.Mass {
	sum := length.Mass(0)
	for _, l := range loads {
		sum += l.Mass
	}
	return sum
}

func TestStraightThickness(t *testing.T) {
	rod := Rod{1200 * length.Millimetre, 12 * length.Millimetre, mustWood(t, "birch")}
	h, loads := EvenHangers(rod.Length), []Load{{4 * length.Kilogram, mm(100), mm(1100)}}
	ends := Hangers{0, rod.Length}
	thin, err := rod.StraightThickness(h, loads)
	require.NoError(t, err)
	thick, err := rod.StraightThickness(ends, loads)
	require.NoError(t, err)
	require.Greater(t, thick, thin, "hung at its ends a rod must be thicker")
	for _, tt := range []struct {
		h Hangers
		t length.Length
	}{{h, thin}, {ends, thick}} {
		rod.Thickness = tt.t
		sag, err := rod.Sag(tt.h, loads)
		require.NoError(t, err)
		require.True(t, sag.StraightForYears)
		if tt.t == 12*length.Millimetre {
			continue
		}
		rod.Thickness -= length.Millimetre
		sag, err = rod.Sag(tt.h, loads)
		require.NoError(t, err)
		require.False(t, sag.StraightForYears)
	}
}

// It starts at the rod's own thickness, or at the next whole millimetre above it.
func TestStraightThicknessStartsAtTheRod(t *testing.T) {
	for own, want := range map[length.Length]length.Length{
		12 * length.Millimetre: 12 * length.Millimetre, 12*length.Millimetre + 1: 13 * length.Millimetre,
		13*length.Millimetre - 1: 13 * length.Millimetre, thinnestRod: 1 * length.Millimetre, thickestRod: thickestRod,
	} {
		rod := Rod{30 * length.Centimetre, own, mustWood(t, "birch")}
		if own == thinnestRod {
			rod.Length = 5 * length.Centimetre // which such a thin one is straight at
		}
		got, err := rod.StraightThickness(EvenHangers(rod.Length), nil)
		require.NoError(t, err)
		require.Equal(t, want, got, "%s", own)
	}
	rod := Rod{30 * length.Centimetre, thickestRod + 1, mustWood(t, "birch")}
	_, err := rod.Sag(EvenHangers(rod.Length), nil)
	require.ErrorContains(t, err, "rod thickness")
}

// The curved beam on k points, integrated: M = A cos t - 1, T = A sin t - t with
// A = α/sin α, α = π/k, for unit weight per length, radius and EI (virtual work
// with the torsion zero over the points by symmetry). derived here
func TestRingChordAgainstCurvedBeam(t *testing.T) {
	for points := 3; points <= 12; points++ {
		for _, twist := range []float64{1.3, 4, 8, 12} { // EI/GJ: steel, then wood from stiff to soft in shear
			alpha := math.Pi / float64(points)
			a := alpha / math.Sin(alpha)
			b := (1 - math.Cos(alpha)) / math.Sin(alpha) / 2
			const n = 4000
			curved := 0.0
			for i := range n {
				x := alpha * (float64(i) + 0.5) / n
				curved += 2 * alpha / n * ((a*math.Cos(x)-1)*(b*math.Cos(x)-math.Sin(x)/2) +
					twist*(a*math.Sin(x)-x)*(b*math.Sin(x)-(1-math.Cos(x))/2))
			}
			// The chord with the arc's load, from the package: R = 1 m.
			ring := Ring{2*length.Metre + 20*length.Millimetre, 20 * length.Millimetre, points, weightless(10_000)}
			load := mass(2 * math.Pi) // 1 N/m
			sag, err := ring.Sag(load)
			require.NoError(t, err)
			ei := 1e10 * math.Pi * math.Pow(0.02, 4) / 64
			ratio := curved / (metres(sag.Worst) * ei)
			require.Less(t, ratio, 1.05, "points %d twist %v", points, twist)
			require.Greater(t, ratio, 0.2, "points %d twist %v", points, twist)
		}
	}
}

func mustWood(t *testing.T, name string) Wood {
	t.Helper()
	w, err := FindWood(name)
	require.NoError(t, err)
	return w
}

func TestSagRefuses(t *testing.T) {
	birch := mustWood(t, "birch")
	good := Rod{600 * length.Millimetre, 20 * length.Millimetre, birch}
	ends := Hangers{0, good.Length}
	for _, tt := range []struct {
		name  string
		rod   Rod
		h     Hangers
		loads []Load
		want  string
	}{
		{"no length", Rod{0, 20 * length.Millimetre, birch}, ends, nil, "rod length 0"},
		{"too long", Rod{11 * length.Metre, 20 * length.Millimetre, birch}, ends, nil, "rod length 11 m: it must be more than zero and at most 10 m"},
		{"too thin", Rod{600 * length.Millimetre, 999 * length.Micrometre, birch}, ends, nil, "rod thickness"},
		{"thicker than long", Rod{20 * length.Millimetre, 20 * length.Millimetre, birch}, Hangers{0, 20 * length.Millimetre}, nil, "rod thickness"},
		{"no wood", Rod{600 * length.Millimetre, 20 * length.Millimetre, Wood{}}, ends, nil, "no stiffness"},
		{"not a number", Rod{600 * length.Millimetre, 20 * length.Millimetre, Wood{Gravity: 1, Stiffness: Modulus(math.NaN())}}, ends, nil, "no stiffness"},
		{"hangers swapped", good, Hangers{good.Length, 0}, nil, "hangers at"},
		{"hangers together", good, Hangers{300 * length.Millimetre, 301 * length.Millimetre}, nil, "hangers at"},
		{"hanger off the rod", good, Hangers{0, good.Length + 1}, nil, "hangers at"},
		{"negative load", good, ends, []Load{{-1, 0, 0}}, "load of"},
		{"too heavy", good, ends, []Load{{heaviestLoad + 1, 0, 0}}, "load of"},
		{"load off the rod", good, ends, []Load{{length.Gram, 0, good.Length + 1}}, "it must lie on the rod"},
		{"load backwards", good, ends, []Load{{length.Gram, 2, 1}}, "it must lie on the rod"},
		{"tips", good, Hangers{200 * length.Millimetre, 400 * length.Millimetre}, []Load{{5 * length.Kilogram, 0, 0}}, "the rod tips"},
		{"far too thin", Rod{2 * length.Metre, 3 * length.Millimetre, birch}, Hangers{0, 2 * length.Metre}, []Load{{5 * length.Kilogram, 0, 2 * length.Metre}}, "bends by more than a tenth"},
		{"a little too thin", Rod{1200 * length.Millimetre, 4 * length.Millimetre, birch}, Hangers{0, 1200 * length.Millimetre}, []Load{{100 * length.Gram, 0, 1200 * length.Millimetre}}, "bends by more than a tenth"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := tt.rod.Sag(tt.h, tt.loads)
			require.ErrorContains(t, err, tt.want)
		})
	}
	for _, tt := range []struct {
		ring Ring
		load length.Mass
		want string
	}{
		{Ring{300 * length.Millimetre, 10 * length.Millimetre, 2, birch}, 0, "ring hung from 2 points"},
		{Ring{300 * length.Millimetre, 10 * length.Millimetre, 101, birch}, 0, "ring hung from 101 points"},
		{Ring{20 * length.Millimetre, 10 * length.Millimetre, 3, birch}, 0, "ring diameter"},
		{Ring{300 * length.Millimetre, 10 * length.Millimetre, 3, birch}, -1, "load of"},
		{Ring{300 * length.Millimetre, 0, 3, birch}, 0, "rod thickness"},
	} {
		_, err := tt.ring.Sag(tt.load)
		require.ErrorContains(t, err, tt.want)
	}
	_, err := Rod{10 * length.Metre, 20 * length.Millimetre, birch}.StraightThickness(Hangers{0, 10 * length.Metre}, []Load{{heaviestLoad, 0, 10 * length.Metre}})
	require.Error(t, err)
}

// What looks straight is measured on the longer of the span and a doubled overhang.
func TestLimit(t *testing.T) {
	rod := Rod{length.Metre, 20 * length.Millimetre, mustWood(t, "birch")}
	for _, tt := range []struct{ left, right, limit length.Length }{
		{0, 100 * cm, mm(5)}, {20 * cm, 80 * cm, mm(3)}, {35 * cm, 65 * cm, mm(3.5)}, {20 * cm, 60 * cm, mm(4)},
	} {
		require.Equal(t, tt.limit, rod.straight(Hangers{tt.left, tt.right}))
	}
}

// Every point of a ring carries its share of the load and of the whole ring.
func TestRingCarriesItself(t *testing.T) {
	birch := mustWood(t, "birch")
	ring := Ring{300 * length.Millimetre, 10 * length.Millimetre, 4, birch}
	// 1120 kg/m³ × 0.55 × (π/4)(10 mm)² × π 290 mm = 44.08 g
	require.InDelta(t, (2000+44.08)/4, ring.share(2*length.Kilogram).Grams(), 0.01)
}

// A hanger is tied 2.5 cm from each end (common practice, no source), or at the very
// ends of a rod that is too short for that.
func TestHangersAreTiedAtTheirInset(t *testing.T) {
	require.Equal(t, Hangers{mm(25), mm(575)}, TieHangers(mm(600)))
	require.Equal(t, Hangers{mm(25), mm(26)}, TieHangers(mm(51)))
	require.Equal(t, Hangers{0, mm(50)}, TieHangers(mm(50)))
	rod := Rod{length.Metre, 15 * length.Millimetre, mustWood(t, "pine")}
	work := []Load{{2 * length.Kilogram, 0, rod.Length}}
	tied, err := rod.Sag(TieHangers(rod.Length), work)
	require.NoError(t, err)
	ends, err := rod.Sag(Hangers{0, rod.Length}, work)
	require.NoError(t, err)
	require.Less(t, tied.Worst, ends.Worst, "the span between the ties is shorter, and what hangs outside lifts its middle")
}

// What just makes sense is reckoned, and the next that does not is refused.
func TestEdgesOfASag(t *testing.T) {
	birch := mustWood(t, "birch")
	for _, tt := range []struct {
		name   string
		change func(r *Rod, h *Hangers, l *Load, beyond length.Length)
	}{
		{"rod of 10 m", func(r *Rod, h *Hangers, l *Load, beyond length.Length) {
			r.Length, r.Thickness, h.Right = 10*length.Metre+beyond, mm(150), 10*length.Metre
		}},
		{"rod of 1 mm", func(r *Rod, h *Hangers, l *Load, beyond length.Length) {
			r.Length, h.Right, l.To, r.Thickness, l.Mass = 2*cm, 2*cm, 2*cm, mm(1)-beyond, 0
		}},
		{"rod of 200 mm", func(r *Rod, h *Hangers, l *Load, beyond length.Length) { r.Thickness = mm(200) + beyond }},
		{"rod all but as thick as long", func(r *Rod, h *Hangers, l *Load, beyond length.Length) {
			r.Thickness, r.Length, h.Right, l.To = mm(30), mm(30)+1-beyond, mm(30), mm(30)
		}},
		{"hangers a twentieth apart", func(r *Rod, h *Hangers, l *Load, beyond length.Length) { h.Left, h.Right = mm(285), mm(315)-beyond }},
		{"hanger at the left end", func(r *Rod, h *Hangers, l *Load, beyond length.Length) { h.Left = -beyond }},
		{"hanger at the right end", func(r *Rod, h *Hangers, l *Load, beyond length.Length) { h.Right = r.Length + beyond }},
		{"no load", func(r *Rod, h *Hangers, l *Load, beyond length.Length) { l.Mass = -length.Mass(beyond) }},
		{"100 kg", func(r *Rod, h *Hangers, l *Load, beyond length.Length) {
			r.Thickness, l.Mass = mm(60), 100*length.Kilogram+length.Mass(beyond)
		}},
		{"load at one place", func(r *Rod, h *Hangers, l *Load, beyond length.Length) { l.From, l.To = mm(300)+beyond, mm(300) }},
		{"load from the left end", func(r *Rod, h *Hangers, l *Load, beyond length.Length) { l.From = -beyond }},
		{"load to the right end", func(r *Rod, h *Hangers, l *Load, beyond length.Length) { l.To = r.Length + beyond }},
	} {
		for beyond := range length.Length(2) {
			r, h, l := Rod{mm(600), mm(30), birch}, Hangers{0, mm(600)}, Load{length.Kilogram, 0, mm(600)}
			tt.change(&r, &h, &l, beyond)
			_, err := r.Sag(h, []Load{l})
			require.Equal(t, beyond > 0, err != nil, "%s and %d beyond: %v", tt.name, beyond, err)
		}
	}
}

// A rod that just balances on one hanger does not tip; a little more outside and it does.
func TestRodThatJustBalances(t *testing.T) {
	rod := Rod{length.Metre, mm(20), mustWood(t, "birch")}
	for _, h := range []Hangers{{mm(200), mm(500)}, {mm(500), mm(800)}} {
		_, err := rod.Sag(h, nil)
		require.NoError(t, err)
	}
	_, err := rod.Sag(Hangers{mm(200), mm(499)}, nil)
	require.ErrorContains(t, err, "the rod tips")
	_, err = rod.Sag(Hangers{mm(501), mm(800)}, nil)
	require.ErrorContains(t, err, "the rod tips")
}

// A ring sags as the straight rod from point to point, free to turn at both, under its
// share w of load and ring: 5 w l³/384 EI (Wood Handbook, FPL-GTR-282, Table 9-1).
func TestRingSagsAsItsChord(t *testing.T) {
	ring := Ring{320 * length.Millimetre, 20 * length.Millimetre, 3, mustWood(t, "yellow birch")}
	sag, err := ring.Sag(3 * length.Kilogram)
	require.NoError(t, err)
	// 1120 kg/m³ × 0.62 × (π/4)(20 mm)² × π 300 mm = 205.6 g; chord 300 mm × sin 60° = 259.8 mm
	w, l, ei := (3+0.2056)/3*9.80665, 0.2598076, 13.9e9*7853.982e-12
	require.InEpsilon(t, 5*w*l*l*l/384/ei*1000, sag.Worst.Millimetres(), 1e-4)
}

// A ring may hang from a hundred points, be 10 m across and carry 100 kg, and no more.
func TestEdgesOfARing(t *testing.T) {
	birch := mustWood(t, "birch")
	for beyond := range 2 {
		for _, tt := range []struct {
			ring Ring
			load length.Mass
		}{
			{Ring{3 * length.Metre, 30 * length.Millimetre, 100 + beyond, birch}, 0},
			{Ring{3 * length.Metre, 30 * length.Millimetre, 3 - beyond, birch}, 0},
			{Ring{10*length.Metre + length.Length(beyond), 150 * length.Millimetre, 3, birch}, 0},
			{Ring{length.Metre, 60 * length.Millimetre, 3, birch}, 100*length.Kilogram + length.Mass(beyond)},
			{Ring{length.Metre, 60 * length.Millimetre, 3, birch}, -length.Mass(beyond)},
		} {
			_, err := tt.ring.Sag(tt.load)
			require.Equal(t, beyond > 0, err != nil, "%+v: %v", tt.ring, err)
		}
	}
	_, err := Ring{20*length.Millimetre + 1, 10 * length.Millimetre, 3, birch}.Sag(0)
	require.ErrorContains(t, err, "rod thickness", "wider than twice its thickness, but the rods between its points are stubs")
}
