package say_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/say"
	"larkfold/sizing/knot"
)

// A number has the decimals that its last place is worth, six at most.
func TestDecimals(t *testing.T) {
	for _, tt := range []struct {
		value, place float64
		want         string
	}{
		{12.34, 10, "12"}, {12.34, 1, "12"}, {12.34, 0.99, "12.3"}, {12.34, 0.1, "12.3"}, {12.345, 0.01, "12.35"},
		{1, 1e-6, "1.000000"}, {1, 1e-9, "1.000000"},
	} {
		require.Equal(t, tt.want, say.Decimals(tt.value, tt.place), tt)
	}
}

// Three figures are three figures, where the last one is carried too; a larger number
// is whole.
func TestFigures(t *testing.T) {
	for x, want := range map[float64]string{
		-1: "0", 0: "0", 0.00123: "0.00123", 0.123: "0.123", 1: "1.00", 9.994: "9.99", 9.996: "10.0", 12.34: "12.3",
		99.94: "99.9", 99.96: "100", 100: "100", 100.4: "100", 1234.5: "1234",
	} {
		require.Equal(t, want, say.Figures(x), x)
	}
}

func TestSentencesBeginAndEnd(t *testing.T) {
	for text, want := range map[string]string{"": "", "tie": "Tie.", "done!": "Done!", "really?": "Really?", "cut it.": "Cut it."} {
		require.Equal(t, want, say.Sentence(text))
	}
	require.Equal(t, "1. tie\n2. trim", say.Numbered([]string{"tie", "trim"}))
}

// What is shortened has so many characters, the last of which says that there was more.
func TestShortened(t *testing.T) {
	for text, want := range map[string]string{"tide": "tide", "tides": "tides", "tidess": "tide…", "öööööö": "öööö…"} {
		require.Equal(t, want, say.Shortened(text, 5))
	}
}

func TestKnotsHaveTitles(t *testing.T) {
	require.Equal(t, "square knot (SK)", say.KnotTitle(&knot.Knot{Row: knot.Row{Name: "square knot", Short: "SK"}}))
	require.Equal(t, "pebble", say.KnotTitle(&knot.Knot{Row: knot.Row{Name: "pebble"}}))
}

// Names of files keep small letters and digits, and nothing that a system could read as
// anything else; they have sixty characters at most.
func TestFileNames(t *testing.T) {
	sixty := strings.Repeat("a1", 30)
	for name, want := range map[string]string{
		"Tide Line": "tide-line", "az09": "az09", "a`b": "a-b", "a{b": "a-b", "a/b": "a-b", "a:b": "a-b",
		"  ../Tide -- Line!  ": "tide-line", "Öl": "l", "…": "hanging", "": "hanging",
		sixty: sixty, sixty + "b": sixty, sixty[1:] + " b": sixty[1:],
	} {
		require.Equal(t, want, say.FileName(name), name)
	}
}
