// Package near finds the known word that a typed one was most likely meant to be.
//
// There is one threshold for all who ask "did you mean": one slip in a word of
// less than four letters, two in a longer one, and one for every three letters of
// a name longer than that. A beginning of at least three letters counts as one
// slip, and so do two neighbouring letters that changed places. What will hurt you:
// words are compared in small letters and otherwise as they are, so fold hyphens and
// accents first where they do not matter.
package near

import (
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// longest is more letters than any known word has: a longer one is near to nothing.
const longest = 60

// Word returns the nearest of the words, or nothing when none is near.
func Word(typed string, words []string) string {
	if found := Words(typed, words); len(found) > 0 {
		return found[0]
	}
	return ""
}

// Words returns all words that are near to the typed one, the nearest first and
// those equally near in their own order.
func Words(typed string, words []string) []string {
	typed = strings.ToLower(typed)
	if typed == "" || utf8.RuneCountInString(typed) > longest {
		return nil
	}
	type found struct {
		word  string
		slips int
	}
	var all []found
	for _, w := range words {
		if slips, ok := reach(typed, strings.ToLower(w)); ok {
			all = append(all, found{w, slips})
		}
	}
	slices.SortStableFunc(all, func(a, b found) int { return a.slips - b.slips })
	out := make([]string, len(all))
	for i, f := range all {
		out[i] = f.word
	}
	return out
}

// reach is how many slips lie between two words, and whether that is near.
func reach(typed, word string) (slips int, ok bool) {
	const beginning = 3
	letters := min(utf8.RuneCountInString(typed), utf8.RuneCountInString(word))
	slips = levenshtein.ComputeDistance(typed, word)
	if utf8.RuneCountInString(typed) >= beginning && strings.HasPrefix(word, typed) {
		slips = min(slips, 1)
	}
	if swapped([]rune(typed), []rune(word)) {
		slips = 1
	}
	return slips, slips <= allowed(letters)
}

// swapped tells whether two words differ by two neighbouring letters that changed places.
func swapped(a, b []rune) bool {
	for i := range min(len(a), len(b)) - 1 {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && slices.Equal(a[i+2:], b[i+2:])
		}
	}
	return false
}

// allowed is how many slips a word of so many letters may have.
func allowed(letters int) int {
	const short, each = 4, 3
	if letters < short {
		return 1
	}
	return max(2, letters/each)
}
