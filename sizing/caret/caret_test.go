package caret

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A line of sixty cells is shown whole; of a longer one the part round the wrong word
// is, a third of the width before it.
func TestWindow(t *testing.T) {
	line := strings.Repeat("x", 60)
	shown, indent, carets := Window(line, 60, "x")
	require.Equal(t, line, shown)
	require.Equal(t, []int{59, 1}, []int{indent, carets})

	line = strings.Repeat("a", 30) + "wrong" + strings.Repeat("b", 60)
	shown, indent, carets = Window(line, 31, "wrong")
	require.Equal(t, "…"+strings.Repeat("a", 20)+"wrong"+strings.Repeat("b", 35)+"…", shown)
	require.Equal(t, []int{21, 5}, []int{indent, carets})

	shown, indent, carets = Window("row 紐 square", 5, "紐")
	require.Equal(t, "row 紐 square", shown)
	require.Equal(t, []int{4, 2}, []int{indent, carets}, "a wide character takes two cells")

	shown, indent, carets = Window("a\tb", 3, "b")
	require.Equal(t, "a   b", shown)
	require.Equal(t, []int{4, 1}, []int{indent, carets}, "a tab goes to the next fourth cell")

	_, indent, carets = Window("row", 4, "")
	require.Equal(t, []int{3, 1}, []int{indent, carets}, "what is missing is pointed at behind the line")
	_, indent, carets = Window("row", 99, "x")
	require.Equal(t, []int{3, 1}, []int{indent, carets})
}

func TestQuote(t *testing.T) {
	require.Equal(t, "“"+strings.Repeat("x", 40)+"”", Quote(strings.Repeat("x", 40)))
	require.Equal(t, "“"+strings.Repeat("x", 40)+"…”", Quote(strings.Repeat("x", 41)))
	require.Equal(t, "“a\uFFFD”", Quote("a\xff"))
}
