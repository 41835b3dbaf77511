package sheet_test

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// held are the addresses of all that can be changed through a value.
func held(v reflect.Value, into map[uintptr]string, path string) {
	switch v.Kind() {
	case reflect.Interface:
		if !v.IsNil() {
			held(v.Elem(), into, path)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			into[v.Pointer()] = path
			held(v.Elem(), into, path)
		}
	case reflect.Slice:
		if v.Len() > 0 {
			into[v.Pointer()] = path
		}
		for i := range v.Len() {
			held(v.Index(i), into, path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			held(v.Field(i), into, path+"."+v.Type().Field(i).Name)
		}
	case reflect.Map, reflect.Chan, reflect.Func:
		into[0] = path + ": a kind that a copy does not know"
	}
}

func TestACopyEqualsAndSharesNothing(t *testing.T) {
	seen := map[string]bool{}
	written := rapid.Custom(sheettest.Written)
	for seed := range 150 { // the same ones in every run, which hold all there is
		s := written.Example(seed)
		s.Remarks = []sheet.Remark{{Line: 1, Text: "# a comment"}}
		c := s.Copy()
		require.Equal(t, s, c)
		own, copied := map[uintptr]string{}, map[uintptr]string{}
		held(reflect.ValueOf(s), own, "")
		held(reflect.ValueOf(c), copied, "")
		require.NotContains(t, own, uintptr(0))
		for at, path := range own {
			require.NotContains(t, copied, at, "both hold the same %s", path)
			seen[path] = true
		}
	}
	for _, path := range []string{".Rod", ".Margin", ".Hanger", ".Cords", ".More", ".Fringes", ".Swags", ".Remarks", ".Panels", ".Panels.From", ".Panels.Steps", ".Panels.Steps.Hung", ".Panels.Steps.On.Parts", ".Panels.Steps.Slope"} {
		require.True(t, seen[path], "no sheet held %s: the walk sees it no more", path)
	}
}
