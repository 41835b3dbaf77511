package ask

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"larkfold/sizing/length"
)

var (
	figures  = regexp.MustCompile(`\d[\d.,]*(?:\s*/\s*\d+)?`)
	measured = regexp.MustCompile(`(?i)\d[\d.,]*(?:\s+\d+\s*/\s*\d+|\s*/\s*\d+)?\s*[a-zµ"'″′]*`)
	zeroes   = regexp.MustCompile(`(\d)[oO]|[oO](\d)`)
)

// none are words for nothing.
var none = []string{"none", "no", "nothing", "without", "off", "nil", "zero", "0"}

// counted are the numbers that people write in words.
var counted = []string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// Likely is what a text that is no length, or none within bounds, was most likely
// meant to say; empty when nothing suggests itself. A bare number counts so many of a unit.
func Likely(text string, b length.Bounds, bare length.Length) string {
	text = strings.ToLower(strings.TrimSpace(text))
	if slices.Contains(none, text) && b.Least == 0 {
		return "0"
	}
	if strings.Contains(text, "%") {
		return "" // a share of something is no length
	}
	text = inFigures(zeroes.ReplaceAllString(text, "${1}0${2}"))
	tries := measured.FindAllString(text, -1)
	slices.SortStableFunc(tries, func(a, b string) int { return unitless(a) - unitless(b) })
	for _, m := range slices.Clone(tries) {
		digits := figures.FindString(m)
		if unit := strings.TrimSpace(strings.TrimPrefix(m, digits)); unit != "" {
			tries = append(tries, nearUnits(digits, unit)...)
		}
	}
	for _, digits := range figures.FindAllString(text, -1) {
		for _, d := range []string{digits, strings.ReplaceAll(digits, ",", ""), firstDecimal(digits)} {
			for _, unit := range []string{b.Usual.Symbol, "cm", "mm", "in", "m"} {
				tries = append(tries, strings.TrimSpace(d+" "+unit))
			}
		}
	}
	for _, t := range append([]string{text}, tries...) {
		t = strings.TrimRight(strings.TrimSpace(t), ".,")
		if _, err := b.Parse(t, bare); err == nil {
			return Compact(t)
		}
	}
	return ""
}

// amountsSaid are amounts that people write in words, and how they are written in
// figures, once the numbers up to twelve are.
var amountsSaid = []struct {
	words   *regexp.Regexp
	figures string
}{
	{regexp.MustCompile(`\ban?\s+([a-z]+)\s+and\s+a\s+half\b`), "1 1/2 $1"},
	{regexp.MustCompile(`\b(\d+)(\s+[a-z]+)?\s+and\s+a\s+half\b`), "$1 1/2$2"},
	{regexp.MustCompile(`\b(\d+)(\s+[a-z]+)?\s+and\s+a\s+quarter\b`), "$1 1/4$2"},
	{regexp.MustCompile(`\b(\d+)(\s+[a-z]+)?\s+and\s+3[\s-]+quarters?\b`), "$1 3/4$2"},
	{regexp.MustCompile(`\b3[\s-]+quarters?\s+(?:of\s+)?(?:an?\s+)?`), "3/4 "},
	{regexp.MustCompile(`\b(\d+)[\s-]+eighths?\s+(?:of\s+)?(?:an?\s+)?`), "$1/8 "},
	{regexp.MustCompile(`\b(\d+)[\s-]+sixteenths?\s+(?:of\s+)?(?:an?\s+)?`), "$1/16 "},
	{regexp.MustCompile(`\b(\d+)\s*(?:m|met(?:re|er)s?)\s+(\d\d)$`), "$1.$2 m"},
	{regexp.MustCompile(`\b(\d+)\s*(?:ft|feet|foot)\s+(\d|1[01])$`), "$1 ft $2 in"},
	{regexp.MustCompile(`\b(?:an?\s+)?half\s+(?:of\s+)?(?:an?\s+)?`), "1/2 "},
	{regexp.MustCompile(`\b(?:a\s+)?quarter\s+(?:of\s+)?(?:an?\s+)?`), "1/4 "},
	{regexp.MustCompile(`\ban?\s+`), "1 "},
}

// unread are words of an amount that no figures were found for: with one of them left,
// the figures beside it say something else than was meant.
var unread = regexp.MustCompile(`\b(?:half|halves|thirds?|quarters?|fifths?|eighths?|sixteenths?|hundreds?|thousands?|dozens?|scores?|couple|few|[a-z]+teen|(?:twen|thir|for|fif|six|seven|eigh|nine)ty)\b`)

var numbersSaid = func() (all []*regexp.Regexp) {
	for _, word := range counted {
		all = append(all, regexp.MustCompile(`\b`+word+`\b`))
	}
	return all
}()

// inFigures is a text with the amounts that it says in words; empty where some of them
// are not understood.
func inFigures(text string) string {
	if slices.Contains(counted, text) {
		return text // a number by itself is no amount
	}
	for n, word := range numbersSaid {
		text = word.ReplaceAllString(text, strconv.Itoa(n))
	}
	for _, said := range amountsSaid {
		text = said.words.ReplaceAllString(text, said.figures)
	}
	if unread.MatchString(text) {
		return ""
	}
	return text
}

// nearUnits are a number with the units that are written much like another one.
func nearUnits(digits, unit string) []string {
	var all []string
	for _, u := range []string{"mm", "cm", "m", "in", "ft", "yd"} {
		if strings.HasPrefix(unit, u) {
			all = append(all, digits+" "+u)
		}
	}
	for _, u := range []string{"millimetre", "centimetre", "metre", "inch", "foot", "yard"} {
		if strings.HasPrefix(unit, u[:3]) {
			all = append([]string{digits + " " + u}, all...)
		}
	}
	return all
}

// unitless is 1 for a number that stands alone, which counts less than one with a unit.
func unitless(text string) int {
	if strings.TrimRight(text, "0123456789.,/ ") == "" {
		return 1
	}
	return 0
}

// firstDecimal is a number up to its second point.
func firstDecimal(digits string) string {
	parts := strings.FieldsFunc(digits, func(r rune) bool { return r == '.' || r == ',' })
	return strings.Join(parts[:min(2, len(parts))], ".")
}

// wholeIn is the whole number that a text says, in figures or in a word.
func wholeIn(text string) (int, bool) {
	if i := slices.Index(counted, strings.ToLower(strings.TrimSpace(text))); i >= 0 {
		return i, true
	}
	digits := strings.TrimRight(figures.FindString(text), ".,")
	x, err := strconv.ParseFloat(strings.ReplaceAll(digits, ",", "."), 64)
	const most = 1e6
	if err != nil {
		return 0, false
	}
	n := int(min(x, most))
	if float64(n) < x {
		n++
	}
	return n, true
}
