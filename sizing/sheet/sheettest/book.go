// Package sheettest makes random working sheets for tests: [Written] gives any
// sheet that the notation can write, [Valid] only such as can be knotted. Both
// name knots of the small [Book], which the knot book of the program knows too.
package sheettest

import (
	"slices"
	"strings"
)

// Book is a small knot book for tests, which looks names up as written. The zero
// value is ready.
type Book struct{}

// Names are the canonical names of the knots in the Book.
func Names() []string {
	return []string{"square knot", "half knot", "vertical lark's head", "overhand knot"}
}

// Find returns the canonical name; the last word of a name may be left out.
func (Book) Find(name string) (canonical string, ok bool) {
	for _, n := range Names() {
		short, _ := strings.CutSuffix(n, " knot")
		if name == n || name == short {
			return n, true
		}
	}
	return "", false
}

// Nearest returns the knots that begin with the same letter.
func (Book) Nearest(name string) []string {
	return slices.DeleteFunc(Names(), func(n string) bool { return name == "" || n[0] != name[0] })
}
