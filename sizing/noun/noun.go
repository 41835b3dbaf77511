// Package noun writes numbers and names in English: "1 end", "2 daisies", "an
// overhand knot", "A, B and C".
//
// It is the one place that knows plurals and articles; knots have names that
// communities make up, so it goes by the spelling. What will hurt you: spelling does
// not say how a word sounds ("an hour", "a unit"), nor which plurals are irregular;
// name things so that they need neither.
package noun

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Count is a number with its noun: "1 spool", "0 spools", "3 half hitches".
func Count(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + Plural(one)
}

// Plural is a noun for any number but one.
func Plural(one string) string {
	switch last := strings.TrimSuffix(one, "y"); {
	case last == "":
		return one + "s"
	case last != one && !strings.ContainsAny(last[len(last)-1:], "aeiou"):
		return last + "ies"
	}
	for _, hissing := range []string{"s", "x", "z", "ch", "sh"} {
		if strings.HasSuffix(one, hissing) {
			return one + "es"
		}
	}
	return one + "s"
}

// Article is a noun with "a" or "an" before it.
func Article(one string) string {
	if one != "" && strings.ContainsAny(one[:1], "aeiouAEIOU") {
		return "an " + one
	}
	return "a " + one
}

// List joins words with commas and a last "and": "a, b and c".
func List(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// Capital begins a text with a capital letter.
func Capital(text string) string {
	_, size := utf8.DecodeRuneInString(text)
	return strings.ToUpper(text[:size]) + text[size:]
}
