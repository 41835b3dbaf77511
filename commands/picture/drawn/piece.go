package drawn

import (
	"fmt"
	"math"
	"strings"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/trace"
)

// MostKnots is how many knots a piece may have to be drawn knot by knot; larger ones
// are drawn in outline.
const MostKnots = 12_000

// mostDrawing is how high the work itself is drawn at most.
const mostDrawing paint.Points = 600

// How thick a cord must be on the page.
const (
	fullCord  = 3.2 // pixels a cord must be wide to show every bend
	leastCord = 0.9 // pixels below which only panels are drawn
)

// Piece draws the sized piece with its cut labels, its width and its drop in the
// member's units, and the cut list below it.
func Piece(sized sizing.Sized, units length.Style) *paint.Drawing {
	d := &paint.Drawing{Title: Title(sized), Width: paint.PageWidth, Pixels: 1200}
	y := d.Heading(d.Title, Line(sized, units))
	y, remarks := Compose(d, sized, units, paint.Between(paint.PageMargin, y, paint.PageWidth-paint.PageMargin, y+mostDrawing))
	y = cutLegend(d, sized, units, y+22, 14) + 6
	for _, line := range remarks {
		y = d.Paragraph(line, paint.At(paint.PageMargin, y), paint.NoteStyle(), paint.PageWidth-2*paint.PageMargin, 12)
	}
	d.Finish(y)
	describe(d, sized, units)
	return d
}

// Compose draws the work with its sizes and labels into a box of a page; it returns
// where the page goes on, and what the picture does not show as it is.
func Compose(d *paint.Drawing, sized sizing.Sized, units length.Style, room paint.Box) (low paint.Points, remarks []string) {
	k := &sketch{Drawing: d, r: sized.Result, dyes: knots.DyesOf(sized.Cords)}
	low = k.compose(sized, units, room)
	return low, k.remarks()
}

// Alt is the alternative text of a piece that is shown within a page.
func Alt(sized sizing.Sized, units length.Style, outline bool) string {
	d := &paint.Drawing{Title: Title(sized), Outline: outline}
	describe(d, sized, units)
	return d.Alt()
}

// Title is what a piece is called on its pages.
func Title(sized sizing.Sized) string {
	if sized.Sheet.Piece != "" {
		return sized.Sheet.Piece
	}
	return "A piece without a name"
}

// Line says in one line what is hung on what.
func Line(sized sizing.Sized, units length.Style) string {
	counts := make([]int, len(sized.Cords))
	for _, s := range sized.Strands {
		counts[s.Cord]++
	}
	var parts []string
	for i, n := range counts {
		if n > 0 {
			of := ""
			if len(sized.Cords) > 1 {
				of = " of " + sized.Cords[i].Name
			}
			parts = append(parts, fmt.Sprintf("%s%s, %s", noun.Count(n, "cord"), of, units.Thickness(sized.Cords[i].Nominal)))
		}
	}
	return strings.Join(parts, " · ")
}

// compose draws the work with its sizes and labels into a box and returns where
// the page goes on.
func (k *sketch) compose(sized sizing.Sized, units length.Style, room paint.Box) paint.Points {
	if k.ringed() && !k.chart {
		return k.composeRing(sized, units, room)
	}
	dropMargin := paint.Points(74)
	if k.chart {
		dropMargin = 12
	}
	if len(k.r.Placed) <= MostKnots { // larger ones are outlined at any scale
		k.see()
	}
	e := k.extent()
	rise := k.riseOf()
	if k.chart {
		rise = 0
	}
	wide, high := float64(room.Right-room.Left-dropMargin), float64(room.Bottom-room.Top)
	depth := math.Max(e.bottom, float64(sized.Rod.Thickness)) - math.Min(e.top, 0)
	most := depth * hangerShare / (1 - hangerShare) // of the hanger
	up := math.Min(rise, most)
	byHeight := math.Min(high/math.Max(depth+up, 1), largest)
	k.wholeRod = float64(sized.Rod.Length)*byHeight <= wide
	left, right, _ := k.rodEnds()
	left, right = math.Min(left, e.left), math.Max(right, e.right)
	k.scale = math.Min(byHeight, wide/math.Max(right-left, 1))
	k.chooseDetail()
	span := paint.Points((right - left) * k.scale)
	free := (room.Right - room.Left - dropMargin - span) / 2
	above := max(k.half(k.r.Rod.Thickness)+26+k.labelLevels(sized)*14, paint.Points((up-math.Min(e.top, 0))*k.scale)+16)
	k.origin = paint.At(room.Left+free-paint.Points(left*k.scale), room.Top+above)
	if sized.Sheet.Hanger != nil && rise > 0 && len(k.r.Rods) > 0 {
		k.hanger(fits(rise, most), most)
	}
	k.work()
	k.labels(sized)
	k.low = k.page(spot{0, e.bottom}).Y
	k.right = max(k.page(spot{math.Max(e.right, right), 0}).X, k.page(spot{float64(k.r.Mounted), 0}).X)
	for _, p := range k.Parts {
		if p.Kind == paint.ALabel {
			k.low, k.right = max(k.low, p.Box.Bottom), max(k.right, p.Box.Right)
		}
	}
	k.dimensions(units)
	return k.lens(k.low + 24)
}

