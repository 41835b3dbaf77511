package knot

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"larkfold/sizing/near"
)

// Book finds knots by name: [Standard] and what [Book.With] adds to it, so that
// every book has the knots that a sheet's own words stand for. It is not changed
// once made.
type Book struct {
	knots  []*Knot
	byName map[string]*Knot
}

// Standard is the book of Larkfold's own rows, compiled once.
var Standard = sync.OnceValue(func() *Book {
	b, err := new(Book).With(rows()...)
	if err != nil {
		panic("the book's own rows are wrong: " + err.Error())
	}
	return b
})

// With is the book with more rows after its own, as for a community's knots.
// The error names the first row that is wrong, or two knots that share a name.
func (b *Book) With(rows ...Row) (*Book, error) { return b.widened(rows, false) }

// Kept is the book with rows that were taken in before: a name that one of them has
// goes on meaning it, whatever knot the book has learned of by that name since. The
// error names the first row that is wrong.
func (b *Book) Kept(rows ...Row) (*Book, error) { return b.widened(rows, true) }

func (b *Book) widened(rows []Row, over bool) (*Book, error) {
	wider := &Book{knots: slices.Clone(b.knots), byName: maps.Clone(b.byName)}
	if wider.byName == nil {
		wider.byName = map[string]*Knot{}
	}
	for _, r := range rows {
		k, err := Compile(r)
		if err != nil {
			return nil, err
		}
		if err := wider.add(k, over); err != nil {
			return nil, err
		}
	}
	return wider, nil
}

func (b *Book) add(k *Knot, over bool) error {
	names := append([]string{k.Name}, k.Also...)
	if k.Short != "" {
		names = append(names, k.Short)
	}
	for _, name := range names {
		key := fold(name)
		if other, taken := b.byName[key]; taken && !over {
			return fmt.Errorf("knot %q: the name %q already means the %s", k.Name, name, other.Name)
		}
		b.byName[key] = k
	}
	b.knots = slices.DeleteFunc(b.knots, func(o *Knot) bool { return fold(o.Name) == fold(k.Name) })
	b.knots = append(b.knots, k)
	return nil
}

// Knots lists the book in its own order.
func (b *Book) Knots() []*Knot { return slices.Clone(b.knots) }

// Knot finds a knot by its name, its abbreviation or another name it goes by;
// case, hyphens and apostrophes do not matter.
func (b *Book) Knot(name string) (*Knot, bool) {
	if k, ok := b.byName[name]; ok {
		return k, true
	}
	key := fold(name)
	if k, ok := b.byName[key]; ok {
		return k, true
	}
	for _, suffix := range []string{" knots", " knot", "es", "s"} {
		if k, ok := b.byName[strings.TrimSuffix(key, suffix)]; ok {
			return k, true
		}
	}
	return nil, false
}

// Find is the canonical name of the knot that a name means.
func (b *Book) Find(name string) (canonical string, ok bool) {
	if k, ok := b.Knot(name); ok {
		return k.Name, true
	}
	return "", false
}

// Nearest lists up to three canonical names that look like the one given, the
// likeliest first.
func (b *Book) Nearest(name string) []string {
	var names []string
	for _, other := range near.Words(fold(name), slices.Sorted(maps.Keys(b.byName))) {
		if k := b.byName[other]; !slices.Contains(names, k.Name) {
			names = append(names, k.Name)
		}
	}
	return names[:min(3, len(names))]
}

// seen is a name in Unicode's composed form, without marks that cannot be seen.
func seen(name string) string {
	return norm.NFC.String(strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, name))
}

// fold makes names comparable.
func fold(name string) string {
	name = strings.ToLower(seen(name))
	return strings.Join(strings.Fields(unmarked.Replace(name)), " ")
}

// unmarked takes apostrophes out of names, and hyphens for blanks.
var unmarked = strings.NewReplacer("'", "", "’", "", "ʼ", "", "-", " ", "‑", " ", "_", " ")
