package picture

import (
	"strings"

	"larkfold/sizing/knot"
)

// symbol is one knot about to be drawn: its frame (origin at the middle of its
// top), its size, and the cords that tie it, left to right.
type symbol struct {
	*Drawing
	f      frame
	w, h   Points
	d      Points // width of the working cord
	dyes   dyes   // of all cords
	cords  []int
	sides  []Points // x where each end comes in
	turns  int      // of a wrap
	toLeft bool     // of a hitch: its carrier comes in from the right
	simple bool
}

// bend draws a piece of cord smoothly through places of the frame: x in cord
// widths, y in heights of the knot.
func (s *symbol) bend(cord int, xy ...Points) {
	points := make([]Point, len(xy)/2)
	for i := range points {
		points[i] = s.f.to(xy[2*i]*s.d, xy[2*i+1]*s.h)
	}
	s.dyes.of(cord).lay(s.Drawing, smooth(points...), s.d)
}

// first is the cord of its leftmost end.
func (s *symbol) first() int { return s.cords[0] }
// last is the cord of its rightmost end.
func (s *symbol) last() int  { return s.cords[len(s.cords)-1] }

// look is all that the symbol of a knot depends on.
func (s *symbol) look(name string) string {
	numbers := append(make([]Points, 0, 64), s.f.cos, s.f.sin, s.w, s.h, s.d, Points(s.turns))
	if s.toLeft {
		numbers = append(numbers, 1)
	}
	numbers = append(numbers, s.sides...)
	for _, cord := range s.cords {
		numbers = append(numbers, Points(cord))
	}
	return look(name, numbers...)
}

// draw draws the knot as itself; a knot of which only the row is known is drawn
// as a plain shape with its short name.
func (s *symbol) draw(k *knot.Knot) {
	switch {
	case k.Shape == knot.Wrap:
		s.wrap()
	case s.simple && k.Shape != knot.Plait:
		s.small(k)
	case s.drawnUp(k):
	default:
		s.schematic(k)
	}
}

// small is a knot too small for its bends: its mass, with the strokes by which the
// eye tells it from others.
func (s *symbol) small(k *knot.Knot) {
	dye := s.dyes.of(s.first())
	edge := max(0.12, min(0.5, s.w*0.08))
	cores := 0
	if k.Shape == knot.Group {
		_, cores = k.Cast(len(s.cords))
	}
	switch {
	case k.Shape == knot.Hitch: // two turns over the carrier
		dye = s.dyes.of(s.last())
		for _, x := range []Points{-0.25, 0.25} {
			lean := s.w * 0.12
			if s.toLeft {
				lean = -lean
			}
			p := polyline(s.f.to(x*s.w+lean, 0), s.f.to(x*s.w-lean, s.h))
			s.add(Shape{Path: p, Stroke: dye.edge, Width: s.w * 0.5, Round: true})
			s.add(Shape{Path: p, Stroke: dye.body, Width: max(0.1, s.w*0.5-2*edge), Round: true})
		}
	case k.Kin() == knot.Square && cores > 0 && k.Name != "berry knot": // flat, its workers crossing in front
		half := min(s.w/2, s.d*Points(len(s.cords)+2)/2)
		box := func(by Points) []Point {
			return s.f.all(-half+by, s.h*0.06+by, half-by, s.h*0.06+by, half-by, s.h*0.94-by, -half+by, s.h*0.94-by)
		}
		s.fill(polygon(box(0)...), dye.edge)
		s.fill(polygon(box(edge)...), dye.body)
		stroke := max(0.15, min(s.d*0.3, s.h*0.12))
		left, right := -half+edge, half-edge
		if strings.HasPrefix(k.Name, "right ") {
			left, right = right, left
		}
		s.line(polyline(s.f.to(left, s.h*0.3), s.f.to(right, s.h*0.48)), dye.edge, stroke)
		if !strings.HasSuffix(k.Name, "half knot") {
			s.line(polyline(s.f.to(right, s.h*0.52), s.f.to(left, s.h*0.7)), dye.edge, stroke)
		}
	default:
		w, h := min(s.w, s.d*Points(len(s.cords)+2))*0.48, s.h*0.5
		s.fill(ellipse(s.f, h, w, h*0.96), dye.edge)
		s.fill(ellipse(s.f, h, w-edge, h*0.96-edge), dye.body)
		s.line(polyline(s.f.to(-w*0.5, h*1.3), s.f.to(w*0.5, h*0.7)), dye.edge, max(0.15, s.d*0.2))
	}
}

