package drawn

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/trace"
)

// Chart draws the piece to work from: beside the work the numbers of the steps and
// their rows, under the rod those of the ends, the sizes of panels, bars and fringe,
// and a scale.
func Chart(sized sizing.Sized, steps []Instructions, units length.Style) *paint.Drawing {
	d := &paint.Drawing{Title: Title(sized), Width: paint.PageWidth, Pixels: 1200}
	y := d.Heading(d.Title, "Chart: steps and their rows beside the work, ends counted under the rod")
	y = DrawChart(d, sized, steps, units, paint.Between(chartMargin, y, paint.PageWidth-chartMargin, y+mostDrawing))
	d.Finish(y)
	return d
}

// The room that a chart keeps free for what stands beside the work.
const (
	chartMargin paint.Points = 12
	chartLeft   paint.Points = 62 // rows, a bracket, and two columns of steps
	chartRight  paint.Points = 84 // a column of steps, and the drop
	rowColumn   paint.Points = 18
	stepColumn  paint.Points = 19
)

// chart is the work with its numbers and sizes.
type chart struct {
	*sketch
	sized sizing.Sized
	units length.Style
	steps []charted
	taken []paint.Box
}

// charted is one sentence of the instructions with its place in the work.
type charted struct {
	label string
	of    Span
	at    extent
	rows  []float64 // the middles of its rows, from the top down; nil for one
	tied  int       // how many knots
}

// DrawChart draws the chart into a box and returns where the page goes on.
func DrawChart(d *paint.Drawing, sized sizing.Sized, steps []Instructions, units length.Style, room paint.Box) paint.Points {
	c := &chart{sketch: &sketch{Drawing: d, r: sized.Result, dyes: knots.DyesOf(sized.Cords)}, sized: sized, units: units}
	c.find(steps)
	e := c.extent()
	up := math.Min(c.riseOf(), 0.25*e.bottom)
	wide, high := float64(room.Right-room.Left-chartLeft-chartRight), float64(room.Bottom-room.Top)
	depth := math.Max(e.bottom, float64(sized.Rod.Thickness)) - math.Min(e.top, 0) + up
	byHeight := math.Min(high/math.Max(depth, 1), largest)
	c.wholeRod = float64(sized.Rod.Length)*byHeight <= wide
	left, right, _ := c.rodEnds()
	left, right = math.Min(left, e.left), math.Max(right, e.right)
	c.scale = math.Min(byHeight, wide/math.Max(right-left, 1))
	if c.chooseDetail(); c.detail != outlined {
		c.see()
	}
	free := (paint.Points(wide) - paint.Points((right-left)*c.scale)) / 2
	c.origin = paint.At(room.Left+chartLeft+free-paint.Points(left*c.scale), room.Top+18+paint.Points((up-math.Min(e.top, 0))*c.scale))
	if sized.Sheet.Hanger != nil && up > 0 && len(c.r.Rods) > 0 {
		c.hanger(c.riseOf(), up)
	}
	for i := range c.steps { // a hanger that is cut short
		c.steps[i].at.top = math.Max(c.steps[i].at.top, -math.Max(up, float64(sized.Rod.Thickness)))
	}
	c.work()
	c.low, c.right = c.page(spot{0, e.bottom}).Y, c.page(spot{right, 0}).X
	c.ends()
	c.numbers()
	c.sizes()
	y := c.scaleBar(paint.At(room.Left+4, c.low+14))
	for _, line := range append(c.sizesInWords(), c.remarks()...) {
		y = d.Paragraph(line, paint.At(room.Left+4, y), paint.NoteStyle(), room.Right-room.Left-8, 13)
	}
	c.tell()
	return y
}

