package diagram

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// Strand is the path of one end, or of a rod.
type Strand struct {
	Name   string // as the steps name it: the number of the end, "core", "rod"
	Works  bool   // it ties the knot; the others are what it is tied round
	Thick  float64
	Folded bool // both its ends hang: it is one cord, folded
	Path
}

// Drawing is the strands of one knot, ends from left to right.
type Drawing []Strand

// Map draws the same with every path changed.
func (d Drawing) Map(f func(Path) Path) Drawing {
	e := slices.Clone(d)
	for i := range e {
		e[i].Path = f(e[i].Path)
	}
	return e
}

// Lines are the lines of all strands.
func (d Drawing) Lines() [][]Point {
	lines := make([][]Point, len(d))
	for i, s := range d {
		lines[i] = s.Line
	}
	return lines
}

// A drawing is refused when two crossings lie nearer than leastApart on the page,
// when the strands of a crossing are nearer in depth than leastDepth, or when two
// strands come nearer in space than leastGap, all in cord diameters: which lies
// over which could not be told, and tightening could not start from it.
const (
	leastApart = 0.25
	leastDepth = 0.7
	leastGap   = 0.5
)

// Check refuses a drawing that could not be a knot: two crossings in one place,
// strands inside one another.
func (d Drawing) Check() error {
	crossings := Crossings(d.Lines())
	for i, x := range crossings {
		thick := (d[x.Over.Strand].thick() + d[x.Under.Strand].thick()) / 2
		if x.Depth < leastDepth*thick {
			return fmt.Errorf("strands %s and %s cross at %.1f, %.1f only %.2f diameters apart in depth", d[x.Over.Strand].Name, d[x.Under.Strand].Name, x.Place.X, x.Place.Y, x.Depth)
		}
		for _, y := range crossings[:i] {
			if math.Hypot(x.Place.X-y.Place.X, x.Place.Y-y.Place.Y) < leastApart {
				return fmt.Errorf("two crossings share the place %.1f, %.1f", x.Place.X, x.Place.Y)
			}
		}
	}
	for i, s := range d {
		for _, o := range d[:i] {
			if gap := Gap(s.Line, o.Line); gap < leastGap*(s.thick()+o.thick())/2 {
				return fmt.Errorf("strands %s and %s come within %.2f diameters of each other", o.Name, s.Name, gap)
			}
		}
	}
	return nil
}

func (s Strand) thick() float64 {
	if s.Thick == 0 {
		return 1
	}
	return s.Thick
}

// Order says for every strand that works what it meets on its way, such as
// "1: under 4, over 4, over 2, over 3, under 4". A strand calls itself "itself".
func (d Drawing) Order() []string {
	type met struct {
		at   float64
		word string
	}
	meets := make([][]met, len(d))
	put := func(a, b Meeting, how string) {
		name := d[b.Strand].Name
		if a.Strand == b.Strand {
			name = "itself"
		}
		meets[a.Strand] = append(meets[a.Strand], met{a.At, how + " " + name})
	}
	for _, x := range Crossings(d.Lines()) {
		put(x.Over, x.Under, "over")
		put(x.Under, x.Over, "under")
	}
	var order []string
	for i, m := range meets {
		if !d[i].Works {
			continue
		}
		slices.SortFunc(m, func(a, b met) int {
			if a.at < b.at {
				return -1
			}
			return 1
		})
		words := make([]string, len(m))
		for k := range m {
			words[k] = m[k].word
		}
		order = append(order, d[i].Name+": "+strings.Join(words, ", "))
	}
	return order
}

// Closure is how the ends of a drawing are joined, far outside, to make closed
// strands of it.
type Closure string

// The closures. Paired takes out what the knot is tied round.
const (
	Braided Closure = "every strand's lower end led round the right to its upper end"
	Paired  Closure = "what does not work taken out; the upper ends joined, the lower ends joined"
	Hitched Closure = "the worker led round the right and behind, the carrier or rod round below"
	Wound   Closure = "what it is wound round taken out; the lower end led round the right to the upper end"
	Hung    Closure = "the two hanging ends joined, the rod led round below"
	Crowned Closure = "the ends that stand joined behind crosswise, those laid out joined crosswise round the outside"
)

// far is well outside every drawing, in diameters.
const far = 60.0

