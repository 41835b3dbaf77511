package drawn

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// tilt is how much of a ring's depth is seen: it is looked at a little from above.
const tilt = 0.22

// turned by so much of a quarter a knot is still drawn this wide.
const leastWide = 0.55

// xyz is a place in space, in nanometres: x to the right of the axis of a ring, y
// down from it, z towards the viewer.
type xyz struct{ x, y, z float64 }

// hung draws a round panel that hangs on a ring, seen a little from above.
type hung struct {
	*sketch
	panel  int
	axis   paint.Points // where the axis of the ring is on the page
	first  float64      // x of the column of the first end, which the seam is before
	levels []girdle
	things []thing
}

// girdle is how far the work stands from its axis at a depth.
type girdle struct {
	y, radius float64
	held      bool // by a ring or a wrap
}

// thing is something about to be drawn.
type thing struct {
	front bool
	layer int
	z     float64
	draw  func(dyes int) // dyes is what is added to a cord to get its dye
}

// The layers of what is as near as another: the rim behind its cords at the back
// and before them at the front, and what is tied over both.
const (
	backRim = iota
	loose
	frontRim
	headed
	knotted
)

// ringed tells whether the work is one round panel on a ring.
func (k *sketch) ringed() bool {
	return k.r.Rod.Ring && len(k.r.Panels) == 1 && k.r.Panels[0].Round && len(k.r.Rods) == 1 && len(k.r.Panels[0].Strands) > 0
}

// composeRing draws the ring as it hangs and, beside or below, the work cut open at
// its back, and returns where the page goes on.
func (k *sketch) composeRing(sized sizing.Sized, units length.Style, room paint.Box) paint.Points {
	const dropMargin, between = 58, 22
	v := &hung{sketch: &sketch{Drawing: k.Drawing, r: k.r, dyes: slices.Clip(k.dyes)}}
	v.see()
	v.shape()
	e := v.extent()
	rise := k.riseOf()
	deep, radius := e.bottom, v.widest()
	most := deep * hangerShare / (1 - hangerShare)
	up := math.Min(rise, most)
	tall := deep + up + 2*tilt*radius + float64(k.r.Rod.Thickness)
	wide, high := float64(room.Right-room.Left-dropMargin), float64(room.Bottom-room.Top)-30

	open := e.right - e.left
	beside := math.Min(high/tall, (wide-between)/(2*radius+open))
	above := math.Min(high*0.6/tall, wide/(2*radius))
	stacked := above > 1.3*beside
	v.scale = math.Min(beside, largest)
	if stacked {
		v.scale = math.Min(above, largest)
	}
	if v.chooseDetail(); v.detail == outlined {
		k.chart = true
		return k.compose(sized, units, room)
	}
	v.shades()
	left, right := room.Left, room.Right-dropMargin
	if !stacked {
		used := paint.Points((2*radius+open)*v.scale) + between
		left += (right - left - used) / 2
		right = left + paint.Points(2*radius*v.scale)
	}
	v.axis = (left + right) / 2
	v.origin = paint.At(v.axis-paint.Points(float64(k.r.Mounted)/2*v.scale), room.Top+24+paint.Points((up+tilt*radius)*v.scale)+v.pt(k.r.Rod.Thickness))
	if k.r.Sheet.Hanger != nil && rise > 0 {
		v.hanger(fits(rise, most), up)
	}
	v.draw()
	low := v.origin.Y + paint.Points((deep+tilt*radius)*v.scale)
	v.tags(sized)
	for _, p := range v.Parts {
		if p.Kind == paint.ALabel || p.Kind == AnEnd {
			low = max(low, p.Box.Bottom)
		}
	}
	v.sizes(units, low, radius)

	from := len(k.Parts)
	chart := paint.Between(v.axis+paint.Points(radius*v.scale)+between+dropMargin, v.origin.Y-40, room.Right, low)
	if stacked {
		chart = paint.Between(room.Left, low+34, room.Right, low+34+(room.Bottom-room.Top)*0.4)
	}
	k.chart = true
	below := k.compose(sized, units, chart)
	k.seam()
	for i := range k.Parts[from:] {
		k.Parts[from+i].Unrolled = true
	}
	v.notch(v.at(xyz{0, 0, -v.radius(0)}), paint.Points(float64(k.r.Rod.Thickness)/2*v.scale)+2, 0)
	return max(below, low+24)
}

