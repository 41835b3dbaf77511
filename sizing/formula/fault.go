package formula

import (
	"strings"
	"unicode"

	"github.com/rivo/uniseg"
)

// Kind says what sort of thing is wrong with a formula.
type Kind int

// The kinds of fault.
const (
	Syntax      Kind = iota // a sign, bracket or word in the wrong place
	Unknown                 // a word or character that means nothing here
	Dimension               // lengths and numbers mixed up, or an answer that is no length
	Implausible             // an answer that no cord can have somewhere in the working range
	TooLong                 // more text than a formula may have
	Missing                 // a quantity that the formula needs was not given
)

// Fault is what is wrong with a formula, where, and what would be right.
type Fault struct {
	Kind   Kind
	Source string // the formula as read
	Column int    // of the wrong place, in characters from 1
	Width  int    // of the wrong place, in characters
	Wrong  string // a sentence: what was read and what is wrong with it
	Right  string // a sentence: what would be right
	Likely string // the formula with what was likely meant in the wrong place; empty where nothing suggests itself
}

// Error returns the fault on four lines: what is wrong, the formula, carets under the
// wrong place, what would be right.
func (f *Fault) Error() string {
	return f.Wrong + "\n" + f.Picture() + "\n" + f.Right
}

// Picture returns the formula and, on a second line, carets under the wrong
// place. Long formulas are shown in part.
func (f *Fault) Picture() string {
	const indent, before, after = "    ", 40, 36
	runes := []rune(visible(f.Source))
	from := min(max(f.Column-1, 0), len(runes))
	to := min(from+max(f.Width, 1), len(runes))
	start, lead := 0, ""
	if from > before {
		start, lead = from-before, "..."
	}
	end, trail := len(runes), ""
	if end > from+after {
		end, trail = from+after, "..."
	}
	to = min(to, end)
	shown := lead + string(runes[start:end]) + trail
	margin := uniseg.StringWidth(lead + string(runes[start:from]))
	carets := max(uniseg.StringWidth(string(runes[from:to])), 1)
	return indent + shown + "\n" + indent + strings.Repeat(" ", margin) + strings.Repeat("^", carets)
}

// visible puts a space for every white space and a question mark for every
// character that has no picture of its own, so that carets line up.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case !unicode.IsGraphic(r) || unicode.Is(unicode.Mn, r) || r == unicode.ReplacementChar:
			return '?'
		}
		return r
	}, s)
}

// span is a part of the source, in characters from 0, its end excluded.
type span struct{ from, to int }

func (s span) width() int { return s.to - s.from }

func (s span) join(other span) span { return span{min(s.from, other.from), max(s.to, other.to)} }

func faultAt(kind Kind, source string, at span, wrong, right string) *Fault {
	return &Fault{Kind: kind, Source: source, Column: at.from + 1, Width: at.width(), Wrong: wrong, Right: right}
}

// likely is the fault with what was likely meant in its place.
func (f *Fault) likely(meant string) *Fault {
	runes := []rune(f.Source)
	from := f.Column - 1
	f.Likely = string(runes[:from]) + meant + string(runes[from+f.Width:])
	return f
}

// quote puts typographic quotation marks round a text, because inches use the plain ones.
func quote(s string) string { return "“" + s + "”" }
