// Package mend finds, for a line that a reader refuses, the nearest one that it accepts
// in its place. Everything it proposes has been read, so a right line is right, and it
// keeps every number that could be read and every word that the sheet knows: rather
// than lose one, nothing is proposed.
//
// What will hurt you: each attempt is read, so the search is bounded in attempts. What
// it finds first must be the likeliest: the order of the changes is the heart of it.
package mend

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"larkfold/sizing/caret"
	"larkfold/sizing/near"
	"larkfold/sizing/vocabulary"
)

// Fault is what is wrong with a line.
type Fault struct {
	Column int    // in characters, from 1
	Word   string // the words that are wrong; empty when something is missing
	Right  string // what the reader proposes itself
	Meant  bool   // that is what is meant, if it is accepted
}

// Reader reads one line in its place among others.
type Reader interface {
	// Read is the fault of a line, nil for one that is accepted.
	Read(line string) *Fault
	// First is the word of the sheet that a line begins with, whatever it says for it.
	First(line string) string
	// Firsts are all words that a line may begin with.
	Firsts() []string
	// Samples are the things that can be said in a line with this first word, those
	// that go with the word said last before the others, and the bounds of numbers
	// where a number was wrong.
	Samples(first, said string, bounds bool) []string
	// Units are those that a number without one is likely to have in a line with this
	// first word, the likeliest first.
	Units(first string) []string
	// Words are those that may stand behind this first word.
	Words(first string) []string
	// Knows tells whether a word is one of the sheet's, wherever it stands.
	Knows(word string) bool
	// Plain is a text as words are compared.
	Plain(text string) string
	// Measures tells whether a text begins as a number does.
	Measures(text string) bool
	// Unseen is the byte of the first character that cannot be seen, or -1.
	Unseen(line string) int
}

// mender looks for the right line.
type mender struct {
	Reader
	typed   []string // the words and numbers of the line, see said
	numbers []string // its numbers with their units
}

// The search for a right line: how many changes deep, and how many unfinished
// lines are taken up at each depth.
const (
	mostChanges = 3
	mostTaken   = 4
	mostTried   = 400 // lines read for one fault

	longestMended = 300 // bytes
)

// attempt is a line on the way to being right.
type attempt struct {
	text  string
	bad   *Fault // nil when it is accepted
	score int
	wrong []string // the numbers that gave way to others in their place
}

// Line is the right line nearest to a faulty one, or nothing.
func Line(line string, f Fault, r Reader) string {
	if len(line) >= longestMended {
		return ""
	}
	m := mender{r, said(r.Plain(line)), numbers(r.Plain(line))}
	if f.Meant && (f.Right == "" || m.keepsNumbers(f.Right, nil) && r.Read(f.Right) == nil) {
		return f.Right
	}
	start := attempt{text: line, bad: &f}
	if r.Unseen(line) >= 0 {
		start.text = m.printable(line)
		if start.bad = r.Read(start.text); start.bad == nil {
			return strings.Join(strings.Fields(start.text), " ")
		}
	}
	open := []attempt{start}
	tries := 0
	for changes := 0; changes < mostChanges; changes++ {
		var next []attempt
		var best *attempt
		for _, a := range open {
			for _, text := range m.changes(a) {
				if tries++; tries > mostTried {
					break
				}
				tried := attempt{text: text, bad: m.Read(text), score: m.kept(text), wrong: m.gaveWay(a, text)}
				if tried.bad == nil && m.keeps(text, tried.wrong) && (best == nil || tried.score > best.score) {
					best = &tried
				}
				if tried.bad != nil && tried.bad.Column > a.bad.Column {
					next = append(next, tried)
				}
			}
		}
		if best != nil && best.score <= 0 {
			break // nothing of what was typed is left
		}
		if best != nil {
			return best.text
		}
		slices.SortStableFunc(next, func(a, b attempt) int { return b.score - a.score })
		open = next[:min(len(next), mostTaken)]
	}
	if f.Right != "" && m.keeps(f.Right, nil) && m.saysSome(f.Right) && m.Read(f.Right) == nil {
		return f.Right
	}
	return ""
}

// kept weighs how much of the typed line another one keeps: a number is worth more
// than a word, and what is new costs.
func (m mender) kept(text string) int {
	const number, word, new = 6, 3, 1
	left := map[string]int{}
	for _, w := range m.typed {
		left[w]++
	}
	score := 0
	for _, w := range said(m.Plain(text)) {
		if left[w] == 0 {
			if slices.Contains(units, w) {
				continue
			}
			if typed := near.Word(w, m.typed); utf8.RuneCountInString(w) >= shortest && !m.Measures(w) && left[typed] > 0 {
				left[typed]--
				score += word
			} else {
				score -= new
			}
			continue
		}
		if m.Measures(w) {
			score += number
		} else {
			score += word
		}
		left[w]--
	}
	return score
}

// tidy joins the parts of a line by single blanks.
func tidy(parts ...string) string {
	return strings.TrimRight(strings.ReplaceAll(strings.Join(strings.Fields(strings.Join(parts, " ")), " "), " ,", ","), ",")
}

