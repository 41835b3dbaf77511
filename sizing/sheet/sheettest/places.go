package sheettest

import (
	"reflect"

	"larkfold/sizing/sheet"
)

// WithoutPlaces returns a copy of the sheet that has forgotten where its lines
// and comments stood in a text, for comparing sheets.
func WithoutPlaces(s sheet.Sheet) sheet.Sheet {
	return without(reflect.ValueOf(s)).Interface().(sheet.Sheet)
}

func without(v reflect.Value) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	switch {
	case v.Type() == reflect.TypeFor[sheet.Place]():
	case v.Kind() == reflect.Interface && !v.IsNil():
		out.Set(without(v.Elem()))
	case v.Kind() == reflect.Pointer && !v.IsNil():
		out.Set(reflect.New(v.Type().Elem()))
		out.Elem().Set(without(v.Elem()))
	case v.Kind() == reflect.Slice && v.Len() > 0:
		out.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
		for i := range v.Len() {
			out.Index(i).Set(without(v.Index(i)))
		}
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			out.Field(i).Set(without(v.Field(i)))
		}
		if remark, ok := out.Interface().(sheet.Remark); ok {
			remark.Line = 0
			out.Set(reflect.ValueOf(remark))
		}
	default:
		out.Set(v)
	}
	return out
}
