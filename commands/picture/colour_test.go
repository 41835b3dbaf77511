package picture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// luminance and contrast are as WCAG 2.2 defines them (W3C Recommendation, 2023,
// "relative luminance" and "contrast ratio").
func luminance(i Ink) float64 {
	linear := func(c uint8) float64 {
		s := float64(c) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(i.R) + 0.7152*linear(i.G) + 0.0722*linear(i.B)
}

func contrast(a, b Ink) float64 {
	high, low := max(luminance(a), luminance(b)), min(luminance(a), luminance(b))
	return (high + 0.05) / (low + 0.05)
}

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
