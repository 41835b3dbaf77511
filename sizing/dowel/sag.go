package dowel

import (
	"fmt"
	"math"
	"slices"

	"larkfold/sizing/length"
)

// Rod is a straight round solid rod.
type Rod struct {
	Length    length.Length
	Thickness length.Length
	Wood      Wood
}

// Load is something that hangs on a rod: at one place when From equals To,
// otherwise spread evenly between them.
type Load struct {
	Mass     length.Mass
	From, To length.Length
}

// Hangers are the two places, from the left end, where a rod hangs.
type Hangers struct{ Left, Right length.Length }

// Sag is how a rod bends. Lengths are positive downwards.
type Sag struct {
	Worst            length.Length // the largest, up or down
	AfterYears       length.Length // the worst once the wood has crept
	StraightForYears bool          // even then it looks straight
}

const (
	// standardGravity in m/s², by definition (3rd CGPM, 1901).
	standardGravity = 9.80665

	// creep is how many times the first sag a loaded beam shows after years: "may
	// approximately equal" the elastic part, on top of it (Wood Handbook,
	// FPL-GTR-282, 2021, p. 5-39).
	creep = 2

	// straightShare of the span is what still looks straight (common practice, no source).
	straightShare = 200

	// evenOverhang is the overhang, as a share of the length, at which an evenly
	// loaded rod sags as far at its ends as in the middle: the root of
	// l²(5l²-24a²)/16 = a(3a²(a+2l)-l³) with l = 1-2a. derived here
	evenOverhang = 0.223149
)

// EvenHangers is where to hang an evenly loaded rod so that its ends sag as far
// as its middle: 0.2231 of the length from each end.
func EvenHangers(rod length.Length) Hangers {
	a := length.Length(evenOverhang * float64(rod))
	return Hangers{a, rod - a}
}

// TieHangers is where a hanger is tied round a rod of this length: HangerInset
// from each end, or at the very ends of a rod that has no room for that.
func TieHangers(rod length.Length) Hangers {
	if rod <= 2*HangerInset {
		return Hangers{0, rod}
	}
	return Hangers{HangerInset, rod - HangerInset}
}

// Mass returns the mass of the rod at 12 % moisture: 1120 kg/m³ times its
// specific gravity (Wood Handbook, Eq. 4-9, from memory).
func (r Rod) Mass() length.Mass {
	t := metres(r.Thickness)
	kilograms := 1120 * float64(r.Wood.Gravity) * math.Pi * t * t / 4 * metres(r.Length)
	return length.Mass(math.Round(kilograms * float64(length.Kilogram)))
}

// Sag computes the sag of the rod under its own weight and the loads, by the
// beam equation with small deflections and the table's stiffness. It fails when
// the rod would tip off a hanger or bend by more than a tenth of its length.
func (r Rod) Sag(h Hangers, loads []Load) (Sag, error) {
	if err := r.check(); err != nil {
		return Sag{}, err
	}
	if h.Left < 0 || h.Right > r.Length || h.Right-h.Left < r.Length/20 {
		return Sag{}, fmt.Errorf("hangers at %v and %v: they must stand on the rod, which is %v long, the left one first and at least %v apart",
			h.Left, h.Right, r.Length, r.Length/20)
	}
	for _, load := range loads {
		if load.Mass < 0 || load.Mass > heaviestLoad {
			return Sag{}, fmt.Errorf("load of %v: it must be from zero to %v", load.Mass, heaviestLoad)
		}
		if load.From < 0 || load.To > r.Length || load.From > load.To {
			return Sag{}, fmt.Errorf("load from %v to %v: it must lie on the rod, which is %v long", load.From, load.To, r.Length)
		}
	}
	bent := r.bend(h, loads)
	if slack := -1e-9; bent.left < slack || bent.right < slack {
		return Sag{}, fmt.Errorf("the rod tips: too much hangs outside the hangers at %v and %v", h.Left, h.Right)
	}

	worst := bent.worst()
	if math.Abs(worst) > metres(r.Length)/10 {
		return Sag{}, fmt.Errorf("a %v rod that is %v long bends by more than a tenth of its length: take a thicker one", r.Thickness, r.Length)
	}
	years := creep * worst
	return Sag{
		Worst:            fromMetres(worst),
		AfterYears:       fromMetres(years),
		StraightForYears: math.Abs(years) <= metres(r.straight(h)),
	}, nil
}

// straight is how far the rod may sag and still look straight: by its share of the
// span, or of twice an overhang that is longer.
func (r Rod) straight(h Hangers) length.Length {
	return max(h.Right-h.Left, 2*h.Left, 2*(r.Length-h.Right)) / straightShare
}

