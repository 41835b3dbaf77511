package drawn

import (
	"larkfold/commands/picture/paint"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// lowers draws the rods and rings that the ends of a panel are hitched onto below.
func (k *sketch) lowers(panel int) {
	for i, l := range k.r.Lowers {
		if l.Panel == panel {
			k.lower(i)
		}
	}
}

func (k *sketch) lower(i int) {
	l := k.r.Lowers[i]
	panel := k.r.Panels[l.Panel]
	half := float64(l.Width) / 2
	if !l.Rod.Ring {
		half = max(half, float64(l.Rod.Length)/2)
	}
	a, b := k.page(lean(panel, float64(l.X)-half, float64(l.Y))), k.page(lean(panel, float64(l.X)+half, float64(l.Y)))
	part := k.Open(ARod, -1, k.page(lean(panel, float64(l.X), float64(l.Y))))
	thick := max(k.pt(l.Rod.Thickness), 1.2)
	k.Line(paint.Polyline(a, b), paint.GrainInk(), thick+0.8)
	k.Line(paint.Polyline(a, b), paint.WoodInk(), thick-0.4)
	k.Close(part)
}

// beads draws the beads of a panel over the cords that go through them.
func (k *sketch) beads(panel int) {
	for i, b := range k.r.Beads {
		if b.Panel == panel {
			k.bead(i)
		}
	}
}

func (k *sketch) bead(i int) {
	b := k.r.Beads[i]
	k.beadAt(i, k.page(lean(k.r.Panels[b.Panel], float64(b.X), float64(b.Y)+float64(b.Long)/2)))
}

func (k *sketch) beadAt(i int, at paint.Point) {
	b := k.r.Beads[i]
	wide, tall := k.pt(b.Wide)/2, k.pt(b.Long)/2
	part := k.Open(ABead, i, at)
	k.Add(paint.Shape{Path: paint.Rounded(paint.Between(at.X-wide, at.Y-tall, at.X+wide, at.Y+tall), min(wide, tall)*0.9), Fill: paint.WoodInk(), Stroke: paint.GrainInk(), Width: 0.8})
	k.Line(paint.Smooth(paint.At(at.X-wide*0.5, at.Y-tall*0.45), paint.At(at.X-wide*0.1, at.Y-tall*0.65), paint.At(at.X+wide*0.35, at.Y-tall*0.55)), paint.GrainInk(), 0.5)
	k.Close(part)
}

// most strands of a tassel that are drawn one by one.
const mostStrands = 24

// tassels draws the tassels and leaves of a panel.
func (k *sketch) tassels(panel int) {
	for i, x := range k.r.Extras {
		if x.Panel == panel {
			k.tassel(i)
		}
	}
}

func (k *sketch) tassel(i int) {
	x := k.r.Extras[i]
	if x.Panel < 0 || x.For != trace.ForTassel && x.For != trace.ForLeaf {
		return
	}
	k.tasselAt(i, k.page(lean(k.r.Panels[x.Panel], float64(x.X), float64(x.Y))))
}

func (k *sketch) tasselAt(i int, at paint.Point) {
	x := k.r.Extras[i]
	width := k.pt(k.r.Cords[x.Cord].Diameter())
	part := k.Open(AFringe, i, at)
	if x.For == trace.ForLeaf {
		k.leaf(x, at, width)
		k.Close(part)
		return
	}
	wide, tall := k.pt(x.Width), k.pt(x.Height)
	strands := min(x.Count, mostStrands)
	for n := range strands {
		share := paint.Points(0)
		if strands > 1 {
			share = paint.Points(n)/paint.Points(strands-1) - 0.5
		}
		k.cord(paint.Smooth(paint.At(at.X+share*wide*0.8, at.Y), paint.At(at.X+share*wide*0.8, at.Y+tall*0.15), paint.At(at.X+share*wide*1.3, at.Y+tall*0.5), paint.At(at.X+share*wide*1.4, at.Y+tall)), x.Cord, width)
	}
	for n := range 3 {
		y := at.Y + tall*0.1 + paint.Points(n)*width
		k.cord(paint.Polyline(paint.At(at.X-wide*0.5, y), paint.At(at.X+wide*0.5, y+width*0.3)), x.Cord, width)
	}
	k.Close(part)
}

// leaf draws a pair of cords that are tied round the spine of a leaf, one from each side.
func (k *sketch) leaf(x trace.Extra, at paint.Point, width paint.Points) {
	const spine = 1.2 // half its thickness, in cord widths
	reach := k.pt(x.Width) / 2
	for _, left := range []bool{true, false} {
		f := sideways(left)
		f.At = paint.At(at.X, at.Y+k.pt(x.Height)/2)
		for _, leg := range []paint.Points{-legs, legs} {
			from := f.To(leg*width, (spine+0.9)*width)
			out := f.To(0, reach).X - f.At.X
			down := (from.Y - f.At.Y) * 0.9
			k.cord(paint.Smooth(from, paint.At(f.At.X+out*0.5, f.At.Y+reach*0.12+down), paint.At(f.At.X+out, f.At.Y+reach*0.4+down)), x.Cord, width)
		}
	}
	for _, left := range []bool{true, false} {
		f := sideways(left)
		f.At = paint.At(at.X, at.Y+k.pt(x.Height)/2)
		head(k.Drawing, f, sheet.Folded, 2, k.dyes.Of(x.Cord), spine*width, width, width*legs)
	}
}

// fitted widens what is drawn by what is neither knot nor cord of the work.
func (k *sketch) fitted(e *extent) {
	for _, l := range k.r.Lowers {
		half := float64(max(l.Width, l.Rod.Length)) / 2
		e.put(lean(k.r.Panels[l.Panel], float64(l.X)-half, float64(l.Y)), float64(l.Rod.Thickness))
		e.put(lean(k.r.Panels[l.Panel], float64(l.X)+half, float64(l.Y)), float64(l.Rod.Thickness))
	}
	for _, on := range k.r.Rods[min(1, len(k.r.Rods)):] {
		left, right := besides(on)
		e.put(spot{left, 0}, float64(on.Rod.Thickness)/2)
		e.put(spot{right, 0}, float64(on.Rod.Thickness)/2)
	}
	for _, b := range k.r.Beads {
		e.put(lean(k.r.Panels[b.Panel], float64(b.X), float64(b.Y)), float64(b.Wide)/2)
	}
	for _, x := range k.r.Extras {
		if x.Panel < 0 || x.For != trace.ForTassel && x.For != trace.ForLeaf {
			continue
		}
		half := float64(x.Width) * 0.7
		for _, side := range []float64{-half, half} {
			e.put(lean(k.r.Panels[x.Panel], float64(x.X)+side, float64(x.Y+x.Height)), 0)
		}
	}
}

// bothWays tells whether a panel has no rod and is worked to two sides.
func (k *sketch) bothWays(panel int) bool { return k.r.Panels[panel].BothWays }

// upwards tells whether an end runs up the page: on the second side of a panel
// that is worked both ways.
func (k *sketch) upwards(end int32) bool {
	e := k.r.Ends[end]
	return k.bothWays(k.r.Strands[e.Strand].Panel) && e.Side == trace.Right
}

// spaced are the places of a fringe that hangs along a width, not in loops.
func (k *sketch) spaced(x trace.Extra, f sheet.Fringe) []spot {
	left, right, y, down := 0.0, float64(k.r.Mounted), 0.0, false
	if x.Panel >= 0 {
		p := k.r.Panels[x.Panel]
		left, right, y = float64(p.Left), float64(p.Right), float64(p.Worked)
		for _, l := range k.r.Lowers {
			if l.Panel == x.Panel {
				left, right, y = float64(l.X-l.Width/2), float64(l.X+l.Width/2), float64(l.Y)
			}
		}
		down = f.Side != sheet.Foot
	}
	places := make([]spot, 0, x.Count)
	for n := range x.Count {
		share := (float64(n) + 0.5) / float64(x.Count)
		at := spot{left + share*(right-left), y}
		if down {
			at = spot{left, share * y}
			if f.Side == sheet.RightEdge || f.Side == sheet.BothEdges && n%2 == 1 {
				at.x = right
			}
		}
		if x.Panel >= 0 {
			at = lean(k.r.Panels[x.Panel], at.x, at.y)
		}
		places = append(places, at)
	}
	return places
}

// girth is how far it is round a round panel at a depth: that of the ring it was
// hitched onto last, above that of its mounts.
func (k *sketch) girth(panel int, depth float64) float64 {
	girth := 0.0
	for _, s := range k.r.Panels[panel].Strands {
		if !k.r.Strands[s].Added {
			girth += float64(k.r.Strands[s].Width)
		}
	}
	if girth == 0 {
		girth = float64(k.r.Panels[panel].Width)
	}
	for _, l := range k.r.Lowers {
		if l.Panel == panel && float64(l.Y) <= depth {
			girth = float64(l.Width)
		}
	}
	return girth
}
