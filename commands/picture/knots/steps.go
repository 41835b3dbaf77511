package knots

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/diagram"
	"larkfold/sizing/knot"
	"larkfold/sizing/noun"
)

// slender is how thick a cord is drawn in the pictures of steps, in its diameters:
// thin enough that what crosses behind it is seen.
const slender = 0.62

// view is how a place of a diagram comes onto the page.
type view struct {
	middle paint.Point
	centre diagram.Point
	unit   paint.Points
}

func (v view) to(p diagram.Point) paint.Point {
	return paint.At(v.middle.X+paint.Points(p.X-v.centre.X)*v.unit, v.middle.Y+paint.Points(p.Y-v.centre.Y)*v.unit)
}

// steps draws the steps of a knot, a picture each, for one hand or for both.
func (d *lesson) steps(k *knot.Knot, y paint.Points) paint.Points {
	hands := []bool{false}
	if k.Diagram.Hands[1] != "" && k.Diagram.Draw != nil {
		hands = []bool{false, true}
	}
	across := 3
	if n := len(k.HowTo); n == 2 || n == 4 {
		across = 2
	}
	for i, mirrored := range hands {
		if len(hands) == 2 {
			part := d.Open(paint.ALine, i, paint.At(paint.PageMargin, y))
			d.Write(noun.Capital(k.Diagram.Hands[i]), paint.At(paint.PageMargin, y+6), paint.BoldStyle(), paint.Leftward, paint.PageWidth-2*paint.PageMargin)
			d.Close(part)
			y += 14
		}
		y = d.stages(k, mirrored, across, y)
		if i == 0 {
			y = d.strandsLegend(k, y)
		}
	}
	if len(hands) == 2 {
		y = d.Paragraph("The steps say left and right for the first row; in the second all is mirrored.", paint.At(paint.PageMargin, y+2), paint.NoteStyle(), paint.PageWidth-2*paint.PageMargin, 13) + 4
	}
	return y
}

// stages draws the steps of one hand, so many beside each other.
func (d *lesson) stages(k *knot.Knot, mirrored bool, across int, y paint.Points) paint.Points {
	const gap = 8
	stages := k.Diagram.Stages
	wide := (paint.PageWidth - 2*paint.PageMargin - gap*paint.Points(across-1)) / paint.Points(across)
	v, high := stagesView(k.Diagram, mirrored, wide)
	for i, s := range stages {
		column := i % across
		if i > 0 && column == 0 {
			y += high + gap
		}
		inRow := min(across, len(stages)-i+column)
		left := (paint.PageWidth-wide*paint.Points(inRow)-gap*paint.Points(inRow-1))/2 + (wide+gap)*paint.Points(column)
		b := paint.Between(left, y, left+wide, y+high)
		part := d.Open(AStage, i, paint.At(left+wide/2, y))
		d.Fill(paint.Rounded(b, 8), paint.CardInk())
		v.middle = paint.At((b.Left+b.Right)/2, (b.Top+b.Bottom)/2)
		switch {
		case s.Drawn == 0:
			var next *knot.Stage
			if i+1 < len(stages) && stages[i+1].Drawn == 0 && stages[i+1].Body == nil && s.Body == nil {
				next = &stages[i+1]
			}
			d.tied(k, k.Diagram.Stage(s, mirrored), s, next, v)
		default:
			d.finished(k, s.Drawn, mirrored, b)
		}
		d.Write(fmt.Sprint(i+1), paint.At(b.Left+8, b.Top+14), paint.Style{Face: paint.Bold, Size: 11, Ink: paint.AccentInk()}, paint.Leftward, 0)
		d.Close(part)
		d.Parts[part].Name = fmt.Sprintf("step %d", i+1)
	}
	return y + high + 16
}

// overhang is what the pictures of steps leave round a diagram for hanging ends and
// their numbers, in cord diameters.
const overhang = 2.4