// largest is the scale that no piece is drawn beyond: two thirds of life size.
const largest = 2.0 / 3 * 72 / 25.4 / float64(length.Millimetre)

// chooseDetail picks how closely knots are drawn at the scale in hand.
func (k *sketch) chooseDetail() {
	thinnest := math.Inf(1)
	for _, s := range k.r.Strands {
		thinnest = math.Min(thinnest, float64(k.r.Cords[s.Cord].Diameter()))
	}
	if len(k.r.Strands) == 0 {
		thinnest = float64(length.Millimetre)
	}
	cord := thinnest * k.scale // points
	pixels := func() float64 { return cord * float64(k.Pixels) / float64(k.Width) }
	if pixels() < fullCord {
		k.Pixels = paint.MostPixels
	}
	switch {
	case pixels() < leastCord || len(k.r.Placed) > MostKnots:
		k.detail, k.Outline = outlined, k.Outline || !k.chart
	case pixels() < fullCord || len(k.r.Placed) > MostKnots/3:
		k.detail = simple
	default:
		k.detail = full
	}
}

// remarks are what the picture does not show as it is.
func (k *sketch) remarks() []string {
	var lines []string
	if k.Outline {
		lines = append(lines, fmt.Sprintf("Too large to draw knot by knot (%s): shown in outline.", noun.Count(len(k.r.Placed), "knot")))
	}
	switch {
	case k.chart:
		lines = append(lines, "The ring is seen a little from above; the chart shows the work cut open at the back, where marks alike meet.")
	case k.r.Rod.Ring:
		lines = append(lines, "The ring is shown unrolled.")
	}
	for _, p := range k.r.Panels {
		if p.Round && !k.r.Rod.Ring {
			lines = append(lines, fmt.Sprintf("Panel %s is round and shown unrolled.", p.Name))
		}
	}
	if _, _, broken := k.rodEnds(); broken {
		lines = append(lines, "The dowel is longer than shown.")
	}
	return lines
}

// dimensions draws width and drop of the whole work.
func (k *sketch) dimensions(units length.Style) {
	var left, right, low float64 = away, -away, 0
	put := func(x float64) { left, right = math.Min(left, x), math.Max(right, x) }
	for i, p := range k.r.Panels {
		low = math.Max(low, float64(p.Drop))
		if p.Lean == 0 {
			put(float64(p.Left))
			put(float64(p.Right))
			continue
		}
		for _, n := range k.r.Placed {
			if n.Panel == i {
				put(lean(p, float64(n.X-n.Width/2), float64(n.Y)).x)
				put(lean(p, float64(n.X+n.Width/2), float64(n.Y)).x)
			}
		}
		for _, s := range p.Strands {
			put(float64(k.r.Strands[s].X - k.r.Strands[s].Width/2))
			put(float64(k.r.Strands[s].X + k.r.Strands[s].Width/2))
		}
	}
	if left >= right {
		return
	}
	y := k.low + 12
	foot := 0.0
	if k.chart {
		foot = low
	}
	a, b := k.page(spot{left, foot}).X, k.page(spot{right, foot}).X
	k.Measure(paint.At(a, y), paint.At(b, y), units.Format(length.Length(right-left).Tidy()))
	if k.chart {
		return
	}
	x := min(k.right+14, k.Width-58)
	k.Measure(paint.At(x, k.origin.Y), paint.At(x, k.page(spot{0, low}).Y), units.Format(length.Length(low).Tidy()))
}

