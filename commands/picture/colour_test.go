package picture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
)

func TestContrastReference(t *testing.T) {
	require.InDelta(t, 21, contrast(rgb(0x000000), rgb(0xFFFFFF)), 1e-9)
	require.InDelta(t, 4.54, contrast(rgb(0x767676), rgb(0xFFFFFF)), 0.005) // the grey that just passes 4.5, from memory
}

// Text asks for 4.5 to 1 (WCAG 2.2, 1.4.3) and what carries meaning for 3 to 1
// (1.4.11).
func TestContrast(t *testing.T) {
	for _, ground := range []Ink{paperInk(), whiteInk(), panelInk()} {
		for name, ink := range map[string]Ink{"text": darkInk(), "quiet text": quietInk(), "labels": accentInk()} {
			require.GreaterOrEqual(t, contrast(ink, ground), 4.5, name)
		}
		for i := range 8 {
			require.GreaterOrEqual(t, contrast(dyeOf(i).edge, ground), 3.0, "edge of cord %d", i)
		}
	}
	for i := range 8 {
		d := dyeOf(i)
		require.GreaterOrEqual(t, contrast(d.mark, d.body), 3.0, "pattern of cord %d", i)
	}
}

func TestCordsAreToldApartWithoutColour(t *testing.T) {
	seen := map[[2]any]bool{}
	for i := range 64 {
		d := dyeOf(i)
		key := [2]any{d.body, d.word}
		require.False(t, seen[key], "cord %d looks like another", i)
		seen[key] = true
	}
	words := map[string]bool{}
	for i := range 8 {
		require.False(t, words[dyeOf(i).word], "cord %d has the pattern of another", i)
		words[dyeOf(i).word] = true
	}
}

// L* of a grey: CIE 15 gives 53.4 for sRGB 128 (from memory), 0 for black and 100
// for white.
func TestLightnessReference(t *testing.T) {
	require.InDelta(t, 53.59, lightness(rgb(0x808080)), 0.05)
	require.InDelta(t, 0, lightness(rgb(0)), 1e-9)
	require.InDelta(t, 100, lightness(rgb(0xFFFFFF)), 1e-9)
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
	for i, d := range dyesOf(cords) {
		own, ok := cords[i].Colour.RGBA()
		require.True(t, ok)
		require.Equal(t, Ink{own.R, own.G, own.B, 255}, d.body)
		for _, ground := range []Ink{paperInk(), whiteInk(), panelInk(), cardInk()} {
			require.GreaterOrEqual(t, contrast(d.edge, ground), leastContrast, cords[i].Colour)
		}
		require.GreaterOrEqual(t, contrast(d.mark, d.body), leastContrast, cords[i].Colour)
	}
	// A cord without a colour keeps away, in lightness, from those that have one.
	for _, name := range []cord.Colour{"navy", "white", "tan", "#808080"} {
		d := dyesOf([]cord.Cord{{Colour: name}, {}})
		require.Greater(t, math.Abs(lightness(d[0].body)-lightness(d[1].body)), 25.0, name)
	}
}

// Cords without colours of their own are told apart by lightness alone, the fewer the
// better: steps of CIE 1976 L*, of which about one is just seen side by side.
func TestChosenColoursStandApartInLightness(t *testing.T) {
	for n, least := range map[int]float64{2: 50, 3: 25, 4: 14, 5: 14, 8: 6} {
		dyes := dyesOf(make([]cord.Cord, n))
		for i := range dyes {
			for j := range i {
				apart := math.Abs(lightness(dyes[i].body) - lightness(dyes[j].body))
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
		d := dyesOf([]cord.Cord{{Colour: c}})[0]
		require.GreaterOrEqual(t, math.Abs(lightness(d.edge)-lightness(d.body)), 8.0, name)
	}
	for i := range 8 {
		require.GreaterOrEqual(t, math.Abs(lightness(dyeOf(i).edge)-lightness(dyeOf(i).body)), 15.0, i)
	}
}

// However thin a cord, its pattern is drawn, in marks that are long enough to be seen.
func TestThinCordsKeepTheirPattern(t *testing.T) {
	for _, width := range []Points{0.4, 0.8, 1.2, 1.9, 2.1, 6} {
		for i := 1; i < 8; i++ {
			d := plain(100, 100)
			d.lay(polyline(Point{10, 10}, Point{10, 90}), dyeOf(i), width)
			last := d.Shapes[len(d.Shapes)-1]
			require.Equal(t, dyeOf(i).mark, last.Stroke, "cord %d, %v wide", i, width)
			require.GreaterOrEqual(t, float64(last.Width), 0.16, "cord %d, %v wide", i, width)
			require.Less(t, last.Width, width)
			for _, l := range last.Dash {
				require.GreaterOrEqual(t, float64(l), 0.5, "cord %d, %v wide", i, width)
			}
		}
	}
}