// stagesView is the view that shows every stage at one scale in pictures of a
// width, and the height of those pictures.
func stagesView(dia *knot.Diagram, mirrored bool, wide paint.Points) (view, paint.Points) {
	lo, hi := diagram.Point{X: math.Inf(1), Y: math.Inf(1)}, diagram.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, s := range dia.Stages {
		if s.Drawn > 0 {
			continue
		}
		for _, strand := range dia.Stage(s, mirrored) {
			for _, p := range strand.Line {
				lo = diagram.Point{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
				hi = diagram.Point{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
			}
		}
	}
	if lo.X > hi.X {
		return view{}, 150
	}
	const margin = 8
	const mostHigh = 330
	w, h := paint.Points(hi.X-lo.X+2), paint.Points(hi.Y-lo.Y+overhang)
	unit := min((wide-2*margin)/w, (mostHigh-2*margin-16)/h, 13)
	return view{centre: r3.Scale(0.5, r3.Add(lo, hi)), unit: unit}, max(h*unit+2*margin+16, 110)
}

// tied draws a diagram as far as a stage has come: ends that are still to go hang
// free, with an arrow where they go next.
func (d *lesson) tied(k *knot.Knot, drawn diagram.Drawing, s knot.Stage, next *knot.Stage, v view) {
	var threads []thread
	width := v.unit * slender
	type tip struct {
		at   diagram.Point
		name string
	}
	var tips []tip
	var arrows [][]diagram.Point
	lines := make([][]diagram.Point, len(drawn))
	for i, strand := range drawn {
		come := s.Come(drawn, i)
		switch {
		case strand.Folded:
			lines[i] = folded(strand, come)
		default:
			lines[i] = strand.Part(0, max(come, 0.02)) // one that stands still shows its beginning
		}
	}
	for i, strand := range drawn {
		come := s.Come(drawn, i)
		if strand.Works && !strand.Folded && come < 1 {
			lines[i] = hang(lines, i)
		}
		if next != nil && strand.Works {
			if goes := next.Come(drawn, i); goes > come+1e-9 {
				if strand.Folded {
					arrows = append(arrows, strand.Part(come/2, min(goes, come+0.35)/2))
				} else {
					arrows = append(arrows, strand.Part(come, goes))
				}
			}
		}
		t := thread{line: lines[i], width: width, dye: dyeOfStrand(k, drawn, i)}
		if strand.Thick > 0 && strand.Name == "rod" {
			t.width, t.dye, t.rod = v.unit*paint.Points(strand.Thick), woodDye(), true
			if k.Look().OnCord {
				t.dye = dyeOf(0)
			}
		}
		threads = append(threads, t)
		switch {
		case strand.Folded:
			tips = append(tips, tip{strand.Line[0], "1"}, tip{strand.Line[len(strand.Line)-1], "2"})
		case strand.Name != "rod" && len(strand.Name) == 1:
			tips = append(tips, tip{strand.Line[0], strand.Name})
		}
	}
	crossing(d.Drawing, threads, v.to, paint.CardInk())
	for _, a := range arrows {
		d.arrow(a, v)
	}
	for _, t := range tips {
		at := v.to(t.at)
		switch {
		case math.Abs(t.at.X-v.centre.X) > 4 && math.Abs(t.at.Y-v.centre.Y) < 2.5:
			at.X += paint.Points(math.Copysign(3, t.at.X-v.centre.X))
		case t.at.Y > v.centre.Y:
			at.Y += 6
		default:
			at.Y -= 6
		}
		d.number(t.name, at)
	}
}

// woodDye is how a rod is drawn.
func woodDye() Dye { return Dye{Body: paint.WoodInk(), Edge: paint.GrainInk()} }

// dyeOfStrand is the look of a strand: those that work coloured and patterned, the
// others plain.
func dyeOfStrand(k *knot.Knot, drawn diagram.Drawing, i int) Dye {
	if !drawn[i].Works {
		return dyeOf(0)
	}
	works := 0
	for j, s := range drawn {
		if s.Works && (s.Name < drawn[i].Name || s.Name == drawn[i].Name && j < i) {
			works++
		}
	}
	if k.Shape == knot.Hitch || k.Shape == knot.Wrap {
		works = 0
	}
	return dyeOf(works%7 + 1)
}

// folded is a cord whose fold has come so far along its way: both halves, with the
// fold between them.
func folded(s diagram.Strand, come float64) []diagram.Point {
	if come >= 1 {
		return s.Line
	}
	a, b := s.Part(0, come/2), s.Part(1-come/2, 1)
	from, to := a[len(a)-1], b[0]
	way := r3.Sub(from, a[max(0, len(a)-4)])
	if n := r3.Norm(way); n > 0 {
		way = r3.Scale(1.6/n, way)
	}
	bight := diagram.Along([]diagram.Point{from, r3.Add(from, r3.Scale(0.7, way)), r3.Add(r3.Scale(0.5, r3.Add(from, to)), way), r3.Add(to, r3.Scale(0.7, way)), to})
	return slices.Concat(a, bight.Line[1:len(bight.Line)-1], b)
}

// hang lets the end of a strand hang down from where it has come, as far as it then
// crosses nothing.
func hang(lines [][]diagram.Point, strand int) []diagram.Point {
	line := lines[strand]
	if len(line) < 2 {
		return line
	}
	from := line[len(line)-1]
	way := r3.Sub(from, line[max(0, len(line)-4)])
	if n := r3.Norm(way); n > 0 {
		way = r3.Scale(0.5/n, way)
	}
	before := len(diagram.Crossings(lines))
	for _, long := range []float64{2.4, 1.6, 0.9} {
		bend := r3.Add(from, way)
		tail := diagram.Along([]diagram.Point{from, bend, {X: bend.X + way.X/2, Y: bend.Y + 0.4*long, Z: from.Z}, {X: bend.X + way.X/2, Y: bend.Y + long, Z: from.Z}})
		longer := slices.Concat(line, tail.Line[1:])
		lines[strand] = longer
		if len(diagram.Crossings(lines)) == before && clearOf(lines, strand, len(line)) {
			return longer
		}
		lines[strand] = line
	}
	return line
}

// clearOf tells whether the part of a strand from one of its points on lies beside
// all the others on the page.
func clearOf(lines [][]diagram.Point, strand, from int) bool {
	for _, p := range lines[strand][from+3:] {
		for i, other := range lines {
			if i == strand {
				other = other[:max(0, from-14)]
			}
			for _, q := range other {
				if math.Hypot(p.X-q.X, p.Y-q.Y) < 0.7 {
					return false
				}
			}
		}
	}
	return true
}

// arrow shows where an end goes next.
func (d *lesson) arrow(line []diagram.Point, v view) {
	const step, head = 3, 5
	var points []paint.Point
	for i := 0; i < len(line); i += step {
		points = append(points, v.to(line[i]))
	}
	if end := v.to(line[len(line)-1]); len(points) == 0 || points[len(points)-1] != end {
		points = append(points, end)
	}
	if len(points) < 2 {
		return
	}
	tip, before := points[len(points)-1], points[max(0, len(points)-3)]
	dx, dy := float64(tip.X-before.X), float64(tip.Y-before.Y)
	n := math.Hypot(dx, dy)
	if n == 0 {
		return
	}
	ux, uy := paint.Points(dx/n), paint.Points(dy/n)
	path := paint.Smooth(points...)
	d.Line(path, paint.CardInk(), 3.4)
	d.Add(paint.Shape{Path: path, Stroke: paint.AccentInk(), Width: 1.5, Dash: []paint.Points{4, 2.5}})
	barb := paint.Polygon(paint.At(tip.X+ux*head, tip.Y+uy*head), paint.At(tip.X-uy*head*0.7, tip.Y+ux*head*0.7), paint.At(tip.X+uy*head*0.7, tip.Y-ux*head*0.7))
	d.Add(paint.Shape{Path: barb, Fill: paint.AccentInk(), Stroke: paint.CardInk(), Width: 0.6})
}

// finished draws a knot drawn up, so many times, in a box.
func (d *lesson) finished(k *knot.Knot, times int, mirrored bool, b paint.Box) {
	drawn, ok := k.DrawnUp()
	if !ok {
		d.tightened(k, shownEnds(k), times, b)
		return
	}
	strands := drawn.Strands
	if mirrored {
		strands = strands.Map(diagram.Path.Mirrored)
	}
	strands = repeated(k, strands, drawn.Pitch, times)
	lo, hi := diagram.Point{X: math.Inf(1), Y: math.Inf(1)}, diagram.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, s := range strands {
		for _, p := range s.Line {
			lo = diagram.Point{X: min(lo.X, p.X-s.Thick/2), Y: min(lo.Y, p.Y)}
			hi = diagram.Point{X: max(hi.X, p.X+s.Thick/2), Y: max(hi.Y, p.Y)}
		}
	}
	unit := min((b.Right-b.Left-24)/paint.Points(hi.X-lo.X), (b.Bottom-b.Top-30)/paint.Points(hi.Y-lo.Y), 13)
	v := view{middle: paint.At((b.Left+b.Right)/2, (b.Top+b.Bottom)/2+4), centre: r3.Scale(0.5, r3.Add(lo, hi)), unit: unit}
	var threads []thread
	for i, s := range strands {
		t := thread{line: s.Line, width: unit * paint.Points(s.Thick) * 0.96, dye: dyeOfStrand(k, strands, i)}
		if s.Thick > 1.5 {
			t.dye = woodDye()
		}
		threads = append(threads, t)
	}
	tubes(d.Drawing, threads, v.to)
}

// shownEnds is how many ends the picture of a finished knot shows.
func shownEnds(k *knot.Knot) int {
	switch k.Shape {
	case knot.Hitch:
		return 2
	case knot.Wrap, knot.Pattern:
		return 4
	}
	return k.Ends
}

// repeated sets periods of a drawn-up knot below each other, or beside each other
// on their carrier. A strand goes on with the one that begins where it ends.
func repeated(k *knot.Knot, one diagram.Drawing, pitch float64, times int) diagram.Drawing {
	if pitch == 0 || times < 2 {
		return one
	}
	if k.Shape == knot.Hitch {
		var all diagram.Drawing
		for i, s := range one {
			if s.Works {
				for n := range times {
					s.Name = fmt.Sprint(n + 1)
					s.Path = one[i].Path.Moved(pitch*float64(n), 0)
					all = append(all, s)
				}
				continue
			}
			s.Path = straightCarrier(one[i].Path, pitch*float64(times))
			all = append(all, s)
		}
		return all
	}
	all := make(diagram.Drawing, len(one))
	for i, s := range one {
		at := i
		var line []diagram.Point
		for n := range times {
			line = append(line, one[at].Path.Moved(0, pitch*float64(n)).Line...)
			at = follows(one, at, pitch)
		}
		s.Path = diagram.Path{Points: line, Line: line}
		all[i] = s
	}
	return all
}

// follows is the strand that begins, one period on, nearest to where a strand ends.
func follows(one diagram.Drawing, strand int, pitch float64) int {
	end := one[strand].Line[len(one[strand].Line)-1]
	best, least := strand, math.Inf(1)
	for i, s := range one {
		begin := s.Line[0]
		begin.Y += pitch
		if gap := r3.Norm(r3.Sub(begin, end)); gap < least {
			best, least = i, gap
		}
	}
	return best
}

// straightCarrier is one of a length, from a little before where it begins.
func straightCarrier(p diagram.Path, long float64) diagram.Path {
	y, z := p.Line[0].Y, p.Line[0].Z
	var points []diagram.Point
	for x := -3.0; x <= long; x++ {
		points = append(points, diagram.Point{X: x, Y: y, Z: z})
	}
	return diagram.Along(points)
}

// strandsLegend says which look is which end of the diagram.
func (d *lesson) strandsLegend(k *knot.Knot, y paint.Points) paint.Points {
	if k.Shape != knot.Group || k.Diagram.Draw == nil {
		return y + 4
	}
	drawn := k.Diagram.Drawing(false)
	roles, _ := k.Cast(k.Ends)
	x := paint.PageMargin
	for i := 0; i < len(drawn); {
		last := i
		for last+1 < len(drawn) && !drawn[last+1].Works && !drawn[i].Works {
			last++
		}
		text := k.Roles[roles[i]].Name + " " + drawn[i].Name
		if last > i {
			text += " to " + drawn[last].Name
		}
		part := d.Open(paint.ALine, -1, paint.At(x, y))
		dyeOfStrand(k, drawn, i).Sample(d.Drawing, paint.Between(x, y, x+26, y), 6)
		x += 32 + d.Write(text, paint.At(x+32, y+3.6), paint.SubStyle(), paint.Leftward, 130) + 14
		d.Close(part)
		i = last + 1
	}
	return y + 24
}
