package paint

import (
	"bytes"
	"fmt"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// Pages renders drawings as the pages of one document, fonts embedded, tagged for
// whoever has it read out. The error is that of the PDF writer.
func Pages(title string, drawings ...*Drawing) ([]byte, error) {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: float64(drawings[0].Width), Ht: float64(drawings[0].Height)}})
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.SetTitle(title, true)
	doc.SetCreator("Larkfold", true)
	doc.SetLang("en")
	doc.SetCatalogSort(true)
	doc.SetCreationDate(time.Unix(0, 0).UTC()) // taken out by revise
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	for f := range Face(3) {
		doc.AddUTF8FontFromBytes(f.pdfName(), "", f.data())
	}
	w := pdfWriter{doc: doc, stamps: map[*Stamp]pdfStamp{}}
	read := make([][]passage, len(drawings))
	for i, d := range drawings {
		doc.AddPageFormat("P", fpdf.SizeType{Wd: float64(d.Width), Ht: float64(d.Height)})
		doc.SetLineJoinStyle("round")
		w.reset()
		read[i] = w.page(d)
	}
	var out bytes.Buffer
	if err := doc.Output(&out); err != nil {
		return nil, fmt.Errorf("print of %q: %w", title, err)
	}
	revised, err := revise(out.Bytes(), read)
	if err != nil {
		return nil, fmt.Errorf("print of %q: %w", title, err)
	}
	return revised, nil
}

func (f Face) pdfName() string { return [...]string{"plain", "bold", "title"}[f] }

// pdfWriter writes the shapes of the page in hand.
type pdfWriter struct {
	doc    *fpdf.Fpdf
	stamps map[*Stamp]pdfStamp // those that are in the document
	origin Point               // of the shapes in hand
	pen    pdfPen
}

// pdfPen is how the pen is set.
type pdfPen struct {
	fill, stroke, words Ink
	width               Points
	dashed              bool
	round               bool
}

// pdfStamp is a stamp as a form of the document, which is written once.
type pdfStamp struct {
	form   fpdf.Template
	use    string // the operator that shows it
	corner Point  // of the form, from the stamp's origin
	high   Points
	used   bool
}

// page writes the shapes of a page, each passage between marks (ISO 32000-1, 14.6),
// and returns what is to be read, in the order of its marks.
func (w *pdfWriter) page(d *Drawing) []passage {
	var read []passage
	for _, p := range d.reading() {
		if p.role == "" {
			w.doc.RawWriteStr("/Artifact BMC")
		} else {
			w.doc.RawWriteStr(fmt.Sprintf("/%s <</MCID %d>> BDC", p.role, len(read)))
			read = append(read, p)
		}
		for i := p.from; i < p.to; i++ {
			w.shape(&d.Shapes[i])
		}
		w.doc.RawWriteStr("EMC")
	}
	return read
}

func (w *pdfWriter) shape(s *Shape) {
	switch {
	case s.Stamp != nil:
		w.stamp(s.Stamp, Point{w.origin.X + s.At.X, w.origin.Y + s.At.Y})
		return
	case s.Inset != nil:
		w.inset(s.Inset, Point{w.origin.X + s.At.X, w.origin.Y + s.At.Y})
		return
	case s.Words.Text != "":
		t := s.Words
		if t.Ink != w.pen.words {
			w.doc.SetTextColor(int(t.Ink.R), int(t.Ink.G), int(t.Ink.B))
			w.pen.words = t.Ink
		}
		w.doc.SetFont(t.Face.pdfName(), "", float64(t.Size))
		w.doc.Text(float64(w.origin.X+t.At.X), float64(w.origin.Y+t.At.Y), t.Text)
		return
	}
	how := ""
	if !s.Fill.Clear() {
		how = "F"
		if s.Fill != w.pen.fill {
			w.doc.SetFillColor(int(s.Fill.R), int(s.Fill.G), int(s.Fill.B))
			w.pen.fill = s.Fill
		}
	}
	if !s.Stroke.Clear() && s.Width > 0 {
		how += "D"
		w.stroke(s)
	}
	if how == "" {
		return
	}
	w.path(s.Path)
	w.doc.DrawPath(how)
}

