package mend

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"larkfold/sizing/near"
)

var (
	wordOrNumber = regexp.MustCompile(`\d+(?:[.,/]\d+)*|[\p{L}\p{M}']+`)
	oneNumber    = regexp.MustCompile(`^[-−+]?\d[\d.,/]*\s*(?:mm|cm|m|km|in|ft|yd|%|°)?$`)
	measured     = regexp.MustCompile(`\d+(?:[.,/]\d+)*(?:\s*(?:mm|cm|m|km|in|ft|yd|g|kg|oz)\b)?`)
	joined       = regexp.MustCompile(`(\d)\s+(?:to|till|until|through|thru|and)\s+(\d)`)
)

// counted are the numbers that people write in words.
var counted = []string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// inFigures is a word for a number in figures; the same for any other.
func inFigures(word string) string {
	if n := slices.Index(counted, word); n >= 0 {
		return strconv.Itoa(n)
	}
	return word
}

// said are the words and numbers of a text, the numbers in figures; what joins two
// numbers is none.
func said(plain string) []string {
	all := wordOrNumber.FindAllString(joined.ReplaceAllString(plain, "$1 $2"), -1)
	for i, w := range all {
		all[i] = inFigures(w)
	}
	return all
}

// numbers are those of a text with their units, "18cm".
func numbers(plain string) []string {
	var words []string
	for _, w := range strings.Fields(plain) {
		words = append(words, inFigures(w))
	}
	all := measured.FindAllString(strings.Join(words, " "), -1)
	for i, n := range all {
		all[i] = strings.ReplaceAll(n, " ", "")
	}
	return all
}

// keeps tells whether a line says every number that was typed, besides those that were
// themselves wrong, and every word of the sheet, the first in its place. What was typed
// and is no word of the sheet may give way to as many words, and no more.
func (m mender) keeps(text string, wrong []string) bool {
	have := said(m.Plain(text))
	if len(m.typed) > 0 && slices.Contains(m.Firsts(), m.typed[0]) && len(have) > 0 && have[0] != m.typed[0] {
		return false
	}
	left, lost := slices.Clone(have), 0
	for _, w := range m.typed {
		if i := slices.Index(left, w); i >= 0 {
			left = slices.Delete(left, i, i+1)
			continue
		}
		if i := slices.Index(left, near.Word(w, left)); i >= 0 && !m.Measures(w) && !m.Knows(w) {
			left = slices.Delete(left, i, i+1)
			continue
		}
		if !m.Measures(w) && m.Knows(w) {
			return false
		}
		lost++
	}
	added := len(slices.DeleteFunc(left, func(w string) bool { return slices.Contains(units, w) }))
	return (lost == 0 || added <= lost) && m.keepsNumbers(text, wrong)
}

// saysSome tells whether a line says anything that was typed.
func (m mender) saysSome(text string) bool {
	have := said(m.Plain(text))
	return slices.ContainsFunc(m.typed, func(w string) bool { return slices.Contains(have, w) })
}

// keepsNumbers tells whether a line says every number that was typed as often as it was
// and with its unit, besides those that were themselves wrong, and nothing.
func (m mender) keepsNumbers(text string, wrong []string) bool {
	have := append(numbers(m.Plain(text)), wrong...)
	for _, n := range m.numbers {
		if strings.Trim(n, "0") == "" {
			continue
		}
		i := slices.IndexFunc(have, func(h string) bool { return h == n || strings.TrimRight(h, "cfgikmntydoz%°") == n })
		if i < 0 {
			return false
		}
		have = slices.Delete(have, i, i+1)
	}
	return true
}

// gaveWay are the numbers that are wrong in a line that comes of an attempt: those that
// were before, and the one at fault where another stands in its place.
func (m mender) gaveWay(a attempt, text string) []string {
	at := byteAt(a.text, a.bad.Column)
	behind, same := strings.CutPrefix(text, strings.Join(strings.Fields(a.text[:at]), " ")+" ")
	wrong := m.Plain(a.bad.Word)
	if !same || !oneNumber.MatchString(wrong) || !m.Measures(behind) {
		return a.wrong
	}
	return slices.Concat(a.wrong, numbers(wrong))
}
