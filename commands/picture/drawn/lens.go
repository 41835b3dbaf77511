package drawn

import (
	"math"
	"slices"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/knot"
)

// Where knots are smaller than this on the page, a part of the work is shown enlarged:
// as many cords side by side and so much of their length, in cord diameters.
const (
	leastKnot   paint.Points = 3.4
	lensCords                = 26
	lensDown                 = 18
	lensWide    paint.Points = 150
	lensHigh    paint.Points = lensWide * lensDown / lensCords
	lensCaption              = "The part that is marked, enlarged."
)

// lens shows a part of a dense net enlarged, below y, and returns where the page goes on.
func (k *sketch) lens(y paint.Points) paint.Points {
	if k.chart || k.detail == outlined {
		return y
	}
	part, ok := k.dense()
	if !ok {
		return y
	}
	mark := paint.Between(k.page(spot{part.left, 0}).X, k.page(spot{0, part.top}).Y, k.page(spot{part.right, 0}).X, k.page(spot{0, part.bottom}).Y)
	k.Add(paint.Shape{Path: paint.Rectangle(mark), Stroke: paint.AccentInk(), Width: 0.9})
	box := paint.Between(paint.PageMargin+4, y+8, paint.PageMargin+4+lensWide, y+8+lensHigh)
	shown, parts := k.Open(ALens, -1, paint.At((box.Left+box.Right)/2, box.Top)), len(k.Parts)
	large := &sketch{Drawing: k.Drawing, r: k.r, dyes: k.dyes, knots: k.knots, tied: k.tied, leads: k.leads, detail: full}
	large.scale = float64(lensWide) / (part.right - part.left)
	large.origin = paint.At(box.Left-paint.Points(part.left*large.scale), box.Top-paint.Points(part.top*large.scale))
	large.within(part)
	k.Parts = k.Parts[:parts]
	rim := paint.Points(float64(part.margin) * large.scale)
	for _, b := range []paint.Box{ // what is painted beyond the lens
		paint.Between(box.Left-rim, box.Top-rim, box.Right+rim, box.Top), paint.Between(box.Left-rim, box.Bottom, box.Right+rim, box.Bottom+rim),
		paint.Between(box.Left-rim, box.Top, box.Left, box.Bottom), paint.Between(box.Right, box.Top, box.Right+rim, box.Bottom),
	} {
		k.Fill(paint.Rectangle(b), k.Ground())
	}
	k.Add(paint.Shape{Path: paint.Rectangle(box), Stroke: paint.AccentInk(), Width: 0.9})
	k.Write(lensCaption, paint.At(box.Right+10, box.Top+10), paint.NoteStyle(), paint.Leftward, k.Width-box.Right-10-paint.PageMargin)
	k.Close(shown)
	k.Parts[shown].Box = box
	k.Behind(k.Parts[shown].From)
	return box.Bottom + 8
}

// enlarged is a part of the work, and how far beyond it knots are painted that reach
// into it.
type enlarged struct {
	extent
	margin float64
}

// dense is the part of the work to be enlarged: round the topmost knot nearest the
// middle of the panel that has most of them. It is false where knots can be seen.
func (k *sketch) dense() (enlarged, bool) {
	counts, heights := make([]int, len(k.r.Panels)), []float64{}
	for i := range k.r.Placed {
		if p := &k.r.Placed[i]; p.Knot.Shape == knot.Group {
			counts[p.Panel]++
			heights = append(heights, float64(p.Height))
		}
	}
	const few = 12
	if len(heights) < few {
		return enlarged{}, false
	}
	slices.Sort(heights)
	if paint.Points(heights[len(heights)/2]*k.scale) >= leastKnot {
		return enlarged{}, false
	}
	panel := slices.Index(counts, slices.Max(counts))
	p := k.r.Panels[panel]
	middle, top, d, margin := float64(p.Left+p.Right)/2, math.Inf(1), 0.0, 0.0
	for i := range k.r.Placed {
		n := &k.r.Placed[i]
		if n.Panel != panel || n.Knot.Shape != knot.Group {
			continue
		}
		d = math.Max(d, k.diameter(n.Ends[0]))
		top = math.Min(top, float64(n.Y))
		margin = math.Max(margin, math.Min(math.Max(float64(n.Width), float64(n.Height)), 12*d))
	}
	half := math.Min(lensCords*d, float64(p.Right-p.Left)) / 2
	part := enlarged{margin: margin}
	part.left, part.right = middle-half, middle+half
	part.top = top - 2*d
	part.bottom = part.top + 2*half*lensDown/lensCords
	return part, true
}

// within draws the cords and knots of a part of the work.
func (k *sketch) within(part enlarged) {
	out := part.extent
	out.left, out.top, out.right, out.bottom = out.left-part.margin, out.top-part.margin, out.right+part.margin, out.bottom+part.margin
	for i, path := range k.paths() {
		if tail := k.r.Ends[i].Tail; tail > 0 && len(path) > 0 {
			last := path[len(path)-1]
			path = append(path, spot{last.x, last.y + float64(tail)})
		}
		width := paint.Points(k.diameter(int32(i)) * k.scale)
		for n := 1; n < len(path); n++ {
			if a, b, ok := clipped(path[n-1], path[n], part.extent); ok {
				k.cord(paint.Polyline(k.page(a), k.page(b)), k.cordOf(int32(i)), width)
			}
		}
	}
	for i := range k.r.Placed {
		n := &k.r.Placed[i]
		at, w := k.knots[i].at, float64(n.Width)/2
		if at.x+w > part.left && at.x-w < part.right && at.y+float64(n.Height) > part.top && at.y < part.bottom &&
			at.x-w > out.left && at.x+w < out.right && at.y > out.top && at.y+float64(n.Height) < out.bottom {
			k.knot(i)
		}
	}
}

// clipped is as much of a straight run as lies within a box.
func clipped(a, b spot, box extent) (spot, spot, bool) {
	if a.x == away || b.x == away {
		return a, b, false
	}
	from, to := 0.0, 1.0
	for _, side := range [...]struct{ start, by, least, most float64 }{{a.x, b.x - a.x, box.left, box.right}, {a.y, b.y - a.y, box.top, box.bottom}} {
		if side.by == 0 {
			if side.start < side.least || side.start > side.most {
				return a, b, false
			}
			continue
		}
		in, out := (side.least-side.start)/side.by, (side.most-side.start)/side.by
		from, to = max(from, min(in, out)), min(to, max(in, out))
	}
	along := func(t float64) spot { return spot{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)} }
	return along(from), along(to), from < to
}
