package formula

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/parser"

	"larkfold/sizing/cord"
)

// most is the greatest number of terms, so that checking one formula stays quick.
const most = 80

// dimension is the power of a length: 0 for a number, 1 for a length, 2 for a
// length times a length, which is allowed on the way to a root.
type dimension int8

const (
	anyDimension dimension = iota - 1 // zero, which is as good a length as a number
	isNumber
	isLength
	isArea
)

func (d dimension) String() string {
	switch d {
	case isNumber:
		return "a bare number"
	case isLength:
		return "a length"
	case isArea:
		return "a length times a length"
	}
	return "zero"
}

type op uint8

const (
	opConstant op = iota
	opName
	opNegate
	opAdd
	opSubtract
	opMultiply
	opDivide
	opPower
	opTurn
	opLoop
	opHull
	opBundle
	opHypot
	opMin
	opMax
	opCeil
	opRound
	opSqrt
)

// term is one operation on the values of the terms below it.
type term struct {
	op    op
	value float64 // of opConstant
	name  name    // of opName
	needs []name
	terms []*term
	dim   dimension
	at    span // the word, number or sign
	whole span // with all the terms below
}

func (t *term) eval(v *values) float64 {
	switch t.op {
	case opConstant:
		return t.value
	case opName:
		return v[t.name]
	}
	a := t.terms[0].eval(v)
	switch t.op {
	case opNegate:
		return -a
	case opTurn:
		return math.Pi*v[nameDiameter] + girth(a, v[nameSoft])*v[nameCore]
	case opLoop:
		return math.Pi * (a + v[nameDiameter])
	case opHull:
		return hull(a)
	case opBundle:
		return bundle(a, v[nameSoft]) * v[nameDiameter]
	case opCeil:
		return math.Ceil(a)
	case opRound:
		return math.Round(a)
	case opSqrt:
		return math.Sqrt(a)
	}
	for _, next := range t.terms[1:] {
		b := next.eval(v)
		switch t.op {
		case opAdd:
			a += b
		case opSubtract:
			a -= b
		case opMultiply:
			a *= b
		case opDivide:
			a /= b
		case opPower:
			a = math.Pow(a, b)
		case opHypot:
			a = math.Hypot(a, b)
		case opMin:
			a = math.Min(a, b)
		case opMax:
			a = math.Max(a, b)
		}
	}
	return a
}

// hull is the straight part of a line pulled tight round k equal cords, in their
// diameters.
func hull(k float64) float64 {
	if !countable(k) {
		return math.NaN()
	}
	return float64(cord.Hull(int(math.Ceil(k))))
}

// girth is the way round a bundle of k cords as soft as that, in their diameters.
func girth(k, soft float64) float64 {
	if !countable(k) {
		return math.NaN()
	}
	return float64(cord.Girth(int(math.Ceil(k)), cord.Ratio(soft)))
}

// bundle is the diameter of a tight bundle of n equal cords as soft as that, in
// their diameters.
func bundle(n, soft float64) float64 {
	if !countable(n) {
		return math.NaN()
	}
	return float64(cord.BundleRatio(int(math.Ceil(n)), cord.Ratio(soft)))
}

// countable tells whether x, rounded up, is a number of cords.
func countable(x float64) bool { return x > 0 && x <= largestNumber }

// build parses the tokens and turns the syntax tree, of which it accepts only
// sums, names and the calls in functionTable, into terms with dimensions.
func build(source string, tokens []token, use Use) (*term, *Fault) {
	b := builder{source: source, tokens: tokens, use: use}
	var text strings.Builder
	column := 0
	for _, t := range tokens {
		b.starts = append(b.starts, column)
		text.WriteString(t.text + " ")
		column += len(t.text) + 1
	}
	tree, err := parser.Parse(text.String())
	if err != nil {
		return nil, faultAt(Syntax, source, span{0, len([]rune(source))}, "This cannot be read as a sum.", "Check the brackets and signs.")
	}
	root, fault := b.term(tree.Node)
	if fault != nil {
		return nil, fault
	}
	if root.dim != isLength {
		return nil, b.notALength(root)
	}
	return root, nil
}

type builder struct {
	source string
	tokens []token
	starts []int // where each token begins in the text given to the parser
	use    Use
	count  int
}

// place finds the token that a node of the syntax tree came from.
func (b *builder) place(n ast.Node) span {
	i := sort.SearchInts(b.starts, n.Location().From+1) - 1
	return b.tokens[max(i, 0)].at
}

func (b *builder) fault(kind Kind, at span, wrong, right string) (*term, *Fault) {
	return nil, faultAt(kind, b.source, at, wrong, right)
}