// Closed joins the ends and returns the names of the closed strands with their lines.
func (d Drawing) Closed(how Closure) (names []string, lines [][]Point) {
	switch how {
	case Paired:
		return d.paired()
	case Crowned:
		return d.crowned()
	case Wound:
		return d[:1].Closed(Braided)
	}
	// the strand that ends rightmost is led round innermost
	rank := make([]int, len(d))
	for i := range d {
		for j := range d {
			if last(d[j].Line).X > last(d[i].Line).X {
				rank[i]++
			}
		}
	}
	for i, s := range d {
		a, b := s.Line[0], last(s.Line)
		var back []Point
		out := far + 5*float64(rank[i])
		switch {
		case how == Braided:
			back = []Point{{X: b.X, Y: out}, {X: out, Y: out}, {X: out, Y: -out}, {X: a.X, Y: -out}}
		case how == Hitched && s.Works && math.Abs(b.X-a.X) > math.Abs(b.Y-a.Y): // it runs across
			side := math.Copysign(far, b.X-a.X)
			back = []Point{{X: side, Y: b.Y, Z: b.Z}, {X: side, Y: b.Y, Z: -far}, {X: side, Y: far, Z: -far}, {X: -side, Y: far, Z: -far}, {X: -side, Y: a.Y, Z: -far}, {X: -side, Y: a.Y, Z: a.Z}}
		case how == Hitched && s.Works:
			back = []Point{{X: b.X, Y: far, Z: b.Z}, {X: b.X, Y: far, Z: -far}, {X: far, Y: far, Z: -far}, {X: far, Y: -far, Z: -far}, {X: a.X, Y: -far, Z: -far}, {X: a.X, Y: -far, Z: a.Z}}
		case how == Hung && s.Works:
			back = []Point{{X: b.X, Y: far}, {X: a.X, Y: far}}
		default:
			side := math.Copysign(2*far, b.X-a.X)
			back = []Point{{X: side, Y: b.Y}, {X: side, Y: 2 * far}, {X: -side, Y: 2 * far}, {X: -side, Y: a.Y}}
			if math.Abs(b.X-a.X) < math.Abs(b.Y-a.Y) { // a core that hangs, its worker running across
				back = []Point{{X: b.X, Y: 2 * far}, {X: 2 * far, Y: 2 * far}, {X: 2 * far, Y: -2 * far}, {X: a.X, Y: -2 * far}}
			}
		}
		names = append(names, s.Name)
		lines = append(lines, slices.Concat(s.Line, back, s.Line[:1]))
	}
	return names, lines
}

func last(line []Point) Point { return line[len(line)-1] }

// paired joins the two working strands at the top and at the bottom: the second
// is met from below.
func (d Drawing) paired() (names []string, lines [][]Point) {
	var works []Strand
	for _, s := range d {
		if s.Works {
			works = append(works, s)
		}
	}
	up := slices.Clone(works[1].Line)
	slices.Reverse(up)
	a, b := last(works[0].Line), up[0]
	c, e := last(up), works[0].Line[0]
	line := slices.Concat(works[0].Line,
		[]Point{{X: a.X, Y: far}, {X: b.X, Y: far}}, up,
		[]Point{{X: c.X, Y: -far}, {X: e.X, Y: -far}}, works[0].Line[:1])
	return []string{works[0].Name + " and " + works[1].Name}, [][]Point{line}
}

// crowned joins four strands that stand in the middle and are laid out to four
// sides, the first with the third and the second with the fourth.
func (d Drawing) crowned() (names []string, lines [][]Point) {
	for i := range 2 {
		a, b := d[i].Line, slices.Clone(d[i+2].Line)
		slices.Reverse(b)
		deep := -10 - 10*float64(i)
		foot, top := b[len(b)-1], a[0]
		below := []Point{{X: foot.X, Y: foot.Y, Z: deep}, {X: top.X, Y: top.Y, Z: deep}}
		from, to := last(a), b[0]
		out := far + 10*float64(i)
		u, v := r3.Scale(out/math.Hypot(from.X, from.Y), Point{X: from.X, Y: from.Y}), r3.Scale(out/math.Hypot(to.X, to.Y), Point{X: to.X, Y: to.Y})
		w := Point{X: u.Y, Y: -u.X} // a quarter of a turn on
		around := []Point{u, r3.Add(u, w), r3.Add(v, w), v}
		if i == 1 {
			for k := range around {
				around[k].Z = far
			}
			around = slices.Concat([]Point{{X: around[0].X, Y: around[0].Y}}, around, []Point{{X: v.X, Y: v.Y}})
		}
		names = append(names, d[i].Name+" and "+d[i+2].Name)
		lines = append(lines, slices.Concat(a, around, b, below, a[:1]))
	}
	return names, lines
}
