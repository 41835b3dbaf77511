package knots

import (
	"cmp"
	"math"
	"slices"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/diagram"
	"larkfold/sizing/knot"
)

// fitted is a drawn-up knot brought to the size it has in a piece: threads in cord
// diameters from the middle of its top.
type fitted struct {
	lines [][]diagram.Point
	ends  []int   // whose cord each line is: an index into the ends of the knot
	thick float64 // of the lines, in cord diameters
	tie   int     // how many ends tie it
}

// fit brings the drawn-up shape of a knot to a width and a height, in cord
// diameters, for ends that come in at sides. It is false for a knot that has none.
func fit(k *knot.Knot, w, h float64, sides []float64, toLeft bool) (fitted, bool) {
	drawn, ok := shaped(k)
	if !ok {
		return fitted{}, false
	}
	if toLeft {
		drawn.Strands = drawn.Strands.Map(diagram.Path.Mirrored)
	}
	f, lies := fitted{thick: 1, tie: len(sides)}, k.Look().Lies
	switch {
	case lies == knot.Rolled:
		return f, f.berry(k, drawn, w, h, sides)
	case lies == knot.Woven:
		f.woven(drawn, w, h)
	case k.Shape == knot.Hitch:
		f.hitch(drawn, w, h, toLeft)
	case k.Shape == knot.Plait:
		f.plait(k, drawn, w, h)
	case drawn.Pitch == 0 || lies == knot.Apart:
		f.single(drawn, w, h)
	default:
		return f, f.sinnet(k, drawn, w, h, sides)
	}
	return f, true
}

// shaped is what a knot looks like in a piece: as tightening shaped it, or, of what
// friction alone holds, as its diagram lies in the end. A berry is made of square knots.
func shaped(k *knot.Knot) (knot.Drawn, bool) {
	switch {
	case k.Shape == knot.Mount || k.Diagram == nil:
		return knot.Drawn{}, false
	case k.Look().Lies == knot.Rolled:
		square, _ := knot.Standard().Knot("square knot")
		return square.DrawnUp()
	case k.Look().Open:
		body := k.Diagram.Body
		body.Slack = min(body.Slack, bow)
		drawn := knot.Drawn{Strands: k.Diagram.Draw(body)}
		for _, s := range working(drawn.Strands) {
			for _, p := range s.Line {
				drawn.Pitch = max(drawn.Pitch, p.Y-s.Line[0].Y)
			}
		}
		return drawn, true
	}
	return k.DrawnUp()
}

// bow is how much cord lies in each loop of a picot, in cord widths.
const bow = 2.5

// working are the strands of a drawing that work, from left to right where they
// come in.
func working(d diagram.Drawing) diagram.Drawing {
	var works diagram.Drawing
	for _, s := range d {
		if s.Works {
			works = append(works, s)
		}
	}
	slices.SortStableFunc(works, func(a, b diagram.Strand) int { return cmp.Compare(a.Line[0].X, b.Line[0].X) })
	return works
}

// reach is how far the lines go to one side of a middle.
func reach(d diagram.Drawing, middle float64) float64 {
	most := 0.0
	for _, s := range d {
		for _, p := range s.Line {
			most = max(most, math.Abs(p.X-middle))
		}
	}
	return most
}

// mapped is a line moved and stretched.
func mapped(line []diagram.Point, f func(diagram.Point) diagram.Point) []diagram.Point {
	out := make([]diagram.Point, len(line))
	for i, p := range line {
		out[i] = f(p)
	}
	return out
}

// straight is a level or hanging line, close enough set to be sorted by depth.
func straight(x1, y1, x2, y2 float64) []diagram.Point {
	const n = 8
	line := make([]diagram.Point, n+1)
	for i := range line {
		t := float64(i) / n
		line[i] = diagram.Point{X: x1 + t*(x2-x1), Y: y1 + t*(y2-y1)}
	}
	return line
}

// sinnet is one knot of a sinnet: its workers stretched to the width, the ends they
// tie round as they hang.
func (f *fitted) sinnet(k *knot.Knot, drawn knot.Drawn, w, h float64, sides []float64) bool {
	roles, cores := k.Cast(len(sides))
	works := working(drawn.Strands)
	if len(works) != len(sides)-cores {
		return false
	}
	middle, low := 0.0, 0
	for i, r := range roles {
		if !k.Roles[r].Works {
			side := max(-w/2+1, min(w/2-1, sides[i]))
			middle += side / float64(cores)
			f.lines = append(f.lines, straight(side, -0.1, side, h+0.1))
			f.ends = append(f.ends, i)
		}
	}
	wide, high := (w/2-0.5)/reach(works, 0), h/drawn.Pitch
	to := func(p diagram.Point) diagram.Point {
		return diagram.Point{X: middle + p.X*wide, Y: (p.Y - works[0].Line[0].Y) * high, Z: p.Z}
	}
	for i, r := range roles {
		if k.Roles[r].Works {
			line := mapped(works[low].Line, to)
			f.lines, f.ends = append(f.lines, line), append(f.ends, i)
			low++
		}
	}
	return true
}