// find says of every sentence where in the work it happens.
func (c *chart) find(steps []Instructions) {
	s := NewStepper(c.sized, c.units)
	type key struct{ panel, step int }
	tied := map[key][]int{}
	for i := range c.r.Placed {
		p := &c.r.Placed[i]
		if c.bothWays(p.Panel) && c.upwards(p.Ends[0]) {
			continue
		}
		tied[key{p.Panel, p.Step}] = append(tied[key{p.Panel, p.Step}], i)
	}
	for _, in := range steps {
		for n, of := range in.Spans {
			m := &moment{sketch: &sketch{Drawing: &paint.Drawing{}, r: c.r, knots: s.knots}, of: of}
			one := charted{label: in.Number(n), of: of, at: extent{away, away, -away, -away}}
			for step := of.From; step < of.To && of.Panel >= 0; step++ {
				knots := tied[key{of.Panel, step}]
				one.tied += len(knots)
				one.rows = append(one.rows, c.rowsOf(m, knots, &one.at)...)
			}
			if of.To-of.From != 1 {
				one.rows = nil
			}
			if one.tied == 0 {
				m.sort()
				m.follow()
				one.at = m.focus()
			}
			c.steps = append(c.steps, one)
		}
	}
}

// rowsOf are the middles of the rows of some knots, which widen an extent.
func (c *chart) rowsOf(m *moment, knots []int, e *extent) []float64 {
	var rows []float64
	for n := 0; n < len(knots); {
		round := c.r.Placed[knots[n]].Round
		row := extent{away, away, -away, -away}
		for ; n < len(knots) && c.r.Placed[knots[n]].Round == round; n++ {
			m.around(knots[n], &row)
			m.around(knots[n], e)
		}
		rows = append(rows, (row.top+row.bottom)/2)
	}
	return rows
}

// ends sets the numbers of the ends under the rod, as many as there is room for.
func (c *chart) ends() {
	for i := range c.r.Panels {
		var all []int // ends as they were hung
		for _, s := range c.r.Panels[i].Strands {
			if strand := c.r.Strands[s]; !strand.Added {
				all = append(all, strand.Ends...)
			}
		}
		if c.bothWays(i) { // the ends of one side
			all = slices.DeleteFunc(all, func(e int) bool { return c.upwards(int32(e)) })
		}
		if len(all) == 0 {
			continue
		}
		first, last := c.page(c.start(all[0])), c.page(c.start(all[len(all)-1]))
		y := first.Y + c.half(c.rodOf(i).Thickness) + 9
		apart := float64(last.X-first.X) / math.Max(float64(len(all)-1), 1)
		every := thinned(float64(paint.Plain.Measure(fmt.Sprint(len(all)), 10)+4)/math.Max(apart, 1e-6), len(all))
		for n, e := range all {
			if number := n + 1; number == 1 || number == len(all) || number%every == 0 {
				at := paint.At(c.page(c.start(e)).X, y)
				c.note(AnEndNumber, n, fmt.Sprint(number), at, paint.Style{Face: paint.Plain, Size: 10, Ink: paint.DarkInk()})
			}
		}
	}
}

// thinned is every how many of a row of numbers there is room for, when room is for
// one in so many.
func thinned(need float64, of int) int {
	for _, every := range []int{1, 2, 5, 10, 20, 50, 100, 200, 500} {
		if float64(every) >= need {
			return every
		}
	}
	return max(of, 1)
}

// note sets words on a ground of their own, unless others stand there.
func (c *chart) note(kind paint.Kind, index int, text string, at paint.Point, s paint.Style) {
	half := s.Face.Measure(text, s.Size)/2 + 1.5
	box := paint.Between(at.X-half, at.Y-5.5, at.X+half, at.Y+5.5)
	if slices.ContainsFunc(c.taken, box.Overlaps) {
		return
	}
	c.taken = append(c.taken, box)
	part := c.Open(kind, index, at)
	c.Fill(paint.Rectangle(box), c.Ground())
	c.Write(text, paint.At(at.X, at.Y+3.6), s, paint.Centred, 0)
	c.Close(part)
	c.Parts[part].Name = text
}

// sticker is the number of a step beside the work; of several where there is no room
// for each.
type sticker struct {
	at     paint.Point
	labels []string
}

