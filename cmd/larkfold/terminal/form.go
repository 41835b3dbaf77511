package terminal

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"larkfold/cmd/larkfold/files"
	"larkfold/commands/reply"
)

// toEmpty is what is typed to empty a field that may be empty.
const toEmpty = "-"

// question is the label of a short field, with what an empty line keeps.
func question(f reply.Field) string {
	switch {
	case f.Value == "":
		return clean(f.Label) + ": "
	case f.Required:
		return fmt.Sprintf("%s (%s): ", clean(f.Label), clean(f.Value))
	}
	return fmt.Sprintf("%s (%s; %s empties it): ", clean(f.Label), clean(f.Value), toEmpty)
}

// filled is what a field holds after something was typed for it: nothing keeps what
// stands there, a choice is picked by number or as it is written. Anything else is
// handed on, to be refused with its reason.
func filled(f reply.Field, typed string) string {
	said := strings.TrimSpace(typed)
	value, picked := chosen(f.Choices, said)
	switch {
	case said == "":
		return f.Value
	case picked:
		return value
	case said == toEmpty && !f.Required:
		return ""
	}
	return typed
}

// endOfField is the line that ends a long field.
const endOfField = "."

// longField reads lines up to a single dot or the end. A first line "@FILE"
// stands for the file's text. A dot alone gives an empty text.
func longField(next func() (string, error)) (string, error) {
	var text strings.Builder
	for {
		l, err := next()
		switch {
		case errors.Is(err, io.EOF) && text.Len() > 0:
			return text.String(), nil
		case err != nil:
			return "", err
		case strings.TrimSpace(l) == endOfField:
			return text.String(), nil
		}
		if file, ok := strings.CutPrefix(strings.TrimSpace(l), "@"); ok && text.Len() == 0 {
			content, err := files.Text(file)
			if err != nil {
				return "", &InputError{err.Error()}
			}
			return content, nil
		}
		text.WriteString(l + "\n")
	}
}