func (b *builder) term(node ast.Node) (*term, *Fault) {
	if b.count++; b.count > most {
		return b.fault(TooLong, b.place(node), fmt.Sprintf("The formula has more than %d parts.", most), "Shorten it.")
	}
	switch n := node.(type) {
	case *ast.IntegerNode:
		return b.constant(float64(n.Value), isNumber, n), nil
	case *ast.FloatNode:
		return b.constant(n.Value, isNumber, n), nil
	case *ast.IdentifierNode:
		if value, dim, ok := findConstant(n.Value); ok {
			return b.constant(value, dim, n), nil
		}
		if found, ok := findName(n.Value, b.use); ok {
			at := b.place(n)
			return &term{op: opName, name: found, needs: []name{found}, dim: nameTable[found].dim, at: at, whole: at}, nil
		}
	case *ast.UnaryNode:
		return b.unary(n)
	case *ast.BinaryNode:
		return b.binary(n)
	case *ast.CallNode:
		if callee, ok := n.Callee.(*ast.IdentifierNode); ok {
			return b.call(n, callee.Value, n.Arguments)
		}
	case *ast.BuiltinNode: // the parser has functions of its own called min, max, ceil and round
		return b.call(n, n.Name, n.Arguments)
	}
	return b.fault(Syntax, b.place(node), "This does not belong in a formula.", "Use numbers, names, units, brackets and + - * / ^ only.")
}

func (b *builder) constant(value float64, dim dimension, n ast.Node) *term {
	if value == 0 {
		dim = anyDimension
	}
	at := b.place(n)
	return &term{op: opConstant, value: value, dim: dim, at: at, whole: at}
}

func (b *builder) unary(n *ast.UnaryNode) (*term, *Fault) {
	inner, fault := b.term(n.Node)
	if fault != nil || n.Operator == "+" {
		return inner, fault
	}
	if n.Operator != "-" {
		return b.fault(Syntax, b.place(n), "This does not belong in a formula.", "Use + - * / ^ only.")
	}
	at := b.place(n)
	return &term{op: opNegate, terms: []*term{inner}, dim: inner.dim, at: at, whole: at.join(inner.whole)}, nil
}

func (b *builder) binary(n *ast.BinaryNode) (*term, *Fault) {
	left, fault := b.term(n.Left)
	if fault != nil {
		return nil, fault
	}
	right, fault := b.term(n.Right)
	if fault != nil {
		return nil, fault
	}
	t := &term{terms: []*term{left, right}, at: b.place(n), whole: left.whole.join(right.whole)}
	switch n.Operator {
	case "+", "-":
		t.op = opAdd
		if n.Operator == "-" {
			t.op = opSubtract
		}
		dim, ok := alike(left.dim, right.dim)
		if !ok {
			return nil, b.mixed(t, quote(n.Operator), left, right)
		}
		t.dim = dim
	case "*":
		return b.times(t)
	case "/":
		return b.over(t)
	case "^":
		return b.power(t)
	default:
		return b.fault(Syntax, t.at, "This does not belong in a formula.", "Use + - * / ^ only.")
	}
	return t, nil
}

func (b *builder) times(t *term) (*term, *Fault) {
	left, right := t.terms[0].dim, t.terms[1].dim
	t.op, t.dim = opMultiply, left+right
	if left == anyDimension || right == anyDimension {
		t.dim = anyDimension
	}
	if t.dim > isArea {
		return b.fault(Dimension, t.at, "Three lengths are multiplied here, which is no length.", "Multiply a length by numbers only.")
	}
	return t, nil
}

func (b *builder) over(t *term) (*term, *Fault) {
	left, right := t.terms[0].dim, t.terms[1].dim
	t.op, t.dim = opDivide, left-right
	switch {
	case right == anyDimension:
		return b.fault(Implausible, t.at.join(t.terms[1].whole), "This divides by zero.", "Divide by something above zero.")
	case left == anyDimension:
		t.dim = anyDimension
	case t.dim < isNumber:
		return b.fault(Dimension, t.at, "Here "+left.String()+" is divided by "+right.String()+", which is no length.", "Divide by a number, or a length by a length.")
	}
	return t, nil
}

func (b *builder) power(t *term) (*term, *Fault) {
	base, exponent := t.terms[0], t.terms[1]
	t.op, t.dim = opPower, isNumber
	if exponent.dim > isNumber {
		return b.fault(Dimension, exponent.whole, "A power must be a bare number, and this is "+exponent.dim.String()+".", "Write a number, as in k ^ 0.5.")
	}
	if base.dim > isNumber {
		if base.dim != isLength || exponent.op != opConstant || exponent.value != 2 {
			return b.fault(Dimension, t.at, "Only bare numbers can be raised to a power; "+base.dim.String()+" can only be squared, under a root.", "Raise the number and then multiply, as in k^0.5 * d.")
		}
		t.dim = isArea
	}
	return t, nil
}

