package spelling_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store/spelling"
)

// Pairs of letters that are one but for case, by Unicode's CaseFolding.txt (simple
// foldings), from memory; and some that are not, however alike they look.
func TestLettersThatAreTheSameButForCase(t *testing.T) {
	for _, same := range [][]string{
		{"OWL", "owl", "Owl"}, {"Ö", "ö"}, {"ß", "ẞ"}, {"Σ", "σ", "ς"}, {"S", "s", "ſ"}, {"K", "k", "\u212a"}, {"Å", "å", "\u212b"}, {"Ж", "ж"}, {"9", "9"},
	} {
		for _, letter := range same {
			require.Equal(t, spelling.Fold(same[0]), spelling.Fold(letter), "%q and %q", same[0], letter)
		}
	}
	for _, other := range [][2]string{{"o", "0"}, {"e", "é"}, {"ss", "ß"}, {"a", "а"}, {"[", "{"}, {"z", "{"}, {"@", "`"}} { // the fourth is Cyrillic
		require.NotEqual(t, spelling.Fold(other[0]), spelling.Fold(other[1]), "%q and %q", other[0], other[1])
	}
}

// Keys of names that are on people's disks were made so, and must stay so.
func TestFoldStaysAsItWas(t *testing.T) {
	for name, want := range map[string]string{
		"": "", " \t ": "", " Barn  OWL ": "barn owl", "ÄRMEL": "ärmel", "Straße": "straße", "ΣΟΦΟΣ": "σοφοσ", "σοφος": "σοφοσ", "\u212aite": "kite", "tab\tnew\nline": "tab new line",
	} {
		require.Equal(t, want, spelling.Fold(name))
		require.Equal(t, want, spelling.Fold(want), "what is folded stays")
	}
}

// A name is kept as it is seen: composed (Unicode Standard Annex 15: e and U+0301 are é),
// without what cannot be seen, with single blanks.
func TestSeenAndLooks(t *testing.T) {
	for name, want := range map[string]string{
		"Owl": "Owl", "  Barn \t owl ": "Barn owl", "Cafe\u0301": "Café", "\u200eCa\u200bf\u00e9\u2069": "Café", "\u200b": "", "a\u00a0b": "a b", "a\xffb": "a\xffb",
	} {
		require.Equal(t, want, spelling.Seen(name), "%q", name)
	}
	require.Equal(t, spelling.Looks("CAFÉ net"), spelling.Looks(" cafe\u0301  NET\u200e"))
	require.NotEqual(t, spelling.Looks("Cafe"), spelling.Looks("Café"))
}

func TestSort(t *testing.T) {
	type item struct {
		name  string
		place int
	}
	list := []item{{"zebra", 1}, {"OWL", 2}, {"apple", 3}, {"owl", 4}, {"Barn owl", 5}, {"Owl", 6}, {"ärmel", 7}, {"", 8}}
	spelling.Sort(list, func(i item) string { return i.name })
	places := []int{}
	for _, i := range list {
		places = append(places, i.place)
	}
	require.Equal(t, []int{8, 3, 5, 2, 4, 6, 1, 7}, places, "those of one name stay in their order")
	require.True(t, slices.IsSortedFunc(list[3:6], func(a, b item) int { return a.place - b.place }))
}