// numbers sets the numbers of the steps beside the work, each at its height, with
// those of its rows. What lies in the right half of its panel is numbered there.
func (c *chart) numbers() {
	order := slices.Clone(c.steps)
	slices.SortStableFunc(order, func(a, b charted) int { return cmp.Compare(a.at.top+a.at.bottom, b.at.top+b.at.bottom) })
	var all []sticker
	for _, s := range order {
		left, right := c.edges(s)
		top, bottom := c.page(spot{0, s.at.top}).Y, c.page(spot{0, s.at.bottom}).Y
		y := (top + bottom) / 2
		toLeft, toRight := c.free(s, left, right)
		if toRight && toLeft { // both: where it happens
			toRight = (s.at.left+s.at.right)/2 > (left+right)/2+0.1*(right-left)
		}
		edge, way := c.page(spot{left, 0}).X-rowColumn, paint.Points(-1)
		most := 2
		switch {
		case toRight:
			edge, way, most = c.page(spot{right, 0}).X+4, 1, 1
		case !toLeft: // over the panel itself
			edge, way, most = c.page(spot{left, 0}).X-4, 1, 1
		}
		c.bracket(s, edge, top, bottom, way)
		if way < 0 {
			c.rowNumbers(s, edge+rowColumn-3)
		}
		placed := false
		for column := range most {
			at := paint.At(edge+way*(stepColumn/2+2+stepColumn*paint.Points(column)), y)
			if box := stickerBox(at, s.label); !slices.ContainsFunc(c.taken, box.Overlaps) {
				c.taken = append(c.taken, box)
				all = append(all, sticker{at, []string{s.label}})
				placed = true
				break
			}
		}
		if placed {
			continue
		}
		at := paint.At(edge+way*(stepColumn/2+2), y) // joins the nearest
		nearest, least := -1, math.Inf(1)
		for i := range all {
			if d := math.Hypot(float64(all[i].at.X-at.X), float64(all[i].at.Y-at.Y)); d < least {
				nearest, least = i, d
			}
		}
		if nearest < 0 {
			all = append(all, sticker{at, nil})
			nearest = len(all) - 1
		}
		all[nearest].labels = append(all[nearest].labels, s.label)
	}
	for _, s := range all {
		c.stick(s)
	}
}

// free tells whether there is room for numbers to the left and to the right of a
// step's panel, beside the panels that hang there.
func (c *chart) free(s charted, left, right float64) (toLeft, toRight bool) {
	toLeft, toRight = true, true
	for i := range c.r.Panels {
		if s.of.Panel < 0 || i == s.of.Panel || slices.Contains(c.r.Panels[s.of.Panel].From, i) {
			continue
		}
		other := s
		other.of.Panel = i
		from, to := c.edges(other)
		if to <= left+1 && (left-to)*c.scale < float64(rowColumn+stepColumn) {
			toLeft = false
		}
		if from >= right-1 && (from-right)*c.scale < float64(stepColumn+6) {
			toRight = false
		}
	}
	return toLeft, toRight
}

// edges are the outermost places of the panel that a step belongs to.
func (c *chart) edges(s charted) (left, right float64) {
	e := extent{away, 0, -away, 0}
	for i, p := range c.r.Panels {
		if s.of.Panel >= 0 && i != s.of.Panel {
			continue
		}
		for _, x := range []length.Length{p.Left, p.Right} {
			at := lean(p, float64(x), float64(p.Worked)/2)
			e.left, e.right = math.Min(e.left, at.x), math.Max(e.right, at.x)
		}
		for _, n := range p.Strands {
			strand := c.r.Strands[n]
			at := c.hung(strand, float64(strand.X)).x
			e.left, e.right = math.Min(e.left, at-float64(strand.Width)/2), math.Max(e.right, at+float64(strand.Width)/2)
		}
	}
	return e.left, e.right
}

// bracket shows how far a step reaches.
func (c *chart) bracket(s charted, x, top, bottom, way paint.Points) {
	if s.tied == 0 || bottom-top < 4 {
		return
	}
	part := c.Open(AStep, s.of.From, paint.At(x, (top+bottom)/2))
	c.Rule(paint.At(x, top+0.5), paint.At(x, bottom-0.5), paint.QuietInk(), 0.8)
	c.Rule(paint.At(x, top+0.5), paint.At(x-3*way, top+0.5), paint.QuietInk(), 0.8)
	c.Rule(paint.At(x, bottom-0.5), paint.At(x-3*way, bottom-0.5), paint.QuietInk(), 0.8)
	c.Close(part)
	c.Parts[part].Name = s.label
}

