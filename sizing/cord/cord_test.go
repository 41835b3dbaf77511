package cord

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/length"
)

func TestDiameterIsSqueezedNominal(t *testing.T) {
	for _, c := range []struct {
		cord Cord
		want length.Length
	}{
		{Cord{Nominal: 4 * length.Millimetre}, 2800 * length.Micrometre},
		{Cord{Nominal: 5 * length.Millimetre, Construction: Plied}, 4100 * length.Micrometre},
		{Cord{Nominal: 3 * length.Millimetre, Construction: Braided}, 2700 * length.Micrometre},
		{Cord{Nominal: 4 * length.Millimetre, Construction: Braided, Squeeze: 0.8}, 3200 * length.Micrometre},
		{Cord{Nominal: 4 * length.Millimetre, Construction: 7}, 0},
		{Cord{Nominal: 4 * length.Millimetre, Squeeze: Ratio(math.NaN())}, 0},
	} {
		require.Equal(t, c.want, c.cord.Diameter(), "%+v", c.cord)
	}
}

func TestStartingSqueezesSayWhereTheyComeFrom(t *testing.T) {
	for _, c := range Constructions() {
		require.NotEmpty(t, c.SqueezeSource(), c.String())
		require.Greater(t, c.Squeeze(), LeastSqueeze)
		require.LessOrEqual(t, c.Squeeze(), Ratio(1))
	}
	// Softer constructions give way more (T. de Dillmont, Encyclopedia of Needlework, 1886, Macramé:
	// the stiffer the thread, the more a knot takes up).
	require.Less(t, SingleStrand.Squeeze(), Plied.Squeeze())
	require.Less(t, Plied.Squeeze(), Braided.Squeeze())
}

func TestParseConstruction(t *testing.T) {
	for text, want := range map[string]Construction{
		"single-strand": SingleStrand, "Single Strand": SingleStrand, "string": SingleStrand, " single ": SingleStrand, "1-ply": SingleStrand,
		"plied": Plied, "Twisted": Plied, "3-ply": Plied, "3 ply": Plied, "three-strand": Plied, "rope": Plied,
		"braided": Braided, "BRAID": Braided,
	} {
		got, err := ParseConstruction(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
	for _, c := range Constructions() {
		got, err := ParseConstruction(c.String())
		require.NoError(t, err)
		require.Equal(t, c, got)
	}
	_, err := ParseConstruction("knitted")
	require.EqualError(t, err, "cannot read “knitted” as a construction: no cord is made that way here; use single-strand, plied or braided")
	_, err = ParseConstruction("")
	require.Error(t, err)
	require.Equal(t, "unknown construction", Construction(-1).String())
}

func TestCheck(t *testing.T) {
	good := Cord{Name: "sand", Nominal: 4 * length.Millimetre}
	require.NoError(t, good.Check())
	for want, change := range map[string]func(*Cord){
		"a thickness of 4 m is more than 60 mm, the most that makes sense; give one between 0.3 mm and 60 mm":                   func(c *Cord) { c.Nominal = 4 * length.Metre },
		"the cord “sand” cannot be used: its construction is unknown; use single-strand, plied or braided":                      func(c *Cord) { c.Construction = 3 },
		"the cord “sand” cannot be used: its squeeze is out of range; give one between 0.3 and 1.2 times the nominal thickness": func(c *Cord) { c.Squeeze = 8 },
		"the cord cannot be used: its spool has less than nothing on it; give a length, mass and price of zero or more":         func(c *Cord) { c.Name = ""; c.Spool.Price = -1 },
		"the cord “sand” cannot be used: its fibre is unknown; use cotton, viscose, wool, silk, nylon, polyester, polyethylene or polypropylene": func(c *Cord) {
			c.Fibre = 99
		},
	} {
		c := good
		change(&c)
		require.EqualError(t, c.Check(), want)
	}
	nan := good
	nan.Squeeze = Ratio(math.NaN())
	require.Error(t, nan.Check())
}

func TestCheckAllowsEverySqueezeBetweenTheBounds(t *testing.T) {
	for squeeze, good := range map[Ratio]bool{
		0: true, LeastSqueeze: true, 0.8: true, MostSqueeze: true,
		LeastSqueeze - 0.01: false, MostSqueeze + 0.01: false, -0.8: false, Ratio(math.NaN()): false,
	} {
		c := Cord{Name: "sand", Nominal: 4 * length.Millimetre, Construction: Plied, Fibre: Cotton, Squeeze: squeeze}
		if good {
			require.NoError(t, c.Check(), "%v", squeeze)
		} else {
			require.Error(t, c.Check(), "%v", squeeze)
		}
	}
}

func TestThickerOrStifferCordNeverWorksThinner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nominal := length.Length(rapid.Int64Range(int64(300*length.Micrometre), int64(59*length.Millimetre)).Draw(t, "nominal"))
		c := Cord{Nominal: nominal, Construction: rapid.SampledFrom(Constructions()).Draw(t, "construction")}
		thicker := c
		thicker.Nominal += length.Length(rapid.Int64Range(0, int64(length.Millimetre)).Draw(t, "more"))
		require.NoError(t, c.Check())
		require.GreaterOrEqual(t, thicker.Diameter(), c.Diameter())
		require.LessOrEqual(t, c.Diameter(), c.Nominal)
		require.GreaterOrEqual(t, thicker.MassPerLength().Density, c.MassPerLength().Density)
	})
}
