package picture

import (
	"bytes"
	"fmt"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// pages renders drawings as the pages of one document, fonts embedded. The error is
// that of the PDF writer.
func pages(title string, drawings ...*Drawing) ([]byte, error) {
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
	for _, d := range drawings {
		p := pdfPage{doc: doc}
		doc.AddPageFormat("P", fpdf.SizeType{Wd: float64(d.Width), Ht: float64(d.Height)})
		if !d.paper {
			p.shape(&Shape{Path: rectangle(d.Page()), Fill: paperInk()})
		}
		doc.SetLineJoinStyle("round")
		for i := range d.Shapes {
			p.shape(&d.Shapes[i])
		}
	}
	var out bytes.Buffer
	if err := doc.Output(&out); err != nil {
		return nil, fmt.Errorf("print of %q: %w", title, err)
	}
	revised, err := revise(out.Bytes())
	if err != nil {
		return nil, fmt.Errorf("print of %q: %w", title, err)
	}
	return revised, nil
}

func (f Face) pdfName() string { return [...]string{"plain", "bold", "title"}[f] }

// pdfPage draws on the page in hand and remembers how the pen is set.
type pdfPage struct {
	doc          *fpdf.Fpdf
	origin       Point // of the shapes in hand
	fill, stroke Ink
	width        Points
	dashed       bool
	round        bool
	words        Ink
}

func (p *pdfPage) shape(s *Shape) {
	if s.Stamp != nil {
		p.origin = s.At
		for i := range s.Stamp.Shapes {
			p.shape(&s.Stamp.Shapes[i])
		}
		p.origin = Point{}
		return
	}
	if s.Words.Text != "" {
		w := s.Words
		if w.Ink != p.words {
			p.doc.SetTextColor(int(w.Ink.R), int(w.Ink.G), int(w.Ink.B))
			p.words = w.Ink
		}
		p.doc.SetFont(w.Face.pdfName(), "", float64(w.Size))
		p.doc.Text(float64(p.origin.X+w.At.X), float64(p.origin.Y+w.At.Y), w.Text)
		return
	}
	how := ""
	if !s.Fill.clear() {
		how = "F"
		if s.Fill != p.fill {
			p.doc.SetFillColor(int(s.Fill.R), int(s.Fill.G), int(s.Fill.B))
			p.fill = s.Fill
		}
	}
	if !s.Stroke.clear() && s.Width > 0 {
		how += "D"
		p.pen(s)
	}
	if how == "" {
		return
	}
	p.path(s.Path)
	p.doc.DrawPath(how)
}

func (p *pdfPage) pen(s *Shape) {
	if s.Stroke != p.stroke {
		p.doc.SetDrawColor(int(s.Stroke.R), int(s.Stroke.G), int(s.Stroke.B))
		p.stroke = s.Stroke
	}
	if s.Width != p.width {
		p.doc.SetLineWidth(float64(s.Width))
		p.width = s.Width
	}
	if s.Round != p.round {
		p.doc.SetLineCapStyle(map[bool]string{false: "butt", true: "round"}[s.Round])
		p.round = s.Round
	}
	if s.Dash != nil || p.dashed {
		dash := make([]float64, len(s.Dash))
		for i, l := range s.Dash {
			dash[i] = float64(l)
		}
		p.doc.SetDashPattern(dash, 0)
		p.dashed = s.Dash != nil
	}
}

func (p *pdfPage) path(path Path) {
	dx, dy := float64(p.origin.X), float64(p.origin.Y)
	for _, s := range path {
		x, y := float64(s.P.X)+dx, float64(s.P.Y)+dy
		switch s.Op {
		case Move:
			p.doc.MoveTo(x, y)
		case Line:
			p.doc.LineTo(x, y)
		case Curve:
			p.doc.CurveBezierCubicTo(float64(s.A.X)+dx, float64(s.A.Y)+dy, float64(s.B.X)+dx, float64(s.B.Y)+dy, x, y)
		case Close:
			p.doc.ClosePath()
		}
	}
}
