package drawn

import (
	"fmt"
	"math"
	"slices"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// The picture of a step for the chat, and how many working cords at least would lie
// side by side across any: nearer up there is nothing more to be seen.
const (
	stepWide  paint.Points = 400
	stepHigh  paint.Points = 400
	mostCords              = 44
)

// Step draws what one sentence of the instructions does: what is done so far pale,
// what is tied now in full, the carrying end marked. Of a large piece it shows what
// lies round the place of the step. It is 400 pixels wide.
func Step(sized sizing.Sized, of Span, units length.Style) *paint.Drawing {
	return NewStepper(sized, units).Step(of, stepWide, stepHigh, &paint.Drawing{Pixels: int(stepWide)})
}

// Stepper draws the steps of one sized sheet.
type Stepper struct {
	sized sizing.Sized
	units length.Style
	knots []seen
	dyes  knots.Dyes
}

// NewStepper readies a sized sheet for pictures of its steps, in a member's units.
func NewStepper(sized sizing.Sized, units length.Style) *Stepper {
	k := &sketch{r: sized.Result}
	k.see()
	return &Stepper{sized, units, k.knots, knots.DyesOf(sized.Cords)}
}

// moment is the work at one step.
type moment struct {
	*sketch
	of        Span
	units     length.Style
	done, now []int    // indices of placed knots
	paths     [][]spot // of the ends, as far as they are tied when the step is done
	before    []int    // how much of each path was there before
	takes     []bool   // ends that the step has to do with
	cut       []bool   // ends that are trimmed by then

	left, top, right, bottom float64 // of the work, what is shown
}

// Step draws a step so wide and at most so high on a page of the given kind.
func (s *Stepper) Step(of Span, wide, most paint.Points, page *paint.Drawing) *paint.Drawing {
	d, pale := *page, *page
	d.Title, d.Width = Title(s.sized), wide
	pale.Width = wide
	m := &moment{sketch: &sketch{Drawing: &pale, r: s.sized.Result, dyes: s.dyes, knots: s.knots, wholeRod: true}, of: of, units: s.units}
	m.sort()
	m.follow()
	m.frame(m.focus(), wide, most)
	d.Height, d.Outline = paint.Points((m.bottom-m.top)*m.scale), m.detail == outlined
	m.draw(-1)
	pale.Fade()
	for i := range pale.Parts {
		if pale.Parts[i].Kind == AKnot {
			pale.Parts[i].Kind = ATied
		}
	}
	if m.rodNow() {
		under := *page
		under.Width = wide
		m.Drawing = &under
		m.rods()
		pale.Over(&under)
	}
	m.Drawing = &d
	m.draw(0)
	m.carriers()
	m.bare()
	d.Over(&pale)
	m.tell()
	return &d
}

// sort finds which knots are tied before and which now.
func (m *moment) sort() {
	for i := range m.r.Placed {
		p := &m.r.Placed[i]
		when := m.of.when(p.Panel, p.Step)
		if m.otherSide(p.Panel, m.upwards(p.Ends[0])) {
			when = 1
		}
		switch when {
		case -1:
			m.done = append(m.done, i)
		case 0:
			m.now = append(m.now, i)
		}
	}
}

// otherSide tells of what lies on the second side of a panel worked both ways that it
// is worked later: the steps are those of one side.
func (m *moment) otherSide(panel int, up bool) bool {
	return panel == m.of.Panel && m.bothWays(panel) && up
}

// follow leads the ends as far as they are tied.
func (m *moment) follow() {
	m.paths = m.starts()
	for _, i := range m.done {
		m.through(i, m.paths)
	}
	m.before = make([]int, len(m.paths))
	for i, p := range m.paths {
		m.before[i] = len(p)
	}
	m.takes, m.cut = make([]bool, len(m.paths)), make([]bool, len(m.paths))
	for _, i := range m.now {
		m.through(i, m.paths)
		for _, e := range m.r.Placed[i].Ends {
			m.takes[e] = true
		}
	}
	for _, s := range m.r.Strands {
		for _, e := range s.Ends {
			m.takes[e] = m.takes[e] || m.of.when(s.Panel, s.Step) == 0
		}
	}
	for _, b := range m.r.Beads {
		for _, e := range b.Ends {
			m.takes[e] = m.takes[e] || m.of.when(b.Panel, b.Step) == 0 && !m.otherSide(b.Panel, m.upwards(e))
		}
	}
	for _, f := range m.r.Freed {
		when := m.of.when(f.Panel, f.Step)
		for _, e := range f.Ends {
			m.takes[e] = m.takes[e] || when == 0
			m.cut[e] = m.cut[e] || f.Trims && when <= 0
		}
	}
	if m.joins() {
		for _, from := range m.r.Panels[m.of.Panel].From {
			for _, e := range m.r.Panels[from].Ends {
				m.takes[e] = true
			}
		}
	}
}

// joins tells whether the step takes up the ends of finished panels.
func (m *moment) joins() bool { return m.of.Panel >= 0 && m.of.From == m.of.To }

// hangs tells whether a cord hangs by then.
func (m *moment) hangs(strand int) bool {
	s := &m.r.Strands[strand]
	return m.of.when(s.Panel, s.Step) <= 0
}

// fitting is when an extra that belongs to a step, or one that is cut besides, is made.
func (m *moment) fitting(i int) int {
	x := &m.r.Extras[i]
	switch x.For {
	case trace.ForTassel, trace.ForLeaf:
		if m.otherSide(x.Panel, x.Y < m.r.Panels[max(0, x.Panel)].Drop/2) {
			return 1
		}
		return m.of.when(x.Panel, x.Step)
	case trace.ForFringe, trace.ForSwag, trace.ForHanger:
		switch {
		case m.of.Panel >= 0 || i >= m.of.To:
			return 1
		case i >= m.of.From:
			return 0
		}
		return -1
	}
	return 1 // a wrap is a knot
}

// around widens an extent by placed knot i.
func (m *moment) around(i int, e *extent) {
	p := &m.r.Placed[i]
	panel := m.r.Panels[p.Panel]
	x, y, w, h := float64(p.X), float64(p.Y), float64(p.Width)/2, float64(p.Height)
	if p.Slope != 0 {
		h /= math.Max(math.Cos(float64(p.Slope)), 0.05)
	}
	e.put(lean(panel, x-w, y), 0)
	e.put(lean(panel, x+w, y+h), 0)
	for j := range p.Ends {
		e.put(m.knots[i].in[j], m.diameter(p.Ends[j])/2)
		e.put(m.knots[i].out[j], m.diameter(p.Ends[j])/2)
	}
}

// focus is where the step happens.
func (m *moment) focus() extent {
	e := extent{away, away, -away, -away}
	for _, i := range m.now {
		m.around(i, &e)
	}
	for i, s := range m.r.Strands {
		if m.of.when(s.Panel, s.Step) == 0 && m.hangs(i) {
			e.put(m.hung(s, float64(s.X)), float64(s.Width)/2)
		}
	}
	for _, b := range m.r.Beads {
		if m.of.when(b.Panel, b.Step) == 0 && !m.otherSide(b.Panel, m.upwards(b.Ends[0])) {
			e.put(lean(m.r.Panels[b.Panel], float64(b.X), float64(b.Y+b.Long/2)), float64(max(b.Wide, b.Long))/2)
		}
	}
	for _, l := range m.r.Lowers {
		if m.of.when(l.Panel, l.Step) == 0 && !m.otherSide(l.Panel, l.Y < m.r.Panels[l.Panel].Drop/2) {
			for _, side := range []float64{-0.5, 0.5} {
				e.put(lean(m.r.Panels[l.Panel], float64(l.X)+side*float64(l.Width), float64(l.Y)), float64(l.Rod.Thickness))
			}
		}
	}
	m.fittings(&e)
	if len(m.now) == 0 {
		for i, takes := range m.takes {
			if foot := m.foot(i); takes {
				e.put(foot, m.diameter(int32(i)))
				if m.cut[i] {
					e.put(spot{foot.x, foot.y + float64(m.free(i, foot))}, 0)
				}
			}
		}
	}
	if from, to, ok := m.gap(); ok {
		e.put(spot{from, 0}, 0)
		e.put(spot{to, 0}, float64(m.r.Rod.Thickness))
	}
	if e.left > e.right { // nothing at all
		for _, s := range m.r.Strands {
			if s.Panel == m.of.Panel || m.of.Panel < 0 {
				e.put(m.hung(s, float64(s.X)), float64(s.Width)/2)
			}
		}
	}
	if e.left > e.right {
		e.put(spot{}, float64(length.Centimetre))
	}
	return e
}

// fittings widens the focus by what is made of cord that was cut for it.
func (m *moment) fittings(e *extent) {
	for i, x := range m.r.Extras {
		if m.fitting(i) != 0 {
			continue
		}
		switch x.For {
		case trace.ForTassel, trace.ForLeaf:
			for _, side := range []float64{-0.7, 0.7} {
				e.put(lean(m.r.Panels[x.Panel], float64(x.X)+side*float64(x.Width), float64(x.Y)), 0)
				e.put(lean(m.r.Panels[x.Panel], float64(x.X), float64(x.Y+x.Height)), 0)
			}
		case trace.ForFringe, trace.ForSwag:
			m.trimming(e, x)
		case trace.ForHanger:
			left, right, _ := m.rodEnds()
			e.put(spot{left, 0}, float64(m.r.Rod.Thickness))
			e.put(spot{right, -m.riseOf()}, 0)
		}
	}
}

// foot is where an end leaves what it is tied into last.
func (m *moment) foot(end int) spot { return m.paths[end][len(m.paths[end])-1] }

// free is how much of an end hangs: its tail when it is trimmed, else as far as the
// picture goes.
func (m *moment) free(end int, foot spot) length.Length {
	switch {
	case m.cut[end]:
		return m.r.Ends[end].Tail
	case m.upwards(int32(end)):
		return length.Length(max(0, foot.y-m.top))
	}
	return length.Length(max(0, m.bottom-foot.y))
}

// frame chooses what is shown: the focus whole, with a little of what lies round it,
// and not larger than need be.
func (m *moment) frame(focus extent, wide, most paint.Points) {
	d, piece := 0.0, focus
	for i, s := range m.r.Strands {
		if m.hangs(i) {
			d = max(d, float64(m.r.Cords[s.Cord].Diameter()))
			piece.put(m.hung(s, float64(s.X)), float64(s.Width)/2)
		}
	}
	for _, i := range m.done {
		piece.put(m.knots[i].at, float64(m.r.Placed[i].Width)/2)
	}
	if d == 0 {
		d = float64(4 * length.Millimetre)
	}
	side := 2*d + 0.04*(focus.right-focus.left)
	above, below := 5*d+0.15*(focus.bottom-focus.top), 9*d
	m.top, m.bottom = max(focus.top-above, piece.top-3*d), focus.bottom+below
	across := max(focus.right-focus.left+2*side, mostCords*d)
	m.scale = min(float64(wide)/across, float64(most)/(m.bottom-m.top))
	if least := 0.3 * float64(wide) / m.scale; m.bottom-m.top < least { // show more of what is above
		m.top = max(piece.top-3*d, m.bottom-least)
		m.bottom = max(m.bottom, m.top+least/2)
	}
	across = float64(wide) / m.scale
	middle := (focus.left + focus.right) / 2
	if room := piece.right - piece.left + 2*side; room <= across {
		middle = (piece.left + piece.right) / 2
	} else {
		middle = max(piece.left-side+across/2, min(piece.right+side-across/2, middle))
	}
	m.left, m.right = middle-across/2, middle+across/2
	m.origin = paint.At(paint.Points(-m.left*m.scale), paint.Points(-m.top*m.scale))
	pixels := d * m.scale * float64(m.Pixels) / float64(wide)
	switch {
	case pixels < leastCord/2 || len(m.now)+len(m.done) > 4*MostKnots:
		m.detail = outlined
	case pixels < fullCord || len(m.now)+len(m.done) > MostKnots:
		m.detail = simple
	default:
		m.detail = full
	}
}

// shows tells whether anything of a box of the work is in the picture.
func (m *moment) shows(e extent) bool {
	return e.left < m.right && e.right > m.left && e.top < m.bottom && e.bottom > m.top
}

// draw draws what was made before, -1, or what is made now, 0.
func (m *moment) draw(when int) {
	for i := range m.r.Extras {
		if m.fitting(i) == when {
			m.fringeOrSwag(i)
		}
	}
	knots := m.done
	if when == 0 {
		knots = m.now
	}
	if m.detail == outlined {
		m.mass(knots)
	} else {
		m.cords(when)
	}
	if when == -1 && !m.rodNow() {
		m.rods()
	}
	for i, s := range m.r.Strands {
		if m.of.when(s.Panel, s.Step) == when && m.detail != outlined {
			m.mount(i)
		}
	}
	for i, l := range m.r.Lowers {
		if m.of.when(l.Panel, l.Step) == when && !m.otherSide(l.Panel, l.Y < m.r.Panels[l.Panel].Drop/2) {
			m.lower(i)
		}
	}
	if m.detail != outlined {
		for _, i := range knots {
			e := extent{away, away, -away, -away}
			if m.around(i, &e); m.shows(e) {
				m.knot(i)
			}
		}
	}
	for i := range m.r.Extras {
		if m.fitting(i) == when {
			m.tassel(i)
		}
	}
	for i, b := range m.r.Beads {
		if m.of.when(b.Panel, b.Step) == when && !m.otherSide(b.Panel, m.upwards(b.Ends[0])) {
			m.bead(i)
		}
	}
}

// rodNow tells whether the step is one at the rod: cords are hung there, or it is
// left bare.
func (m *moment) rodNow() bool {
	_, _, gap := m.gap()
	return gap || slices.ContainsFunc(m.r.Strands, func(s trace.Strand) bool { return !s.Added && m.of.when(s.Panel, s.Step) == 0 })
}

// gap is where the step leaves the rod bare, if it does.
func (m *moment) gap() (from, to float64, ok bool) {
	if m.of.Panel < 0 || m.joins() {
		return 0, 0, false
	}
	f := sheet.FactsOf(m.r.Panels[m.of.Panel].Done[m.of.From])
	if f.Word != "gap" {
		return 0, 0, false
	}
	to = away
	for _, i := range m.r.Panels[m.of.Panel].Strands {
		if s := m.r.Strands[i]; !s.Added {
			to = math.Min(to, float64(s.X-s.Width/2))
		}
	}
	return to - float64(*f.Lengths(sheet.Across)[0]), to, to < away
}

// bare measures the bare rod that the step leaves.
func (m *moment) bare() {
	if from, to, ok := m.gap(); ok {
		y := m.page(spot{0, float64(m.r.Rod.Thickness) / 2}).Y + 10
		m.Measure(paint.At(m.page(spot{from, 0}).X, y), paint.At(m.page(spot{to, 0}).X, y), m.units.Format(length.Length(to-from)))
	}
}

// fringeOrSwag draws an extra that hangs on the finished piece, or that it hangs by.
func (m *moment) fringeOrSwag(i int) {
	switch m.r.Extras[i].For {
	case trace.ForFringe:
		m.fringe(i)
		m.headsOf(i)
	case trace.ForSwag:
		m.swag(i)
		m.tieTo(i)
	case trace.ForHanger:
		m.hanger(m.riseOf(), away)
		m.tieTo(i)
	}
}

// cords draws the bare cord: pale as far as it was tied before, in full where the
// step has to do with it.
func (m *moment) cords(when int) {
	for i, path := range m.paths {
		tied := m.before[i] // before the step
		if s := m.r.Strands[m.r.Ends[i].Strand]; s.Added && m.of.when(s.Panel, s.Step) == 0 {
			tied = 1
		}
		if !m.hangs(m.r.Ends[i].Strand) || when == 0 && !m.takes[i] || when < 0 && m.takes[i] && tied < 2 {
			continue
		}
		free := m.free(i, m.foot(i))
		switch {
		case when == 0:
			path = path[tied-1:]
		case m.takes[i]:
			path, free = path[:tied], 0
		}
		e := extent{away, away, -away, -away}
		for _, s := range path {
			if s.x != away {
				e.put(s, m.diameter(int32(i)))
			}
		}
		last := path[len(path)-1]
		e.put(spot{last.x, last.y + float64(free)}, m.diameter(int32(i)))
		if m.shows(e) {
			m.end(i, path, free)
		}
	}
}

// mass draws so many knots as the areas that they fill.
func (m *moment) mass(knots []int) {
	few := *m.sketch
	few.r.Placed = make([]trace.Placed, len(knots))
	for n, i := range knots {
		few.r.Placed[n] = m.r.Placed[i]
	}
	for i := range m.r.Panels {
		rows := slices.DeleteFunc(few.profile(i), func(b band) bool { return !b.knotted })
		if len(rows) == 0 {
			continue
		}
		var left, right []paint.Point
		var across paint.Path
		for n, row := range rows {
			a, b := m.page(row.left), m.page(row.right)
			left, right = append(left, a), append(right, b)
			if n%2 == 1 {
				across.Move(a.X, a.Y)
				across.Line(b.X, b.Y)
			}
		}
		slices.Reverse(right)
		part := m.Open(APanel, i, left[0])
		area := paint.Polygon(append(left, right...)...)
		m.Add(paint.Shape{Path: area, Fill: m.dyes.Of(m.cordOf(few.r.Placed[0].Ends[0])).Body, Stroke: paint.DarkInk(), Width: 1})
		m.Line(across, paint.GrainInk(), 0.5)
		m.Close(part)
	}
}

// carriers marks the ends that carry a bar, with their numbers and an arrow to where
// they end up, or else the outermost of the ends that are tied.
func (m *moment) carriers() {
	var taken []paint.Box
	for from := 0; from < len(m.now); {
		p := &m.r.Placed[m.now[from]]
		to := from
		if p.Knot.Shape != knot.Hitch || len(p.Ends) != 2 {
			from++
			continue
		}
		var way []paint.Point
		for ; to < len(m.now); to++ {
			q := &m.r.Placed[m.now[to]]
			if q.Knot.Shape != knot.Hitch || len(q.Ends) != 2 || q.Ends[0] != p.Ends[0] || q.Step != p.Step || q.Round != p.Round {
				break
			}
			way = append(way, m.page(m.knots[m.now[to]].in[0]), m.page(m.knots[m.now[to]].out[0]))
		}
		part := m.Open(ACarrier, int(p.Ends[0]), way[0])
		m.pointer(way)
		m.Close(part)
		m.Parts[part].Name = fmt.Sprint(p.Places[0])
		m.mark(p.Places[0], beside(way[0], way[1]), paint.AccentInk(), &taken)
		from = to
	}
	if len(taken) > 0 {
		return
	}
	m.outermost(&taken)
}

// beside is a place before the beginning of a way.
func beside(a, b paint.Point) paint.Point {
	const off = 12
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	n := math.Hypot(dx, dy)
	if n == 0 {
		return paint.At(a.X, a.Y-off)
	}
	return paint.At(a.X-paint.Points(off*dx/n), a.Y-paint.Points(off*dy/n))
}

// pointer is an arrow along a way.
func (m *moment) pointer(way []paint.Point) {
	const head = 7
	last := way[len(way)-1]
	back := beside(last, way[len(way)-2]) // beyond the end, a mark's room off
	ux, uy := (back.X-last.X)/12, (back.Y-last.Y)/12
	path := paint.Polyline(way[0], last)
	if len(way) > 4 {
		path = paint.Polyline(way...)
	}
	m.Line(path, m.Ground(), 4)
	m.Line(path, paint.AccentInk(), 2.2)
	tip := paint.At(last.X+ux*head, last.Y+uy*head)
	m.Add(paint.Shape{Path: paint.Polygon(tip, paint.At(last.X-uy*5, last.Y+ux*5), paint.At(last.X+uy*5, last.Y-ux*5)), Fill: paint.AccentInk(), Stroke: m.Ground(), Width: 0.8})
}

// outermost numbers the ends that stand outermost in what is tied now.
func (m *moment) outermost(taken *[]paint.Box) {
	var first, last *trace.Placed
	var from, upTo int
	for n, i := range m.now {
		p := &m.r.Placed[i]
		if len(p.Places) == 0 || p.Places[0] > p.Places[len(p.Places)-1] { // round the seam
			continue
		}
		if first == nil || p.Places[0] < first.Places[0] {
			first, from = p, m.now[n]
		}
		if last == nil || p.Places[len(p.Places)-1] > last.Places[len(last.Places)-1] {
			last, upTo = p, m.now[n]
		}
	}
	if first == nil {
		return
	}
	a, b := m.page(m.knots[from].in[0]), m.page(m.knots[upTo].in[len(m.knots[upTo].in)-1])
	m.mark(first.Places[0], paint.At(a.X-9, a.Y-9), paint.DarkInk(), taken)
	if one := last.Places[len(last.Places)-1]; one != first.Places[0] {
		m.mark(one, paint.At(b.X+9, b.Y-9), paint.DarkInk(), taken)
	}
}

// mark sets the number of an end on a ground of an ink, unless another stands there.
func (m *moment) mark(number int32, at paint.Point, ink paint.Ink, taken *[]paint.Box) {
	text := fmt.Sprint(number)
	half := max(7, paint.Bold.Measure(text, 10)/2+4)
	at.X = max(half+1, min(m.Width-half-1, at.X))
	at.Y = max(8, min(m.Height-8, at.Y))
	box := paint.Between(at.X-half, at.Y-7, at.X+half, at.Y+7)
	if slices.ContainsFunc(*taken, box.Overlaps) {
		return
	}
	*taken = append(*taken, box)
	part := m.Open(paint.ALabel, int(number), at)
	m.Add(paint.Shape{Path: paint.Rounded(box, 7), Fill: ink, Stroke: m.Ground(), Width: 1})
	m.Write(text, paint.At(at.X, at.Y+3.6), paint.Style{Face: paint.Bold, Size: 10, Ink: paint.CardInk()}, paint.Centred, 0)
	m.Close(part)
	m.Parts[part].Name = text
}

// tell writes the alternative text.
func (m *moment) tell() {
	counts, names := map[string]int{}, []string{}
	for _, i := range m.now {
		name := m.r.Placed[i].Knot.Name
		if counts[name] == 0 {
			names = append(names, name)
		}
		counts[name]++
	}
	var parts []string
	for _, name := range names {
		parts = append(parts, noun.Count(counts[name], name))
	}
	hung, cut, freed := 0, 0, 0
	for _, s := range m.r.Strands {
		if m.of.when(s.Panel, s.Step) == 0 {
			hung++
		}
	}
	for i, takes := range m.takes {
		if takes && m.cut[i] {
			cut++
		} else if takes {
			freed++
		}
	}
	where := "To finish"
	if m.of.Panel >= 0 {
		where = "Panel " + m.r.Panels[m.of.Panel].Name
	}
	switch {
	case len(parts) > 0:
		m.Say(fmt.Sprintf("%s: %s tied now, drawn in full.", where, noun.List(parts)))
	case hung > 0:
		m.Say(fmt.Sprintf("%s: %s hung now, drawn in full.", where, noun.Count(hung, "cord")))
	case m.joins():
		m.Say(fmt.Sprintf("%s: %s taken up side by side, drawn in full.", where, noun.Count(freed, "end")))
	case cut > 0:
		m.Say(fmt.Sprintf("%s: %s trimmed now, drawn in full.", where, noun.Count(cut, "end")))
	case freed > 0:
		m.Say(fmt.Sprintf("%s: %s in hand, drawn in full.", where, noun.Count(freed, "end")))
	case m.rodNow():
		m.Say(fmt.Sprintf("%s: the rod, bare where the step leaves it so.", where))
	default:
		m.Say(fmt.Sprintf("%s: what is added now, drawn in full.", where))
	}
	for _, p := range m.Parts {
		if p.Kind == ACarrier {
			m.Say(fmt.Sprintf("End %s carries, marked by its number and an arrow to where it ends up.", p.Name))
		}
	}
	if len(m.done) > 0 {
		m.Say(fmt.Sprintf("%s done before, pale.", noun.Capital(noun.Count(len(m.done), "knot"))))
	}
}
