package terminal

import (
	"errors"
	"io"
	"strings"

	"larkfold/cmd/larkfold/files"
)

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