// shape finds how far the work stands from its axis: at its rings as far as they do,
// where neighbours are tied together as far as their columns go round, and in a
// wrap as close as a bundle; straight from one of these to the next.
func (v *hung) shape() {
	r := &v.r
	first := r.Strands[r.Panels[v.panel].Strands[0]]
	v.first = float64(first.X) - float64(first.Width)*(0.5-0.5/float64(len(first.Ends)))
	put := func(y, radius float64, held bool) { v.levels = append(v.levels, girdle{y, radius, held}) }
	if r.Rod.Length > 0 {
		put(0, float64(r.Rod.Length-r.Rod.Thickness)/2, true)
	} else {
		put(0, v.girth(v.panel, 0)/(2*math.Pi), true)
	}
	together := make([]int, len(r.Ends)) // what an end was last tied into, with all that it was tied into it with
	for i := range r.Ends {
		together[i] = -1 - r.Ends[i].Strand
	}
	for i, p := range r.Placed {
		joins := false
		for _, e := range p.Ends {
			joins = joins || together[e] != together[p.Ends[0]]
			together[e] = i
		}
		bottom := float64(p.Y + p.Height)
		switch {
		case v.wrapsAll(&r.Placed[i]):
			put(float64(p.Y), float64(p.Width)/2, true)
			put(bottom, float64(p.Width)/2, true)
		case joins && p.Knot.Shape != knot.Wrap:
			put(float64(p.Y), v.girth(v.panel, float64(p.Y))/(2*math.Pi), false)
			put(bottom, v.girth(v.panel, float64(p.Y))/(2*math.Pi), false)
		}
	}
	for _, l := range r.Lowers {
		put(float64(l.Y), float64(l.Width)/(2*math.Pi), true)
	}
	slices.SortStableFunc(v.levels, func(a, b girdle) int { return cmp.Compare(a.y, b.y) })
	for i := 1; i < len(v.levels); i++ { // cords go in or out no flatter than at 45 degrees
		if l, before := &v.levels[i], v.levels[i-1]; !l.held {
			l.radius = math.Max(before.radius-(l.y-before.y), math.Min(l.radius, before.radius+(l.y-before.y)))
		}
	}
}

// radius is how far the work stands from its axis at a depth.
func (v *hung) radius(y float64) float64 {
	i, _ := slices.BinarySearchFunc(v.levels, y, func(l girdle, y float64) int { return cmp.Compare(l.y, y) })
	if i == 0 {
		return v.levels[0].radius
	}
	if i == len(v.levels) {
		return v.levels[i-1].radius
	}
	a, b := v.levels[i-1], v.levels[i]
	if b.y == a.y {
		return b.radius
	}
	return a.radius + (b.radius-a.radius)*(y-a.y)/(b.y-a.y)
}

// widest is the largest radius.
func (v *hung) widest() float64 {
	most := 0.0
	for _, l := range v.levels {
		most = math.Max(most, l.radius)
	}
	return most + float64(v.r.Rod.Thickness)/2
}

// angle is where a column stands round the axis at a depth: from the front, to the
// right. The seam is at the back.
func (v *hung) angle(x, y float64) float64 {
	half := 0.5 / float64(len(v.r.Panels[v.panel].Ends))
	return 2*math.Pi*((x-v.first)/v.girth(v.panel, y)+half) - math.Pi
}

// round is a place at an angle, as far out as the work stands there.
func (v *hung) round(angle, y float64) xyz {
	sin, cos := math.Sincos(angle)
	r := v.radius(y)
	return xyz{r * sin, y, r * cos}
}

// at is a place on the page.
func (v *hung) at(s xyz) paint.Point {
	return paint.At(v.axis+paint.Points(s.x*v.scale), v.origin.Y+paint.Points((s.y+s.z*tilt)*v.scale))
}

// shades gives every cord a second dye, in the shade of the work's inside.
func (v *hung) shades() {
	n := len(v.r.Cords)
	for i := range n {
		v.dyes = append(v.dyes, v.dyes.Of(i).In(v.dyes.Of(i).Body.Darker(0.3)))
		v.dyes[n+i].Dash = v.dyes.Of(i).Dash
	}
}

func (v *hung) put(layer int, z float64, draw func(dyes int)) {
	v.things = append(v.things, thing{z >= 0, layer, z, draw})
}

