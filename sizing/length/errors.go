package length

import (
	"strings"
	"unicode"
)

// InputError says what was read, what is wrong with it and what would be right.
type InputError struct {
	Noun  string // what was wanted: "length", "thickness", "mass", "mass per length"
	Input string // the whole text
	Wrong string
	Right string
}

// Error is one sentence that quotes the input.
func (e *InputError) Error() string {
	return "cannot read " + quote(e.Input) + " as a " + e.Noun + ": " + e.Wrong + "; " + e.Right
}

// quote puts typographic quotation marks round a text, because feet and inches
// use the plain ones, leaves unprintable characters out and cuts long texts.
func quote(text string) string {
	const most = 60
	var b strings.Builder
	b.WriteString("“")
	n := 0
	for _, r := range text {
		if n == most {
			b.WriteString("…")
			break
		}
		if !unicode.IsPrint(r) {
			r = ' '
		}
		b.WriteRune(r)
		n++
	}
	b.WriteString("”")
	return b.String()
}
