package formula

import (
	"math"

	"larkfold/sizing/length"
)

// Name is one word a formula may use.
type Name struct {
	Name    string // "turn"
	Form    string // how it is written: "turn(k)"
	Meaning string // one line
}

// Names lists the quantities, units and functions that formulas of this use may
// name, in the order a help text shows them.
func Names(use Use) []Name {
	var list []Name
	for n := range nameTable {
		if nameTable[n].uses.has(use) {
			list = append(list, Name{nameTable[n].name, nameTable[n].name, nameTable[n].meaning})
		}
	}
	for _, f := range functionTable {
		if f.uses.has(use) {
			list = append(list, Name{f.name, f.form, f.meaning})
		}
	}
	for _, c := range constantTable {
		list = append(list, Name{c.name, c.name, c.meaning})
	}
	return list
}

// uses is a set of Use.
type uses uint8

const (
	inKnots uses = 1<<KnotRole | 1<<KnotSize
	inRules uses = 1 << Rule
)

func (u uses) has(use Use) bool { return u&(1<<use) != 0 }

// name is a quantity: its place in nameTable and in values.
type name int

const (
	nameDiameter name = iota
	nameCore
	nameCores
	nameRod
	namePitch
	nameEnds
	nameFinished
	nameDrop
	nameWidth
	nameFringe
	nameCount
	nameSoft = nameCount // no word of a formula: turn and bundle take it from the cord
)

// values holds every quantity: lengths in nanometres, counts as they are.
type values [nameCount + 1]float64

func valuesOf(q Quantities) values {
	if q.Core == 0 {
		q.Core = q.Diameter
	}
	return values{
		nameDiameter: float64(q.Diameter), nameCore: float64(q.Core), nameCores: float64(q.Cores),
		nameRod: float64(q.Rod), namePitch: float64(q.Pitch), nameEnds: float64(q.Ends),
		nameFinished: float64(q.Finished), nameDrop: float64(q.Drop), nameWidth: float64(q.Width), nameFringe: float64(q.Fringe),
		nameSoft: float64(q.Soft),
	}
}

// given tells whether a quantity has a usable value; only a fringe may be zero.
func given(n name, v *values) bool { return v[n] > 0 || n == nameFringe && v[n] == 0 }

var nameTable = [nameCount]struct {
	name, meaning string
	dim           dimension
	uses          uses
}{
	nameDiameter: {"d", "the working diameter of the cord", isLength, inKnots | inRules},
	nameCore:     {"c", "the working diameter of the cords inside the knot", isLength, inKnots},
	nameCores:    {"k", "the number of cords the knot closes round", isNumber, inKnots},
	nameRod:      {"D", "the diameter of the rod", isLength, inKnots},
	namePitch:    {"pitch", "the advance from one knot to the next", isLength, inKnots},
	nameEnds:     {"n", "the number of ends the knot takes", isNumber, inKnots},
	nameFinished: {"finished", "the finished length", isLength, inRules},
	nameDrop:     {"drop", "the finished drop", isLength, inRules},
	nameWidth:    {"width", "the finished width", isLength, inRules},
	nameFringe:   {"fringe", "the length of the fringe", isLength, inRules},
}

// constantTable holds pi and the units; values in nanometres.
var constantTable = []struct {
	name, meaning string
	dim           dimension
	value         float64
}{
	{"pi", "3.14159, the way round a circle of diameter 1", isNumber, math.Pi},
	{"mm", "a millimetre, as in 5 mm", isLength, float64(length.Millimetre)},
	{"cm", "a centimetre", isLength, float64(length.Centimetre)},
	{"m", "a metre", isLength, float64(length.Metre)},
	{"inch", "an inch, 25.4 mm, as in 3/4 inch", isLength, float64(length.Inch)},
	{"ft", "a foot, 12 inches", isLength, float64(length.Foot)},
	{"yd", "a yard, 3 feet", isLength, float64(length.Yard)},
}

// function is one function: how many arguments it takes and of what dimension,
// and the quantities it uses besides them.
type function struct {
	name, form, meaning string
	op                  op
	least, most         int
	argument            dimension // anyDimension: all alike
	result              dimension // anyDimension: that of the arguments
	needs               []name
	uses                uses
}

var functionTable = []function{
	{"turn", "turn(k)", "one close loop of the cord round k cords: pi*(d + c) + hull(k)*c, less round soft ones", opTurn, 1, 1, isNumber, isLength, []name{nameDiameter, nameCore}, inKnots},
	{"loop", "loop(D)", "one close loop of the cord round a rod: pi*(D + d)", opLoop, 1, 1, isLength, isLength, []name{nameDiameter}, inKnots},
	{"hull", "hull(k)", "the straight part of a line pulled tight round k cords, in diameters", opHull, 1, 1, isNumber, isNumber, nil, inKnots},
	{"bundle", "bundle(n)", "the diameter of n cords laid together in a tight bundle", opBundle, 1, 1, isNumber, isLength, []name{nameDiameter}, inKnots},
	{"hypot", "hypot(a, b)", "the slanting side over two lengths at a right angle", opHypot, 2, 2, isLength, isLength, nil, inKnots | inRules},
	{"min", "min(a, b)", "the smallest", opMin, 2, 8, anyDimension, anyDimension, nil, inKnots | inRules},
	{"max", "max(a, b)", "the largest", opMax, 2, 8, anyDimension, anyDimension, nil, inKnots | inRules},
	{"ceil", "ceil(x)", "a number rounded up to a whole one", opCeil, 1, 1, isNumber, isNumber, nil, inKnots | inRules},
	{"round", "round(x)", "a number rounded to the nearest whole one", opRound, 1, 1, isNumber, isNumber, nil, inKnots | inRules},
	{"sqrt", "sqrt(x)", "the square root of a number, or of a length times a length", opSqrt, 1, 1, anyDimension, anyDimension, nil, inKnots | inRules},
	{"pow", "pow(x, y)", "x to the power y, the same as x ^ y", opPower, 2, 2, anyDimension, anyDimension, nil, inKnots | inRules},
}

func findName(word string, use Use) (name, bool) {
	for n := range nameTable {
		if nameTable[n].name == word && nameTable[n].uses.has(use) {
			return name(n), true
		}
	}
	return 0, false
}

func findFunction(word string, use Use) (function, bool) {
	for _, f := range functionTable {
		if f.name == word && f.uses.has(use) {
			return f, true
		}
	}
	return function{}, false
}

func findConstant(word string) (value float64, dim dimension, ok bool) {
	for _, c := range constantTable {
		if c.name == word {
			return c.value, c.dim, true
		}
	}
	return 0, 0, false
}

func known(word string, use Use) bool {
	_, isName := findName(word, use)
	_, isFunction := findFunction(word, use)
	_, _, isConstant := findConstant(word)
	return isName || isFunction || isConstant
}

func allNames(use Use) []string {
	var list []string
	for _, n := range Names(use) {
		list = append(list, n.Name)
	}
	return list
}

func quantityNames(use Use) []string {
	var list []string
	for _, n := range nameTable {
		if n.uses.has(use) {
			list = append(list, n.name)
		}
	}
	return list
}
