package dowel

import (
	"fmt"
	"math"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Degrees is an angle measured from the horizontal.
type Degrees float64

// FlattestAngle is the flattest that the legs of a hanger should run. Riggers'
// charts end at it and lay the limit to ASME B30.9, Slings; below it a leg pulls with more
// than the whole load.
const FlattestAngle Degrees = 30

// FixingFactor is how many times the load a fixing should be rated for (common
// practice, no source).
const FixingFactor = 4

// HangerInset is how far from each end of a rod its hanger is tied (common
// practice, no source).
const HangerInset = 25 * length.Millimetre

// Hanger is a cord from one end of a rod up over a single fixing and down to the
// other, both legs alike.
type Hanger struct {
	Between length.Length // from tie point to tie point along the rod
	Load    length.Mass   // rod and work together
}

// Hung is a hanger worked out.
type Hung struct {
	Rise    length.Length // of the fixing above the rod
	Angle   Degrees       // of the legs
	Leg     length.Length // without its knot, rounded up to the nanometre
	Factor  cord.Ratio    // tension of a leg over its share of the load: 1/sin of the angle
	LegPull length.Mass   // tension in each leg, as the mass that would weigh as much
	Fixing  length.Mass   // what the fixing carries
	Rated   length.Mass   // what the fixing should be rated for at least

	TooFlat   bool          // the angle is under FlattestAngle
	LeastRise length.Length // the rise at FlattestAngle
}

// ForRise works the hanger out for a fixing so far above the rod.
func (h Hanger) ForRise(rise length.Length) (Hung, error) {
	if err := h.check(); err != nil {
		return Hung{}, err
	}
	if rise <= 0 || rise > 10*longestRod {
		return Hung{}, fmt.Errorf("hanger rise %v: it must be more than zero and at most %v", rise, 10*longestRod)
	}
	return h.hung(metres(rise))
}

// ForAngle works the hanger out for legs at this angle from the horizontal.
func (h Hanger) ForAngle(angle Degrees) (Hung, error) {
	if err := h.check(); err != nil {
		return Hung{}, err
	}
	if !(angle > 0 && angle <= 89) {
		return Hung{}, fmt.Errorf("hanger angle %v degrees: it must be more than 0 and at most 89, measured from the rod; 45 to 60 is usual", float64(angle))
	}
	return h.hung(metres(h.Between) / 2 * math.Tan(float64(angle)*math.Pi/180))
}

func (h Hanger) check() error {
	if h.Between <= 0 || h.Between > longestRod {
		return fmt.Errorf("hanger tied %v apart: it must be more than zero and at most %v", h.Between, longestRod)
	}
	if h.Load < 0 || h.Load > heaviestLoad {
		return fmt.Errorf("load of %v: it must be from zero to %v", h.Load, heaviestLoad)
	}
	return nil
}

func (h Hanger) hung(rise float64) (Hung, error) {
	half := metres(h.Between) / 2
	leg := math.Hypot(half, rise)
	factor := leg / rise
	angle := Degrees(math.Atan2(rise, half) * 180 / math.Pi)
	legPull := float64(h.Load) / 2 * factor
	if legPull > 1000*float64(heaviestLoad) {
		return Hung{}, fmt.Errorf("the hanger is all but flat (%.2f degrees): it would pull without bound; raise the fixing", float64(angle))
	}
	up := func(m float64) length.Length { return length.Length(math.Ceil(m * float64(length.Metre))) }
	return Hung{
		Rise:      fromMetres(rise),
		Angle:     angle,
		Leg:       up(leg),
		Factor:    cord.Ratio(factor),
		LegPull:   length.Mass(math.Ceil(legPull)),
		Fixing:    h.Load,
		Rated:     FixingFactor * h.Load,
		TooFlat:   angle < FlattestAngle-1e-9,
		LeastRise: up(half * math.Tan(float64(FlattestAngle)*math.Pi/180)),
	}, nil
}
