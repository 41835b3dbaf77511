package sheet

import (
	"slices"
	"strings"
)

// Says is what an amount of a step says as this sheet writes it, its word included;
// empty for one that is silent.
func (s Sheet) Says(a Amount) string { return (&writer{measure: measureOf(s)}).amount(&a) }

// Line is a step of the sheet as the sheet writes it.
func (s Sheet) Line(step Step) string {
	words := (&writer{measure: measureOf(s)}).step(step)
	return strings.Join(slices.DeleteFunc(words, func(word string) bool { return word == "" }), " ")
}
