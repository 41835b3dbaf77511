package knots

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/diagram"
)

// thread is one strand about to be painted.
type thread struct {
	line  []diagram.Point
	width paint.Points
	dye   Dye
	rod   bool // level, and wider than a cord: it hides what lies behind it
}

// crossing paints strands so that what crosses over lies over: each is cut between
// its crossings, so that a piece has one crossing at most, and the pieces that pass
// under are painted before those that pass over. To turns a place of the diagram
// into one on the page; ground is what shows beside a cord that passes over, clear
// for no such break.
func crossing(d *paint.Drawing, strands []thread, to func(diagram.Point) paint.Point, ground paint.Ink) {
	var all, rods []thread
	for _, t := range strands {
		if t.rod {
			rods = append(rods, t)
		} else {
			all = append(all, t)
		}
	}
	defer level(d, rods, all, to)
	lines := make([][]diagram.Point, len(all))
	for i, t := range all {
		lines[i] = t.line
	}
	type met struct {
		at   float64
		over bool
	}
	meets := make([][]met, len(all))
	for _, x := range diagram.Crossings(lines) {
		meets[x.Over.Strand] = append(meets[x.Over.Strand], met{x.Over.At, true})
		meets[x.Under.Strand] = append(meets[x.Under.Strand], met{x.Under.At, false})
	}
	for _, over := range []bool{false, true} {
		for i, t := range all {
			m := meets[i]
			slices.SortFunc(m, func(a, b met) int { return cmp.Compare(a.at, b.at) })
			if len(m) == 0 && !over {
				t.piece(d, 0, float64(len(t.line)-1), to, paint.Ink{})
			}
			for k := range m {
				if m[k].over != over || k > 0 && m[k-1].over == over {
					continue // painted with the one before it
				}
				last := k
				for last+1 < len(m) && m[last+1].over == over {
					last++
				}
				from, upTo := 0.0, float64(len(t.line)-1)
				if k > 0 {
					from = (m[k-1].at + m[k].at) / 2
				}
				if last+1 < len(m) {
					upTo = (m[last].at + m[last+1].at) / 2
				}
				behind := paint.Ink{}
				if over {
					behind = ground
				}
				t.piece(d, from, upTo, to, behind)
			}
		}
	}
}

// level paints level rods over the strands, and over them again what passes in front.
func level(d *paint.Drawing, rods, strands []thread, to func(diagram.Point) paint.Point) {
	for _, rod := range rods {
		rod.piece(d, 0, float64(len(rod.line)-1), to, paint.Ink{})
		axis := rod.line[0]
		half := float64(rod.width)/2/float64(to(diagram.Point{Y: 1}).Y-to(diagram.Point{}).Y) + 0.3
		for _, t := range strands {
			from := -1
			for i, p := range t.line {
				before := p.Z > axis.Z && p.Y > axis.Y-half && p.Y < axis.Y+half
				if before && from < 0 {
					from = i
				}
				if from >= 0 && (!before || i == len(t.line)-1) {
					t.piece(d, float64(from), float64(i), to, paint.Ink{})
					from = -1
				}
			}
		}
	}
}

// tubes paints drawn-up cords, which lie close, from the deepest to the nearest, a
// little darker the deeper they lie.
func tubes(d *paint.Drawing, all []thread, to func(diagram.Point) paint.Point) {
	type bit struct {
		strand, from, upTo int
		depth, arc         float64
	}
	const step = 2 // points of a line to a piece
	var bits []bit
	deep, near := math.Inf(1), math.Inf(-1)
	for i, t := range all {
		arc := 0.0
		for from := 0; from+1 < len(t.line); from += step {
			upTo := min(from+step, len(t.line)-1)
			z := (t.line[from].Z + t.line[upTo].Z) / 2
			bits = append(bits, bit{i, from, upTo, z, arc})
			deep, near = min(deep, z), max(near, z)
			arc += r3.Norm(r3.Sub(t.line[upTo], t.line[from]))
		}
	}
	slices.SortStableFunc(bits, func(a, b bit) int { return cmp.Compare(a.depth, b.depth) })
	for _, b := range bits {
		t := all[b.strand]
		if t.dye.Dash != nil && !on(t.dye.Dash, b.arc) {
			t.dye.Dash = nil
		} else if t.dye.Dash != nil {
			t.dye.Dash = fullLine
		}
		if span := near - deep; span > 1 {
			t.dye.Body = t.dye.Body.Darker(0.28 * math.Round(3*(near-b.depth)/span) / 3)
		}
		t.stretch(d, float64(b.from), float64(b.upTo), 0.9, 1, to, paint.Ink{})
	}
}

// fullLine is the pattern of a line without a break.
var fullLine = []paint.Points{1e6, 1}

// on tells whether a pattern of marks and gaps, in cord widths, has a mark so many
// widths from its beginning.
func on(dash []paint.Points, at float64) bool {
	whole := 0.0
	for _, l := range dash {
		whole += float64(l)
	}
	at = math.Mod(at, whole)
	for i, l := range dash {
		if at < float64(l) {
			return i%2 == 0
		}
		at -= float64(l)
	}
	return false
}

// piece paints a strand from one place of its line to another, counted in points.
func (t thread) piece(d *paint.Drawing, from, upTo float64, to func(diagram.Point) paint.Point, ground paint.Ink) {
	t.stretch(d, from, upTo, 0.15, 3, to, ground)
}

// stretch paints a piece that laps over its neighbours by a seam and bends every so
// many points, both counted in points of the line.
func (t thread) stretch(d *paint.Drawing, from, upTo, seam, step float64, to func(diagram.Point) paint.Point, ground paint.Ink) {
	from, upTo = max(0, from-seam), min(float64(len(t.line)-1), upTo+seam)
	at := func(x float64) paint.Point {
		i := min(int(x), len(t.line)-2)
		a, b := to(t.line[i]), to(t.line[i+1])
		share := paint.Points(x - float64(i))
		return paint.At(a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y))
	}
	points := []paint.Point{at(from)}
	for x := from + step; x < upTo-step/2; x += step {
		points = append(points, at(x))
	}
	points = append(points, at(upTo))
	path := paint.Smooth(points...)
	if !ground.Clear() {
		d.Line(path, ground, t.width*1.5+1)
	}
	t.dye.Lay(d, path, t.width)
}
