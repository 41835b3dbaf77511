package main

import (
	"reflect"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// fieldsOf are the names in JSON of all fields of a type, down to the last.
func fieldsOf(t reflect.Type, names map[string]bool) map[string]bool {
	switch t.Kind() {
	case reflect.Slice, reflect.Pointer:
		return fieldsOf(t.Elem(), names)
	case reflect.Struct:
		for _, f := range reflect.VisibleFields(t) {
			if name := regexp.MustCompile(`^\w+`).FindString(f.Tag.Get("json")); name != "" {
				names[name] = true
				fieldsOf(f.Type, names)
			}
		}
	}
	return names
}

// The form of an answer in JSON, as its help shows it, names every field and no other.
func TestTheFormsOfJSONAreWhole(t *testing.T) {
	for form, answer := range map[string]any{sizeForm: sizeJSON{}, packForm: planJSON{}, crossingsForm: []crossed{}} {
		told := map[string]bool{}
		for _, name := range regexp.MustCompile(`"(\w+)"`).FindAllStringSubmatch(form, -1) {
			told[name[1]] = true
		}
		want := fieldsOf(reflect.TypeOf(answer), map[string]bool{})
		if form == packForm {
			delete(want, "count") // of what is unplaced, which has the form of the pieces wanted
		}
		require.Equal(t, want, told, form)
	}
}
