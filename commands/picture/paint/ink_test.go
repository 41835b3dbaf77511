package paint

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestContrastReference(t *testing.T) {
	require.InDelta(t, 21, Contrast(RGB(0x000000), RGB(0xFFFFFF)), 1e-9)
	require.InDelta(t, 4.54, Contrast(RGB(0x767676), RGB(0xFFFFFF)), 0.005) // the grey that just passes 4.5, from memory
}

// L* of a grey: CIE 15 gives 53.4 for sRGB 128 (from memory), 0 for black and 100
// for white.
func TestLightnessReference(t *testing.T) {
	require.InDelta(t, 53.59, Lightness(RGB(0x808080)), 0.05)
	require.InDelta(t, 0, Lightness(RGB(0)), 1e-9)
	require.InDelta(t, 100, Lightness(RGB(0xFFFFFF)), 1e-9)
}

// Text asks for 4.5 to 1 (WCAG 2.2, 1.4.3).
func TestWordsStandOutFromEveryGround(t *testing.T) {
	for _, ground := range []Ink{PaperInk(), WhiteInk(), PanelInk()} {
		for name, ink := range map[string]Ink{"text": DarkInk(), "quiet text": QuietInk(), "labels": AccentInk()} {
			require.GreaterOrEqual(t, Contrast(ink, ground), 4.5, name)
		}
	}
}
