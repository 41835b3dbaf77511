package paint

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"

	"golang.org/x/image/font/sfnt"
)

// SVG renders the drawing as a scalable picture. Words are drawn as outlines, so
// that they look alike wherever it is opened; title and description carry the
// text. The error is that of the XML writer.
func (d *Drawing) SVG() ([]byte, error) {
	w := &svgWriter{glyphs: map[glyphKey]int{}, stamps: map[*Stamp]int{}}
	var body bytes.Buffer
	w.out = &body
	if !d.Paper {
		w.shape(&Shape{Path: Rectangle(d.Page()), Fill: PaperInk()})
	}
	for i := range d.Shapes {
		w.shape(&d.Shapes[i])
	}
	var all bytes.Buffer
	fmt.Fprintf(&all, `<svg xmlns="http://www.w3.org/2000/svg" width="%spt" height="%spt" viewBox="0 0 %s %s" role="img">`, short(d.Width), short(d.Height), short(d.Width), short(d.Height))
	all.WriteString("\n<title>")
	if err := xml.EscapeText(&all, []byte(d.Title)); err != nil {
		return nil, fmt.Errorf("picture %q: %w", d.Title, err)
	}
	all.WriteString("</title>\n<desc>")
	if err := xml.EscapeText(&all, []byte(d.Alt())); err != nil {
		return nil, fmt.Errorf("picture %q: %w", d.Title, err)
	}
	all.WriteString("</desc>\n<defs>\n")
	all.Write(w.defs.Bytes())
	all.WriteString("</defs>\n")
	all.Write(body.Bytes())
	all.WriteString("</svg>\n")
	return all.Bytes(), nil
}

type svgWriter struct {
	out    *bytes.Buffer
	defs   bytes.Buffer
	glyphs map[glyphKey]int
	stamps map[*Stamp]int
	buffer sfnt.Buffer
}

// short writes a number with at most two decimals.
func short(x Points) string {
	return strconv.FormatFloat(float64(int64(x*100+0.5*sign(x)))/100, 'f', -1, 64)
}

func sign(x Points) Points {
	if x < 0 {
		return -1
	}
	return 1
}

func (i Ink) hex() string { return fmt.Sprintf("#%02x%02x%02x", i.R, i.G, i.B) }

func (w *svgWriter) shape(s *Shape) {
	switch {
	case s.Stamp != nil:
		fmt.Fprintf(w.out, `<use href="#s%d" x="%s" y="%s"/>`+"\n", w.stamp(s.Stamp), short(s.At.X), short(s.At.Y))
		return
	case s.Inset != nil:
		fmt.Fprintf(w.out, `<svg x="%s" y="%s" width="%s" height="%s">`+"\n", short(s.At.X), short(s.At.Y), short(s.Inset.Width), short(s.Inset.Height))
		for i := range s.Inset.Shapes {
			w.shape(&s.Inset.Shapes[i])
		}
		w.out.WriteString("</svg>\n")
		return
	case s.Words.Text != "":
		w.words(s.Words)
		return
	}
	w.out.WriteString(`<path d="`)
	for _, g := range s.Path {
		switch g.Op {
		case Move:
			fmt.Fprintf(w.out, "M%s %s", short(g.P.X), short(g.P.Y))
		case Line:
			fmt.Fprintf(w.out, "L%s %s", short(g.P.X), short(g.P.Y))
		case Curve:
			fmt.Fprintf(w.out, "C%s %s %s %s %s %s", short(g.A.X), short(g.A.Y), short(g.B.X), short(g.B.Y), short(g.P.X), short(g.P.Y))
		case Close:
			w.out.WriteString("Z")
		}
	}
	fill := "none"
	if !s.Fill.Clear() {
		fill = s.Fill.hex()
	}
	fmt.Fprintf(w.out, `" fill="%s"`, fill)
	if !s.Stroke.Clear() {
		fmt.Fprintf(w.out, ` stroke="%s" stroke-width="%s" stroke-linejoin="round"`, s.Stroke.hex(), short(s.Width))
		if s.Round {
			w.out.WriteString(` stroke-linecap="round"`)
		}
		for i, l := range s.Dash {
			if i == 0 {
				w.out.WriteString(` stroke-dasharray="`)
			} else {
				w.out.WriteString(" ")
			}
			w.out.WriteString(short(l))
		}
		if s.Dash != nil {
			w.out.WriteString(`"`)
		}
	}
	w.out.WriteString("/>\n")
}

// stamp is the number of a stamp, whose shapes are written once.
func (w *svgWriter) stamp(s *Stamp) int {
	id, ok := w.stamps[s]
	if ok {
		return id
	}
	id = len(w.stamps) + 1
	w.stamps[s] = id
	var shapes bytes.Buffer
	out := w.out
	w.out = &shapes
	for i := range s.Shapes {
		w.shape(&s.Shapes[i])
	}
	w.out = out
	fmt.Fprintf(&w.defs, "<g id=\"s%d\">\n%s</g>\n", id, shapes.Bytes())
	return id
}

// words draws a line of text by outlines that are kept once.
func (w *svgWriter) words(t Words) {
	fmt.Fprintf(w.out, `<g fill="%s" transform="translate(%s %s) scale(%.5f)">`, t.Ink.hex(), short(t.At.X), short(t.At.Y), float64(t.Size)/glyphSize)
	x := Points(0)
	for _, sign := range t.Text {
		if id, ok := w.glyph(t.Face, sign); ok {
			fmt.Fprintf(w.out, `<use href="#g%d" x="%s"/>`, id, short(x))
		}
		x += max(0, t.Face.advance(sign)) * glyphSize / 1000
	}
	w.out.WriteString("</g>\n")
}

// glyph is the number of a sign's outline; false when it has none, as a blank.
func (w *svgWriter) glyph(f Face, sign rune) (int, bool) {
	key := glyphKey{f, sign}
	id, ok := w.glyphs[key]
	if ok {
		return id, id > 0
	}
	outline := outlineOf(&w.buffer, f, sign)
	if len(outline) == 0 {
		w.glyphs[key] = 0
		return 0, false
	}
	id = len(w.glyphs) + 1
	w.glyphs[key] = id
	fmt.Fprintf(&w.defs, `<path id="g%d" d="`, id)
	for _, s := range outline {
		w.defs.WriteByte("MLQC"[s.Op])
		for i := range [...]int{1, 1, 2, 3}[s.Op] {
			fmt.Fprintf(&w.defs, "%s %s ", short(Points(s.Args[i].X)/64), short(Points(s.Args[i].Y)/64))
		}
	}
	w.defs.WriteString("Z\"/>\n")
	return id, true
}
