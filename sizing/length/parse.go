package length

import "math/big"

var lengths = grammar{
	noun: "length",
	of:   "length",
	units: []unit{
		{"mm", int64(Millimetre), true, []string{"mm", "мм", "millimetre", "millimetres", "millimeter", "millimeters"}},
		{"cm", int64(Centimetre), true, []string{"cm", "см", "cms", "centimetre", "centimetres", "centimeter", "centimeters"}},
		{"m", int64(Metre), true, []string{"m", "м", "mtr", "mtrs", "metre", "metres", "meter", "meters"}},
		{"km", int64(Kilometre), true, []string{"km", "kilometre", "kilometres", "kilometer", "kilometers"}},
		{"in", int64(Inch), false, []string{"in", "ins", "inch", "inches"}},
		{"ft", int64(Foot), false, []string{"ft", "foot", "feet"}},
		{"yd", int64(Yard), false, []string{"yd", "yds", "yard", "yards"}},
		{"fathom", int64(Fathom), false, []string{"fathom", "fathoms"}},
	},
	fraction: int64(Inch),
	use:      "mm, cm, m, in, ft or yd",
	sample:   "150 cm or 4 ft 11 in",
	follow: func(symbol string, n number) (string, string) {
		switch {
		case symbol == "ft":
			return "in", ""
		case symbol == "m" && n.digits == 2:
			return "cm", ""
		case symbol == "m" && n.digits == 3:
			return "mm", ""
		case symbol == "m":
			return "", "after metres write two digits for centimetres, like 2m05 or 2m50"
		}
		return "", "give every number its unit"
	},
}

// Unit is a unit of length that people write, with what one of it measures.
type Unit struct {
	Symbol string
	Length Length
}

// Reading is a length as it was written: its exact value and what one step of
// its last place is worth, so that a conversion can keep that precision.
type Reading struct {
	Length Length
	Place  Length   // 1 ft for "36 ft", 1/2 in for "7 1/2 in", 1 cm for "1.50 m"
	Bare   Length   // what a number without a unit counted; zero for one that had it
	metric bool     // it was written in metric units
	Typed  string   // the numbers as they were written, each with its unit: "16 in", "2 ft 4 in"
	number *big.Rat // of a single part; nil for compounds
}

// Read reads a length as people type it and keeps how finely it was written;
// bare is what a number without unit counts, zero to refuse it; a fraction without unit
// always counts inches. Errors are [InputError].
func Read(text string, bare Length) (Reading, error) {
	return lengths.read(text, bare)
}

func (g grammar) read(text string, bare Length) (Reading, error) {
	r, err := g.parse(text, int64(bare))
	if err != nil {
		return Reading{}, err
	}
	return Reading{Length: Length(r.value), Place: Length(r.place), Bare: Length(r.bare), metric: r.metric, Typed: r.written, number: r.number}, nil
}

// ParsePlain reads a length as [Parse] does, but for a fraction without unit, which
// counts bare as any number does. Errors are [InputError].
func ParsePlain(text string, bare Length) (Length, error) {
	g := lengths
	g.fraction = 0
	r, err := g.read(text, bare)
	return r.Length, err
}

// Parse reads a length as people type it ("1,5 m", "2m30", "4'11½\"", "3/16 in"),
// exactly to the nanometre; bare is what a number without unit counts, zero to
// refuse it. Errors are [InputError].
func Parse(text string, bare Length) (Length, error) {
	r, err := Read(text, bare)
	return r.Length, err
}
