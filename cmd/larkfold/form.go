package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"larkfold/commands"
)

// endOfField is the line that ends a long field.
const endOfField = "."

// fill asks for a form's fields one by one.
func (s *session) fill(form commands.Form) (map[string]string, error) {
	if err := s.screen.show([]commands.Block{commands.Heading{Text: form.Title}}); err != nil {
		return nil, err
	}
	fields := map[string]string{}
	for _, f := range form.Fields {
		value, err := s.field(f)
		if err != nil {
			return nil, err
		}
		if value == "" {
			value = f.Value
		}
		fields[f.Name] = value
	}
	return fields, nil
}

func (s *session) field(f commands.Field) (string, error) {
	if !f.Long {
		prompt := f.Label
		if f.Value != "" {
			prompt += " [" + f.Value + "]"
		}
		if _, isPiped := s.asker.(*piped); isPiped {
			if err := s.say(prompt); err != nil {
				return "", err
			}
		}
		value, err := s.asker.ask(prompt + ": ")
		return strings.TrimSpace(value), unfilled(err)
	}
	blocks := []commands.Block{commands.Text{Text: f.Label}}
	hint := "Type it line by line, or @FILE. A line with a single dot ends it."
	if f.Value != "" {
		blocks = append(blocks, commands.Verbatim{Text: f.Value})
		hint = "Type what should stand there instead, line by line, or @FILE. A line with a single dot ends it; the dot alone keeps what is there."
	}
	if err := s.screen.show(append(blocks, commands.Text{Text: hint})); err != nil {
		return "", err
	}
	var lines []string
	for {
		l, err := s.asker.ask("| ")
		if errors.Is(err, io.EOF) && len(lines) > 0 {
			break
		}
		if err != nil {
			return "", unfilled(err)
		}
		if strings.TrimSpace(l) == endOfField {
			break
		}
		if file, ok := strings.CutPrefix(strings.TrimSpace(l), "@"); ok && len(lines) == 0 {
			text, err := readText(file)
			if err == nil {
				return text, nil
			}
			if err := s.say(fmt.Sprintf("%v. Name another file, or type the text.", err)); err != nil {
				return "", err
			}
			continue
		}
		lines = append(lines, l)
	}
	if len(lines) == 0 {
		return "", nil
	}
	return strings.Join(lines, "\n") + "\n", nil
}

// unfilled explains that a form was opened and nothing came to fill it.
func unfilled(err error) error {
	if errors.Is(err, io.EOF) {
		return badInput{"a form was opened and nothing was there to fill it with: give the lines on standard input, or the option as sheet:@FILE"}
	}
	return err
}
