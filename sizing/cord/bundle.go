package cord

import (
	"math"

	"larkfold/sizing/length"
)

// Hull returns the length of the fold line round k cores in their most compact
// bundle, measured through the outer centres in diameters:
// ceil(sqrt(12k-3)) - 3, the boundary of the penny packing with the most contacts
// (H. Harborth, Lösung zu Problem 664A, Elemente der Mathematik 29, 1974, contact
// number 3k - ceil(sqrt(12k-3))). It is 0 for one core or none and 2 for two.
func Hull(k int) int {
	if k < 1 {
		return 0
	}
	const most = 1 << 26 // more cores than there is cord; square roots are exact enough to count with
	root := int(math.Ceil(math.Sqrt(float64(12*min(k, most) - 3))))
	return root - 3
}

// Girth returns the way round a bundle of k cores, in their diameters: pi and the
// fold line, pi + hull, of firm cores; of soft ones, which fill the voids between
// them, that of a circle of their area, pi sqrt(k). What is softer lies that much nearer
// to it. With pi diameters of the cord itself it makes a close loop: (2 pi + hull) d to
// pi (1 + sqrt k) d round cores as thick as the cord.
func Girth(k int, soft Ratio) Ratio {
	firm := math.Pi + float64(Hull(k))
	return Ratio(firm + float64(soft)*(math.Pi*math.Sqrt(float64(k))-firm))
}

// BundleDiameter returns the diameter of the round bundle that n ends of working
// diameter d make when gathered: d times [BundleRatio]; zero for no ends.
func BundleDiameter(n int, d length.Length, soft Ratio) length.Length {
	return scaled(d, float64(BundleRatio(n, soft)))
}

// BundleRatio returns how many diameters wide a bundle of n ends is: the packing of
// circles for firm ends, the circle of their area for soft ones.
func BundleRatio(n int, soft Ratio) Ratio {
	firm := PackingRatio(n)
	return firm + soft*(Ratio(math.Sqrt(float64(max(n, 0))))-firm)
}

// PackingRatio returns how many diameters wide the smallest known circle round n
// equal circles is: from the table to 61, an estimate beyond that never falls
// and is never below what any packing needs. It is zero for n < 1.
func PackingRatio(n int) Ratio {
	switch {
	case n < 1:
		return 0
	case n <= len(packings):
		return Ratio(packings[n-1])
	}
	return Ratio(looseness * leastRatio(n))
}

// looseness is how much wider the best known packings are than leastRatio says:
// the mean of the rows for 50 to 61 circles, rounded (derived here).
const looseness = 1.05

// leastRatio is a proved lower bound of the packing ratio: n points one apart in
// a convex figure of area A and perimeter P need 2A/sqrt(3) + P/2 + 1 >= n (N. Oler,
// An inequality in the geometry of numbers, Acta Mathematica 105, 1961, from
// memory), solved for the circle through the outermost centres.
func leastRatio(n int) float64 {
	a := 2 * math.Pi / math.Sqrt(3)
	return 1 + (math.Sqrt(math.Pi*math.Pi+4*a*float64(n-1))-math.Pi)/a
}

// packings are the radius ratios of the best known packings of 1 to 61 equal
// circles in a circle: E. Specht's compilation, table of 20 February 2014; compare
// R. L. Graham, B. D. Lubachevsky, K. J. Nurmela and P. R. J. Östergård, Dense
// packings of congruent circles in a circle, Discrete Mathematics 181 (1998).
var packings = [...]float64{
	1.000000000000000, 2.000000000000000, 2.154700538379252, 2.414213562373095, 2.701301616704080,
	3.000000000000000, 3.000000000000000, 3.304764870962487, 3.613125929752753, 3.813025631398124,
	3.923804400163087, 4.029601930116183, 4.236067977499790, 4.328428554860837, 4.521356964706164,
	4.615425594873194, 4.792033748310579, 4.863703305156273, 4.863703305156273, 5.122320736991528,
	5.252317475010242, 5.439718959072213, 5.545204222574858, 5.651661091765437, 5.752824330857115,
	5.828176536942949, 5.906397847394155, 6.014938097371512, 6.138597903978146, 6.197741070879226,
	6.291502622129181, 6.429462970950114, 6.486703123560433, 6.610957090001003, 6.697171091790244,
	6.746753793424175, 6.758770483143634, 6.961886965228149, 7.057884162624004, 7.123846435943125,
	7.260012328677046, 7.346796406942769, 7.419944856341211, 7.498036682995248, 7.572912326367522,
	7.650179914693668, 7.724170052598019, 7.791271430558668, 7.886870958802865, 7.947515274783511,
	8.027506952419189, 8.084717190689883, 8.179582826841068, 8.203982383469337, 8.211102550927979,
	8.383529922578957, 8.447184653410428, 8.524553770139607, 8.592499959370072, 8.646219845457919,
	8.661297575540389,
}
