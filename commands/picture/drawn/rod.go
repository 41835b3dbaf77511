package drawn

import (
	"math"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// breakOff is how much of a rod is drawn beyond the work when it is very long, and
// stub the share of that which stands beyond the break.
const (
	breakOff = 40 * length.Millimetre
	stub     = 0.45
)

// rodEnds are the x of the first rod's ends as drawn, and whether it is shortened.
func (k *sketch) rodEnds() (left, right float64, broken bool) {
	wide := float64(k.r.Mounted)
	long := float64(k.r.Rod.Length)
	if k.r.Rod.Ring || k.r.Rod.Length == 0 {
		over := 0.0
		if k.r.Rod.Length == 0 {
			over = float64(25 * length.Millimetre)
		}
		return -over, wide + over, false
	}
	over := (long - wide) / 2
	most := math.Max(float64(breakOff), 0.12*wide)
	for _, g := range k.r.Sheet.Swags { // tied within what is shown
		most = math.Max(most, ((float64(g.Over)-wide)/2+float64(10*length.Millimetre))/(1-stub))
	}
	if over > most && !k.wholeRod {
		over, broken = most, true
	}
	return math.Min(-over, 0), math.Max(wide+over, wide), broken
}

// thickness of a rod on the page, halved, for a rod that is seen however thin it is.
func (k *sketch) half(rod length.Length) paint.Points { return max(k.pt(rod)/2, 1.2) }

// rods draws what the work hangs on.
func (k *sketch) rods() {
	for i, on := range k.r.Rods {
		if i == 0 {
			left, right, broken := k.rodEnds()
			k.rod(left, right, on.Rod.Thickness, on.Rod.Ring, broken)
			continue
		}
		left, right := besides(on)
		k.rod(left, right, on.Rod.Thickness, on.Rod.Ring, false)
	}
}

// besides are the x of the ends of a rod that is not the first.
func besides(on trace.Loaded) (left, right float64) {
	over := math.Max(0, float64(on.Rod.Length-on.Mounted)/2)
	if over = math.Min(over, float64(breakOff)); on.Rod.Ring {
		over = 0
	}
	return float64(on.From) - over, float64(on.From+on.Mounted) + over
}

// rod draws a dowel, shortened if it is longer than shown, or a ring unrolled.
func (k *sketch) rod(left, right float64, thick length.Length, ring, broken bool) {
	a, b := k.page(spot{left, 0}), k.page(spot{right, 0})
	r := k.half(thick)
	part := k.Open(ARod, -1, paint.At((a.X+b.X)/2, a.Y))
	whole := paint.Between(a.X, a.Y-r, b.X, b.Y+r)
	switch {
	case ring:
		k.wood(whole, 0)
		k.torn(whole.Left, a.Y, r)
		k.torn(whole.Right, a.Y, r)
	case broken:
		end := k.pt(length.Length(-left * stub))
		gap := min(end/4, 3)
		k.wood(paint.Between(whole.Left, whole.Top, whole.Left+end, whole.Bottom), r*0.7)
		k.wood(paint.Between(whole.Right-end, whole.Top, whole.Right, whole.Bottom), r*0.7)
		k.wood(paint.Between(whole.Left+end+gap, whole.Top, whole.Right-end-gap, whole.Bottom), 0)
		for _, x := range []paint.Points{whole.Left + end, whole.Right - end - gap} {
			k.Fill(paint.Rectangle(paint.Between(x, whole.Top-1, x+gap, whole.Bottom+1)), k.Ground())
			k.torn(x, a.Y, r)
			k.torn(x+gap, a.Y, r)
		}
	default:
		k.wood(whole, r*0.7)
	}
	k.Close(part)
}

// wood draws a piece of a dowel with its grain.
func (k *sketch) wood(body paint.Box, round paint.Points) {
	k.Add(paint.Shape{Path: paint.Rounded(body, round), Fill: paint.WoodInk(), Stroke: paint.GrainInk(), Width: 0.8})
	y, r, long := (body.Top+body.Bottom)/2, (body.Bottom-body.Top)/2, body.Right-body.Left
	for i, at := range []paint.Points{-0.45, 0.1, 0.5} {
		inset := long * paint.Points(0.02+0.03*float64(i))
		k.Rule(paint.At(body.Left+inset+round, y+at*r), paint.At(body.Right-inset*1.4-round, y+at*r), paint.GrainInk(), 0.35)
	}
}

// torn is the wavy line at which a rod is cut short.
func (k *sketch) torn(x, y, r paint.Points) {
	k.Line(paint.Smooth(paint.At(x, y-r*1.5), paint.At(x+r*0.3, y-r*0.5), paint.At(x-r*0.3, y+r*0.5), paint.At(x, y+r*1.5)), paint.GrainInk(), 1)
}

// hangerShare is how much of the height of hanger and work together the hanger may
// have, a little under a third: it is cut short before it takes more.
const hangerShare = 0.32

// fits is the rise that a hanger is drawn with where there is room for most of it:
// one that is a little too high is drawn as high as it may be, rather than cut short
// close to its top.
func fits(rise, most float64) float64 {
	const little = 1.25
	if rise <= little*most {
		return math.Min(rise, most)
	}
	return rise
}

// hangsBy are the x where the hanger is tied to the rod: at its ends, as far in as
// it is cut for, or on what is shown of them.
func (k *sketch) hangsBy() (left, right float64) {
	left, right, broken := k.rodEnds()
	inset := float64(dowel.HangerInset)
	switch {
	case broken:
		inset = -left * stub / 2
	case right-left <= 2*inset:
		inset = 0
	}
	return left + inset, right - inset
}

// hanger draws the cord that the rod hangs from, cut short when its rise is more
// than there is room for.
func (k *sketch) hanger(rise, room float64) {
	left, right := k.hangsBy()
	middle := (left + right) / 2
	width := max(k.pt(k.r.Cords[0].Diameter()), 0.8)
	up := math.Min(rise, room)
	part := k.Open(AHanger, -1, k.page(spot{middle, -up}))
	for _, x := range []float64{left, right} {
		at := k.page(spot{x + (middle-x)*up/rise, -up})
		k.cord(paint.Polyline(k.page(spot{x, 0}), at), 0, width)
		if up < rise {
			k.cutShort(at)
		}
	}
	if up == rise {
		k.fixing(k.page(spot{middle, -up}), width)
	}
	k.Close(part)
	k.hangerTag = k.page(spot{right + (middle-right)*0.5*up/rise, -up / 2})
	k.hangerTag.X += 15
}

// cutShort is the mark of a cord that is longer than shown, and fixing what it hangs from.
func (k *sketch) cutShort(at paint.Point) {
	k.Line(paint.Smooth(paint.At(at.X-5, at.Y-1), paint.At(at.X-2, at.Y-3), paint.At(at.X+2, at.Y+1), paint.At(at.X+5, at.Y-1)), paint.DarkInk(), 1)
}

func (k *sketch) fixing(at paint.Point, cord paint.Points) {
	k.Add(paint.Shape{Path: paint.Circle(paint.At(at.X, at.Y-1), max(2, cord*0.9)), Fill: k.Ground(), Stroke: paint.DarkInk(), Width: 1.2})
}

// ties draws how hanger and swags are tied to the rod.
func (k *sketch) ties() {
	for i := range k.r.Extras {
		k.tieTo(i)
	}
}

// tieTo draws how one extra, a hanger or a swag, is tied to the rod.
func (k *sketch) tieTo(i int) {
	if len(k.r.Rods) == 0 || k.r.Rod.Ring {
		return
	}
	x := k.r.Extras[i]
	width := max(k.pt(k.r.Cords[x.Cord].Diameter()), 0.8)
	reach := k.half(k.r.Rod.Thickness) + width*0.3
	tie := func(at spot, aside paint.Points) {
		p := k.page(at)
		k.cord(paint.Polyline(paint.At(p.X+aside, p.Y-reach), paint.At(p.X+aside, p.Y+reach)), x.Cord, width)
	}
	if x.For == trace.ForHanger {
		left, right := k.hangsBy()
		for _, at := range []spot{{x: left}, {x: right}} {
			tie(at, -width*0.55)
			tie(at, width*0.55)
		}
	}
	for _, s := range k.swagOf(x) {
		for _, over := range k.nested(s, x.Cord) {
			tie(spot{x: (float64(k.r.Mounted) - over.wide) / 2}, 0)
			tie(spot{x: (float64(k.r.Mounted) + over.wide) / 2}, 0)
		}
	}
}

// riseOf is how far above the rod its fixing is; zero without a hanger.
func (k *sketch) riseOf() float64 {
	h := k.r.Sheet.Hanger
	if h == nil {
		return 0
	}
	if h.Rise > 0 {
		return float64(h.Rise)
	}
	left, right, _ := k.rodEnds()
	if !k.r.Rod.Ring && k.r.Rod.Length > 0 {
		ties := dowel.TieHangers(k.r.Rod.Length)
		left, right = 0, float64(ties.Right-ties.Left)
	}
	return (right - left) / 2 * math.Tan(h.Angle*math.Pi/180)
}
