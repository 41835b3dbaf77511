package near_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/near"
)

func TestWord(t *testing.T) {
	words := []string{"row", "of", "taper", "square knot", "three-strand plait", "Ahorn", "波"}
	for typed, want := range map[string]string{
		"row":                "row",
		"rew":                "row", // one slip in three letters
		"rxy":                "",    // two are too many
		"tapr":               "taper",
		"tpr":                "", // two slips, but three letters of the typed word allow one
		"tepor":              "taper",
		"tepox":              "",
		"Taper":              "taper",
		"ahorn":              "Ahorn",
		"tap":                "taper", // a beginning
		"ta":                 "",      // two letters are none
		"orw":                "row",   // two letters changed places: one slip
		"fo":                 "of",
		"rwo":                "row",
		"wor":                "", // letters that are no neighbours
		"sqare knt":          "square knot",
		"squere nkot":        "square knot", // three slips in eleven letters
		"squere nkut":        "",
		"tree strand plaits": "three-strand plait",
		"":                   "",
		"xylophone":          "",
		"波":                  "波",
	} {
		require.Equal(t, want, near.Word(typed, words), typed)
	}
}

func TestWordsComeNearestFirst(t *testing.T) {
	require.Equal(t, []string{"rows", "row", "rods"}, near.Words("rows", []string{"row", "rods", "rows", "shift"}))
	require.Equal(t, []string{"birch", "beech"}, near.Words("brich", []string{"beech", "birch"}))
	require.Equal(t, []string{"bar", "car"}, near.Words("ar", []string{"bar", "car"}))
}

func TestLongerThanAnyWordIsNearNothing(t *testing.T) {
	at, over := strings.Repeat("a", 60), strings.Repeat("a", 61)
	require.Equal(t, at, near.Word(at, []string{at}))
	require.Empty(t, near.Word(over, []string{over}))
}
