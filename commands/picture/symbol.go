package picture

import (
	"math"
	"slices"

	"larkfold/sizing/knot"
	"larkfold/sizing/trace"
)

// symbol is one knot about to be drawn: its frame (origin at the middle of its
// top), its size, and the cords that tie it, left to right.
type symbol struct {
	*Drawing
	f      frame
	w, h   Points
	d      Points // width of the working cord
	cords  []int
	sides  []Points // x where each end comes in
	turns  int      // of a wrap
	toLeft bool     // of a hitch: its carrier comes in from the right
	simple bool
}

// lay draws a piece of cord smoothly through places of the frame: x in cord
// widths, y in heights of the knot.
func (s *symbol) bend(cord int, xy ...Points) { s.thread(cord, s.d, xy...) }

func (s *symbol) thread(cord int, width Points, xy ...Points) {
	points := make([]Point, len(xy)/2)
	for i := range points {
		points[i] = s.f.to(xy[2*i]*s.d, xy[2*i+1]*s.h)
	}
	s.lay(smooth(points...), s.dye(cord), width)
}

func (s *symbol) first() int { return s.cords[0] }
func (s *symbol) last() int  { return s.cords[len(s.cords)-1] }

// knot draws placed knot i.
func (k *sketch) knot(i int) {
	at := k.knots[i].at
	if k.upwards(k.r.Placed[i].Ends[0]) {
		at = k.knots[i].foot
	}
	k.tie(i, k.symbolOf(i), k.page(at))
}

// symbolOf is placed knot i about the origin.
func (k *sketch) symbolOf(i int) symbol {
	p := &k.r.Placed[i]
	turn, upward := k.knots[i].turn, k.upwards(p.Ends[0])
	if upward { // tied with the work turned round
		turn += math.Pi
	}
	s := symbol{
		f: turned(Point{}, turn), w: k.pt(p.Width), h: k.pt(p.Height),
		simple: k.detail == simple, cords: make([]int, len(p.Ends)), sides: make([]Points, len(p.Ends)),
	}
	for j, e := range p.Ends {
		s.cords[j] = k.cordOf(e)
		s.d = max(s.d, k.pt(k.r.Cords[s.cords[j]].Diameter()))
		s.sides[j] = (Points(j) - Points(len(p.Ends)-1)/2) * k.pt(k.r.Cords[s.cords[j]].Diameter())
	}
	if upward && p.Knot.Shape != knot.Hitch {
		slices.Reverse(s.cords)
	}
	if p.Knot.Shape == knot.Hitch {
		s.toLeft = runsLeft(p) != upward
		s.d = k.pt(k.r.Cords[s.last()].Diameter())
	}
	if p.Knot.Shape == knot.Wrap {
		s.wrapping(k.wrapOf(p))
		s.d = k.pt(k.r.Cords[s.first()].Diameter())
		s.turns = int(math.Round(float64(s.h / s.d)))
		if k.wrapsAll(p) {
			s.w = Points(k.girth(p.Panel, float64(p.Y)) * k.scale)
		}
	}
	return s
}

// tie draws placed knot i, as a symbol about the origin, at a place.
func (k *sketch) tie(i int, s symbol, at Point) {
	of := k.r.Placed[i].Knot
	part := k.open(AKnot, i, at)
	k.stamp(s.look(of.Name), at, func(d *Drawing) {
		s.Drawing = d
		s.draw(of)
	})
	k.close(part)
	k.Parts[part].Name = of.Name
}

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

// wrapOf is the cord of the extra that is wound where the knot sits.
func (k *sketch) wrapOf(p *trace.Placed) int {
	for _, x := range k.r.Extras {
		if x.For == trace.ForWrap && x.Panel == p.Panel && x.X == p.X && x.Y == p.Y {
			return x.Cord
		}
	}
	return 0
}

func (s *symbol) wrapping(cord int) { s.cords = []int{cord} }

// draw draws the knot as itself; a knot of which only the row is known is drawn
// as a plain shape with its short name.
func (s *symbol) draw(k *knot.Knot) {
	switch {
	case k.Shape == knot.Wrap:
		s.wrap()
	case s.simple:
		s.blob()
	case s.drawnUp(k):
	case k.Name == "picot knot":
		s.square(1.5)
	case k.Name == "berry knot":
		s.berry()
	default:
		s.schematic(k)
	}
}

// blob is a knot too small for its bends.
func (s *symbol) blob() {
	w, h := min(s.w, s.d*Points(len(s.cords)+2))*0.46, s.h*0.5
	dye := s.dye(s.first())
	s.fill(ellipse(s.f, h, w, h*0.96), dye.edge)
	edge := min(0.5, w*0.3)
	s.fill(ellipse(s.f, h, w-edge, h*0.96-edge), dye.body)
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

// square is a square knot: one worker crosses the front to the right and back,
// the other clasps it at both sides. Bow lets the sides stand out in loops.
func (s *symbol) square(bow Points) {
	n := len(s.cords)
	e := s.inner(1, n-1)
	a := min(e+0.55, s.w/s.d/2-0.5)
	in := s.sides[n-1] / s.d
	l, r := s.first(), s.last()
	if bow > 0 {
		b := a + bow
		s.bend(l, -in, 0, -b*0.9, -0.05, -b, 0.14, -a*0.8, 0.34)
		s.bend(r, in, 0, b*0.9, -0.05, b, 0.14, a*0.8, 0.34)
	} else {
		s.bend(r, in, 0, a, 0.16, a, 0.5, a, 0.84, in, 1)
	}
	s.bend(l, -in, 0, -a, 0.16, -0.6*a, 0.335, 0.6*a, 0.335, a*0.98, 0.42, a*0.98, 0.58, 0.6*a, 0.665, -0.6*a, 0.665, -a, 0.84, -in, 1)
	s.bend(r, 0.72*a, 0.14, a+0.1, 0.36, a+0.1, 0.64, 0.72*a, 0.86)
	s.bend(r, -0.72*a, 0.14, -a-0.1, 0.36, -a-0.1, 0.64, -0.72*a, 0.86)
}

// berry is square knots rolled into a ball, locked by one more.
func (s *symbol) berry() {
	n := len(s.cords)
	s.inner(0, n)
	a := min(s.w/s.d/2, Points(n)/2+1.2)
	dye := s.dye(s.first())
	s.fill(ellipse(s.f, s.h*0.36, a*s.d, s.h*0.33), dye.edge)
	s.fill(ellipse(s.f, s.h*0.36, a*s.d-0.5, s.h*0.33-0.5), dye.body)
	for i, y := range []Points{0.17, 0.3, 0.43, 0.56} {
		bend := (Points(i) - 1.5) * 0.03
		half := a * []Points{0.62, 0.82, 0.82, 0.62}[i]
		cord := s.first()
		if i%2 == 1 {
			cord = s.last()
		}
		s.bend(cord, -half, y, 0, y+bend+0.04, half, y)
	}
	lock := *s
	lock.f.at = s.f.to(0, s.h*0.66)
	lock.h = s.h * 0.34
	lock.square(0)
}

// wrap is the turns of a separate cord round all ends.
func (s *symbol) wrap() {
	dye := s.dye(s.first())
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
	dye := s.dye(s.first())
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
