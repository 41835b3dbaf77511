package fit

import (
	"strings"
	"unicode"
)

// clean makes a text fit to be sent: valid UTF-8, Unix line ends, no control
// characters but line ends.
func clean(text string) string {
	text = strings.ReplaceAll(strings.ToValidUTF8(text, "�"), "\r\n", "\n")
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r == '\t' || r == '\r':
			return ' '
		case unicode.IsControl(r):
			return -1
		}
		return r
	}, text)
}

// Escape makes one line of a member's text appear as it was typed: no markup, no
// mention, no link, no emoji short name.
func Escape(line string) string {
	var b strings.Builder
	runes := []rune(line)
	start := true // nothing but blanks and digits so far
	for i, r := range runes {
		switch r {
		case '\\', '*', '_', '~', '`', '|', '<', '>', '[', ']', '@':
			b.WriteByte('\\')
		case '#', '-', '+':
			if start {
				b.WriteByte('\\')
			}
		case '.':
			if start && i > 0 && i+1 < len(runes) && runes[i+1] == ' ' {
				b.WriteByte('\\')
			}
		case ':':
			if i+1 < len(runes) && (runes[i+1] == '/' || unicode.IsLetter(runes[i+1])) {
				b.WriteByte('\\')
			}
		}
		if r != ' ' && !unicode.IsDigit(r) {
			start = false
		}
		b.WriteRune(r)
	}
	return b.String()
}

// fenced makes a line safe inside a code block, which only three backticks can end.
func fenced(line string) string {
	const apart = "`\u200b"
	return strings.ReplaceAll(line, "``", apart+apart)
}

// cut shortens a text to at most limit units, marking the cut.
func cut(text string, limit int) string {
	if Units(text) <= limit {
		return text
	}
	head, _ := split(text, limit-1)
	return head + "…"
}

// split parts a text after at most limit units, never within a character and
// never just behind an escaping backslash.
func split(text string, limit int) (head, rest string) {
	n := 0
	escaped := false
	for i, r := range text {
		w := 1
		if r > 0xFFFF {
			w = 2
		}
		if n+w > limit {
			if escaped {
				i--
			}
			return text[:i], text[i:]
		}
		n += w
		escaped = r == '\\' && !escaped
	}
	return text, ""
}
