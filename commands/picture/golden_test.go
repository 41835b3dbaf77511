package picture_test

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"larkfold/commands/picture"
	"larkfold/commands/say"
	"larkfold/sizing/dowel"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/draw"
)

var update = flag.Bool("update", false, "write the golden pictures anew; look at each before keeping it")

// goldenWidth keeps the golden pictures small; what is compared is the picture
// brought down to it.
const goldenWidth = 420

func TestGoldenPictures(t *testing.T) {
	square, _ := knot.Standard().Knot("square knot")
	metric := length.Style{}
	for name, d := range map[string]*picture.Drawing{
		"piece":        picture.Piece(size(t, tideLine), metric),
		"every-knot":   picture.Piece(size(t, everyKnot), metric),
		"joined":       picture.Piece(size(t, twoArms), length.Style{System: length.Both}),
		"round":        picture.Piece(size(t, lantern), metric),
		"cradle":       picture.Piece(size(t, cradle), metric),
		"two-hundred":  picture.Piece(netOf(t, 200), metric),
		"four-hundred": picture.Piece(netOf(t, 400), length.Style{System: length.Imperial}),
		"use":          picture.Use(size(t, tideLine), metric),
		"strips":       picture.Strips(cutting(t), "Cutting plan for Tide Line", metric),
		"square-knot":  picture.Knot(square),
		"printed":      picture.Sheets(size(t, tideLine), picture.Options{Steps: say.Instructions(size(t, tideLine).Result, length.Style{})})[0],
		"step-bar":     picture.Step(size(t, tideLine), spansOf(size(t, tideLine))[4], metric),
		"chart":        chartOf(size(t, tideLine), metric),
		"step-sheet":   picture.StepSheet(size(t, tideLine), say.Instructions(size(t, tideLine).Result, metric)[0], metric),
		"step-sinnets": picture.Step(size(t, tideLine), spansOf(size(t, tideLine))[7], metric),
		"marks":        lastOf(picture.Sheets(size(t, tideLine), picture.Options{Hanging: dowel.Hanging{}})),
	} {
		t.Run(name, func(t *testing.T) {
			data, err := d.PNG()
			require.NoError(t, err)
			got := small(t, data)
			file := filepath.Join("testdata", name+".png")
			if *update {
				var out bytes.Buffer
				require.NoError(t, (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, got))
				require.NoError(t, os.WriteFile(file, out.Bytes(), 0o644))
				return
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err, "run with -update, then look at it")
			requireAlike(t, want, got)
		})
	}
}

// The picture that the front page shows is the one that the program draws.
func TestPictureOfTheFrontPage(t *testing.T) {
	text, err := os.ReadFile("../../testdata/sheets/three-herons.sheet")
	require.NoError(t, err)
	data, err := picture.Piece(size(t, string(text)), length.Style{}).PNG()
	require.NoError(t, err)
	const file = "../../testdata/three-herons.png"
	if *update {
		require.NoError(t, os.WriteFile(file, data, 0o644))
		return
	}
	shown, err := os.ReadFile(file)
	require.NoError(t, err, "run with -update, then look at it")
	var want bytes.Buffer
	require.NoError(t, png.Encode(&want, small(t, shown)))
	requireAlike(t, want.Bytes(), small(t, data))
}

func lastOf(pages []*picture.Drawing) *picture.Drawing { return pages[len(pages)-1] }

// small brings a picture down to the golden width.
func small(t *testing.T, data []byte) *image.Gray {
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	b := img.Bounds()
	out := image.NewGray(image.Rect(0, 0, goldenWidth, b.Dy()*goldenWidth/b.Dx()))
	draw.ApproxBiLinear.Scale(out, out.Bounds(), img, b, draw.Src, nil)
	return out
}

// requireAlike allows for rounding that differs between processors, but not for a
// knot that is missing: at most one pixel in 2,000 may differ by a quarter of the
// range.
func requireAlike(t *testing.T, want []byte, got *image.Gray) {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(want))
	require.NoError(t, err)
	require.Equal(t, img.Bounds(), got.Bounds(), "the picture has another shape")
	off := 0
	for y := range got.Bounds().Dy() {
		for x := range got.Bounds().Dx() {
			r, _, _, _ := img.At(x, y).RGBA()
			if d := int(r>>8) - int(got.GrayAt(x, y).Y); d > 64 || d < -64 {
				off++
			}
		}
	}
	require.LessOrEqual(t, off, len(got.Pix)/2000, "pixels that differ")
}
