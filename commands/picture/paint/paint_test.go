package paint

import (
	"bytes"
	"fmt"
	"hash/adler32"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// plain is an empty page of a pixel to the point.
func plain(wide, high Points) *Drawing {
	return &Drawing{Title: "Test", Width: wide, Height: high, Pixels: int(wide)}
}

func painted(t *testing.T, d *Drawing) image.Image {
	t.Helper()
	data, err := d.PNG()
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return img
}

// farthest is the largest difference between two pictures in any channel, and how
// many pixels differ by more than an eighth of the range.
func farthest(t *testing.T, a, b image.Image) (most, many int) {
	t.Helper()
	require.Equal(t, a.Bounds(), b.Bounds())
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			r1, g1, b1, _ := a.At(x, y).RGBA()
			r2, g2, b2, _ := b.At(x, y).RGBA()
			off := 0
			for _, pair := range [][2]uint32{{r1, r2}, {g1, g2}, {b1, b2}} {
				d := int(pair[0]>>8) - int(pair[1]>>8)
				off = max(off, d, -d)
			}
			most = max(most, off)
			if off > 32 {
				many++
			}
		}
	}
	return most, many
}

// TestStraightCordsArePaintedAsTheGeneralPathPaintsThem compares the two ways to
// stroke a hanging cord. The quick one cuts the ends of a slanted cord level, and
// at a corner lays some edges twice.
func TestStraightCordsArePaintedAsTheGeneralPathPaintsThem(t *testing.T) {
	for seed := range uint64(60) {
		random := rand.New(rand.NewPCG(seed, 1))
		half := 0.5 + 4*random.Float32()
		at := dot{100 + random.Float32(), 10 + random.Float32()}
		line, corners := []dot{at}, 0
		hangs, side := true, float32(20)
		for range 6 {
			lies := random.IntN(3) == 0
			if lies {
				at.x += side
			} else {
				side = float32(40*random.IntN(2) - 20)
				at.x, at.y = at.x+[]float32{0, 8*random.Float32() - 4}[random.IntN(2)], at.y+20
			}
			if lies == hangs {
				corners++
			}
			hangs = !lies
			line = append(line, at)
		}
		s := &Shape{Stroke: DarkInk()}
		quick, general := newRaster(new(canvas)), newRaster(new(canvas))
		for _, r := range []*raster{quick, general} {
			r.blank(220, 150, 1, []Ink{PaperInk(), DarkInk()})
		}
		require.True(t, quick.straight(line, half, s))
		general.stroke(line, half, s, func(p pen) { p.stroke(line, false) })
		_, many := farthest(t, shown(quick), shown(general))
		require.LessOrEqual(t, many, 12+10*corners, "seed %d: %.1f wide through %v", seed, 2*half, line)
	}
}

// shown is what a raster has painted.
func shown(r *raster) image.Image {
	img := image.NewPaletted(image.Rect(0, 0, r.canvas.wide, r.canvas.high), nil)
	for _, ink := range r.canvas.palette {
		img.Palette = append(img.Palette, color.RGBA(ink))
	}
	copy(img.Pix, r.canvas.pix)
	return img
}

// TestAStampFallsWithinAnEighthOfAPixel: an edge that is off by an eighth of a
// pixel is off by an eighth of the contrast, and levels of a sixteenth add to that.
func TestAStampFallsWithinAnEighthOfAPixel(t *testing.T) {
	contrast := int(PaperInk().R) - int(DarkInk().R)
	box := Box{-6.3, -4.2, 5.1, 7.7}
	for _, uses := range []int{1, many - 1, many, 4 * many} { // painted stroke by stroke, or in quarters of a pixel
		for i := range 50 {
			at := Point{20 + Points(i)*0.19, 20 + Points(i)*0.07}
			stamped, direct := plain(60, 60+20*Points(uses)), plain(60, 60+20*Points(uses))
			for n := range uses {
				at := Point{at.X, at.Y + 20.3*Points(n)}
				stamped.Stamp("box", at, func(d *Drawing) { d.Fill(Rectangle(box), DarkInk()) })
				direct.Fill(Rectangle(Box{box.Left + at.X, box.Top + at.Y, box.Right + at.X, box.Bottom + at.Y}), DarkInk())
			}
			most, _ := farthest(t, painted(t, stamped), painted(t, direct))
			require.LessOrEqual(t, most, contrast*2/8+contrast/levels+8, "%d at %v", uses, at) // both ways at a corner
		}
	}
}

