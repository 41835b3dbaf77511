// Package formula reads and works out the small sums of the workshop: what one
// end takes up in a knot, how tall a knot is, how a doubling rule turns a
// finished length into a cut length.
//
// A [Formula] is one line such as
//
//	turn(k) + pitch + 1.5*pi*d
//	4 * finished + 10 cm
//
// with numbers, units, the names its [Use] allows, + - * / ^ and a few
// functions; [Names] lists them all. [Compile] checks everything that can be
// checked before a cord is cut: every name, every bracket, that lengths are only
// added to lengths and the answer is a length, and that the answer stays positive
// and believable over the whole working range. Whatever is wrong comes back as a
// [Fault] that points at the place and says what would be right.
//
// What will hurt you: d and D are different names (the cord and the rod). A bare
// number is not a length: write 17*d or 17 mm. A number directly before a name
// multiplies it, exactly as * would: 3/4 inch is three quarters of an inch.
// Counts given to hull, turn and bundle are rounded up to whole cords.
package formula

import (
	"math"
	"strings"
	"unicode"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Quantities are the named values a formula may use; a formula names only those
// that its use allows. Lengths are exact nanometres.
type Quantities struct {
	Diameter length.Length // d: working diameter of the cord that the formula charges
	Core     length.Length // c: working diameter of the cords inside; zero means the same as d
	Cores    int           // k: how many cords the knot closes round
	Rod      length.Length // D: diameter of a round rod
	Pitch    length.Length // pitch: advance from one knot to the next
	Ends     int           // n: how many ends the knot takes
	Soft     cord.Ratio    // how far turn(k) and bundle(n) pack like soft cord, 0 to 1
	Finished length.Length // finished
	Drop     length.Length // drop
	Width    length.Length // width
	Fringe   length.Length // fringe; zero means none
}

// Use says what a formula is for, and so which names it may use.
type Use int

// The uses of a formula.
const (
	KnotRole Use = iota // cord that one end takes up in a knot: d, c, k, D, pitch, n
	KnotSize            // height, width or pitch of a knot: the same names
	Rule                // cut length by a doubling rule: finished, drop, width, fringe, d
)

// longest is the greatest length a formula may come out at, well beyond any work.
const longest = 100 * length.Kilometre

// Formula is a compiled formula; it never changes and may be shared.
type Formula struct {
	source string
	use    Use
	root   *term
	units  bool // whether it names a unit, so that it does not simply grow with the cord
	names  []usedName
}

// usedName is a name the formula needs, and the first word that needs it.
type usedName struct {
	name name
	at   span
}

// Compile reads and checks one formula. Every refusal is a *Fault.
func Compile(source string, use Use) (*Formula, error) {
	f, fault := compile(source, use)
	if fault != nil {
		return nil, fault
	}
	return f, nil
}

func compile(source string, use Use) (*Formula, *Fault) {
	source = strings.TrimFunc(source, unicode.IsSpace)
	tokens, fault := scan(source, use)
	if fault != nil {
		return nil, fault
	}
	if tokens, fault = arrange(source, tokens); fault != nil {
		return nil, fault
	}
	root, fault := build(source, tokens, use)
	if fault != nil {
		return nil, fault
	}
	f := &Formula{source: source, use: use, root: root, units: root.hasUnit(), names: usedNames(root)}
	if fault := f.probe(); fault != nil {
		return nil, fault
	}
	return f, nil
}

// String returns the formula as it was typed, without the space around it.
func (f *Formula) String() string { return f.source }

// Length works the formula out, to the nearest nanometre. A quantity the formula
// needs and was not given, and an answer that is negative, not a number or beyond
// all reason, is a *Fault.
func (f *Formula) Length(q Quantities) (length.Length, error) {
	v := valuesOf(q)
	for _, u := range f.names {
		if !given(u.name, &v) {
			n := nameTable[u.name]
			return 0, faultAt(Missing, f.source, u.at, quote(n.name)+" has no value here: "+n.meaning+" was not given.",
				"Give it a value above zero, or use a formula without it.")
		}
	}
	x := f.root.eval(&v)
	if !(x >= 0 && x <= float64(longest)) { // false for NaN too
		return 0, f.misfit(x, &v, "A length must be zero or more, and less than 100 km.")
	}
	return length.Length(math.Round(x)), nil
}