// ellipse is an ellipse in a frame, its middle so far below the origin.
func ellipse(f frame, y, a, b Points) Path {
	k := Points(round)
	var p Path
	start := f.to(a, y)
	p.move(start.X, start.Y)
	p.curve(f.to(a, y+k*b), f.to(k*a, y+b), f.to(0, y+b))
	p.curve(f.to(-k*a, y+b), f.to(-a, y+k*b), f.to(-a, y))
	p.curve(f.to(-a, y-k*b), f.to(-k*a, y-b), f.to(0, y-b))
	p.curve(f.to(k*a, y-b), f.to(a, y-k*b), f.to(a, y))
	p.close()
	return p
}

// overlap is by how much of a knot's height straight ends reach into the next
// one, so that no seam shows.
const overlap = 0.04

// inner draws the ends between the outermost ones straight down, and returns half
// the width they take, in cord widths.
func (s *symbol) inner(from, to int) Points {
	edge := Points(0)
	for i := from; i < to; i++ {
		x := s.sides[i] / s.d
		if most := s.w/s.d/2 - 1; max(x, -x) > most {
			x = max(-most, min(most, x))
		}
		s.bend(s.cords[i], x, -overlap, x, 1+overlap)
		edge = max(edge, max(x, -x)+0.5)
	}
	return edge
}

// wrap is the turns of a separate cord round all ends.
func (s *symbol) wrap() {
	dye := s.dyes.of(s.first())
	turns := max(1, min(s.turns, 60))
	each := s.h / Points(turns)
	half := s.w / 2
	for i := range turns {
		y := each * (Points(i) + 0.5)
		p := smooth(s.f.to(-half+each*0.3, y-each*0.12), s.f.to(-half*0.4, y+each*0.06), s.f.to(half*0.4, y+each*0.1), s.f.to(half-each*0.3, y-each*0.02))
		s.add(Shape{Path: p, Stroke: dye.edge, Width: each, Round: true})
		if each > 1 {
			s.add(Shape{Path: p, Stroke: dye.body, Width: each - min(0.9, each*0.3), Round: true})
			if dye.dash != nil && each > 2 {
				s.add(Shape{Path: p, Stroke: dye.mark, Width: each * 0.2})
			}
		}
	}
}

// schematic is a knot of which only the row is known: its ends and its short name.
func (s *symbol) schematic(k *knot.Knot) {
	s.inner(0, len(s.cords))
	half := min(s.w/2, s.d*Points(len(s.cords)+2)/2)
	corners := s.f.all(-half, s.h*0.1, half, s.h*0.1, half, s.h*0.9, -half, s.h*0.9)
	dye := s.dyes.of(s.first())
	s.add(Shape{Path: polygon(corners...), Fill: dye.body, Stroke: dye.edge, Width: max(0.6, min(1.2, s.d*0.25))})
	name := k.Short
	if name == "" {
		name = k.Name
	}
	const size = 10 // the least that is read on a phone
	name, _ = Bold.known(name)
	if s.h < size*1.3 || Bold.measure(name, size) > 2*half*0.95 {
		return
	}
	ink := dye.mark
	s.write(name, Point{s.f.to(0, s.h/2).X, s.f.to(0, s.h/2).Y + size*0.36}, style{Bold, size, ink}, centred, 0)
}