// berry is square knots rolled into a ball, of which the upper ones are seen, above
// the one that locks them.
func (f *fitted) berry(k *knot.Knot, square knot.Drawn, w, h float64, sides []float64) bool {
	const ball, seen = 0.64, 2 // of the height, and knots on the front of the ball
	lock := fitted{tie: f.tie}
	if !lock.sinnet(k, square, w*0.8, h*(1-ball), sides) {
		return false
	}
	for i, line := range lock.lines {
		f.lines = append(f.lines, mapped(line, func(p diagram.Point) diagram.Point {
			return diagram.Point{X: p.X, Y: p.Y + ball*h, Z: p.Z}
		}))
		f.ends = append(f.ends, lock.ends[i])
	}
	works := working(square.Strands)
	top, wide, radius := works[0].Line[0].Y, (w/2-0.5)/reach(works, 0), ball*h/2
	for i, s := range repeated(k, works, square.Pitch, seen) {
		f.lines = append(f.lines, mapped(s.Line, func(p diagram.Point) diagram.Point {
			sin, cos := math.Sincos(math.Pi * max(0, min(1, (p.Y-top)/(seen*square.Pitch))))
			return diagram.Point{X: p.X * wide * (0.4 + 0.6*sin), Y: radius * (1 - cos), Z: p.Z + radius*sin}
		}))
		f.ends = append(f.ends, []int{0, f.tie - 1}[i])
	}
	return true
}

// JosephineLegs is how far from its middle its two strands leave, as a share of its width.
const JosephineLegs = 2 / 10.4

// woven is a flat knot of two strands, each of half the ends, as open as its width.
func (f *fitted) woven(drawn knot.Drawn, w, h float64) {
	const lobes = 10.4 // across the lobes, in strands; the row's width. Its ends leave at 2.
	f.thick = w / lobes
	for i, s := range drawn.Strands {
		line := cropped(s.Line, h/2/f.thick, func(p diagram.Point) float64 { return p.Y })
		f.lines = append(f.lines, mapped(line, func(p diagram.Point) diagram.Point {
			return diagram.Point{X: p.X * f.thick, Y: p.Y*f.thick + h/2, Z: p.Z * f.thick}
		}))
		f.ends = append(f.ends, i*(f.tie-1))
	}
}

// plait is as many repeats as the length takes, each strand as thick as the ends it
// is made of.
func (f *fitted) plait(k *knot.Knot, drawn knot.Drawn, w, h float64) {
	works := working(drawn.Strands)
	f.thick = w / (2*reach(works, 0) + 1)
	times := max(1, int(math.Round(h/(drawn.Pitch*f.thick))))
	high := h / (drawn.Pitch * float64(times))
	n := f.tie
	for i, s := range repeated(k, works, drawn.Pitch, times) {
		f.lines = append(f.lines, mapped(s.Line, func(p diagram.Point) diagram.Point {
			return diagram.Point{X: p.X * f.thick, Y: (p.Y - works[0].Line[0].Y) * high, Z: p.Z * f.thick}
		}))
		f.ends = append(f.ends, i*n/len(works))
	}
}

// hitch is one end hitched over a level carrier, which is the first end.
func (f *fitted) hitch(drawn knot.Drawn, w, h float64, toLeft bool) {
	wide, from := min(w/drawn.Pitch, 1.3), -w/2-0.05
	if toLeft {
		from = -from
	}
	f.lines = append(f.lines, straight(from, h/2, -from, h/2))
	f.ends = append(f.ends, 0)
	for _, s := range working(drawn.Strands) {
		line := cropped(s.Line, h/2+0.1, func(p diagram.Point) float64 { return p.Y })
		f.lines = append(f.lines, mapped(line, func(p diagram.Point) diagram.Point {
			return diagram.Point{X: p.X * wide, Y: p.Y + h/2, Z: p.Z}
		}))
		f.ends = append(f.ends, f.tie-1)
	}
}

// single is a knot tied once, in its middle.
func (f *fitted) single(drawn knot.Drawn, w, h float64) {
	f.thick = 1
	if len(drawn.Strands) == 1 { // all ends in one strand
		f.thick = w / 3
	}
	for i, s := range drawn.Strands {
		line := cropped(cropped(s.Line, h/2/f.thick, func(p diagram.Point) float64 { return p.Y }), w/2/f.thick, func(p diagram.Point) float64 { return p.X })
		if len(line) < 2 {
			continue
		}
		f.lines = append(f.lines, mapped(line, func(p diagram.Point) diagram.Point {
			return diagram.Point{X: p.X * f.thick, Y: p.Y*f.thick + h/2, Z: p.Z * f.thick}
		}))
		f.ends = append(f.ends, min(i, f.tie-1))
	}
}

// cropped leaves away the beginning and the end of a line that lie too far out.
func cropped(line []diagram.Point, most float64, along func(diagram.Point) float64) []diagram.Point {
	from, upTo := 0, len(line)
	for from < upTo && math.Abs(along(line[from])) > most {
		from++
	}
	for upTo > from && math.Abs(along(line[upTo-1])) > most {
		upTo--
	}
	return line[from:upTo]
}

// drawnUp draws the knot as tightening shaped it, if it is one of those.
func (s *Symbol) drawnUp(k *knot.Knot) bool {
	sides := make([]float64, len(s.Cords))
	for i := range sides {
		sides[i] = float64(s.Sides[i] / s.Thick)
	}
	f, ok := fit(k, float64(s.Wide/s.Thick), float64(s.High/s.Thick), sides, s.ToLeft)
	if !ok {
		return false
	}
	threads := make([]thread, len(f.lines))
	for i := range f.lines {
		threads[i] = thread{line: f.lines[i], width: s.Thick * paint.Points(f.thick), dye: s.Dyes.Of(s.Cords[f.ends[i]])}
	}
	tubes(s.Drawing, threads, func(p diagram.Point) paint.Point {
		return s.Frame.To(paint.Points(p.X)*s.Thick, paint.Points(p.Y)*s.Thick)
	})
	return true
}
