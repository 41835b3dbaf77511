// Package lines breaks text into lines, for every front end and every picture.
//
// Its noun is the width: what the caller's measure says, columns of a chat or a
// terminal or points of a page. What will hurt you: a measure has to add up, the
// width of two texts side by side being the sum of theirs.
package lines

import (
	"strings"

	"github.com/rivo/uniseg"
)

// Columns measures text in the cells of a fixed-width font.
func Columns(text string) float64 { return float64(uniseg.StringWidth(text)) }

// Break breaks a text between its words into lines of at most width, or within a
// word where it is wider than a line. Lines after the first begin with in.
func Break(text, in string, width float64, measure func(string) float64) []string {
	var lines []string
	line, used, blank, start := "", 0.0, true, ""
	add := func(part string) {
		line += part
		used += measure(part)
		blank = blank && strings.TrimLeft(part, " ") == ""
	}
	next := func() {
		lines = append(lines, strings.TrimRight(line, " "))
		line, used, blank, start = in, measure(in), true, in
	}
	for word := range strings.SplitAfterSeq(text, " ") {
		bare := strings.TrimRight(word, " ")
		wide, empty := measure(bare), bare == ""
		switch {
		case empty || used+wide <= width:
		case !blank:
			next()
		default: // blanks that a line begins with give way to its first word
			line, used = start, measure(start)
		}
		if empty || used+wide <= width {
			add(word)
			continue
		}
		for characters := uniseg.NewGraphemes(word); characters.Next(); {
			if !blank && used+measure(characters.Str()) > width {
				if characters.Str() == " " {
					continue
				}
				next()
			}
			add(characters.Str())
		}
	}
	if !blank || lines == nil {
		lines = append(lines, strings.TrimRight(line, " "))
	}
	return lines
}
