package knots

import (
	"larkfold/commands/picture/paint"
	"larkfold/sizing/knot"
)

// Symbol is one knot about to be drawn: its frame (origin at the middle of its
// top), its size, and the cords that tie it, left to right.
type Symbol struct {
	*paint.Drawing
	Frame      paint.Frame
	Wide, High paint.Points
	Thick      paint.Points // width of the working cord
	Dyes       Dyes         // of all cords
	Cords      []int
	Sides      []paint.Points // x where each end comes in
	Turns      int            // of a wrap
	ToLeft     bool           // of a hitch: its carrier comes in from the right
	Simple     bool
}

// bend draws a piece of cord smoothly through places of the frame: x in cord
// widths, y in heights of the knot.
func (s *Symbol) bend(cord int, xy ...paint.Points) {
	points := make([]paint.Point, len(xy)/2)
	for i := range points {
		points[i] = s.Frame.To(xy[2*i]*s.Thick, xy[2*i+1]*s.High)
	}
	s.Dyes.Of(cord).Lay(s.Drawing, paint.Smooth(points...), s.Thick)
}

// First is the cord of its leftmost end.
func (s *Symbol) First() int { return s.Cords[0] }

// Last is the cord of its rightmost end.
func (s *Symbol) Last() int { return s.Cords[len(s.Cords)-1] }

// Look is all that the symbol of a knot depends on.
func (s *Symbol) Look(name string) string {
	numbers := append(make([]paint.Points, 0, 64), s.Frame.Cos, s.Frame.Sin, s.Wide, s.High, s.Thick, paint.Points(s.Turns))
	if s.ToLeft {
		numbers = append(numbers, 1)
	}
	numbers = append(numbers, s.Sides...)
	for _, cord := range s.Cords {
		numbers = append(numbers, paint.Points(cord))
	}
	return paint.Look(name, numbers...)
}

// Draw draws the knot as itself; a knot of which only the row is known is drawn
// as a plain shape with its short name.
func (s *Symbol) Draw(k *knot.Knot) {
	switch {
	case k.Shape == knot.Wrap:
		s.wrap()
	case s.Simple && k.Shape != knot.Plait:
		s.small(k)
	case s.drawnUp(k):
	default:
		s.schematic(k)
	}
}

// small is a knot too small for its bends: its mass, with the strokes by which the
// eye tells it from others.
func (s *Symbol) small(k *knot.Knot) {
	dye := s.Dyes.Of(s.First())
	edge := max(0.12, min(0.5, s.Wide*0.08))
	cores := 0
	if k.Shape == knot.Group {
		_, cores = k.Cast(len(s.Cords))
	}
	switch {
	case k.Shape == knot.Hitch: // two turns over the carrier
		dye = s.Dyes.Of(s.Last())
		for _, x := range []paint.Points{-0.25, 0.25} {
			lean := s.Wide * 0.12
			if s.ToLeft {
				lean = -lean
			}
			p := paint.Polyline(s.Frame.To(x*s.Wide+lean, 0), s.Frame.To(x*s.Wide-lean, s.High))
			s.Add(paint.Shape{Path: p, Stroke: dye.Edge, Width: s.Wide * 0.5, Round: true})
			s.Add(paint.Shape{Path: p, Stroke: dye.Body, Width: max(0.1, s.Wide*0.5-2*edge), Round: true})
		}
	case k.Kin() == knot.Square && cores > 0 && k.Look().Lies != knot.Rolled: // flat, its workers crossing in front
		half := min(s.Wide/2, s.Thick*paint.Points(len(s.Cords)+2)/2)
		box := func(by paint.Points) []paint.Point {
			return s.Frame.All(-half+by, s.High*0.06+by, half-by, s.High*0.06+by, half-by, s.High*0.94-by, -half+by, s.High*0.94-by)
		}
		s.Fill(paint.Polygon(box(0)...), dye.Edge)
		s.Fill(paint.Polygon(box(edge)...), dye.Body)
		stroke := max(0.15, min(s.Thick*0.3, s.High*0.12))
		left, right := -half+edge, half-edge
		if k.Look().Mirrored {
			left, right = right, left
		}
		s.Line(paint.Polyline(s.Frame.To(left, s.High*0.3), s.Frame.To(right, s.High*0.48)), dye.Edge, stroke)
		if !k.Look().Once {
			s.Line(paint.Polyline(s.Frame.To(right, s.High*0.52), s.Frame.To(left, s.High*0.7)), dye.Edge, stroke)
		}
	default:
		w, h := min(s.Wide, s.Thick*paint.Points(len(s.Cords)+2))*0.48, s.High*0.5
		s.Fill(ellipse(s.Frame, h, w, h*0.96), dye.Edge)
		s.Fill(ellipse(s.Frame, h, w-edge, h*0.96-edge), dye.Body)
		s.Line(paint.Polyline(s.Frame.To(-w*0.5, h*1.3), s.Frame.To(w*0.5, h*0.7)), dye.Edge, max(0.15, s.Thick*0.2))
	}
}

