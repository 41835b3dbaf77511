package cord_test

import (
	"image/color"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
)

// The values of named colours are those of the table in SVG 1.1 (Second Edition),
// section 4.4, "Recognized color keyword names".
func TestParseColour(t *testing.T) {
	for text, want := range map[string]color.RGBA{
		"teal":         {0, 128, 128, 255},
		"Sea Green":    {46, 139, 87, 255},
		"rosybrown":    {188, 143, 143, 255},
		"#2f6f7a":      {0x2f, 0x6f, 0x7a, 255},
		"#FFFFFF":      {255, 255, 255, 255},
		"antiqueWhite": {250, 235, 215, 255},
	} {
		c, err := cord.ParseColour(text)
		require.NoError(t, err, text)
		got, ok := c.RGBA()
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
		again, err := cord.ParseColour(string(c))
		require.NoError(t, err)
		require.Equal(t, c, again)
	}
	for text, want := range map[string]string{
		"tael": "did you mean teal?", "#2f6f7": "six hexadecimal digits", "#2f6f7ag": "six hexadecimal digits",
		"2f6f7a": "six hexadecimal digits", "": "six hexadecimal digits", "cream": "six hexadecimal digits",
	} {
		_, err := cord.ParseColour(text)
		require.ErrorContains(t, err, want, text)
	}
	_, ok := cord.Colour("").RGBA()
	require.False(t, ok)
}
