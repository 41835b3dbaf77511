package sheet

import (
	"slices"
	"strings"
)

// FactsOfWord lays open an empty step that begins with a word; false for a word
// that begins none.
func FactsOfWord(word string) (Facts, bool) {
	empty, ok := blank[word]
	if !ok {
		return Facts{}, false
	}
	return empty(Place{}).lay(), true
}

// Says is what an amount of a step says as this sheet writes it, its word included;
// empty for one that is silent.
func (s Sheet) Says(a Amount) string { return (&writer{measure: measureOf(s)}).amount(a) }

// Line is a step of the sheet as the sheet writes it.
func (s Sheet) Line(step Step) string {
	words := (&writer{measure: measureOf(s)}).step(step)
	return strings.Join(slices.DeleteFunc(words, func(word string) bool { return word == "" }), " ")
}
