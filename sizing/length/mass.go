package length

import "strconv"

// Mass is a mass in nanograms, so that the pound (453.59237 g by the 1959
// agreement) and the ounce (1/16 lb, 28.349523125 g) are exact.
type Mass int64

// The units of mass a spool's label uses.
const (
	Nanogram  Mass = 1
	Milligram      = 1_000_000 * Nanogram
	Gram           = 1000 * Milligram
	Kilogram       = 1000 * Gram
	Ounce          = 28_349_523_125 * Nanogram
	Pound          = 16 * Ounce
)

var masses = grammar{
	noun: "mass",
	of:   "mass",
	units: []unit{
		{"mg", int64(Milligram), true, []string{"mg", "milligram", "milligrams"}},
		{"g", int64(Gram), true, []string{"g", "gr", "gm", "gms", "gram", "grams", "gramme", "grammes"}},
		{"kg", int64(Kilogram), true, []string{"kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"}},
		{"oz", int64(Ounce), false, []string{"oz", "ounce", "ounces"}},
		{"lb", int64(Pound), false, []string{"lb", "lbs", "pound", "pounds"}},
	},
	use:    "g, kg, oz or lb",
	sample: "900 g or 2 lb 3 oz",
}

// MassUnits are all words for a unit of mass or of mass per length, in small letters.
func MassUnits() []string {
	var all []string
	for _, g := range []grammar{masses, counts} {
		for _, u := range g.units {
			all = append(all, u.words...)
		}
	}
	return all
}

// Grams returns the mass in grams as a floating point number.
func (m Mass) Grams() float64 { return float64(m) / float64(Gram) }

// ParseMass reads a mass as people type it ("900 g", "2 lb 3 oz", "1,2 kg"),
// exactly to the nanogram; bare is what a number without unit counts, zero to
// refuse it. Errors are [InputError].
func ParseMass(text string, bare Mass) (Mass, error) {
	r, err := masses.parse(text, int64(bare))
	return Mass(r.value), err
}

// String writes the exact mass in metric units; [ParseMass] reads it back unchanged.
func (m Mass) String() string {
	if m > -Kilogram && m < Kilogram {
		return point(int64(m), int64(Gram), 9, true) + " g"
	}
	return point(int64(m), int64(Kilogram), 12, true) + " kg"
}

// Mass writes a mass for reading, ties to even: "900 g", "1.20 kg", "2 lb 3 oz",
// "3.2 oz", or "1.20 kg (2 lb 10 oz)".
func (s Style) Mass(m Mass) string {
	return s.written(func() string { return metricMass(m) }, func() string { return imperialMass(m) })
}

// MassOrMore writes a mass rounded up to what [Style.Mass] writes, in each system by itself,
// for what must bear it.
func (s Style) MassOrMore(m Mass) string {
	up := func(step, parts Mass) Mass { return (parts*m + step - 1) / step * step / parts }
	return s.written(func() string {
		switch {
		case m < 10*Gram:
			return metricMass(up(Gram, 10))
		case m < Kilogram:
			return metricMass(up(Gram, 1))
		}
		return metricMass(up(10*Gram, 1))
	}, func() string {
		if m < Pound {
			return imperialMass(up(Ounce, 10))
		}
		return imperialMass(up(Ounce, 1))
	})
}

func metricMass(m Mass) string {
	size := max(m, -m)
	switch {
	case size < 10*Gram:
		return point(int64(m), int64(Gram), 1, true) + " g"
	case size < Kilogram-Gram/2:
		return point(int64(m), int64(Gram), 0, false) + " g"
	}
	return point(int64(m), int64(Kilogram), 2, false) + " kg"
}

func imperialMass(m Mass) string {
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	if m < Pound {
		if tenths := point(nearest(10*int64(m), int64(Ounce)), 10, 1, true); tenths != "16" {
			return sign + tenths + " oz"
		}
	}
	ounces := nearest(int64(m), int64(Ounce))
	text := sign + strconv.FormatInt(ounces/16, 10) + " lb"
	if ounces%16 != 0 {
		text += " " + strconv.FormatInt(ounces%16, 10) + " oz"
	}
	return text
}
