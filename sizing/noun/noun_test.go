package noun

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCount(t *testing.T) {
	for one, many := range map[string]string{
		"end": "2 ends", "half hitch": "2 half hitches", "daisy": "2 daisies", "berry knot": "2 berry knots",
		"berry": "2 berries", "ray": "2 rays", "bush": "2 bushes", "box": "2 boxes", "cross": "2 crosses",
		"lark's head": "2 lark's heads", "y": "2 ys", "": "2 s",
	} {
		require.Equal(t, many, Count(2, one))
		require.Equal(t, "1 "+one, Count(1, one))
	}
	require.Equal(t, "0 ends", Count(0, "end"))
	require.Equal(t, "-1 ends", Count(-1, "end"))
}

func TestArticle(t *testing.T) {
	for _, want := range []string{"an overhand knot", "a square knot", "an Anchor", "a ", "a lark's head"} {
		_, one, _ := strings.Cut(want, " ")
		require.Equal(t, want, Article(one))
	}
}

func TestList(t *testing.T) {
	require.Empty(t, List(nil))
	require.Equal(t, "a", List([]string{"a"}))
	require.Equal(t, "a and b", List([]string{"a", "b"}))
	require.Equal(t, "a, b and c", List([]string{"a", "b", "c"}))
}

func TestCapital(t *testing.T) {
	for text, want := range map[string]string{"": "", "a row": "A row", "Éclat": "Éclat", "éclat": "Éclat", "12 knots": "12 knots", "x": "X"} {
		require.Equal(t, want, Capital(text))
	}
}
