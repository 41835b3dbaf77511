package dowel

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/length"
)

// Sling tension factors as a riggers' chart prints them (factor L/H, equal to
// 1/sin of the angle from the horizontal). Three printed entries are off in the last
// digit (65, 40 and 35 degrees), hence the tolerance of 0.0015.
func TestFactorAgainstRiggersChart(t *testing.T) {
	h := Hanger{Between: 50 * cm, Load: 2 * length.Kilogram}
	for angle, factor := range map[Degrees]float64{
		85: 1.004, 80: 1.015, 75: 1.035, 70: 1.064, 65: 1.104, 60: 1.155, 55: 1.221,
		50: 1.305, 45: 1.414, 40: 1.555, 35: 1.742, 30: 2,
	} {
		hung, err := h.ForAngle(angle)
		require.NoError(t, err)
		tolerance := 0.0015
		if angle != 65 && angle != 40 && angle != 35 {
			tolerance = 0.0005
		}
		require.InDelta(t, factor, float64(hung.Factor), tolerance, "%v degrees", angle)
		require.InDelta(t, float64(angle), float64(hung.Angle), 1e-9)
		require.False(t, hung.TooFlat)
		require.InDelta(t, float64(hung.Factor), float64(hung.Leg)/float64(hung.Rise), 1e-6, "the L/H rule")
		// Each of two legs carries half the load times the factor: not the whole.
		require.InDelta(t, 1000*float64(hung.Factor), hung.LegPull.Grams(), 1e-6)
	}
	// The chart's last row, 90 degrees and factor 1, is the limit.
	hung, err := h.ForAngle(89)
	require.NoError(t, err)
	require.InDelta(t, 1, float64(hung.Factor), 0.0005)
	// Worked riggers' example, scaled to our loads: 30,000 at 45 degrees pulls
	// 21,213 on each leg, 40,000 pulls 28,284.
	for load, leg := range map[length.Mass]float64{30: 21.213, 40: 28.284} {
		hung, err := Hanger{Between: 50 * cm, Load: load * length.Kilogram}.ForAngle(45)
		require.NoError(t, err)
		require.InDelta(t, leg, hung.LegPull.Grams()/1000, 0.001)
	}
}

// 3-4-5: tied 80 cm apart with the fixing 30 cm up, each leg is 50 cm.
func TestHangerForRise(t *testing.T) {
	hung, err := Hanger{Between: 80 * cm, Load: 3 * length.Kilogram}.ForRise(30 * cm)
	require.NoError(t, err)
	require.Equal(t, 50*cm, hung.Leg)
	require.InDelta(t, 36.8699, float64(hung.Angle), 1e-4)
	require.InDelta(t, 2500, hung.LegPull.Grams(), 1e-6)
	require.Equal(t, 3*length.Kilogram, hung.Fixing)
	require.Equal(t, 12*length.Kilogram, hung.Rated)
	require.InDelta(t, 400/math.Sqrt(3), hung.LeastRise.Millimetres(), 1e-5)

	flat, err := Hanger{Between: 80 * cm, Load: 3 * length.Kilogram}.ForRise(20 * cm)
	require.NoError(t, err)
	require.True(t, flat.TooFlat)
	require.Greater(t, flat.LegPull, flat.Fixing, "flatter than 30 degrees a leg pulls more than the whole load")
	mended, err := Hanger{Between: 80 * cm}.ForRise(flat.LeastRise)
	require.NoError(t, err)
	require.False(t, mended.TooFlat)
}

func TestHangerProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Hanger{
			Between: length.Length(rapid.Int64Range(int64(5*cm), int64(200*cm)).Draw(t, "between")),
			Load:    length.Mass(rapid.Int64Range(0, int64(10*length.Kilogram)).Draw(t, "load")),
		}
		rise := length.Length(rapid.Int64Range(int64(cm), int64(200*cm)).Draw(t, "rise"))
		low, err := h.ForRise(rise)
		require.NoError(t, err)
		require.Greater(t, 2*low.Leg, h.Between)
		require.GreaterOrEqual(t, low.Leg, rise)
		require.GreaterOrEqual(t, low.LegPull, h.Load/2)
		high, err := h.ForRise(rise + cm)
		require.NoError(t, err)
		require.Greater(t, high.Leg, low.Leg)
		require.LessOrEqual(t, high.LegPull, low.LegPull)
		back, err := h.ForAngle(low.Angle)
		if low.Angle <= 89 {
			require.NoError(t, err)
			require.InDelta(t, float64(rise), float64(back.Rise), 2+1e-12*float64(rise))
		}
	})
}

