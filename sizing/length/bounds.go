package length

import (
	"math/big"
	"strconv"
	"strings"
)

// Bounds are the least and the most that makes sense for some measure of the
// work; a zero Most sets no upper bound.
type Bounds struct {
	Noun        string // "drop", "thickness"; "length" when empty
	Least, Most Length
	Usual       Unit   // the unit to write the bounds in and to suggest; none when zero
	Sample      string // a well-written one, "4 mm or 5/32 in"
	System      System // that bounds and samples are written in
}

// Thicknesses are the bounds of a cord's thickness: 0.3 mm to 60 mm (common
// practice, no source).
func Thicknesses() Bounds {
	return Bounds{
		Noun: "thickness", Least: 300 * Micrometre, Most: 60 * Millimetre,
		Usual: Unit{"mm", Millimetre}, Sample: "4 mm or 5/32 in",
	}
}

// ParseThickness reads the thickness of a cord, a bare number in millimetres,
// and questions one that no cord has (see [Thicknesses]).
func ParseThickness(text string) (Length, error) {
	return Thicknesses().Parse(text, Millimetre)
}

// Parse reads a length as the package's Parse does and checks it. The error is
// an [InputError] or a [BoundsError]; the latter suggests the same number in the
// usual unit where that would be in bounds.
func (b Bounds) Parse(text string, bare Length) (Length, error) {
	g := lengths
	if b.Noun != "" {
		g.noun = b.Noun
	}
	if b.Sample != "" {
		g.sample = b.Example()
	}
	r, err := g.read(text, bare)
	if err != nil {
		return 0, err
	}
	if b.holds(r.Length) {
		return r.Length, nil
	}
	e := &BoundsError{Bounds: b, Length: r.Length, Input: text}
	if r.number != nil && b.Usual.Length > 0 {
		meant := halfEven(new(big.Rat).Mul(r.number, new(big.Rat).SetInt64(int64(b.usual().Length))))
		if meant.IsInt64() && b.holds(Length(meant.Int64())) {
			e.Meant = b.write(Length(meant.Int64()))
			if number, _, found := strings.Cut(r.Typed, " "); found && b.System == Imperial && !strings.Contains(r.Typed, "/") {
				e.Meant = number + " " + b.usual().Symbol
			}
		}
	}
	return 0, e
}

// Check returns a [BoundsError] for a length out of bounds and nil otherwise.
func (b Bounds) Check(l Length) error {
	if b.holds(l) {
		return nil
	}
	return &BoundsError{Bounds: b, Length: l}
}

func (b Bounds) holds(l Length) bool { return l >= b.Least && (b.Most == 0 || l <= b.Most) }

// Example is the sample in the system of the bounds; in metric as it stands.
func (b Bounds) Example() string {
	if _, imperial, both := strings.Cut(b.Sample, " or "); both && b.System == Imperial {
		return imperial
	}
	return b.Sample
}

func (b Bounds) usual() Unit {
	if b.System == Imperial {
		return Unit{"in", Inch}
	}
	return b.Usual
}

// inches writes a bound as feet and inches that keep it, and what is meant as it is.
func (b Bounds) inches(l Length) string {
	step := Inch / Length(thicknessParts(l))
	switch {
	case l < Inch/32:
		step = Inch / 64
	case l >= 100*Yard:
		return strconv.FormatInt(int64(l/Yard), 10) + " yd"
	case l >= 10*Foot:
		step = Foot
	case l >= Foot:
		step = Inch
	case l >= Inch:
		step = Inch / 8
	}
	if l == b.Least {
		return FormatImperial(l.RoundUp(step), 64)
	}
	if l == b.Most {
		l -= l % step
	}
	return FormatImperial(l, 64)
}

// Ends are the least and the most as they are shown in the system of the bounds, both
// within them.
func (b Bounds) Ends() (least, most string) { return b.write(b.Least), b.write(b.Most) }

// Between is the least and the most, in both systems where the bounds are in both.
func (b Bounds) Between() string {
	within := b.write(b.Least) + " to " + b.write(b.Most)
	if b.System == Both {
		b.System = Imperial
		within += " (" + b.write(b.Least) + " to " + b.write(b.Most) + ")"
	}
	return within
}

// write gives a length in the usual unit, unless it is 100 of them or more.
func (b Bounds) write(l Length) string {
	if b.System == Imperial {
		return b.inches(l)
	}
	if l >= 100*b.Usual.Length {
		return l.String()
	}
	return trimmed(l, b.Usual.Length, 3) + " " + b.Usual.Symbol
}

// BoundsError questions a length that makes no sense for what it measures.
type BoundsError struct {
	Bounds Bounds
	Length Length
	Input  string // as it was typed; empty when only the length is known
	Meant  string // what was probably meant, "5 mm"; empty when nothing suggests itself
}

// Error is one sentence with the length, the bound it breaks and what may have been meant.
func (e *BoundsError) Error() string {
	b := e.Bounds
	noun, given := "length", e.Length.String()
	if b.Noun != "" {
		noun = b.Noun
	}
	if e.Input != "" {
		given = quote(e.Input)
	}
	text := "a " + noun + " of " + given
	if e.Length < b.Least {
		text += " is less than " + b.write(b.Least) + ", the least that makes sense"
	} else {
		text += " is more than " + b.write(b.Most) + ", the most that makes sense"
	}
	if e.Meant != "" {
		return text + "; did you mean " + e.Meant + "?"
	}
	if b.Most == 0 {
		return text + "; give a longer one"
	}
	return text + "; give one between " + b.write(b.Least) + " and " + b.write(b.Most)
}
