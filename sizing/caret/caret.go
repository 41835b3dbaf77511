// Package caret shows a typed line with carets under what is wrong in it, and quotes
// what was typed. It counts characters as they are seen and the cells of a terminal
// that they take, in any script.
//
// What will hurt you: columns are counted in characters, from 1; widths in cells.
package caret

import (
	"strings"

	"github.com/rivo/uniseg"
)

// The widths of a picture, in character cells.
const (
	pictureWidth = 60
	tabWidth     = 4
)

// Character is one character as seen, with the room it takes.
type Character struct {
	Text  string
	Width int
}

// Characters splits a line into characters as seen, with tabs made into blanks and
// unprintable characters made visible.
func Characters(line string) []Character {
	var out []Character
	state, column := -1, 0
	for line != "" {
		var cluster string
		var width int
		cluster, line, width, state = uniseg.FirstGraphemeClusterInString(line, state)
		switch {
		case cluster == "\t":
			width = tabWidth - column%tabWidth
			cluster = strings.Repeat(" ", width)
		case width == 0:
			cluster, width = "\uFFFD", 1
		}
		out = append(out, Character{cluster, width})
		column += width
	}
	return out
}

// Window returns the part of the line that is shown, the blanks before the
// carets and how many carets stand under the word.
func Window(line string, column int, word string) (shown string, indent, carets int) {
	all := Characters(line)
	first := min(max(column-1, 0), len(all))
	last := min(first+uniseg.GraphemeClusterCount(word), len(all))

	from, to := 0, len(all)
	if widthOf(all) > pictureWidth {
		from, to = first, first
		for room := pictureWidth / 3; from > 0 && room >= all[from-1].Width; from-- {
			room -= all[from-1].Width
		}
		for room := pictureWidth - widthOf(all[from:first]); to < len(all) && room >= all[to].Width; to++ {
			room -= all[to].Width
		}
	}
	var b strings.Builder
	if from > 0 {
		b.WriteString("…")
		indent = 1
	}
	for _, c := range all[from:to] {
		b.WriteString(c.Text)
	}
	if to < len(all) {
		b.WriteString("…")
	}
	indent += widthOf(all[from:first])
	carets = max(1, widthOf(all[first:min(last, to)]))
	return strings.TrimRight(b.String(), " "), indent, carets
}

func widthOf(cells []Character) int {
	sum := 0
	for _, c := range cells {
		sum += c.Width
	}
	return sum
}

// Quote puts quotation marks round typed words, the long ones shortened.
func Quote(raw string) string {
	const most = 40
	if uniseg.GraphemeClusterCount(raw) > most {
		cut := ""
		for _, c := range Characters(raw)[:most] {
			cut += c.Text
		}
		raw = cut + "…"
	}
	return "“" + strings.ToValidUTF8(raw, "\uFFFD") + "”"
}
