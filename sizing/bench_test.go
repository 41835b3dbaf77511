package sizing_test

import (
	"context"
	"testing"

	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
)

// What a typical sheet costs, and how much of that is reading it.
func BenchmarkSize(b *testing.B) {
	text := demos(b)["tide-line.sheet"]
	b.Run("size", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := sizing.Size(context.Background(), text, byTheBook()); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("parse", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, faults := sheet.Parse(text, knot.Standard()); faults.Any() {
				b.Fatal(faults)
			}
		}
	})
}
