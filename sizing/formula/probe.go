package formula

import (
	"math"
	"strconv"
	"strings"

	"larkfold/sizing/length"
)

// The working range of a knot: cords of 1 to 12 mm, and everything else as so
// many cord diameters or so many cords.
var (
	probeDiameters = []length.Length{length.Millimetre, 12 * length.Millimetre}
	probeCores     = []float64{1, 0.5, 2}
	probeRods      = []float64{1, 20}
	probePitches   = []float64{1, 3, 12}
	probeCounts    = []float64{1, 2, 4, 12, 60}
)

// The working range of a rule.
var (
	probeLengths = []length.Length{length.Metre, 5 * length.Centimetre, 25 * length.Centimetre, 4 * length.Metre}
	probeFringes = []length.Length{0, 10 * length.Centimetre, 50 * length.Centimetre}
)

// The greatest believable answers: no knot takes 400 diameters of one cord, and
// no rule takes a hundred times the lengths it starts from; on top of that goes what
// is written in units.
const (
	mostDiameters   = 400
	mostTimes       = 100
	mostUnitsOfKnot = length.Metre
	mostUnitsOfRule = 10 * length.Metre
)

// probe works the formula out over its working range and refuses it if any
// answer is not a length that a cord can have.
func (f *Formula) probe() *Fault {
	uses := [nameCount]bool{}
	for _, u := range f.names {
		uses[u.name] = true
		if u.name == nameRod && !uses[nameDiameter] {
			return faultAt(Implausible, f.source, u.at, "“D” is the diameter of the rod, and nothing here depends on d, that of the cord.",
				"Write d if the cord was meant; one loop round the rod is loop(D).")
		}
	}
	var v values
	var fault *Fault
	try := func() bool {
		x := f.root.eval(&v)
		if !(x > 0) || math.IsInf(x, 0) {
			fault = f.misfit(x, &v, "It must be above zero everywhere; max(a, b) can hold a part back, as in max(1, x).")
		} else if cap := f.cap(&v); x > cap {
			fault = f.misfit(x, &v, "That is more than "+strconv.Itoa(mostDiameters)+" cord diameters: see whether a bracket or a sign is missing.")
			if f.use == Rule {
				fault.Right = "That is more than " + strconv.Itoa(mostTimes) + " times the finished length: see whether a bracket or a sign is missing."
			}
		}
		return fault == nil
	}
	var sweep func(n name) bool
	sweep = func(n name) bool {
		if n == nameCount {
			return try()
		}
		for _, x := range f.candidates(n, uses[n], &v) {
			if v[n] = x; !sweep(n + 1) {
				return false
			}
		}
		return true
	}
	sweep(0)
	return fault
}

// candidates lists the values of one quantity to try, given those before it.
func (f *Formula) candidates(n name, used bool, v *values) []float64 {
	switch n {
	case nameDiameter: // always: the others are multiples of it
		if f.use == Rule && !used || f.use != Rule && !f.units {
			return []float64{4 * float64(length.Millimetre)} // in another cord only the scale would differ
		}
		return inNanometres(probeDiameters)
	case nameCore:
		if !used {
			return []float64{v[nameDiameter]}
		}
		return times(probeCores, v[nameDiameter])
	}
	if !used {
		return []float64{0}
	}
	switch n {
	case nameRod:
		return times(probeRods, v[nameDiameter])
	case namePitch:
		return times(probePitches, v[nameDiameter])
	case nameCores, nameEnds:
		return probeCounts
	case nameFringe:
		return inNanometres(probeFringes)
	}
	return inNanometres(probeLengths)
}

func inNanometres(list []length.Length) []float64 {
	out := make([]float64, len(list))
	for i, l := range list {
		out[i] = float64(l)
	}
	return out
}

func times(ratios []float64, unit float64) []float64 {
	out := make([]float64, len(ratios))
	for i, r := range ratios {
		out[i] = r * unit
	}
	return out
}

// cap is the greatest believable answer for these values.
func (f *Formula) cap(v *values) float64 {
	if f.use == Rule {
		return mostTimes*(v[nameFinished]+v[nameDrop]+v[nameWidth]+v[nameFringe]) + mostDiameters*v[nameDiameter] + float64(mostUnitsOfRule)
	}
	if f.units {
		return mostDiameters*v[nameDiameter] + float64(mostUnitsOfKnot)
	}
	return mostDiameters * v[nameDiameter]
}

func (t *term) hasUnit() bool {
	if t.op == opConstant && t.dim == isLength {
		return true
	}
	for _, inner := range t.terms {
		if inner.hasUnit() {
			return true
		}
	}
	return false
}

// misfit describes an answer that is no length of a cord, and the values at which
// it comes out; it points at the first term that has no value, or at all of it.
func (f *Formula) misfit(x float64, v *values, right string) *Fault {
	when := f.when(v)
	if !math.IsNaN(x) && !math.IsInf(x, 0) {
		return faultAt(Implausible, f.source, f.root.whole, "This comes out at "+millimetres(x)+when+".", right)
	}
	culprit := f.root.blame(v)
	return faultAt(Implausible, f.source, culprit.at, "This has no value"+when+": "+culprit.excuse(v)+".", right)
}

// when lists the values of the names that the formula uses.
func (f *Formula) when(v *values) string {
	var list []string
	for _, u := range f.names {
		n := nameTable[u.name]
		value := strconv.FormatFloat(v[u.name], 'g', 6, 64)
		if n.dim == isLength {
			value = millimetres(v[u.name])
		}
		list = append(list, n.name+" = "+value)
	}
	if len(list) == 0 {
		return ""
	}
	return " when " + strings.Join(list, ", ")
}

func millimetres(nanometres float64) string {
	return strconv.FormatFloat(nanometres/float64(length.Millimetre), 'g', 6, 64) + " mm"
}

// excuse says why a term whose own terms are finite has no finite value.
func (t *term) excuse(v *values) string {
	switch {
	case t.op == opDivide && t.terms[1].eval(v) == 0:
		return "it divides by zero"
	case t.op == opSqrt, t.op == opPower && t.terms[0].eval(v) < 0:
		return "it takes the root of a negative number"
	case t.op == opPower && t.terms[0].eval(v) == 0:
		return "it divides by zero"
	case t.op == opTurn || t.op == opHull || t.op == opBundle:
		return "it goes round fewer than one cord, or too many"
	}
	return "it is too big to count"
}

// blame finds the innermost term without a finite value.
func (t *term) blame(v *values) *term {
	for _, inner := range t.terms {
		if x := inner.eval(v); math.IsNaN(x) || math.IsInf(x, 0) {
			return inner.blame(v)
		}
	}
	return t
}