// printable is a text without the characters that cannot be seen.
func (m mender) printable(text string) string {
	for at := m.Unseen(text); at >= 0; at = m.Unseen(text) {
		_, size := utf8.DecodeRuneInString(text[at:])
		text = text[:at] + text[at+size:]
	}
	return text
}

// changes are lines that differ in one thing from an attempt, the likeliest first.
func (m mender) changes(a attempt) []string {
	f := a.bad
	at := byteAt(a.text, f.Column)
	end := min(at+len(f.Word), len(a.text))
	head, wrong, tail := a.text[:at], a.text[at:end], a.text[end:]
	var all []string
	if f.Right != "" && f.Meant {
		all = append(all, f.Right)
	}
	if trimmed := strings.TrimRight(head, " ,-"); trimmed != strings.TrimSpace(head) {
		all = append(all, tidy(trimmed, wrong, tail), tidy(trimmed, tail))
	}
	verb := m.First(a.text)
	all = append(all, m.spelt(head, wrong, tail, verb)...)
	if at == len(a.text)-len(strings.TrimLeftFunc(a.text, unicode.IsSpace)) {
		for _, w := range m.Firsts() {
			if near.Word(m.Plain(wrong), []string{w}) != "" || vocabulary.Behind(m.Plain(wrong), w) {
				all = append(all, tidy(w, tail))
			}
		}
		if words := strings.Fields(a.text); len(words) > 1 { // the first two the wrong way round
			all = append(all, strings.Join(slices.Concat(words[1:2], words[:1], words[2:]), " "))
		}
		for _, w := range m.Firsts() { // the first one left out
			if w != "piece" { // which any text may follow
				all = append(all, tidy(w, a.text))
			}
		}
		return all
	}
	if wrong != "" {
		all = append(all, tidy(head, strings.Fields(wrong)[0]+"-2", tail))
	}
	all = append(all, m.turned(head, wrong+tail)...)
	if digits := digitsOf(wrong); rounded(digits) != digits {
		all = append(all, tidy(head, rounded(digits), tail))
	}
	before := ""
	if words := strings.Fields(head); len(words) > 0 {
		before = m.Plain(words[len(words)-1])
	}
	for _, s := range m.Samples(verb, before, m.Measures(wrong)) {
		all = append(all, tidy(head, s, wrong, tail), tidy(head, s, tail))
		if wrong != "" {
			all = append(all, tidy(head, s))
		}
	}
	if wrong != "" {
		first := strings.Fields(wrong)[0]
		all = append(all, tidy(head, tail), tidy(head, strings.TrimPrefix(wrong, first), tail), tidy(head))
		all = append(all, withUnits(head, wrong, tail, m.Units(verb))...)
	}
	all = append(all, swapped(a.text)...)
	return all
}

// turned are two words the other way round: the first that is wrong with the one
// before it, and with the one behind it.
func (m mender) turned(head, tail string) []string {
	before, after := strings.Fields(head), strings.Fields(tail)
	var all []string
	if n := len(before); n > 1 && len(after) > 0 && !strings.HasPrefix(after[0], "#") {
		all = append(all, tidy(strings.Join(before[:n-1], " "), after[0], before[n-1], strings.Join(after[1:], " ")))
	}
	if len(after) > 1 && !slices.Contains(units, m.Plain(after[1])) && !strings.HasPrefix(after[1], "#") {
		all = append(all, tidy(head, after[1], after[0], strings.Join(after[2:], " ")))
	}
	return all
}

// byteAt is the byte at which a column of a line begins.
func byteAt(text string, column int) int {
	at := 0
	for _, c := range caret.Characters(text) {
		if column--; column == 0 {
			break
		}
		at += len(c.Text)
	}
	return min(at, len(text))
}

var units = []string{"cm", "mm", "m", "in"}

// digitsOf is the number that a text begins with, without its sign; empty for none.
func digitsOf(text string) string {
	text = strings.TrimLeft(text, "-−+")
	return text[:len(text)-len(strings.TrimLeft(text, "0123456789.,"))]
}

// rounded is the whole number nearest to another; the same for what is none.
func rounded(digits string) string {
	x, err := strconv.ParseFloat(strings.ReplaceAll(digits, ",", "."), 64)
	if err != nil {
		return digits
	}
	return strconv.FormatFloat(x, 'f', 0, 64)
}

// withUnits are the numbers of a text with other units.
func withUnits(head, wrong, tail string, likely []string) []string {
	digits := digitsOf(wrong)
	if digits == "" {
		return nil
	}
	var all []string
	if !strings.HasPrefix(wrong, digits) { // its sign is wrong
		all = append(all, tidy(head, digits, wrong[strings.Index(wrong, digits)+len(digits):], tail))
	}
	for _, unit := range likely {
		all = append(all, tidy(head, digits, unit, tail))
	}
	return append(all, tidy(head, digits, tail), tidy(head, digits+"%", tail))
}

// swapped is a dowel's line with both its lengths the other way round.
func swapped(text string) []string {
	word, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	a, b, found := strings.Cut(rest, "x")
	if !found {
		return nil
	}
	return []string{strings.Join(strings.Fields(word+" "+b+" x "+a), " ")}
}
