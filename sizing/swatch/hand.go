package swatch

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// The spreads that are assumed where swatches are too few to show one, as standard
// deviations (common practice, no source).
const (
	DefaultSpread    cord.Ratio = 0.04 // from one sample or cord of a maker to the next
	SpreadOfHands    cord.Ratio = 0.06 // from one maker to the next
	SpreadOfFamilies cord.Ratio = 0.04 // from a hand's factor in one family of knots to that in the next
)

// LeastSpread is what a tape measure alone leaves uncertain, 5 mm in half a metre;
// swatches that agree better than that are not believed to (common practice, no source).
const LeastSpread cord.Ratio = 0.01

// Enough is how many swatches have a spread of their own.
const Enough = 3

// Hand is how one maker ties one family of knots in one cord, against the book.
type Hand struct {
	TakeUp   Factor
	Height   Factor
	From     knot.Family // whose samples it is made of: another's when it has none, empty for the book's own hand
	Outliers []Outlier   // among the swatches it was made from; none was dropped
}

// Hands is one maker's hand in one cord, in every family.
type Hands map[knot.Family]Hand

// Factor is measured over book, over several swatches.
type Factor struct {
	Mean   cord.Ratio // multiply the book by it; 1 when there is no swatch
	Spread cord.Ratio // standard deviation from one sample, or cord, to the next
	Apart  cord.Ratio // standard deviation of what the swatches say nothing of: other makers, other families
	N      int        // how many swatches
	// Assumed is set with fewer than three swatches: Spread then is the larger of
	// DefaultSpread and what two of them differ by.
	Assumed bool
}

// BookHands is the hand of a maker who has tied no swatch.
func BookHands() Hands {
	h := Hands{}
	for _, f := range knot.Families() {
		h[f] = Hand{TakeUp: factorOf(nil), Height: factorOf(nil)}
	}
	return h
}

// HandsOf gathers the swatches of one cord by families. A family without one
// borrows the likest's, and is less sure for it; no swatch at all gives the book's
// own hand. Places in Outliers are those in the list. The error is an *Error.
func HandsOf(swatches []Swatch) (Hands, error) {
	hands := BookHands()
	own := map[knot.Family]bool{}
	for _, f := range knot.Families() {
		var of []Swatch
		var at []int
		for i, s := range swatches {
			if s.Family == f {
				of, at = append(of, s), append(at, i)
			}
		}
		if len(of) == 0 {
			continue
		}
		h, err := handOf(of)
		if err != nil {
			return nil, err
		}
		for i := range h.Outliers {
			h.Outliers[i].Swatch = at[h.Outliers[i].Swatch]
		}
		h.From = f
		hands[f], own[f] = h, true
	}
	for _, s := range swatches {
		if !sameCord(s.Cord, swatches[0].Cord) {
			return nil, &Error{"cord", s.Cord, fmt.Sprintf("the first swatch is of “%s”", swatches[0].Cord), "gather the swatches of each cord by themselves"}
		}
		if !own[s.Family] {
			return nil, &Error{"family of knots", string(s.Family), "there is no such family", "take the family from the knot book"}
		}
	}
	for _, f := range knot.Families() {
		for _, near := range f.Nearest() {
			if !own[f] && own[near] {
				hands[f] = hands[near].borrowed()
				break
			}
		}
	}
	return hands, nil
}

// Tied is the size of a knot, which the book has in a cord, as this hand ties it there:
// what works goes by its take-up, what only runs through by its height; a mount is as high
// as its rod makes it, and tails are as long as they are left. A hand that says nothing of
// one leaves the book's.
func (h Hand) Tied(k *knot.Knot, s knot.Size) knot.Size {
	by := func(f Factor, l length.Length) length.Length {
		if f.Mean <= 0 {
			return l
		}
		return length.Length(math.RoundToEven(float64(l) * float64(f.Mean)))
	}
	if k.Kin() == knot.Mounts {
		h.Height = Factor{}
	}
	s.Takes = slices.Clone(s.Takes)
	for i, role := range k.Roles {
		switch {
		case role.Once:
		case role.Works:
			s.Takes[i] = by(h.TakeUp, s.Takes[i])
		default:
			s.Takes[i] = by(h.Height, s.Takes[i])
		}
	}
	s.Height = by(h.Height, s.Height)
	return s
}