func TestAStampIsDrawnOnceForEachLook(t *testing.T) {
	d, drawn := plain(300, 60), 0
	for i := range 20 {
		d.Stamp(Look("dot", Points(i%3)), Point{10 + 13.7*Points(i), 30}, func(d *Drawing) {
			drawn++
			d.Fill(Circle(Point{}, 2+Points(i%3)), AccentInk())
		})
	}
	require.Equal(t, 3, drawn)
	require.Len(t, d.Shapes, 20)
	img := painted(t, d)
	for i := range 20 {
		x := int(10 + 13.7*float64(i))
		r, _, _, _ := img.At(x, 30).RGBA()
		require.Equal(t, AccentInk().R, uint8(r>>8), "stamp %d", i)
		above, _, _, _ := img.At(x, 26).RGBA() // only within the largest
		require.Equal(t, i%3 == 2, uint8(above>>8) < 220, "stamp %d", i)
	}
}

func TestAStampOverTheEdgeOfThePageIsCut(t *testing.T) {
	for _, at := range []Point{{0, 20}, {40, 20}, {20, 0}, {20, 40}, {0, 0}, {40, 40}, {-30, 20}, {20, 90}} {
		stamped, direct := plain(40, 40), plain(40, 40)
		stamped.Stamp("disc", at, func(d *Drawing) { d.Fill(Circle(Point{}, 9), DarkInk()) })
		direct.Fill(Circle(at, 9), DarkInk())
		most, _ := farthest(t, painted(t, stamped), painted(t, direct))
		require.LessOrEqual(t, most, 24, "at %v", at)
	}
}

func TestMoreColoursThanAPaletteHolds(t *testing.T) {
	d := plain(400, 40)
	colour := func(i int) Ink { return RGB(uint32(i*37%256)<<16 | uint32(i*91%256)<<8 | uint32(i*13%256)) }
	for i := range 400 {
		d.Fill(Rectangle(Box{Points(i), 0, Points(i + 1), 40}), colour(i))
	}
	img := painted(t, d)
	for i := range 400 {
		r, g, b, _ := img.At(i, 20).RGBA()
		want := colour(i)
		off := func(got uint32, want uint8) int { return max(int(got>>8)-int(want), int(want)-int(got>>8)) }
		far := max(off(r, want.R), off(g, want.G), off(b, want.B))
		if i < 200 {
			require.Zero(t, far, "ink %d is exact", i)
		}
		require.LessOrEqual(t, far, 40, "ink %d has a near one", i)
	}
}

func TestRastersAreNotMixedUp(t *testing.T) {
	want := map[int][]byte{}
	draw := func(i int) *Drawing {
		d := plain(100+10*Points(i), 50)
		d.Stamp("square", Point{50, 25}, func(d *Drawing) {
			d.Fill(Rectangle(Box{-Points(i), -5, Points(i), 5}), RGB(uint32(i)*0x1F3A55))
		})
		d.Write(fmt.Sprint("picture ", i), Point{5, 20}, TextStyle(), Leftward, 0)
		return d
	}
	for i := range 6 {
		var err error
		want[i], err = draw(i).PNG()
		require.NoError(t, err)
	}
	for i := range 6 {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			t.Parallel()
			for range 20 {
				got, err := draw(i).PNG()
				require.NoError(t, err)
				require.True(t, bytes.Equal(want[i], got))
			}
		})
	}
}

// The sum is checked against the standard library's, byte by byte.
func TestAdler(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for n := range 600 {
		data := make([]byte, n)
		for i := range data {
			data[i] = 255
			if n%2 == 0 {
				data[i] = byte(random.UintN(256))
			}
		}
		require.Equal(t, adler32.Checksum(data), adler(adler(1, data[:n/3]), data[n/3:]), "%d bytes", n)
	}
}
