// Package spelling tells names apart as people do: by how they look, case-blind.
//
// What will hurt you: [Fold] makes keys of names that are on people's disks. What it
// makes of a name must stay the same for ever.
package spelling

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Seen is a name as it is seen: composed (Unicode's form NFC), without marks that
// cannot be seen or turn the direction of writing, every run of blanks one blank.
func Seen(name string) string {
	if !utf8.ValidString(name) {
		return name // which is refused
	}
	plain := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, name)
	return strings.Join(strings.Fields(norm.NFC.String(plain)), " ")
}

// Looks is equal for names that look the same but for case. Names that were saved
// before they were cleaned are found by it too.
func Looks(name string) string { return Fold(Seen(name)) }

// Fold makes names that differ only in case the same.
func Fold(name string) string {
	return strings.Map(foldRune, strings.Join(strings.Fields(name), " "))
}

// foldRune returns the least rune of those that are the same but for case.
func foldRune(r rune) rune {
	if r < utf8.RuneSelf {
		return unicode.ToLower(r)
	}
	least := r
	for f := unicode.SimpleFold(r); f != r; f = unicode.SimpleFold(f) {
		least = min(least, f)
	}
	return unicode.ToLower(least)
}

// Sort sorts by name, case-blind; items of the same name stay in their order.
func Sort[T any](list []T, name func(T) string) {
	type named struct {
		folded string
		item   T
	}
	all := make([]named, len(list))
	for i, item := range list {
		all[i] = named{Fold(name(item)), item}
	}
	slices.SortStableFunc(all, func(a, b named) int { return strings.Compare(a.folded, b.folded) })
	for i, n := range all {
		list[i] = n.item
	}
}