func TestHangerRefuses(t *testing.T) {
	good := Hanger{Between: 50 * cm, Load: length.Kilogram}
	for _, tt := range []struct {
		h    Hanger
		rise length.Length
		want string
	}{
		{Hanger{Between: 0}, 10 * cm, "hanger tied 0"},
		{Hanger{Between: 11 * length.Metre}, 10 * cm, "at most 10 m"},
		{Hanger{Between: 50 * cm, Load: -1}, 10 * cm, "load of"},
		{good, 0, "hanger rise 0"},
		{good, -5 * cm, "hanger rise -5 cm"},
		{good, 101 * length.Metre, "hanger rise 101 m"},
		{good, 1, "all but flat"},
	} {
		_, err := tt.h.ForRise(tt.rise)
		require.ErrorContains(t, err, tt.want)
	}
	for _, angle := range []Degrees{0, -30, 90, 180, Degrees(math.NaN()), Degrees(math.Inf(1))} {
		_, err := good.ForAngle(angle)
		require.ErrorContains(t, err, "it must be more than 0 and at most 89")
	}
	_, err := good.ForAngle(1e-7)
	require.ErrorContains(t, err, "all but flat")
	_, err = Hanger{}.ForAngle(45)
	require.Error(t, err)
}

func TestCautions(t *testing.T) {
	require.Equal(t, []Caution{RatedFixing, OverPeople, LooseCords}, Cautions(Hanging{}))
	require.Equal(t, []Caution{RatedFixing, OverPeople, LooseCords, BrushedBurns, FlatHanger, UncertainWood, NoBreakingLoad},
		Cautions(Hanging{Brushed: true, FlatHanger: true, GuessedWood: true, SagComputed: true}))
	require.NotContains(t, Cautions(Hanging{NoLooseCords: true}), LooseCords)
	require.Equal(t, []Caution{LooseCords, BrushedBurns}, Cautions(Hanging{Lies: true, Brushed: true}), "a runner needs no hook")
}

// The edges of what is worked out, and of what counts as too flat.
func TestEdgesOfAHanger(t *testing.T) {
	for beyond := range 2 {
		one := length.Length(beyond)
		for name, of := range map[string]func() (Hung, error){
			"tied 10 m apart":   func() (Hung, error) { return Hanger{Between: 10*length.Metre + one}.ForAngle(45) },
			"tied at one place": func() (Hung, error) { return Hanger{Between: 1 - one}.ForAngle(45) },
			"100 kg": func() (Hung, error) {
				return Hanger{Between: 50 * cm, Load: 100*length.Kilogram + length.Mass(one)}.ForAngle(45)
			},
			"less than nothing":   func() (Hung, error) { return Hanger{Between: 50 * cm, Load: -length.Mass(one)}.ForAngle(45) },
			"all but level":       func() (Hung, error) { return Hanger{Between: 50 * cm}.ForRise(1 - one) },
			"a fixing 100 m up":   func() (Hung, error) { return Hanger{Between: 50 * cm}.ForRise(100*length.Metre + one) },
			"all but upright":     func() (Hung, error) { return Hanger{Between: 50 * cm}.ForAngle(89 + Degrees(beyond)/1000) },
			"an angle of nothing": func() (Hung, error) { return Hanger{Between: 50 * cm}.ForAngle(0.001 - Degrees(beyond)/1000) },
		} {
			_, err := of()
			require.Equal(t, beyond > 0, err != nil, "%s and %d beyond: %v", name, beyond, err)
		}
	}
	for angle, flat := range map[Degrees]bool{29.999: true, 30: false, 30.001: false} {
		hung, err := Hanger{Between: 50 * cm}.ForAngle(angle)
		require.NoError(t, err)
		require.Equal(t, flat, hung.TooFlat, "%v degrees", angle)
	}
	require.Contains(t, FlatHanger, fmt.Sprintf("flatter than %v degrees", FlattestAngle))
}
