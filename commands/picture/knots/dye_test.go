package knots

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/cord"
)

// What carries meaning asks for 3 to 1 (WCAG 2.2, 1.4.11).
func TestContrast(t *testing.T) {
	for i := range 8 {
		d := dyeOf(i)
		for _, ground := range []paint.Ink{paint.PaperInk(), paint.WhiteInk(), paint.PanelInk()} {
			require.GreaterOrEqual(t, paint.Contrast(d.Edge, ground), 3.0, "edge of cord %d", i)
		}
		require.GreaterOrEqual(t, paint.Contrast(d.Mark, d.Body), 3.0, "pattern of cord %d", i)
	}
}

func TestCordsAreToldApartWithoutColour(t *testing.T) {
	seen := map[[2]string]bool{}
	for i := range 64 {
		d := dyeOf(i)
		key := [2]string{fmt.Sprint(d.Body), fmt.Sprint(d.Dash)}
		require.False(t, seen[key], "cord %d looks like another", i)
		seen[key] = true
	}
	patterns := map[string]bool{}
	for i := range 8 {
		pattern := fmt.Sprint(dyeOf(i).Dash)
		require.False(t, patterns[pattern], "cord %d has the pattern of another", i)
		patterns[pattern] = true
	}
}

// A cord is drawn in its own colour, navy as navy and white as white; its edge stands
// out from every ground and its pattern from its body, whatever the colour.
func TestCordsWearTheirOwnColours(t *testing.T) {
	var cords []cord.Cord
	for _, name := range cord.ColourNames() {
		c, err := cord.ParseColour(name)
		require.NoError(t, err)
		cords = append(cords, cord.Cord{Colour: c})
	}
	for i, d := range DyesOf(cords) {
		own, ok := cords[i].Colour.RGBA()
		require.True(t, ok)
		require.Equal(t, paint.Ink{R: own.R, G: own.G, B: own.B, A: 255}, d.Body)
		for _, ground := range []paint.Ink{paint.PaperInk(), paint.WhiteInk(), paint.PanelInk(), paint.CardInk()} {
			require.GreaterOrEqual(t, paint.Contrast(d.Edge, ground), leastContrast, cords[i].Colour)
		}
		require.GreaterOrEqual(t, paint.Contrast(d.Mark, d.Body), leastContrast, cords[i].Colour)
	}
	// A cord without a colour keeps away, in lightness, from those that have one.
	for _, name := range []cord.Colour{"navy", "white", "tan", "#808080"} {
		d := DyesOf([]cord.Cord{{Colour: name}, {}})
		require.Greater(t, math.Abs(paint.Lightness(d[0].Body)-paint.Lightness(d[1].Body)), 25.0, name)
	}
}

// Cords without colours of their own are told apart by lightness alone, the fewer the
// better: steps of CIE 1976 L*, of which about one is just seen side by side.
func TestChosenColoursStandApartInLightness(t *testing.T) {
	for n, least := range map[int]float64{2: 50, 3: 25, 4: 14, 5: 14, 8: 6} {
		dyes := DyesOf(make([]cord.Cord, n))
		for i := range dyes {
			for j := range i {
				apart := math.Abs(paint.Lightness(dyes[i].Body) - paint.Lightness(dyes[j].Body))
				require.GreaterOrEqual(t, apart, least, "cords %d and %d of %d", i, j, n)
			}
		}
	}
}

// On a cord so dark that a darker edge would be lost, the edge is lighter.
func TestEdgesAreSeenOnTheirCord(t *testing.T) {
	for _, name := range cord.ColourNames() {
		c, err := cord.ParseColour(name)
		require.NoError(t, err)
		d := DyesOf([]cord.Cord{{Colour: c}})[0]
		require.GreaterOrEqual(t, math.Abs(paint.Lightness(d.Edge)-paint.Lightness(d.Body)), 8.0, name)
	}
	for i := range 8 {
		require.GreaterOrEqual(t, math.Abs(paint.Lightness(dyeOf(i).Edge)-paint.Lightness(dyeOf(i).Body)), 15.0, i)
	}
}

// However thin a cord, its pattern is drawn, in marks that are long enough to be seen.
func TestThinCordsKeepTheirPattern(t *testing.T) {
	for _, width := range []paint.Points{0.4, 0.8, 1.2, 1.9, 2.1, 6} {
		for i := 1; i < 8; i++ {
			d := &paint.Drawing{Width: 100, Height: 100}
			dyeOf(i).Lay(d, paint.Polyline(paint.At(10, 10), paint.At(10, 90)), width)
			last := d.Shapes[len(d.Shapes)-1]
			require.Equal(t, dyeOf(i).Mark, last.Stroke, "cord %d, %v wide", i, width)
			require.GreaterOrEqual(t, float64(last.Width), 0.16, "cord %d, %v wide", i, width)
			require.Less(t, last.Width, width)
			for _, l := range last.Dash {
				require.GreaterOrEqual(t, float64(l), 0.5, "cord %d, %v wide", i, width)
			}
		}
	}
}