// rowNumbers are those of a step of several rows, as many as there is room for.
func (c *chart) rowNumbers(s charted, right paint.Points) {
	if len(s.rows) < 2 {
		return
	}
	apart := math.Abs(s.rows[len(s.rows)-1]-s.rows[0]) * c.scale / float64(len(s.rows)-1)
	every := thinned(12/math.Max(apart, 1e-6), len(s.rows))
	for n, row := range s.rows {
		if number := n + 1; number%every == 0 || number == 1 && every <= 2 || number == len(s.rows) && every <= 2 {
			text := fmt.Sprint(number)
			c.note(ARow, n, text, paint.At(right-paint.Plain.Measure(text, 10)/2, c.page(spot{0, row}).Y), paint.Style{Face: paint.Plain, Size: 10, Ink: paint.QuietInk()})
		}
	}
}

func stickerBox(at paint.Point, label string) paint.Box {
	half := max(8, paint.Bold.Measure(label, 10)/2+3.5)
	return paint.Between(at.X-half, at.Y-7.5, at.X+half, at.Y+7.5)
}

// stick sets the number of a step, or those of some.
func (c *chart) stick(s sticker) {
	text := strings.Join(s.labels, ", ")
	if n := len(s.labels); n > 2 {
		text = s.labels[0] + "–" + s.labels[n-1]
	}
	box := stickerBox(s.at, text)
	if over := chartMargin/2 - box.Left; over > 0 {
		box.Left, box.Right = box.Left+over, box.Right+over
	}
	if over := box.Right - (c.Width - chartMargin/2); over > 0 {
		box.Left, box.Right = box.Left-over, box.Right-over
	}
	part := c.Open(ASticker, -1, s.at)
	c.Add(paint.Shape{Path: paint.Rounded(box, 3), Fill: paint.DarkInk(), Stroke: c.Ground(), Width: 1})
	c.Write(text, paint.At((box.Left+box.Right)/2, s.at.Y+3.6), paint.Style{Face: paint.Bold, Size: 10, Ink: paint.CardInk()}, paint.Centred, 0)
	c.Close(part)
	c.Parts[part].Name = strings.Join(s.labels, " ")
}

// sizes draws the widths of the panels below them, and the drop of the longest.
func (c *chart) sizes() {
	y, drop := c.low+12, length.Length(0)
	levels := []paint.Points{}
	for i, p := range c.r.Panels {
		drop = max(drop, p.Drop)
		if p.JoinedBy >= 0 {
			continue
		}
		left, right := float64(p.Left), float64(p.Right)
		if left >= right {
			continue
		}
		a, b := c.page(lean(p, left, float64(p.Worked))).X, c.page(lean(p, right, float64(p.Worked))).X
		text := c.units.Format(p.Width.Tidy())
		half := max((b-a)/2, paint.Plain.Measure(text, 10)/2) + 3
		level := 0
		for level < len(levels) && (a+b)/2-half < levels[level] {
			level++
		}
		if level == len(levels) {
			levels = append(levels, 0)
		}
		levels[level] = (a+b)/2 + half
		at := y + paint.Points(level)*24
		c.Measure(paint.At(a, at), paint.At(b, at), text)
		c.Parts[len(c.Parts)-1].Index = i
		c.low = max(c.low, at+14)
	}
	x := min(c.right+stepColumn+12, c.Width-chartMargin-46)
	c.Measure(paint.At(x, c.origin.Y), paint.At(x, c.page(spot{0, float64(drop)}).Y), c.units.Format(drop.Tidy()))
}

// scaleBar draws a round length at the scale of the chart and returns where the page
// goes on.
func (c *chart) scaleBar(at paint.Point) paint.Points {
	round := []length.Length{length.Centimetre, 2 * length.Centimetre, 5 * length.Centimetre, 10 * length.Centimetre, 20 * length.Centimetre, 50 * length.Centimetre, length.Metre, 2 * length.Metre, 5 * length.Metre, 10 * length.Metre}
	if c.units.System == length.Imperial {
		round = []length.Length{length.Inch, 2 * length.Inch, 4 * length.Inch, 6 * length.Inch, 12 * length.Inch, 24 * length.Inch, 48 * length.Inch, 120 * length.Inch, 240 * length.Inch}
	}
	long := round[0]
	for _, l := range round {
		if c.pt(l) <= 110 {
			long = l
		}
	}
	part := c.Open(AScale, int(long/length.Millimetre), at)
	end := at.X + c.pt(long)
	c.Rule(at, paint.At(end, at.Y), paint.DarkInk(), 1.2)
	for _, x := range []paint.Points{at.X, end} {
		c.Rule(paint.At(x, at.Y-3.5), paint.At(x, at.Y+3.5), paint.DarkInk(), 0.8)
	}
	c.Close(part)
	part = c.Open(paint.ALine, -1, at)
	c.Write(c.units.Format(long), paint.At(end+6, at.Y+3.6), paint.SizeStyle(), paint.Leftward, 0)
	c.Close(part)
	return at.Y + 20
}