// draw draws the work from the back to the front.
func (v *hung) draw() {
	v.rims()
	v.runs()
	v.strands()
	v.tying()
	slices.SortStableFunc(v.things, func(a, b thing) int {
		if a.front != b.front {
			if b.front {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.layer, b.layer), cmp.Compare(a.z, b.z))
	})
	for _, t := range v.things {
		shade := len(v.r.Cords)
		if t.front {
			shade = 0
		}
		t.draw(shade)
	}
}

// rims are the rings, each in two halves.
func (v *hung) rims() {
	v.rim(0, v.radius(0), v.r.Rod.Thickness)
	for _, l := range v.r.Lowers {
		v.rim(float64(l.Y), float64(l.Width)/(2*math.Pi), l.Rod.Thickness)
	}
}

func (v *hung) rim(y, radius float64, thick length.Length) {
	for _, side := range []float64{-1, 1} {
		layer, name := backRim, "back"
		if side > 0 {
			layer, name = frontRim, "front"
		}
		v.put(layer, side*radius, func(int) {
			middle, a, b := v.at(xyz{0, y, 0}), paint.Points(radius*v.scale), paint.Points(side*radius*tilt*v.scale)
			const k = paint.Points(paint.Quarter)
			var p paint.Path
			p.Move(middle.X-a, middle.Y)
			p.Curve(paint.At(middle.X-a, middle.Y+k*b), paint.At(middle.X-k*a, middle.Y+b), paint.At(middle.X, middle.Y+b))
			p.Curve(paint.At(middle.X+k*a, middle.Y+b), paint.At(middle.X+a, middle.Y+k*b), paint.At(middle.X+a, middle.Y))
			part := v.Open(ARod, -1, v.at(xyz{0, y, side * radius}))
			width := 2 * v.half(thick)
			v.Add(paint.Shape{Path: p, Stroke: paint.GrainInk(), Width: width + 0.8, Round: true})
			v.Add(paint.Shape{Path: p, Stroke: paint.WoodInk(), Width: width - 0.4, Round: true})
			v.Close(part)
			v.Parts[part].Name = name
		})
	}
}

// runs are the loose cords between knots, straight through space, and the tails.
func (v *hung) runs() {
	last := make([]xyz, len(v.r.Ends))
	turned := make([]float64, len(v.r.Ends)) // the angle that an end stands at
	for i := range v.r.Ends {
		s := v.start(i)
		turned[i] = v.angle(s.x, s.y)
		last[i] = v.round(turned[i], s.y)
	}
	for i, p := range v.r.Placed {
		place, squash := v.knotAt(i)
		for j, e := range p.Ends {
			in, out := place, place
			if v.wrapsAll(&v.r.Placed[i]) {
				sin, cos := math.Sincos(turned[e])
				r := float64(p.Width)/2 - v.diameter(e)/2
				in, out = xyz{r * sin, place.y, r * cos}, xyz{r * sin, place.y + float64(p.Height), r * cos}
			} else {
				a, b := v.knots[i].in[j], v.knots[i].out[j]
				in.x, in.y = in.x+(a.x-float64(p.X))*squash, a.y
				foot := v.round(v.angle(float64(p.X), b.y), b.y)
				out.x, out.y, out.z = foot.x+(b.x-float64(p.X))*squash, b.y, foot.z
				turned[e] = v.angle(b.x, b.y)
			}
			v.run(int(e), last[e], in)
			last[e] = out
		}
	}
	for i := range v.r.Ends {
		foot := last[i]
		foot.y = math.Max(foot.y, float64(v.r.Ends[i].Y))
		v.run(i, last[i], foot)
		v.put(loose, foot.z, func(dyes int) { v.tail(i, v.at(foot), v.cordOf(int32(i))+dyes) })
	}
}

// knotAt is where the top of a knot stands, and how wide it looks from there.
func (v *hung) knotAt(i int) (xyz, float64) {
	p := &v.r.Placed[i]
	a := v.angle(float64(p.X), float64(p.Y+p.Height))
	if v.wrapsAll(&v.r.Placed[i]) {
		return xyz{0, float64(p.Y), 0}, 1
	}
	place := v.round(a, float64(p.Y))
	if p.Knot.Shape == knot.Wrap || p.Knot.Shape == knot.Plait {
		return place, 1
	}
	return place, math.Max(math.Abs(math.Cos(a)), leastWide)
}

func (v *hung) run(end int, from, to xyz) {
	if from == to {
		return
	}
	v.put(loose, (from.z+to.z)/2, func(dyes int) {
		a, b := v.at(from), v.at(to)
		part := v.Open(AnEnd, end, a)
		v.cord(paint.Polyline(a, b), v.cordOf(int32(end))+dyes, paint.Points(v.diameter(int32(end))*v.scale))
		v.Close(part)
	})
}