// inset writes a page within the page, cut off at its edges.
func (w *pdfWriter) inset(page *Drawing, at Point) {
	origin := w.origin
	w.origin = at
	w.doc.ClipRect(float64(at.X), float64(at.Y), float64(page.Width), float64(page.Height), false)
	for i := range page.Shapes {
		w.shape(&page.Shapes[i])
	}
	w.doc.ClipEnd() // puts back a pen that the library does not know of
	w.origin = origin
	w.reset()
	w.doc.SetFont(Plain.pdfName(), "", 1)
}

// reset sets all of the pen, so that the page and the library agree on it.
func (w *pdfWriter) reset() {
	w.doc.SetFillColor(0, 0, 0)
	w.doc.SetDrawColor(0, 0, 0)
	w.doc.SetTextColor(0, 0, 0)
	w.doc.SetLineWidth(1)
	w.doc.SetLineCapStyle("butt")
	w.doc.SetDashPattern(nil, 0)
	black := Ink{A: 255}
	w.pen = pdfPen{fill: black, stroke: black, words: black, width: 1}
}

// stamp shows a stamp, which is written once for the whole document.
func (w *pdfWriter) stamp(s *Stamp, at Point) {
	f, ok := w.stamps[s]
	if !ok {
		f = w.form(s)
	}
	x, y := at.X+f.corner.X, at.Y+f.corner.Y
	if !f.used { // the library has to see it once
		_, size := f.form.Size()
		w.doc.UseTemplateScaled(f.form, fpdf.PointType{X: float64(x), Y: float64(y)}, size)
		f.used = true
		w.stamps[s] = f
		return
	}
	_, high := w.doc.GetPageSize()
	w.doc.RawWriteStr(fmt.Sprintf("q 1 0 0 1 %.3f %.3f cm %s Q", float64(x), high-float64(y+f.high), f.use))
}

// form writes a stamp as a form, in which the pen is set anew.
func (w *pdfWriter) form(s *Stamp) pdfStamp {
	const edge = 1 // round what is stroked
	b := Box{s.box.Left - edge, s.box.Top - edge, s.box.Right + edge, s.box.Bottom + edge}
	size := fpdf.SizeType{Wd: float64(b.Right - b.Left), Ht: float64(b.Bottom - b.Top)}
	form := w.doc.CreateTemplateCustom(fpdf.PointType{}, size, func(t *fpdf.Tpl) {
		in := pdfWriter{doc: &t.Fpdf, origin: Point{-b.Left, -b.Top}}
		in.reset()
		for i := range s.Shapes {
			in.shape(&s.Shapes[i])
		}
	})
	return pdfStamp{form: form, use: "/TPL" + form.ID() + " Do", corner: Point{b.Left, b.Top}, high: b.Bottom - b.Top}
}

func (w *pdfWriter) stroke(s *Shape) {
	if s.Stroke != w.pen.stroke {
		w.doc.SetDrawColor(int(s.Stroke.R), int(s.Stroke.G), int(s.Stroke.B))
		w.pen.stroke = s.Stroke
	}
	if s.Width != w.pen.width {
		w.doc.SetLineWidth(float64(s.Width))
		w.pen.width = s.Width
	}
	if s.Round != w.pen.round {
		w.doc.SetLineCapStyle(map[bool]string{false: "butt", true: "round"}[s.Round])
		w.pen.round = s.Round
	}
	if s.Dash != nil || w.pen.dashed {
		dash := make([]float64, len(s.Dash))
		for i, l := range s.Dash {
			dash[i] = float64(l)
		}
		w.doc.SetDashPattern(dash, 0)
		w.pen.dashed = s.Dash != nil
	}
}

func (w *pdfWriter) path(path Path) {
	dx, dy := float64(w.origin.X), float64(w.origin.Y)
	for _, s := range path {
		x, y := float64(s.P.X)+dx, float64(s.P.Y)+dy
		switch s.Op {
		case Move:
			w.doc.MoveTo(x, y)
		case Line:
			w.doc.LineTo(x, y)
		case Curve:
			w.doc.CurveBezierCubicTo(float64(s.A.X)+dx, float64(s.A.Y)+dy, float64(s.B.X)+dx, float64(s.B.Y)+dy, x, y)
		case Close:
			w.doc.ClosePath()
		}
	}
}
