package formula

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"larkfold/sizing/near"
)

// refuseCharacter explains a character that no formula may hold.
func refuseCharacter(source string, r rune, column int) *Fault {
	wrong, right := explain(r)
	return faultAt(Unknown, source, span{column, column + 1}, wrong, right)
}

func explain(r rune) (wrong, right string) {
	read := quote(string(r))
	if !unicode.IsGraphic(r) || r == unicode.ReplacementChar {
		return fmt.Sprintf("An invisible or broken character (U+%04X) stands here.", r), "Delete it, or type the formula anew."
	}
	if plain, script, ok := lookalike(r); ok {
		return fmt.Sprintf("%s looks like %s but is a %s letter (U+%04X).", read, plain, script, r), "Type " + plain + "."
	}
	switch {
	case r >= 0xff01 && r <= 0xff5e:
		return read + " is a full-width character.", "Type " + string(r-0xfee0) + "."
	case unicode.IsDigit(r):
		return read + " is not one of the digits 0 to 9.", "Write numbers with the digits 0 to 9."
	case strings.ContainsRune("\u00bd\u00bc\u00be\u2153\u2154\u215b\u215c\u215d\u215e", r):
		return read + " is a fraction in one character.", "Write it as a sum, such as 1/2 inch or 0.5 inch."
	case strings.ContainsRune("\u00b2\u00b3\u2070\u00b9\u207f", r):
		return read + " is a raised figure.", "Write powers with ^, as in k^2."
	}
	switch r {
	case '=':
		return "“=” has no place here: a formula is only the sum itself.", "Write what it is equal to, as in 4 * finished."
	case '%':
		return "“%” is not known here.", "Write a share as a factor: 1.08 for 8 % more."
	case '<', '>', '?', ':', '&', '|', '!':
		return read + " does not belong in a formula: there are no comparisons here.", "Write only the sum itself; min(a, b) and max(a, b) choose between two values."
	case '[', ']', '{', '}':
		return read + " is the wrong kind of bracket.", "Use round brackets: ( and )."
	case '.':
		return "“.” stands here without a number.", "Write decimals as in 1.5."
	case ';', '#', '$', '@', '~', '\\', '`', '_':
		return read + " does not belong in a formula.", "Use numbers, names, units, brackets and + - * / ^ only."
	case '"', '\u201d', '\u2033':
		return read + " is not read as inches here.", "Write inch, as in 3/4 inch."
	case '\'', '\u2019', '\u2032':
		return read + " is not read as feet here.", "Write ft, as in 4 ft."
	case '\u221a':
		return read + " is not read here.", "Write sqrt(...)."
	case '\u00d8', '\u00f8', '\u2300', '\u2205':
		return read + " is not read here.", "Write d for the diameter of the cord, D for that of the rod."
	case '\u2014':
		return read + " is a long dash.", "Write - for minus."
	}
	return read + " does not belong in a formula.", "Use numbers, names, units, brackets and + - * / ^ only."
}

// lookalike names the plain letter that a Greek or Cyrillic letter is mistaken for.
func lookalike(r rune) (plain, script string, ok bool) {
	const (
		cyrillic = "\u0430a\u0441c\u0501d\u0435e\u0456i\u043ak\u043cm\u043en\u043fn\u0440p\u0445x\u0442t\u0443y\u0421C\u0415E\u041aK\u041cM\u041eO\u0420P\u0422T\u0425X"
		greek    = "\u03b1a\u03b4d\u03bak\u03bcm\u03b7n\u03bdn\u03bfo\u03c1p\u03c4t\u03a0P\u039aK\u039cM\u039dN\u039fO\u03a1P\u03a4T"
	)
	for _, table := range []struct{ script, pairs string }{{"Cyrillic", cyrillic}, {"Greek", greek}} {
		pairs := []rune(table.pairs)
		for i := 0; i < len(pairs); i += 2 {
			if pairs[i] == r {
				return string(pairs[i+1]), table.script, true
			}
		}
	}
	return "", "", false
}

// nearest returns the known name that a typing slip may have been, or nothing.
func nearest(text string, use Use) string {
	const least = 3 // letters; a shorter name is like too many others
	if len(text) < least {
		return ""
	}
	return near.Word(text, slices.DeleteFunc(allNames(use), func(name string) bool { return len(name) < least }))
}