// labels marks every cord above the rod, every added cord and every wrap with its
// line of the cut list.
func (k *sketch) labels(sized sizing.Sized) {
	of := LabelsOf(sized.List, len(k.r.Strands))
	y := k.origin.Y - k.half(k.r.Rod.Thickness) - 13
	taken := []paint.Box{}
	k.groups(of, func(label string, left, right paint.Points) { k.bracket(label, left, right, y, &taken) })
	seen := map[string]bool{}
	for i, s := range k.r.Strands {
		if s.Added && !seen[of[i]] {
			seen[of[i]] = true
			at := k.page(lean(k.r.Panels[s.Panel], float64(s.X), float64(s.Y)))
			k.tag(of[i], paint.At(at.X, at.Y-14), &taken)
		}
	}
	for i, x := range k.r.Extras {
		label := extraLabel(sized, x)
		switch x.For {
		case trace.ForWrap:
			if x.Height == 0 && i > 0 { // of the tassel before it
				x.X, x.Y, x.Width = k.r.Extras[i-1].X, k.r.Extras[i-1].Y, k.r.Extras[i-1].Width
			}
			k.beside(label, x, float64(x.Height)/2, &taken)
		case trace.ForTassel:
			k.beside(label, x, float64(x.Height)*0.6, &taken)
		case trace.ForLeaf:
			if !seen[label] {
				seen[label] = true
				k.beside(label, x, float64(x.Width)/5, &taken)
			}
		case trace.ForFringe:
			if hooks := k.hooks(x); len(hooks) > 0 {
				h := hooks[len(hooks)/2]
				at := k.page(h)
				side := paint.Points(14)
				if h.x < float64(k.r.Mounted)/2 {
					side = -side
				}
				k.tag(label, paint.At(at.X+side, at.Y), &taken)
			}
		case trace.ForSwag:
			for _, s := range k.swagOf(x) {
				for _, at := range k.swagTags(s) {
					if k.tag(label, at, &taken) {
						break
					}
				}
			}
		case trace.ForHanger:
			if !k.chart {
				k.tag(label, k.hangerTag, &taken)
			}
		}
	}
}

// beside sets a label to the right of an extra that has a place, so far below its top.
func (k *sketch) beside(label string, x trace.Extra, down float64, taken *[]paint.Box) {
	at := k.page(lean(k.r.Panels[x.Panel], float64(x.X), float64(x.Y)+down))
	at.X += k.pt(x.Width)/2 + 11
	k.tag(label, at, taken)
}

// groups calls do for every run of cords side by side that share a label.
func (k *sketch) groups(of []string, do func(label string, left, right paint.Points)) {
	order := k.byX()
	for from := 0; from < len(order); {
		to := from
		for to+1 < len(order) && of[order[to+1]] == of[order[from]] && k.r.Strands[order[to+1]].Panel == k.r.Strands[order[from]].Panel {
			to++
		}
		a, b := k.r.Strands[order[from]], k.r.Strands[order[to]]
		do(of[order[from]], k.page(spot{float64(a.X - a.Width/2), 0}).X+1, k.page(spot{float64(b.X + b.Width/2), 0}).X-1)
		from = to + 1
	}
}

// labelLevels is how many rows of labels are needed above the lowest one, at most 2.
func (k *sketch) labelLevels(sized sizing.Sized) paint.Points {
	levels, last := paint.Points(0), paint.Points(math.Inf(-1))
	k.groups(LabelsOf(sized.List, len(k.r.Strands)), func(label string, left, right paint.Points) {
		middle := (left + right) / 2
		if middle-last < paint.ChipWidth(label)+2 {
			levels = min(levels+1, 2)
		}
		last = middle
	})
	return levels
}

// bracket marks cords side by side with one label.
func (k *sketch) bracket(label string, left, right, y paint.Points, taken *[]paint.Box) {
	if label == "" {
		return
	}
	if right-left > 3 {
		p := paint.Polyline(paint.At(left, y+5), paint.At(left, y+1), paint.At(right, y+1), paint.At(right, y+5))
		k.Line(p, paint.QuietInk(), 0.7)
	}
	middle := (left + right) / 2
	for level := range 3 {
		at := paint.At(middle, y-5-14*paint.Points(level))
		if k.tag(label, at, taken) {
			if level > 0 {
				part := k.Open(paint.ADimension, -1, at)
				k.Rule(paint.At(middle, y+1), paint.At(middle, at.Y+6.5), paint.QuietInk(), 0.7)
				k.Close(part)
			}
			return
		}
	}
}

// tag sets a label in a small disc, unless another one stands there.
func (k *sketch) tag(label string, at paint.Point, taken *[]paint.Box) bool {
	if label == "" {
		return true
	}
	half := paint.ChipWidth(label) / 2
	at.X = max(paint.PageMargin/2+half, min(at.X, k.Width-paint.PageMargin/2-half))
	box := paint.Between(at.X-half-0.5, at.Y-7, at.X+half+0.5, at.Y+7)
	for _, t := range *taken {
		if t.Overlaps(box) {
			return false
		}
	}
	*taken = append(*taken, box)
	part := k.Open(paint.ALabel, -1, at)
	k.Chip(label, at)
	k.Close(part)
	k.Parts[part].Name = label
	return true
}
