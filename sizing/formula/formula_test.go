package formula

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
)

// example is one set of quantities in round figures: a 4 mm cord with everything
// a knot or a rule may ask for.
var example = Quantities{
	Diameter: 4 * length.Millimetre, Cores: 2, Rod: 16 * length.Millimetre, Pitch: 10 * length.Millimetre, Ends: 6,
	Finished: 50 * length.Centimetre, Drop: 70 * length.Centimetre, Width: 40 * length.Centimetre, Fringe: 20 * length.Centimetre,
}

// accepted holds formulas and their values for the example in millimetres, worked out by hand.
var accepted = []struct {
	source string
	use    Use
	want   float64
}{
	{"17*d", KnotRole, 68},
	{"17d", KnotRole, 68},
	{"17 d", KnotRole, 68},
	{"d*17", KnotSize, 68},
	{"  2 * d\t+\n1 cm ", KnotRole, 18},
	{"pitch", KnotRole, 10},
	{"turn(k)", KnotRole, 8*math.Pi + 8},
	{"turn(1)", KnotRole, 8 * math.Pi},
	{"2 turn(k) + 2.6d", KnotRole, 16*math.Pi + 16 + 10.4},
	{"turn(k) + pitch + 1.5*pi*d", KnotRole, 8*math.Pi + 8 + 10 + 6*math.Pi},
	{"turn(n/4)", KnotRole, 8*math.Pi + 8}, // one and a half cords count as two
	{"loop(D)", KnotRole, 20 * math.Pi},
	{"loop(D + 2*d)", KnotRole, 28 * math.Pi},
	{"5*pi/6*(D + d) + 2.16*d", KnotRole, 50*math.Pi/3 + 8.64},
	{"hull(k)*d + d", KnotSize, 12},
	{"hull(7)*d + d", KnotSize, 28},
	{"bundle(7)", KnotSize, 12},
	{"c + d", KnotSize, 8}, // c was not given and is d
	{"max(0, 4*d - pitch) + d", KnotRole, 10},
	{"max(1, k - 1)*d", KnotRole, 4},
	{"min(d, pitch, D)", KnotSize, 4},
	{"hypot(pitch, 6*d)", KnotRole, 26},
	{"sqrt(pitch^2 + (6*d)^2)", KnotRole, 26},
	{"sqrt(pitch*pitch + 36*d*d)", KnotRole, 26},
	{"d*sqrt((pitch/d)^2 + 36)", KnotRole, 26},
	{"ceil(pitch/d)*d", KnotRole, 12},
	{"round(pitch/d + 0.1)*d", KnotRole, 12},
	{"pow(2, k + 1)*d/2^(k - 2)", KnotRole, 32},
	{"2**3*d", KnotRole, 32},
	{"2^3^2*d/128", KnotRole, 16}, // powers bind from the right
	{"(2^3)^2*d", KnotRole, 256},
	{"20*d - (-2^2*d)", KnotRole, 96}, // a power binds closer than a sign
	{"d + d*k^-1", KnotRole, 6},
	{"12*d/2/3", KnotRole, 8},
	{"12*d - 2*d - 3*d", KnotRole, 28},
	{"12*d / (pitch/pitch)", KnotRole, 48},
	{"d*pitch/c", KnotRole, 10},
	{"0*mm + d", KnotRole, 4},
	{"0/k + d", KnotRole, 4},
	{"+2*d", KnotRole, 8},
	{".5*d + 0.5*d", KnotRole, 4},
	{"3/4 inch + d", KnotRole, 23.05},
	{"3/4 in + 1in", KnotRole, 44.45},
	{"1 ft - 1 inch", KnotRole, 279.4},
	{"2×d + 6·d", KnotRole, 32},
	{"pitch÷2 − 0.25*d", KnotRole, 4},
	{"2π*d", KnotRole, 8 * math.Pi},
	{"4*finished", Rule, 2000},
	{"4 finished + 10 cm", Rule, 2100},
	{"drop*4 + fringe*2 + 6*d", Rule, 3224},
	{"8*max(drop, width)", Rule, 5600},
	{"5*hypot(drop, width/2)", Rule, 5 * math.Sqrt(700*700+200*200)},
	{"ceil(width/m)*1 m + drop", Rule, 1700},
	{"0.5 yd + finished", Rule, 957.2},
}

func TestAccepted(t *testing.T) {
	for _, tt := range accepted {
		f, err := Compile(tt.source, tt.use)
		require.NoError(t, err, tt.source)
		got, err := f.Length(example)
		require.NoError(t, err, tt.source)
		require.InDelta(t, tt.want, got.Millimetres(), 1e-6, tt.source)
	}
}

