package resize

import (
	"math"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// factor is new over old.
type factor float64

// of is a length in proportion, rounded to a step that a maker would write down,
// and never to nothing. Lengths that were written in inches stay in inches.
func (f factor) of(l length.Length) length.Length {
	if f == 1 || l == 0 {
		return l
	}
	exact := f.exactly(l)
	step := stepOf(exact, inInches(l))
	return max(exact.RoundHalfEven(step), step)
}

// exactly is a length in proportion, not rounded.
func (f factor) exactly(l length.Length) length.Length {
	return length.Length(math.RoundToEven(float64(l) * float64(f)))
}

// up is a length in proportion, rounded up.
func (f factor) up(l length.Length) length.Length {
	if f == 1 || l == 0 {
		return l
	}
	exact := length.Length(math.Ceil(float64(l) * float64(f)))
	return exact.RoundUp(stepOf(exact, inInches(l)))
}

// inInches tells whether a length was written in inches. Of whole millimetres only
// multiples of 127 look so, which are 5 in more often than 12.7 cm.
func inInches(l length.Length) bool { return l%(length.Inch/16) == 0 }

// stepOf is the step that people measure a length by (common practice, no source).
func stepOf(l length.Length, inches bool) length.Length {
	switch {
	case inches && l < 2*length.Inch:
		return length.Inch / 16
	case inches && l < 10*length.Inch:
		return length.Inch / 4
	case inches:
		return length.Inch / 2
	case l < 3*length.Centimetre:
		return length.Millimetre
	case l < 20*length.Centimetre:
		return 5 * length.Millimetre
	}
	return length.Centimetre
}

// reaching changes the length that a step repeats for.
func reaching(step sheet.Step, of func(length.Length) length.Length) sheet.Step {
	facts := sheet.FactsOf(step)
	if count := facts.Count(); count != nil {
		count.For = of(count.For)
	}
	return facts.Step()
}

// scaled changes the lengths of a step that have one of the roles.
func scaled(step sheet.Step, f factor, roles ...sheet.Role) sheet.Step {
	facts := sheet.FactsOf(step)
	for _, role := range roles {
		for _, l := range facts.Lengths(role) {
			*l = f.of(*l)
		}
	}
	return facts.Step()
}

// inTexture changes the lengths that go with the thickness of the cord.
func inTexture(step sheet.Step, f factor) sheet.Step {
	facts := sheet.FactsOf(scaled(step, f, sheet.Texture, sheet.Across))
	if count := facts.Count(); count != nil {
		count.By = f.of(count.By)
	}
	return facts.Step()
}