func (b *builder) call(n ast.Node, name string, arguments []ast.Node) (*term, *Fault) {
	at := b.place(n)
	f, ok := findFunction(name, b.use)
	if !ok {
		say, _ := suggest(name, b.use)
		return b.fault(Unknown, at, clip(name)+" is not a function that a formula here may use.", say)
	}
	t := &term{op: f.op, needs: f.needs, dim: f.result, at: at, whole: at}
	for _, a := range arguments {
		inner, fault := b.term(a)
		if fault != nil {
			return nil, fault
		}
		t.terms = append(t.terms, inner)
		t.whole = t.whole.join(inner.whole)
	}
	if len(arguments) < f.least || len(arguments) > f.most {
		right := "Write " + f.form + "."
		if f.most == 1 && len(arguments) == 2 {
			right = "Write " + f.form + ", and decimals with a point, as in 1.5."
		}
		return b.fault(Syntax, t.whole, fmt.Sprintf("%s takes %s, and %d stand here.", quote(name), countOf(f), len(arguments)), right)
	}
	switch f.op {
	case opPower:
		return b.power(t)
	case opSqrt:
		return b.root(t)
	case opMin, opMax:
		first := t.terms[0]
		for _, other := range t.terms[1:] {
			if _, ok := alike(first.dim, other.dim); !ok {
				return nil, b.mixed(t, quote(name), first, other)
			}
			if first.dim == anyDimension {
				first = other
			}
		}
		t.dim = first.dim
		return t, nil
	}
	for _, inner := range t.terms {
		if _, ok := alike(inner.dim, f.argument); !ok {
			right := "Write " + f.form + "."
			if (f.op == opCeil || f.op == opRound) && inner.dim == isLength {
				right = "Divide by a length first, as in " + name + "(a / d)."
			}
			return b.fault(Dimension, inner.whole, fmt.Sprintf("%s works on %s, and this is %s.", quote(name), f.argument, inner.dim), right)
		}
	}
	return t, nil
}

func (b *builder) root(t *term) (*term, *Fault) {
	switch dim := t.terms[0].dim; dim {
	case isLength:
		return b.fault(Dimension, t.terms[0].whole, "The root of a length is no length.", "Take the root of a number, as in sqrt(k) * d, or of lengths squared.")
	case isArea:
		t.dim = isLength
	default:
		t.dim = dim
	}
	return t, nil
}

func countOf(f function) string {
	switch {
	case f.least != f.most:
		return fmt.Sprintf("%d to %d values", f.least, f.most)
	case f.least == 1:
		return "one value"
	}
	return "two values"
}

// alike returns the dimension that two terms share.
func alike(a, b dimension) (dimension, bool) {
	if a == anyDimension {
		return b, true
	}
	return a, b == anyDimension || a == b
}

// mixed refuses terms of different dimension, and says what to do with the bare number.
func (b *builder) mixed(t *term, word string, first, second *term) *Fault {
	wrong := fmt.Sprintf("%s joins %s and %s.", word, first.dim, second.dim)
	odd, other := first, second // odd has the lower power
	if second.dim < first.dim {
		odd, other = second, first
	}
	if odd.dim == isLength {
		return faultAt(Dimension, b.source, b.areaAt(other), wrong, "Multiply a length by a number only, or take sqrt(...) of it.")
	}
	if odd.op != opConstant {
		return faultAt(Dimension, b.source, odd.whole, wrong, "Multiply the number by d, or give it a unit.")
	}
	literal, unit := b.text(odd), "mm"
	if b.use == Rule {
		unit = "cm"
	}
	right := fmt.Sprintf("Write %s*d (diameters of the cord) or a unit, as in %s %s.", literal, literal, unit)
	if t.op == opMin || t.op == opMax {
		right += " Decimals take a point: 1.5."
	}
	return faultAt(Dimension, b.source, odd.whole, wrong, right)
}

// areaAt finds the sign that made a length times a length.
func (b *builder) areaAt(t *term) span {
	for _, inner := range t.terms {
		if inner.dim == isArea {
			return b.areaAt(inner)
		}
	}
	return t.at
}

func (b *builder) text(t *term) string {
	return string([]rune(b.source)[t.whole.from:t.whole.to])
}

// notALength refuses a formula whose answer is no length.
func (b *builder) notALength(root *term) *Fault {
	if root.dim == isArea {
		return faultAt(Dimension, b.source, b.areaAt(root), "A length is multiplied by a length here, which is no length.", "Multiply a length by numbers only, or take sqrt(...) of it.")
	}
	unit, example := "d", "17*d or 17 mm"
	if b.use == Rule {
		unit, example = "finished", "4*finished or 40 cm"
	}
	if root.dim == anyDimension {
		return faultAt(Dimension, b.source, root.whole, "The answer is always zero.", "Write a length above zero, such as "+example+".")
	}
	if root.op == opConstant {
		literal := b.text(root)
		return faultAt(Dimension, b.source, root.whole, quote(literal)+" is a bare number, not a length.",
			fmt.Sprintf("Write %s*%s, or give it a unit, as in %s cm.", literal, unit, literal))
	}
	return faultAt(Dimension, b.source, root.whole, "The answer is "+root.dim.String()+", not a length.", "Multiply by "+unit+" or give a unit, as in "+example+".")
}

// usedNames lists every quantity that the terms need, in the order of the source.
func usedNames(root *term) []usedName {
	first := map[name]span{}
	var walk func(t *term)
	walk = func(t *term) {
		for _, n := range t.needs {
			if at, seen := first[n]; !seen || t.at.from < at.from {
				first[n] = t.at
			}
		}
		for _, inner := range t.terms {
			walk(inner)
		}
	}
	walk(root)
	var list []usedName
	for n := range name(nameCount) {
		if at, ok := first[n]; ok {
			list = append(list, usedName{n, at})
		}
	}
	return list
}
