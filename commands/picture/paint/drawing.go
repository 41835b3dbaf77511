package paint

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Points is a length on the page in points of 1/72 inch.
type Points float64

// Point is a place on the page; y runs down.
type Point struct{ X, Y Points }

// At is a place by its distances from the left and the upper edge.
func At(x, y Points) Point { return Point{x, y} }

// Box is an upright rectangle on the page.
type Box struct{ Left, Top, Right, Bottom Points }

// Between is the box between four edges.
func Between(left, top, right, bottom Points) Box { return Box{left, top, right, bottom} }

// Within tells whether b lies inside other, give or take a hundredth of a point.
func (b Box) Within(other Box) bool {
	const slack = 0.01
	return b.Left >= other.Left-slack && b.Top >= other.Top-slack && b.Right <= other.Right+slack && b.Bottom <= other.Bottom+slack
}

// Overlaps tells whether the insides of two boxes meet.
func (b Box) Overlaps(other Box) bool {
	return b.Left < other.Right && other.Left < b.Right && b.Top < other.Bottom && other.Top < b.Bottom
}

// Drawing is a list of shapes and words with their places, for PNG, PDF and SVG.
type Drawing struct {
	Title         string
	Width, Height Points
	Shapes        []Shape
	Parts         []Part
	Outline       bool // too large to draw knot by knot

	stamps map[string]*Stamp // by what they look like

	about    []string // sentences of the alternative text
	passages []passage
	Pixels   int  // width of the PNG
	Paper    bool // a printed page: white, not tinted
	Boxed    bool // some sign of a name could not be printed
}

// Shape is a path that is filled, stroked or both, one line of words, or a stamp.
type Shape struct {
	Path   Path
	Fill   Ink // nothing is filled when it is clear
	Stroke Ink // nothing is stroked when it is clear
	Width  Points
	Dash   []Points // lengths drawn and left out in turn; nil for a full line
	Round  bool     // round ends instead of cut ones

	Words Words // set when the shape is words; Path then is empty

	Stamp *Stamp   // set when the shape is a stamp; all above then is empty
	Inset *Drawing // set when the shape is a page of its own, cut off at its edges; all above then is empty
	At    Point    // where the stamp's origin is, or the inset's corner
}

// Words is one line of text, already in visual order and fitted.
type Words struct {
	Text string
	At   Point // left end of the base line
	Size Points
	Face Face
	Ink  Ink
}

// Part is the shapes that show one thing.
type Part struct {
	Kind     Kind
	Index    int    // which knot, cut, end or pattern; -1 when there is only one
	Name     string // what it is called, may be empty
	At       Point  // where the thing itself stands
	Box      Box    // round its shapes and words
	From, To int    // its shapes are Drawing.Shapes[From:To]
	Unrolled bool   // in the chart beside a view of a ring
}

// Kind is what a Part shows.
type Kind string

// The kinds of part that any page may have.
const (
	ALabel     Kind = "label"
	ADimension Kind = "dimension"
	ALine      Kind = "line" // of a legend, a list or a caption
)

// Page is the box of the whole drawing.
func (d *Drawing) Page() Box { return Box{0, 0, d.Width, d.Height} }

// altMost is how many characters the alternative text may have.
const altMost = 1024

// Alt is the alternative text: what the drawing shows, at most 1,024 characters.
func (d *Drawing) Alt() string {
	text := strings.Join(d.about, " ")
	if utf8.RuneCountInString(text) <= altMost {
		return text
	}
	short := string([]rune(text)[:altMost-1])
	if i := strings.LastIndexByte(short, ' '); i > altMost/2 {
		short = short[:i]
	}
	return short + "…"
}

// Say adds a sentence to the alternative text.
func (d *Drawing) Say(sentence string) { d.about = append(d.about, sentence) }

// Inset shows a drawing as a part of this one, its corner at a place.
func (d *Drawing) Inset(page *Drawing, at Point) {
	d.Shapes = append(d.Shapes, Shape{Inset: page, At: at})
}

// passage is shapes that are read as one thing: a heading, a paragraph, a figure.
type passage struct {
	role     string // of ISO 32000-1, 14.8.4: H1, P, Figure and so on; empty for what is not read
	alt      string // of a figure
	from, to int    // its shapes are Drawing.Shapes[from:to]
}

// Reads makes one thing of all shapes since there were so many.
func (d *Drawing) Reads(role, alt string, since int) {
	d.passages = append(d.passages, passage{role, alt, since, len(d.Shapes)})
}

// Expect makes room for so many more shapes and parts.
func (d *Drawing) Expect(shapes, parts int) {
	d.Shapes, d.Parts = slices.Grow(d.Shapes, shapes), slices.Grow(d.Parts, parts)
}

// Open starts a part and returns its index in Parts; close ends it.
func (d *Drawing) Open(kind Kind, index int, at Point) int {
	d.Parts = append(d.Parts, Part{Kind: kind, Index: index, At: at, From: len(d.Shapes)})
	return len(d.Parts) - 1
}

// Close ends a part: it is all shapes since it was opened.
func (d *Drawing) Close(part int) {
	p := &d.Parts[part]
	p.To = len(d.Shapes)
	p.Box = d.boxOf(p.From, p.To)
}

// boxOf is the box round some shapes.
func (d *Drawing) boxOf(from, to int) Box {
	var b Box
	for i, s := range d.Shapes[from:to] {
		if i == 0 {
			b = s.Box()
			continue
		}
		b = b.with(s.Box())
	}
	return b
}

func (b Box) with(o Box) Box {
	return Box{min(b.Left, o.Left), min(b.Top, o.Top), max(b.Right, o.Right), max(b.Bottom, o.Bottom)}
}

// Box is round the shape; of words it is as high as their tallest and lowest signs.
func (s Shape) Box() Box {
	if s.Stamp != nil {
		b := s.Stamp.box
		return Box{b.Left + s.At.X, b.Top + s.At.Y, b.Right + s.At.X, b.Bottom + s.At.Y}
	}
	if s.Inset != nil {
		return Box{s.At.X, s.At.Y, s.At.X + s.Inset.Width, s.At.Y + s.Inset.Height}
	}
	if s.Words.Text != "" {
		w := s.Words
		return Box{w.At.X, w.At.Y - w.Face.ascent(w.Size), w.At.X + w.Face.Measure(w.Text, w.Size), w.At.Y + w.Face.descent(w.Size)}
	}
	b := s.Path.box()
	if !s.Stroke.Clear() {
		h := s.Width / 2
		b = Box{b.Left - h, b.Top - h, b.Right + h, b.Bottom + h}
	}
	return b
}

// Add appends a shape, unless there is nothing of it.
func (d *Drawing) Add(s Shape) {
	if len(s.Path) > 0 || s.Words.Text != "" {
		d.Shapes = append(d.Shapes, s)
	}
}

// Fill adds a path that is filled.
func (d *Drawing) Fill(p Path, ink Ink) { d.Add(Shape{Path: p, Fill: ink}) }

// Line adds a path that is stroked.
func (d *Drawing) Line(p Path, ink Ink, width Points) {
	d.Add(Shape{Path: p, Stroke: ink, Width: width})
}

// Rule adds a straight line.
func (d *Drawing) Rule(a, b Point, ink Ink, width Points) { d.Line(Polyline(a, b), ink, width) }
