package swatch

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"larkfold/sizing/cord"
)

// The spreads that stand in where swatches are too few to show one (common
// practice, no source). With none, at one chance in twenty of running short, the
// margin is the usual 10 %; the first swatch brings it to 9.3 %, the second to 8.1 %.
const (
	SpreadOfHands cord.Ratio = 0.06 // from one maker to the next, when there is no swatch
	DefaultSpread cord.Ratio = 0.04 // from one sample of a maker to the next, when there are one or two
)

// LeastSpread is what a tape measure alone leaves uncertain, 5 mm in half a metre;
// swatches that agree better than that are not believed to (common practice, no source).
const LeastSpread cord.Ratio = 0.01

// enough is how many swatches have a spread worth using.
const enough = 3

// Hand is how one maker ties one cord, against the book.
type Hand struct {
	TakeUp   Factor
	Height   Factor
	Outliers []Outlier // among the swatches it was made from; none was dropped
}

// Factor is measured over book, over several swatches.
type Factor struct {
	Mean   cord.Ratio // multiply the book by it; 1 when there is no swatch
	Spread cord.Ratio // standard deviation of one swatch
	N      int        // how many swatches
	// Assumed is set when there are fewer than three swatches and so Spread is
	// SpreadOfHands or DefaultSpread.
	Assumed bool
}

// HandOf gathers the swatches of one cord, of any knots. No swatch at all gives
// the book's own hand. The error is an *Error.
func HandOf(swatches []Swatch) (Hand, error) {
	var takeUps, heights []float64
	var measured []int // which swatches the heights are of
	for i, s := range swatches {
		if !sameCord(s.Cord, swatches[0].Cord) {
			return Hand{}, &Error{"cord", s.Cord, fmt.Sprintf("the first swatch is of “%s”", swatches[0].Cord), "gather the swatches of each cord by themselves"}
		}
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
	n := len(ratios)
	if n == 0 {
		return Factor{Mean: 1, Spread: SpreadOfHands, Assumed: true}
	}
	mean := cord.Ratio(stat.Mean(ratios, nil))
	if n < enough {
		return Factor{Mean: mean, Spread: DefaultSpread, N: n, Assumed: true}
	}
	return Factor{Mean: mean, Spread: cord.Ratio(stat.StdDev(ratios, nil)), N: n}
}

// The risks that can be asked for.
const (
	LeastRisk cord.Ratio = 0.001
	MostRisk  cord.Ratio = 0.5
)

// Margin returns the share of cord to add to a need that has been multiplied by
// Mean, so that the next piece runs short with a chance of risk: the one-sided
// prediction interval of one more observation, t(1-risk, n-1) s sqrt(1 + 1/n) (G. J.
// Hahn and W. Q. Meeker, Statistical Intervals, 1991, section 4.2, from memory). With
// an assumed spread the normal distribution takes the place of Student's. For m cords of
// which none may run short, ask for risk/m. The error is a *RiskError.
func (f Factor) Margin(risk cord.Ratio) (cord.Ratio, error) {
	if !(risk >= LeastRisk && risk <= MostRisk) {
		return 0, &RiskError{risk}
	}
	return cord.Ratio(f.quantile(1-float64(risk)) * f.of(f.believed(), 1) / float64(f.Mean)), nil
}

// Interval returns the range that holds the hand's true mean, but for a chance
// of risk shared between both sides. The error is a *RiskError.
func (f Factor) Interval(risk cord.Ratio) (low, high cord.Ratio, err error) {
	if !(risk >= LeastRisk && risk <= MostRisk) {
		return 0, 0, &RiskError{risk}
	}
	if f.N == 0 {
		return f.Mean, f.Mean, nil
	}
	half := cord.Ratio(f.quantile(1-float64(risk)/2) * f.of(f.believed(), 0))
	return f.Mean - half, f.Mean + half, nil
}

// of scales a spread to that of the mean, plus so many further observations.
func (f Factor) of(spread, more float64) float64 {
	if f.N == 0 {
		return spread
	}
	return spread * math.Sqrt(more+1/float64(f.N))
}

func (f Factor) believed() float64 { return float64(max(f.Spread, LeastSpread)) }

func (f Factor) quantile(p float64) float64 {
	if f.Assumed {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Sigma: 1, Nu: float64(f.N - 1)}.Quantile(p)
}

// RiskError is a chance of running short that makes no sense or promises too much.
type RiskError struct{ Risk cord.Ratio }

// Error is one sentence.
func (e *RiskError) Error() string {
	return fmt.Sprintf("cannot plan for a chance of %.4g %% of running short: give one from %.4g %% to %.4g %%", 100*float64(e.Risk), 100*float64(LeastRisk), 100*float64(MostRisk))
}