// StraightThickness is the least thickness, in whole millimetres and not less
// than the rod's own, at which the rod looks straight for years under these
// loads. It fails as [Rod.Sag] does, and when not even 200 mm would do.
func (r Rod) StraightThickness(h Hangers, loads []Load) (length.Length, error) {
	if err := r.check(); err != nil {
		return 0, err
	}
	mm := (r.Thickness + length.Millimetre - 1) / length.Millimetre
	var last error
	for t := mm * length.Millimetre; t <= thickestRod && t < r.Length; t += length.Millimetre {
		r.Thickness = t
		sag, err := r.Sag(h, loads)
		if err == nil && sag.StraightForYears {
			return t, nil
		}
		last = err
	}
	if last != nil {
		return 0, last
	}
	return 0, fmt.Errorf("no rod up to %v thick would stay straight under this load", thickestRod)
}

const heaviestLoad = 100 * length.Kilogram

func (r Rod) check() error {
	if err := checkRodLength(r.Length); err != nil {
		return err
	}
	if r.Thickness < thinnestRod || r.Thickness > thickestRod || r.Thickness >= r.Length {
		return fmt.Errorf("rod thickness %v: it must be from %v to %v and less than the rod's length of %v",
			r.Thickness, thinnestRod, thickestRod, r.Length)
	}
	if !(r.Wood.Stiffness > 0) || !(r.Wood.Gravity > 0) {
		return fmt.Errorf("wood %q has no stiffness or no weight: take one from the table", r.Wood.Name)
	}
	return nil
}

// bending is the bent line of a rod on two hangers, in metres and newtons.
type bending struct {
	forces          []force // downwards; the two hangers pull upwards
	left, right     float64 // pull of the hangers, upwards
	stiffness       float64 // EI
	offset, slope   float64 // integration constants, times EI
	length          float64
	atLeft, atRight float64
}

type force struct{ newtons, from, to float64 }

// bend solves the beam equation for the rod's own weight and the loads, by Macaulay's
// brackets: the deflection times EI is the sum, over every force F at p, of F<x-p>³/6,
// upward forces counted negative, with two constants that make it zero at the hangers.
func (r Rod) bend(h Hangers, loads []Load) bending {
	t := metres(r.Thickness)
	b := bending{
		stiffness: float64(r.Wood.Stiffness) * 1e6 * math.Pi * math.Pow(t, 4) / 64,
		length:    metres(r.Length),
		atLeft:    metres(h.Left),
		atRight:   metres(h.Right),
	}
	total, moment := 0.0, 0.0
	for _, load := range append([]Load{{r.Mass(), 0, r.Length}}, loads...) {
		f := force{float64(load.Mass) / float64(length.Kilogram) * standardGravity, metres(load.From), metres(load.To)}
		b.forces = append(b.forces, f)
		total += f.newtons
		moment += f.newtons * ((f.from+f.to)/2 - b.atLeft)
	}
	span := b.atRight - b.atLeft
	b.right = moment / span
	b.left = total - b.right

	y1, y2 := b.particular(b.atLeft), b.particular(b.atRight)
	b.slope = -(y2 - y1) / span
	b.offset = -y1 - b.slope*b.atLeft
	return b
}

// particular is the deflection times EI without its two constants.
func (b bending) particular(x float64) float64 {
	sum := -b.left*cube(max(x-b.atLeft, 0))/6 - b.right*cube(max(x-b.atRight, 0))/6
	for _, f := range b.forces {
		from, to := x-f.from, x-f.to
		if to >= 0 {
			// the difference of the fourth powers by the width, which may be nothing
			sum += f.newtons * (from + to) * (from*from + to*to) / 24
		} else if from > 0 {
			sum += f.newtons / (from - to) * from * cube(from) / 24
		}
	}
	return sum
}

// down is the deflection at x, positive downwards.
func (b bending) down(x float64) float64 {
	return (b.particular(x) + b.slope*x + b.offset) / b.stiffness
}

// worst is the deflection that is largest, up or down.
func (b bending) worst() float64 {
	const steps = 400
	places := []float64{b.atLeft, b.atRight}
	for i := range steps + 1 {
		places = append(places, b.length*float64(i)/steps)
	}
	slices.Sort(places)
	best := 0
	for i, x := range places {
		if math.Abs(b.down(x)) > math.Abs(b.down(places[best])) {
			best = i
		}
	}
	low, high := places[max(best-1, 0)], places[min(best+1, len(places)-1)]
	for range 40 {
		third := (high - low) / 3
		if math.Abs(b.down(low+third)) < math.Abs(b.down(high-third)) {
			low += third
		} else {
			high -= third
		}
	}
	return b.down((low + high) / 2)
}

func cube(x float64) float64 { return x * x * x }

func metres(l length.Length) float64 { return float64(l) / float64(length.Metre) }

func fromMetres(m float64) length.Length {
	return length.Length(math.Round(m * float64(length.Metre)))
}
