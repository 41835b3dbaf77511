package sheet

import (
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// nearest returns the word that the typed one was most likely meant to be, or
// nothing when none is near: one slip in a short word, two in a longer one.
func nearest(typed string, words []string) string {
	const longest = 40
	length := utf8.RuneCountInString(typed)
	if length > longest {
		return ""
	}
	best, slips := "", 3
	for _, w := range words {
		allowed := 1
		if min(length, utf8.RuneCountInString(w)) >= 4 {
			allowed = 2
		}
		if d := levenshtein.ComputeDistance(typed, w); d <= allowed && d < slips {
			best, slips = w, d
		}
	}
	return best
}