// ellipse is an ellipse in a frame, its middle so far below the origin.
func ellipse(f paint.Frame, y, a, b paint.Points) paint.Path {
	k := paint.Points(paint.Quarter)
	var p paint.Path
	start := f.To(a, y)
	p.Move(start.X, start.Y)
	p.Curve(f.To(a, y+k*b), f.To(k*a, y+b), f.To(0, y+b))
	p.Curve(f.To(-k*a, y+b), f.To(-a, y+k*b), f.To(-a, y))
	p.Curve(f.To(-a, y-k*b), f.To(-k*a, y-b), f.To(0, y-b))
	p.Curve(f.To(k*a, y-b), f.To(a, y-k*b), f.To(a, y))
	p.Close()
	return p
}

// overlap is by how much of a knot's height straight ends reach into the next
// one, so that no seam shows.
const overlap = 0.04

// straight draws the ends straight down, none beyond the knot's edge.
func (s *Symbol) straight() {
	most := s.Wide/s.Thick/2 - 1
	for i, c := range s.Cords {
		x := max(-most, min(most, s.Sides[i]/s.Thick))
		s.bend(c, x, -overlap, x, 1+overlap)
	}
}

// wrap is the turns of a separate cord round all ends.
func (s *Symbol) wrap() {
	dye := s.Dyes.Of(s.First())
	turns := max(1, min(s.Turns, 60))
	each := s.High / paint.Points(turns)
	half := s.Wide / 2
	for i := range turns {
		y := each * (paint.Points(i) + 0.5)
		p := paint.Smooth(s.Frame.To(-half+each*0.3, y-each*0.12), s.Frame.To(-half*0.4, y+each*0.06), s.Frame.To(half*0.4, y+each*0.1), s.Frame.To(half-each*0.3, y-each*0.02))
		s.Add(paint.Shape{Path: p, Stroke: dye.Edge, Width: each, Round: true})
		if each > 1 {
			s.Add(paint.Shape{Path: p, Stroke: dye.Body, Width: each - min(0.9, each*0.3), Round: true})
			if dye.Dash != nil && each > 2 {
				s.Add(paint.Shape{Path: p, Stroke: dye.Mark, Width: each * 0.2})
			}
		}
	}
}

// schematic is a knot of which only the row is known: its ends and its short name.
func (s *Symbol) schematic(k *knot.Knot) {
	s.straight()
	half := min(s.Wide/2, s.Thick*paint.Points(len(s.Cords)+2)/2)
	corners := s.Frame.All(-half, s.High*0.1, half, s.High*0.1, half, s.High*0.9, -half, s.High*0.9)
	dye := s.Dyes.Of(s.First())
	s.Add(paint.Shape{Path: paint.Polygon(corners...), Fill: dye.Body, Stroke: dye.Edge, Width: max(0.6, min(1.2, s.Thick*0.25))})
	name := k.Short
	if name == "" {
		name = k.Name
	}
	const size = 10 // the least that is read on a phone
	name, _ = paint.Bold.Known(name)
	if s.High < size*1.3 || paint.Bold.Measure(name, size) > 2*half*0.95 {
		return
	}
	ink := dye.Mark
	s.Write(name, paint.At(s.Frame.To(0, s.High/2).X, s.Frame.To(0, s.High/2).Y+size*0.36), paint.Style{Face: paint.Bold, Size: size, Ink: ink}, paint.Centred, 0)
}
