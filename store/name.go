package store

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

const nameRunes = 80

// seen is a name as it is seen: composed (Unicode's form NFC), without marks that
// cannot be seen or turn the direction of writing, every run of blanks one blank.
func seen(name string) string {
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

// looks is equal for names that look the same but for case. Names that were saved
// before they were cleaned are found by it too.
func looks(name string) string { return foldName(seen(name)) }

// cleanName is a name as it is seen, and refuses what could not be typed again.
func cleanName(name string) (string, error) {
	refuse := func(reason string) (string, error) {
		return "", &InvalidError{What: "name", Read: name, Reason: reason}
	}
	if !utf8.ValidString(name) {
		return refuse("it is not valid text")
	}
	clean := seen(name)
	if clean == "" {
		return refuse("a name has at least one letter or digit")
	}
	if n := utf8.RuneCountInString(clean); n > nameRunes {
		return refuse(fmt.Sprintf("it has %d characters and a name has at most %d", n, nameRunes))
	}
	if i := strings.IndexFunc(clean, func(r rune) bool { return unicode.IsControl(r) || r == utf8.RuneError }); i >= 0 {
		return refuse("it holds a character that cannot be shown")
	}
	return clean, nil
}

// foldName makes names that differ only in case the same.
func foldName(name string) string {
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

// sortByName sorts by name, case-blind; items of the same name stay in their order.
func sortByName[T any](list []T, name func(T) string) {
	type named struct {
		folded string
		item   T
	}
	all := make([]named, len(list))
	for i, item := range list {
		all[i] = named{foldName(name(item)), item}
	}
	slices.SortStableFunc(all, func(a, b named) int { return strings.Compare(a.folded, b.folded) })
	for i, n := range all {
		list[i] = n.item
	}
}

// cleanData puts JSON into the form in which it will be read back, and refuses
// what is too long or no JSON.
func (l Limits) cleanData(data *json.RawMessage) error {
	if len(*data) == 0 {
		*data = nil
		return nil
	}
	if err := within("bytes of data in one record", len(*data), l.DataBytes); err != nil {
		return err
	}
	clean, err := json.Marshal(*data)
	if err != nil {
		return &InvalidError{What: "data", Read: string((*data)[:min(len(*data), 40)]), Reason: "it is not JSON"}
	}
	*data = clean
	return nil
}

// idBytes is how long the id of a member, a community or a channel may be.
const idBytes = 200

// checkID refuses an id that could not be kept as it is.
func checkID(what, id string) error {
	if len(id) > idBytes {
		return &InvalidError{What: what, Read: id[:40], Reason: fmt.Sprintf("it has %d bytes and an id has at most %d", len(id), idBytes)}
	}
	return checkText(what, id)
}

func checkText(what, text string) error {
	if !utf8.ValidString(text) {
		return &InvalidError{What: what, Read: strings.ToValidUTF8(text[:min(len(text), 40)], "?"), Reason: "it is not valid text"}
	}
	return nil
}
