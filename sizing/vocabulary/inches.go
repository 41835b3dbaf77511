package vocabulary

import (
	"strings"

	"larkfold/sizing/length"
)

// WrittenInInches tells whether more lengths of a sheet are written in feet, inches and
// yards than in metric units. What the label of a cord says does not count.
func WrittenInInches(text string) bool {
	inches, metric := 0, 0
	for line := range strings.Lines(text) {
		line, _, _ = strings.Cut(line, "#")
		if words := strings.Fields(line); len(words) == 0 || strings.EqualFold(words[0], "cord") {
			continue
		}
		inches += length.WrittenImperial(line)
		metric += length.WrittenMetric(line)
	}
	return inches > metric
}
