package fit

import (
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/reply"
)

// Form returns the modal that asks a form's questions. It refuses a form that
// the platform would refuse, rather than lose any of its text.
func Form(f reply.Form) (*Modal, error) {
	id, err := EncodeAction(0, f.Do)
	if err != nil {
		return nil, err
	}
	title := strings.TrimSpace(oneLine(f.Title))
	if title == "" {
		return nil, fmt.Errorf("the form of action %q has no title", f.Do.Name)
	}
	if n := len(f.Fields); n < 1 || n > modalFields {
		return nil, fmt.Errorf("form %q has %d fields, the platform takes 1 to %d", title, n, modalFields)
	}
	m := &Modal{CustomID: id, Title: cut(title, modalTitle)}
	seen := map[string]bool{}
	for _, field := range f.Fields {
		input, err := input(field)
		if err != nil {
			return nil, fmt.Errorf("form %q: %w", title, err)
		}
		if seen[field.Name] {
			return nil, fmt.Errorf("form %q has field %q twice", title, field.Name)
		}
		seen[field.Name] = true
		label := strings.TrimSpace(oneLine(field.Label))
		if label == "" {
			label = field.Name
		}
		m.Components = append(m.Components, component{
			Type: componentLabel, Label: cut(label, inputLabel), Component: input,
		})
	}
	return m, nil
}

// ErrTooLong is that a field cannot hold what it starts with.
var ErrTooLong = errors.New("it is too long for a form")

// input is what a field is filled in with: a text input, or a menu of its choices.
func input(f reply.Field) (*component, error) {
	if f.Name == "" || Units(f.Name) > customIDLength {
		return nil, fmt.Errorf("field name %q must have 1 to %d characters", f.Name, customIDLength)
	}
	required := f.Required
	if len(f.Choices) > 0 {
		options := Menu(f.Choices)
		if len(options) != len(f.Choices) {
			return nil, fmt.Errorf("field %q has %d choices, of which the platform takes %d", f.Name, len(f.Choices), len(options))
		}
		for i, o := range options {
			options[i].Default = o.Value == f.Value
		}
		return &component{Type: componentMenu, CustomID: f.Name, Placeholder: cut(oneLine(f.Placeholder), inputPlaceholder), Options: options, Required: &required}, nil
	}
	longest := f.MaxLength
	if longest <= 0 || longest > inputValue {
		longest = inputValue
	}
	value := clean(f.Value)
	if n := Units(value); n > longest {
		return nil, fmt.Errorf("field %q starts with %d characters, it may hold %d: %w", f.Name, n, longest, ErrTooLong)
	}
	style := inputShort
	if f.Long {
		style = inputLong
	}
	return &component{
		Type: componentTextInput, CustomID: f.Name, Style: style, Value: value, MaxLength: longest,
		Placeholder: cut(oneLine(f.Placeholder), inputPlaceholder), Required: &required,
	}, nil
}

// FormAsFiles keeps what a form that cannot be shown started with.
func FormAsFiles(m *Message, f reply.Form, fileLimit int) {
	taken := map[string]bool{}
	for _, file := range m.Files {
		taken[file.Name] = true
	}
	for _, field := range f.Fields {
		if field.Value != "" && len(m.Files) < filesPerMessage && len(field.Value) <= fileLimit {
			m.attach(attachmentName(field.Name+".txt", taken), []byte(field.Value), "The text of "+cut(oneLine(field.Name), 100))
		}
	}
}