// sizesInWords are the sizes of every panel, bar and fringe.
func (c *chart) sizesInWords() []string {
	f := func(x float64) string { return c.units.Format(length.Length(math.Abs(x)).Tidy()) }
	var lines []string
	for i, p := range c.r.Panels {
		line := fmt.Sprintf("%s: %s wide, drop %s", noun.Capital(p.Name), c.units.Format(p.Width.Tidy()), c.units.Format(p.Drop.Tidy()))
		if free := p.Drop - p.Worked; free > length.Centimetre && p.JoinedBy < 0 {
			line += fmt.Sprintf(", %s of it hanging free", c.units.Format(free.Tidy()))
		}
		var bars []string
		for _, s := range c.steps {
			if s.of.Panel != i {
				continue
			}
			if from, to, ok := c.bar(s); ok {
				bar := fmt.Sprintf("bar %s %s", s.label, f(math.Hypot(to.x-from.x, to.y-from.y)))
				if fall := to.y - from.y; math.Abs(fall) > float64(5*length.Millimetre) {
					bar += " falling " + f(fall)
				}
				bars = append(bars, bar)
			}
		}
		if len(bars) > 0 {
			line += "; " + strings.Join(bars, ", ")
		}
		lines = append(lines, line+".")
	}
	for _, g := range c.r.Sheet.Fringes {
		where := "on the rod"
		if g.Panel != "" {
			where = "on " + g.Panel
		}
		lines = append(lines, fmt.Sprintf("Fringe %s: %s.", where, c.units.Format(g.Drop)))
	}
	return lines
}

// bar is where the first bar of a step begins and ends.
func (c *chart) bar(s charted) (from, to spot, ok bool) {
	var first, last *trace.Placed
	for i := range c.r.Placed {
		p := &c.r.Placed[i]
		if p.Panel != s.of.Panel || p.Step != s.of.From || s.of.To != s.of.From+1 || p.Round != 0 || p.Knot.Shape != knot.Hitch || len(p.Ends) != 2 || c.upwards(p.Ends[0]) && c.bothWays(p.Panel) {
			continue
		}
		if first == nil {
			first = p
		}
		last = p
	}
	if first == nil {
		return spot{}, spot{}, false
	}
	panel := c.r.Panels[s.of.Panel]
	half := float64(last.Width) / 2
	if last.X < first.X {
		half = -half
	}
	rise := math.Abs(half) * math.Tan(math.Abs(float64(last.Slope)))
	return lean(panel, float64(first.X)-half, float64(first.Y)-rise), lean(panel, float64(last.X)+half, float64(last.Y)+rise), true
}

// tell writes the alternative text.
func (c *chart) tell() {
	c.Say(fmt.Sprintf("Chart of %s.", Title(c.sized)))
	byPanel := map[int][]string{}
	var order []int
	for _, s := range c.steps {
		if byPanel[s.of.Panel] == nil {
			order = append(order, s.of.Panel)
		}
		byPanel[s.of.Panel] = append(byPanel[s.of.Panel], s.label)
	}
	for _, panel := range order {
		labels := byPanel[panel]
		where := "What finishes the piece"
		if panel >= 0 {
			where = "Beside " + c.r.Panels[panel].Name
		}
		numbered := labels[0]
		if len(labels) > 1 {
			numbered += " to " + labels[len(labels)-1]
		}
		c.Say(fmt.Sprintf("%s: %s, numbered %s.", where, noun.Count(len(labels), "step"), numbered))
		if panel >= 0 {
			if made := makeup(c.r, panel, c.units); made != "" {
				c.Say(noun.Capital(made) + ".")
			}
		}
	}
	for _, line := range c.sizesInWords() {
		c.Say(line)
	}
	if c.Outline {
		c.Say("Shown in outline, without single knots.")
	}
}
