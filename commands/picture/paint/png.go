package paint

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"math"
	"runtime"
	"slices"
	"sync"

	"github.com/klauspost/compress/flate"
)

// The most a picture for the chat may measure.
const (
	MostPixels = 1600
	mostHigh   = 4096
	mostBytes  = 1 << 20
)

// PNG renders the drawing for a chat: at most 1,600 pixels wide and 1 MiB. The
// error is that of the encoder.
func (d *Drawing) PNG() ([]byte, error) {
	r := rasters.Get().(*raster)
	defer rasters.Put(r)
	pixels := d.Pixels
	if pixels <= 0 || pixels > MostPixels {
		pixels = MostPixels
	}
	for {
		data, err := d.encode(r, pixels)
		if err != nil {
			return nil, fmt.Errorf("picture %q: %w", d.Title, err)
		}
		if len(data) < mostBytes || pixels < 200 {
			return data, nil
		}
		pixels = pixels * 3 / 4
	}
}

func (d *Drawing) encode(r *raster, pixels int) ([]byte, error) {
	scale := float32(pixels) / float32(d.Width)
	if high := float32(mostHigh); float32(d.Height)*scale > high {
		scale = high / float32(d.Height)
	}
	r.blank(int(float32(d.Width)*scale+0.5), int(math.Ceil(float64(float32(d.Height)*scale))), scale, d.inks())
	r.expect(d.Shapes)
	for i := range d.Shapes {
		r.shape(&d.Shapes[i])
		if i%16 == 0 {
			runtime.Gosched() // paint waits for whoever has a word to say
		}
	}
	return r.file.write(r.canvas)
}

// rasters keep their buffers from one picture to the next.
var rasters = sync.Pool{New: func() any { return newRaster(new(canvas)) }}

// pngFile writes a canvas as it is: entries of a palette, whose rows, as knots
// repeat, are as small without the format's filters.
type pngFile struct {
	packed bytes.Buffer
	zip    *flate.Writer
}

func (f *pngFile) write(c *canvas) ([]byte, error) {
	f.packed.Reset()
	f.packed.Write([]byte{0x78, 0x01}) // RFC 1950: deflate in a window of 32 kB, packed in haste
	if f.zip == nil {
		var err error
		if f.zip, err = flate.NewWriter(&f.packed, flate.BestSpeed); err != nil {
			return nil, err
		}
	} else {
		f.zip.Reset(&f.packed)
	}
	noFilter := []byte{0}
	sum := uint32(1)
	for row := range slices.Chunk(c.pix, c.wide) {
		for _, part := range [][]byte{noFilter, row} {
			if _, err := f.zip.Write(part); err != nil {
				return nil, err
			}
			sum = adler(sum, part)
		}
	}
	if err := f.zip.Close(); err != nil {
		return nil, err
	}
	f.packed.Write(binary.BigEndian.AppendUint32(nil, sum))
	const indexed = 3
	head := binary.BigEndian.AppendUint32(nil, uint32(c.wide))
	head = binary.BigEndian.AppendUint32(head, uint32(c.high))
	head = append(head, 8, indexed, 0, 0, 0) // 8 bits a pixel
	var palette []byte
	for _, ink := range c.palette {
		palette = append(palette, ink.R, ink.G, ink.B)
	}
	out := make([]byte, 0, f.packed.Len()+len(palette)+100)
	out = append(out, "\x89PNG\r\n\x1a\n"...)
	out = chunk(out, "IHDR", head)
	out = chunk(out, "PLTE", palette)
	out = chunk(out, "IDAT", f.packed.Bytes())
	return chunk(out, "IEND", nil), nil
}

// chunk appends a chunk of the format, with its length and its check sum.
func chunk(out []byte, kind string, data []byte) []byte {
	out = binary.BigEndian.AppendUint32(out, uint32(len(data)))
	from := len(out)
	out = append(append(out, kind...), data...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[from:]))
}

// adler goes on with the Adler-32 sum of RFC 1950 over more data, eight bytes at a
// time in as many lanes of 16 bits: the standard library's takes them one by one, and
// is a twentieth of the time that a picture takes.
func adler(sum uint32, data []byte) uint32 {
	const (
		prime = 65521
		most  = 22 // so many bytes of 255 and the sums of their sums fit into a lane
		lanes = 0x00FF00FF00FF00FF
	)
	a, b := sum&0xFFFF, sum>>16
	for len(data) >= 8 {
		n := min(len(data)/8, most)
		var even, odd, evens, odds uint64 // bytes of each place, and the sums of those sums
		for i := range n {
			eight := binary.LittleEndian.Uint64(data[8*i:])
			even, odd = even+eight&lanes, odd+eight>>8&lanes
			evens, odds = evens+even, odds+odd
		}
		b += uint32(8*n) * a
		for place := uint32(0); place < 8; place += 2 {
			x, y := uint32(even&0xFFFF), uint32(odd&0xFFFF)
			a += x + y
			b += 8*uint32(evens&0xFFFF+odds&0xFFFF) - place*x - (place+1)*y
			even, odd, evens, odds = even>>16, odd>>16, evens>>16, odds>>16
		}
		a, b = a%prime, b%prime
		data = data[8*n:]
	}
	for _, x := range data {
		a += uint32(x)
		b += a
	}
	return b%prime<<16 | a%prime
}

// inks are the colours of the drawing in the order in which they are met, that of its
// ground first.
func (d *Drawing) inks() []Ink {
	seen, stamped := map[Ink]bool{d.Ground(): true}, map[*Stamp]bool{}
	list := []Ink{d.Ground()}
	var add func(shapes []Shape)
	add = func(shapes []Shape) {
		for i := range shapes {
			s := &shapes[i]
			switch {
			case s.Inset != nil:
				add(s.Inset.Shapes)
			case s.Stamp != nil && !stamped[s.Stamp]:
				stamped[s.Stamp] = true
				add(s.Stamp.Shapes)
			}
			for _, ink := range [...]Ink{s.Fill, s.Stroke, s.Words.Ink} {
				if !ink.Clear() && !seen[ink] {
					seen[ink] = true
					list = append(list, ink)
				}
			}
		}
	}
	add(d.Shapes)
	return list
}
