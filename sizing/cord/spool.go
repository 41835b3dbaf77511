package cord

import (
	"strings"
	"unicode"

	"larkfold/sizing/length"
)

// ParseSpool reads what a spool holds as its label says it: its length, then its mass
// and its price as far as they are known, "100 m 900 g 24.00". Bare is what a length
// without unit counts, zero to refuse it. Errors are [length.InputError].
//
// The length ends at its first unit after which the rest is a mass, so that the price
// is never taken for centimetres.
func ParseSpool(text string, bare length.Length) (Spool, error) {
	fault := func(wrong, right string) error {
		return &length.InputError{Noun: "spool", Input: text, Wrong: wrong, Right: right}
	}
	words := strings.Fields(strings.ReplaceAll(text, ", ", " "))
	var s Spool
	if n := len(words); n > 1 && isNumber(words[n-1]) && !isNumber(strings.Join(words[:n-1], "")) {
		price, err := ParsePrice(words[n-1])
		if err != nil {
			return Spool{}, err
		}
		if price == 0 {
			return Spool{}, fault("a price of nothing is no price", "leave it out when there is none")
		}
		s.Price, words = price, words[:n-1]
	}
	for i := 1; i <= len(words); i++ {
		long, heavy := strings.Join(words[:i], " "), strings.Join(words[i:], " ")
		var err error
		if s.Length, err = length.Parse(long, bare); err != nil || isNumber(long) && i < len(words) {
			continue
		}
		if i == len(words) {
			return s, nil
		}
		if s.Mass, err = length.ParseMass(heavy, 0); err != nil {
			continue
		}
		if s.Mass <= 0 {
			return Spool{}, fault("a mass of nothing is no mass", "leave it out when you do not know it")
		}
		return s, nil
	}
	if _, err := length.Parse(text, bare); err != nil && len(words) < 2 {
		return Spool{}, err
	}
	return Spool{}, fault("it is not what a spool holds", "its length with the unit, then its mass and its price if you know them, such as 100 m 900 g 24.00")
}

// isNumber tells whether a text holds no unit.
func isNumber(text string) bool {
	return strings.IndexFunc(text, func(r rune) bool {
		return unicode.IsLetter(r) || strings.ContainsRune("'\"’‘”“′″`´", r)
	}) < 0
}
