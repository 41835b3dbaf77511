package picturetest

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/draw"

	"larkfold/commands/picture/paint"
)

var update = flag.Bool("update", false, "write the golden pictures anew; look at each before keeping it")

// goldenWidth keeps the golden pictures small; what is compared is the picture
// brought down to it.
const goldenWidth = 420

// Golden compares a drawing with the golden picture of a name, and with -update writes
// that anew.
func Golden(t *testing.T, name string, d *paint.Drawing) {
	t.Helper()
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
}

// Whole compares a drawing with a file that holds it at its full size, and with
// -update writes that anew.
func Whole(t *testing.T, file string, d *paint.Drawing) {
	t.Helper()
	data, err := d.PNG()
	require.NoError(t, err)
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
