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

	"github.com/klauspost/compress/zlib"
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
	zip    *zlib.Writer
}

func (f *pngFile) write(c *canvas) ([]byte, error) {
	f.packed.Reset()
	if f.zip == nil {
		var err error
		if f.zip, err = zlib.NewWriterLevel(&f.packed, zlib.BestSpeed); err != nil {
			return nil, err
		}
	} else {
		f.zip.Reset(&f.packed)
	}
	noFilter := []byte{0}
	for row := range slices.Chunk(c.pix, c.wide) {
		if _, err := f.zip.Write(noFilter); err != nil {
			return nil, err
		}
		if _, err := f.zip.Write(row); err != nil {
			return nil, err
		}
	}
	if err := f.zip.Close(); err != nil {
		return nil, err
	}
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

// inks are the colours of the drawing, that of its ground first.
func (d *Drawing) inks() []Ink {
	seen := map[Ink]bool{d.Ground(): true}
	list := []Ink{d.Ground()}
	var add func(shapes []Shape)
	add = func(shapes []Shape) {
		for i := range shapes {
			if page := shapes[i].Inset; page != nil {
				add(page.Shapes)
				for _, s := range page.stamps {
					add(s.Shapes)
				}
				continue
			}
			s := &shapes[i]
			for _, ink := range [...]Ink{s.Fill, s.Stroke, s.Words.Ink} {
				if !ink.Clear() && !seen[ink] {
					seen[ink] = true
					list = append(list, ink)
				}
			}
		}
	}
	add(d.Shapes)
	for _, s := range d.stamps {
		add(s.Shapes)
	}
	return list
}
