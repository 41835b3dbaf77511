package swatch

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// Doubt is how far what a cord really takes may lie from what is expected, as
// standard deviations in shares of the latter.
type Doubt struct {
	Own    cord.Ratio // from one cord to the next
	Shared cord.Ratio // of the expectation, so alike in all cords of a piece
	N      int        // swatches that the spreads were seen in; with fewer than three they are assumed
}

// Doubt is that of a cord all of whose length is multiplied by the factor.
func (f Factor) Doubt() Doubt {
	return Doubt{Own: f.Spread / f.Mean, Shared: cord.Ratio(f.unsure()) / f.Mean, N: f.N}
}

// Part is what one family of knots takes of a cord.
type Part struct {
	Family knot.Family // empty for what runs straight, which is in no doubt
	Takes  length.Length
}

// Doubt is that of a cord of these parts, each family of them once. All families of
// one hand are taken to err together.
func (h Hands) Doubt(parts []Part) Doubt {
	whole := length.Length(0)
	for _, p := range parts {
		whole += p.Takes
	}
	d := Doubt{N: math.MaxInt}
	for _, p := range parts {
		if p.Family == "" || p.Takes <= 0 {
			continue
		}
		share, part := cord.Ratio(float64(p.Takes)/float64(whole)), h[p.Family].TakeUp.Doubt()
		d.Own += share * part.Own
		d.Shared += share * part.Shared
		d.N = min(d.N, part.N)
	}
	return d
}

// Margin is the share to add so that one such cord runs short with the chance
// given, see [Factor.Margin].
func (d Doubt) Margin(risk cord.Ratio) cord.Ratio {
	return cord.Ratio(quantile(d.N, 1-float64(risk)) * math.Hypot(float64(d.Own), float64(d.Shared)))
}

// What of the spread from one sample of a maker to the next is alike in all cords of a
// piece, as a share of its variance: the day, the cord's batch, the tape. The rest is the
// knots' own, as it is in a sample of so many knots; a longer cord evens it out. Common
// practice, no source: were it nothing, of 34 cords with 10 % to spare one would run short in
// nearly every second piece, were it all, in one of 12; half makes it one in 7.
const (
	AlikeInPiece  = 0.5
	knotsOfSample = 10
)

// InPiece is the doubt of a cord of so many knots beside other cords of one piece.
func (d Doubt) InPiece(knots int) Doubt {
	own := float64(d.Own)
	d.Shared = cord.Ratio(math.Hypot(float64(d.Shared), own*math.Sqrt(AlikeInPiece)))
	d.Own = cord.Ratio(own * math.Sqrt((1-AlikeInPiece)*knotsOfSample/float64(max(knots, knotsOfSample))))
	return d
}

// Cut is how so many alike cords of a piece are cut.
type Cut struct {
	Doubt
	Spare cord.Ratio // how much more than expected they may take before they run short
	Count int
}

// Chance returns how likely it is that at least one cord of a piece runs short. It
// is the chance that goes with a one-sided prediction interval to hold all of
// several further observations (Hahn and Meeker as in [Factor.Margin]): each cord
// errs for itself, all err together by what is not known of the hand and by what is
// alike in all cords of a piece ([Doubt.InPiece]), and with three
// swatches or more the spreads themselves are as uncertain as their number leaves
// them. Integrated by the midpoint rule, to about 0.001.
func Chance(cuts []Cut) float64 {
	const steps, widest = 80, 4.0
	n := math.MaxInt
	for _, c := range cuts {
		n = min(n, c.N)
	}
	scales := spreadScales(n)
	safe, all := 0.0, 0.0
	for i := range steps {
		z := widest * (2*(float64(i)+0.5)/steps - 1)
		weight := math.Exp(-z * z / 2)
		all += weight * float64(len(scales))
		for _, scale := range scales {
			reach := 1.0
			for _, c := range cuts {
				reach *= math.Pow(normal(float64(c.Spare)-z*scale*float64(c.Shared), scale*float64(c.Own)), float64(c.Count))
			}
			safe += weight * reach
		}
	}
	return 1 - safe/all
}

// normal is the chance that a deviation of standard deviation s stays below x.
func normal(x, s float64) float64 {
	switch {
	case s > 0:
		return math.Erfc(-x/s/math.Sqrt2) / 2
	case x < 0:
		return 0
	}
	return 1
}

// spreadScales are by how much the true spread may differ from the one seen in n
// swatches, at alike likely points.
func spreadScales(n int) []float64 {
	if n < Enough || n > 1000 {
		return []float64{1}
	}
	const points = 40
	square := distuv.ChiSquared{K: float64(n - 1)}
	scales := make([]float64, points)
	for i := range scales {
		scales[i] = math.Sqrt(float64(n-1) / square.Quantile((float64(i)+0.5)/points))
	}
	return scales
}

// quantile is the normal distribution's, or Student's when the spread was seen in n swatches.
func quantile(n int, p float64) float64 {
	if n < Enough {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile(p)
}