// The straight part of a line round k pennies follows from the largest number of
// contacts of k equal circles, 3k - ceil(sqrt(12k-3)): H. Harborth, "Loesung zu
// Problem 664A", Elem. Math. 29 (1974) 14-15; its values, 0 1 3 5 7 9 12 14 16 19
// 21 24, are sequence A047932 of the On-Line Encyclopedia of Integer Sequences (from memory).
func TestHullFollowsHarborth(t *testing.T) {
	for i, contacts := range []int{0, 1, 3, 5, 7, 9, 12, 14, 16, 19, 21, 24} {
		k := i + 1
		f, err := Compile("hull(k)*d + d", KnotRole)
		require.NoError(t, err)
		got, err := f.Length(Quantities{Diameter: length.Millimetre, Cores: k})
		require.NoError(t, err)
		require.Equal(t, length.Length(3*k-contacts-3+1)*length.Millimetre, got, "k = %d", k)
	}
}

func TestLengthNeedsItsQuantities(t *testing.T) {
	f, err := Compile("turn(k) + loop(D) + c", KnotRole)
	require.NoError(t, err)
	for _, tt := range []struct {
		q      Quantities
		column int
		wrong  string
	}{
		{Quantities{}, 1, `“d” has no value here: the working diameter of the cord was not given.`},
		{Quantities{Diameter: -1, Core: 1}, 1, `“d” has no value here: the working diameter of the cord was not given.`},
		{Quantities{Diameter: 1, Rod: 1}, 6, `“k” has no value here: the number of cords the knot closes round was not given.`},
		{Quantities{Diameter: 1, Cores: 1}, 16, `“D” has no value here: the diameter of the rod was not given.`},
		{Quantities{Diameter: 1, Cores: 1, Rod: 1, Core: -1}, 1, `“c” has no value here: the working diameter of the cords inside the knot was not given.`},
	} {
		_, err := f.Length(tt.q)
		var fault *Fault
		require.ErrorAs(t, err, &fault)
		require.Equal(t, Missing, fault.Kind)
		require.Equal(t, tt.column, fault.Column)
		require.Equal(t, tt.wrong, fault.Wrong)
	}

	f, err = Compile("2*drop + fringe", Rule)
	require.NoError(t, err)
	got, err := f.Length(Quantities{Drop: length.Metre})
	require.NoError(t, err, "a piece may have no fringe")
	require.Equal(t, 2*length.Metre, got)
}

// Values outside the range that was tried may still go wrong; then they are refused.
func TestLengthOutsideTheWorkingRange(t *testing.T) {
	f, err := Compile("20*d - pitch", KnotRole)
	require.NoError(t, err)
	_, err = f.Length(Quantities{Diameter: length.Millimetre, Pitch: 21 * length.Millimetre})
	require.EqualError(t, err, `This comes out at -1 mm when d = 1 mm, pitch = 21 mm.
    20*d - pitch
    ^^^^^^^^^^^^
A length must be zero or more, and less than 100 km.`)

	got, err := f.Length(Quantities{Diameter: length.Millimetre, Pitch: 20 * length.Millimetre})
	require.NoError(t, err)
	require.Zero(t, got)

	f, err = Compile("d*2^(2*k)/2^k/2^k", KnotRole)
	require.NoError(t, err)
	_, err = f.Length(Quantities{Diameter: length.Millimetre, Cores: 600})
	require.EqualError(t, err, `This has no value when d = 1 mm, k = 600: it is too big to count.
    d*2^(2*k)/2^k/2^k
       ^
A length must be zero or more, and less than 100 km.`)
}

func TestStringIsWhatWasTyped(t *testing.T) {
	f, err := Compile("  2×d + 1/2 in ", KnotRole)
	require.NoError(t, err)
	require.Equal(t, "2×d + 1/2 in", f.String())
}

func TestNames(t *testing.T) {
	for _, use := range []Use{KnotRole, KnotSize, Rule} {
		seen := map[string]bool{}
		for _, n := range Names(use) {
			require.False(t, seen[n.Name], "%s is listed twice", n.Name)
			seen[n.Name] = true
			require.NotEmpty(t, n.Meaning)
			require.Contains(t, n.Form, n.Name)
		}
		require.True(t, seen["d"] && seen["inch"] && seen["pi"])
		require.Equal(t, use == Rule, seen["finished"])
		require.Equal(t, use != Rule, seen["turn"])
	}
}