// tail is what hangs free of an end.
func (v *hung) tail(end int, foot paint.Point, dye int) {
	tail, width := v.pt(v.r.Ends[end].Tail), paint.Points(v.diameter(int32(end))*v.scale)
	if tail == 0 {
		return
	}
	part := v.Open(AnEnd, end, foot)
	var p paint.Path
	p.Move(foot.X, foot.Y)
	tailOf(&p, end, foot, tail, width)
	v.cord(p, dye, width)
	v.Close(part)
}

// strands are the mounts, and what is threaded or hung on below.
func (v *hung) strands() {
	r := &v.r
	for i, s := range r.Strands {
		if s.Added {
			continue // its ends begin where it is tied on
		}
		a := v.angle(float64(s.X), 0)
		place := v.round(a, 0)
		squash := paint.Points(math.Max(math.Abs(math.Cos(a)), leastWide))
		v.put(headed, place.z, func(dyes int) {
			v.mountAt(i, v.at(place), paint.Upright(paint.Point{}), s.Cord+dyes, v.half(r.Rod.Thickness), v.pt(s.Width)/4*squash)
		})
	}
	for i, b := range r.Beads {
		y := float64(b.Y + b.Long/2)
		place := v.round(v.angle(float64(b.X), y), y)
		v.put(knotted, place.z, func(int) { v.beadAt(i, v.at(place)) })
	}
	for i, x := range r.Extras {
		switch x.For {
		case trace.ForTassel, trace.ForLeaf:
			place := v.round(v.angle(float64(x.X), float64(x.Y)), float64(x.Y))
			v.put(knotted, place.z, func(int) { v.tasselAt(i, v.at(place)) })
		case trace.ForFringe:
			for _, h := range v.hooks(x) {
				place := v.round(v.angle(h.x, h.y), h.y)
				v.put(headed, place.z, func(dyes int) { v.tuftAt(i, v.at(place), dyes) })
			}
		}
	}
}

// tuftAt is one piece of fringe that hangs on a rim.
func (v *hung) tuftAt(i int, at paint.Point, dyes int) {
	x := v.r.Extras[i]
	width, drop := v.pt(v.r.Cords[x.Cord].Diameter()), v.pt(x.Need.Run/2)
	part := v.Open(AFringe, i, at)
	for _, side := range []paint.Points{-legs, legs} {
		v.cord(paint.Polyline(paint.At(at.X+side*width, at.Y), paint.At(at.X+side*width, at.Y+drop)), x.Cord+dyes, width)
	}
	v.Stamp(paint.Look("head", 1, 0, width, paint.Points(x.Cord+dyes)), at, func(d *paint.Drawing) {
		head(d, paint.Upright(paint.Point{}), sheet.Folded, 2, v.dyes.Of(x.Cord+dyes), width*0.5, width, width*legs)
	})
	v.Close(part)
}

// tying are the knots.
func (v *hung) tying() {
	for i := range v.r.Placed {
		p := &v.r.Placed[i]
		place, squash := v.knotAt(i)
		a := v.angle(float64(p.X), float64(p.Y+p.Height))
		v.put(knotted, place.z, func(dyes int) {
			s := v.symbolOf(i)
			if v.wrapsAll(p) {
				s.Wide = v.pt(p.Width)
			} else {
				out := (v.radius(float64(p.Y+p.Height)) - v.radius(float64(p.Y))) / math.Max(float64(p.Height), 1)
				s.Frame = paint.Turned(paint.Point{}, float64(p.Slope)-math.Atan2(out*math.Sin(a), 1+out*math.Cos(a)*tilt))
			}
			if s.Wide = s.Wide * paint.Points(squash); squash < 1 {
				s.Wide = max(s.Wide, 1.6*s.Thick)
			}
			for j := range s.Sides {
				s.Sides[j] *= paint.Points(squash)
			}
			for j := range s.Cords {
				s.Cords[j] += dyes
			}
			v.tie(i, s, v.at(place))
		})
	}
}