// borrowed is a hand as far as it says something of another family.
func (h Hand) borrowed() Hand {
	h.TakeUp.Apart, h.Height.Apart = SpreadOfFamilies, SpreadOfFamilies
	if h.Height.N == 0 {
		h.Height.Apart = SpreadOfHands
	}
	h.Outliers = nil
	return h
}

// handOf gathers the swatches of one cord and family.
func handOf(swatches []Swatch) (Hand, error) {
	var takeUps, heights []float64
	var measured []int // which swatches the heights are of
	for i, s := range swatches {
		r, err := s.Ratios()
		if err != nil {
			return Hand{}, err
		}
		takeUps = append(takeUps, float64(r.TakeUp))
		if r.Height > 0 {
			heights = append(heights, float64(r.Height))
			measured = append(measured, i)
		}
	}
	h := Hand{TakeUp: factorOf(takeUps), Height: factorOf(heights)}
	if o, found := outlier(takeUps); found {
		o.Of = TakeUp
		h.Outliers = append(h.Outliers, o)
	}
	if o, found := outlier(heights); found {
		o.Of, o.Swatch = Height, measured[o.Swatch]
		h.Outliers = append(h.Outliers, o)
	}
	return h, nil
}

func factorOf(ratios []float64) Factor {
	f := Factor{Mean: 1, Spread: DefaultSpread, N: len(ratios), Assumed: len(ratios) < Enough}
	if f.N == 0 {
		f.Apart = SpreadOfHands
		return f
	}
	f.Mean = cord.Ratio(stat.Mean(ratios, nil))
	seen := cord.Ratio(0)
	if f.N > 1 {
		seen = cord.Ratio(stat.StdDev(ratios, nil))
	}
	if !f.Assumed {
		f.Spread = max(seen, LeastSpread)
		return f
	}
	f.Spread = max(seen, DefaultSpread)
	return f
}

// Disagree tells whether the swatches differ so much that they may be of two cords,
// or one of them was measured wrongly: by twice the usual spread and more.
func (f Factor) Disagree() bool { return f.N > 1 && f.Spread > 2*DefaultSpread }

// The risks that can be asked for, and the one that is taken when nobody says.
const (
	LeastRisk   cord.Ratio = 0.001
	MostRisk    cord.Ratio = 0.5
	DefaultRisk cord.Ratio = 0.05
)

// Margin returns the share of cord to add to a need that has been multiplied by
// Mean, so that the next cord runs short with a chance of risk: the one-sided
// prediction interval of one more observation, t(1-risk, n-1) s sqrt(1 + 1/n) (G. J.
// Hahn and W. Q. Meeker, Statistical Intervals, 1991, the chapter on intervals for a
// normal population; locator from memory, not checked). With an assumed spread the
// normal distribution takes the place of Student's. For several cords of which none
// may run short see [Chance]. The error is a *RiskError.
func (f Factor) Margin(risk cord.Ratio) (cord.Ratio, error) {
	if !(risk >= LeastRisk && risk <= MostRisk) {
		return 0, &RiskError{risk}
	}
	return f.Doubt().Margin(risk), nil
}

// Interval returns the range that holds the hand's true mean, but for a chance
// of risk shared between both sides. The error is a *RiskError.
func (f Factor) Interval(risk cord.Ratio) (low, high cord.Ratio, err error) {
	if !(risk >= LeastRisk && risk <= MostRisk) {
		return 0, 0, &RiskError{risk}
	}
	half := cord.Ratio(quantile(f.N, 1-float64(risk)/2) * f.unsure())
	return f.Mean - half, f.Mean + half, nil
}

// unsure is the standard deviation of the mean itself.
func (f Factor) unsure() float64 {
	if f.N == 0 {
		return float64(f.Apart)
	}
	return math.Hypot(float64(f.Spread)/math.Sqrt(float64(f.N)), float64(f.Apart))
}

// RiskError is a chance of running short that makes no sense or promises too much.
type RiskError struct{ Risk cord.Ratio }

// Error is one sentence.
func (e *RiskError) Error() string {
	return fmt.Sprintf("cannot plan for a chance of %.4g %% of running short: give one from %.4g %% to %.4g %%", 100*float64(e.Risk), 100*float64(LeastRisk), 100*float64(MostRisk))
}
