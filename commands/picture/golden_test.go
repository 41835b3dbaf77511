package picture_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/commands/say"
	"larkfold/sizing/length"
)

func TestGoldenPictures(t *testing.T) {
	metric := length.Style{}
	tide := picturetest.Size(t, picturetest.TideLine)
	marked := picture.Sheets(tide, picture.Options{})
	for name, d := range map[string]*paint.Drawing{
		"use":     picture.Use(tide, metric),
		"strips":  picture.Strips(picturetest.Cutting(t), "Cutting plan for Tide Line", metric),
		"printed": picture.Sheets(tide, picture.Options{Steps: say.Instructions(tide.Result, metric)})[0],
		"marks":   marked[len(marked)-1],
	} {
		t.Run(name, func(t *testing.T) { picturetest.Golden(t, name, d) })
	}
}

func BenchmarkPrint(b *testing.B) {
	sized := picturetest.Size(b, picturetest.TideLine)
	b.ReportAllocs()
	for b.Loop() {
		_, err := picture.Print(b.Context(), sized, picture.Options{})
		require.NoError(b, err)
	}
}