// hanger draws the cord that the ring hangs from.
func (v *hung) hanger(rise, up float64) {
	radius := v.radius(0)
	width := max(v.pt(v.r.Cords[0].Diameter()), 0.8)
	part := v.Open(AHanger, -1, v.at(xyz{0, -up, 0}))
	for _, side := range []float64{-1, 1} {
		at := v.at(xyz{side * radius * (1 - up/rise), -up, 0})
		v.cord(paint.Polyline(v.at(xyz{side * radius, 0, 0}), at), 0, width)
		if up < rise {
			v.cutShort(at)
		}
	}
	if up == rise {
		v.fixing(v.at(xyz{0, -up, 0}), width)
	}
	v.Close(part)
	v.hangerTag = v.at(xyz{radius * (1 - 0.5*up/rise), -up / 2, 0})
	v.hangerTag.X += 15
}

// tags set the labels of what has a place of its own in the view.
func (v *hung) tags(sized sizing.Sized) {
	var taken []paint.Box
	for _, x := range v.r.Extras {
		label := extraLabel(sized, x)
		switch x.For {
		case trace.ForWrap:
			y := float64(x.Y + x.Height/2)
			place := xyz{0, y, 0}
			v.tag(label, paint.At(v.at(place).X+v.pt(x.Width)/2+11, v.at(place).Y), &taken)
		case trace.ForHanger:
			v.tag(label, v.hangerTag, &taken)
		}
	}
}

// sizes draws how deep and how wide the work is as it hangs.
func (v *hung) sizes(units length.Style, low paint.Points, radius float64) {
	drop := length.Length(0)
	for _, p := range v.r.Panels {
		drop = max(drop, p.Drop)
	}
	out := paint.Points(radius * v.scale)
	v.Measure(paint.At(v.axis+out+14, v.origin.Y), paint.At(v.axis+out+14, v.origin.Y+v.pt(drop)), units.Format(drop.Tidy()))
	v.Measure(paint.At(v.axis-out, low+12), paint.At(v.axis+out, low+12), units.Format(length.Length(2*radius).Tidy()))
}

// seam marks where the work is cut open: at both ends of the ring and wherever an end
// goes over from one side to the other, alike on both sides.
func (k *sketch) seam() {
	left, right, _ := k.rodEnds()
	r := k.half(k.r.Rod.Thickness) + 2
	for _, x := range []float64{left, right} {
		k.notch(k.page(spot{x, 0}), r, 0)
	}
	if k.detail == outlined {
		return
	}
	type place struct {
		height int // in quarters of a point
		right  bool
	}
	numbers, marked := map[int]int{}, map[place]bool{}
	for _, path := range k.paths() {
		for i, s := range path {
			if s.x != away {
				continue
			}
			for _, at := range []paint.Point{k.page(path[i-1]), k.page(path[i+1])} {
				here := place{int(math.Round(float64(at.Y) * 4)), at.X > k.page(spot{(left + right) / 2, 0}).X}
				if marked[here] {
					continue
				}
				marked[here] = true
				if numbers[here.height] == 0 {
					numbers[here.height] = len(numbers) + 1
				}
				side := paint.Points(-3)
				if here.right {
					side = 3
				}
				k.match(paint.At(at.X+side, at.Y), numbers[here.height])
			}
		}
	}
}

// notch is the mark of the place where a ring is cut open, above its rim.
func (k *sketch) notch(at paint.Point, above paint.Points, number int) {
	at.Y -= above
	part := k.Open(ASeam, number, at)
	k.Fill(paint.Polygon(paint.At(at.X-3, at.Y-5), paint.At(at.X+3, at.Y-5), at), paint.AccentInk())
	k.Close(part)
	k.Parts[part].Name = fmt.Sprint("seam ", number)
}

// match is one of two marks alike, beside an end that is cut at the seam.
func (k *sketch) match(at paint.Point, number int) {
	part := k.Open(ASeam, number, at)
	const r = 1.8
	switch number % 4 {
	case 0:
		k.Fill(paint.Circle(at, r), paint.AccentInk())
	case 1:
		k.Add(paint.Shape{Path: paint.Circle(at, r-0.4), Fill: k.Ground(), Stroke: paint.AccentInk(), Width: 0.8})
	case 2:
		k.Fill(paint.Rectangle(paint.Between(at.X-r, at.Y-r, at.X+r, at.Y+r)), paint.AccentInk())
	default:
		k.Fill(paint.Polygon(paint.At(at.X, at.Y-r-0.4), paint.At(at.X+r+0.4, at.Y+r), paint.At(at.X-r-0.4, at.Y+r)), paint.AccentInk())
	}
	k.Close(part)
	k.Parts[part].Name = fmt.Sprint("seam ", number)
}
