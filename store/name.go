package store

import (
	"encoding/json"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"larkfold/store/spelling"
)

const nameRunes = 80

// cleanName is a name as it is seen, and refuses what could not be typed again.
func cleanName(name string) (string, error) {
	refuse := func(reason string) (string, error) {
		return "", &InvalidError{What: "name", Read: name, Reason: reason}
	}
	if !utf8.ValidString(name) {
		return refuse("it is not valid text")
	}
	clean := spelling.Seen(name)
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
