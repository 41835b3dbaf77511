package swatch

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"larkfold/sizing/cord"
)

// Measure is what of a swatch was measured.
type Measure int

// The measures.
const (
	TakeUp Measure = iota
	Height
)

// Outlier is a swatch that lies oddly far from the others.
type Outlier struct {
	Swatch int // its place in the list
	Of     Measure
	Ratio  cord.Ratio // measured over book
	Score  float64    // distance from the mean in standard deviations
	Limit  float64    // the score that one sample in twenty would pass by chance
}

// oddChance is the chance that an even-handed set of swatches has an outlier
// all the same.
const oddChance = 0.05

// outlier finds the value farthest from the mean if Grubbs' test (two-sided, at
// oddChance) rejects it: F. E. Grubbs, Procedures for detecting outlying observations
// in samples, Technometrics 11, 1969; ASTM E178. Differences within three LeastSpread are
// left alone, since rounding on the tape can make them.
func outlier(ratios []float64) (Outlier, bool) {
	n := len(ratios)
	if n < Enough {
		return Outlier{}, false
	}
	mean, spread := stat.MeanStdDev(ratios, nil)
	farthest := 0
	for i, r := range ratios {
		if math.Abs(r-mean) > math.Abs(ratios[farthest]-mean) {
			farthest = i
		}
	}
	away := math.Abs(ratios[farthest] - mean)
	if away <= 3*float64(LeastSpread) {
		return Outlier{}, false
	}
	o := Outlier{Swatch: farthest, Ratio: cord.Ratio(ratios[farthest]), Score: away / spread, Limit: grubbs(n, oddChance/2)}
	return o, o.Score > o.Limit
}

// grubbs is the critical value of Grubbs' one-sided test of n observations.
func grubbs(n int, chance float64) float64 {
	t := distuv.StudentsT{Sigma: 1, Nu: float64(n - 2)}.Quantile(1 - chance/float64(n))
	return float64(n-1) / math.Sqrt(float64(n)) * math.Sqrt(t*t/(float64(n-2)+t*t))
}
