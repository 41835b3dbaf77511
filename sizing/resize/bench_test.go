package resize_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"larkfold/sizing/resize"
	"larkfold/sizing/trace"
)

// One resize traces the sheet some forty times; compare with one trace.
func BenchmarkResize(b *testing.B) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "sheets", "three-herons.sheet"))
	if err != nil {
		b.Fatal(err)
	}
	s := parsed(b, string(text))
	b.Run("trace", func(b *testing.B) {
		for b.Loop() {
			if _, _, err := trace.Trace(context.Background(), s, byTheBook()); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("resize", func(b *testing.B) {
		for b.Loop() {
			if _, err := resize.Resize(context.Background(), s, byTheBook(), resize.Change{Width: 60 * cm, Drop: 120 * cm}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
