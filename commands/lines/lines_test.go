package lines_test

import (
	"strings"
	"testing"

	"larkfold/commands/lines"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestBreak(t *testing.T) {
	for name, test := range map[string]struct {
		text, in string
		width    float64
		want     []string
	}{
		"nothing":                     {"", "", 5, []string{""}},
		"just fits":                   {"abc de", "", 6, []string{"abc de"}},
		"one too many":                {"abc def", "", 6, []string{"abc", "def"}},
		"a blank at the end is free":  {"abc de ", "", 6, []string{"abc de"}},
		"set in":                      {"abc def", "  ", 6, []string{"abc", "  def"}},
		"set in by one too many":      {"abc defg", "   ", 6, []string{"abc", "   def", "   g"}},
		"a word of the width":         {"ab cdefgh", "", 6, []string{"ab", "cdefgh"}},
		"a word wider than a line":    {"ab cdefghi", "", 6, []string{"ab", "cdefgh", "i"}},
		"signs of two columns":        {"縄縄縄", "", 5, []string{"縄縄", "縄"}},
		"blanks between lines":        {"aa縄  縄", "  ", 4, []string{"aa縄", "  縄"}},
		"blanks before it all":        {"    a", "", 4, []string{"a"}},
		"blanks that fit before it":   {"  ab", "", 4, []string{"  ab"}},
		"a sign wider than the width": {"縄a", "", 1, []string{"縄", "a"}},
	} {
		require.Equal(t, test.want, lines.Break(test.text, test.in, test.width, lines.Columns), name)
	}
}

func TestNothingIsLostInBreaking(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("aé縄👩🏽·1  "))).Draw(t, "text")
		width := rapid.Float64Range(4, 30).Draw(t, "width")
		broken := lines.Break(text, "  ", width, lines.Columns)
		for _, line := range broken {
			require.LessOrEqual(t, lines.Columns(line), width)
		}
		blankless := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		require.Equal(t, blankless(text), blankless(strings.Join(broken, "")))
	})
}
