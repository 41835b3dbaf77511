package length

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// accepted is what people type and what it must mean; bare numbers count inches.
var accepted = []struct {
	text string
	want Length
}{
	{"1.5m", 1500 * Millimetre},
	{"150 cm", 1500 * Millimetre},
	{"1,5 m", 1500 * Millimetre},
	{"  1.5 M  ", 1500 * Millimetre},
	{"1.5 metres", 1500 * Millimetre},
	{"1.5meters", 1500 * Millimetre},
	{"1.5 mtr", 1500 * Millimetre},
	{"40 см", 40 * Centimetre}, // in Cyrillic letters, which look the same
	{"4 мм", 4 * Millimetre},
	{"1,5 м", 1500 * Millimetre},
	{"2m30", 2300 * Millimetre},
	{"2m05", 2050 * Millimetre},
	{"2 m 30", 2300 * Millimetre},
	{"2m305", 2305 * Millimetre},
	{"2 m 30 cm", 2300 * Millimetre},
	{"1 m 20 cm 5 mm", 1205 * Millimetre},
	{"1.5 m 20 cm", 1700 * Millimetre},
	{"2.1 km", 2100 * Metre},
	{"4ft 11 1/2in", 4*Foot + 23*Inch/2},
	{"4'11½\"", 4*Foot + 23*Inch/2},
	{"4′11½″", 4*Foot + 23*Inch/2},
	{"4’11½”", 4*Foot + 23*Inch/2},
	{"4'11½''", 4*Foot + 23*Inch/2},
	{"4'-11 1/2\"", 4*Foot + 23*Inch/2},
	{"4 ft, 11.5 in", 4*Foot + 23*Inch/2},
	{"4 feet and 11½ inches", 4*Foot + 23*Inch/2},
	{"4ft11 1/2", 4*Foot + 23*Inch/2},
	{"1 1/2 yd", 54 * Inch},
	{"1-1/2 yd", 54 * Inch},
	{"1 and 1/2 yards", 54 * Inch},
	{"1½yd", 54 * Inch},
	{"1 yd 1 ft 6 in", 54 * Inch},
	{"1/3 yd", Foot},
	{"⅓ yd", Foot},
	{"3/16in", 3 * Inch / 16},
	{"3⁄16 in", 3 * Inch / 16},
	{"3 / 16 in.", 3 * Inch / 16},
	{"1/64 in", 396_875 * Nanometre},
	{"½ in", Inch / 2},
	{".5 in", Inch / 2},
	{"0,125 in", Inch / 8},
	{"1.125 in", 9 * Inch / 8},
	{"2 fathoms", 4 * Yard},
	{"1 500 mm", 1500 * Millimetre},
	{"1\u202f500\u00a0mm", 1500 * Millimetre},
	{"1 500,5 mm", 1500*Millimetre + 500*Micrometre},
	{"123,456.5 mm", 123_456*Millimetre + 500*Micrometre},
	{"1,500.5 mm", 1500*Millimetre + 500*Micrometre},
	{"1.500,5 mm", 1500*Millimetre + 500*Micrometre},
	{"1,500,000 mm", 1500 * Metre},
	{"1.500.000 mm", 1500 * Metre},
	{"1234,567 mm", 1234*Millimetre + 567*Micrometre},
	{"0 m", 0},
	{"7", 7 * Inch},
	{"11 1/2", 23 * Inch / 2},
	{"10m.", 10 * Metre},
	{"5'6", 66 * Inch},
	{"0.5'", 6 * Inch},
	{"12 345 678 mm", 12345678 * Millimetre},
	{"1 100/128 in", Inch + 100*Inch/128},
	{"1/7 in", 3_628_571 * Nanometre}, // 25.4/7 = 3.628571428... mm, to the nearest nanometre
}

func TestParseAccepts(t *testing.T) {
	for _, c := range accepted {
		got, err := Parse(c.text, Inch)
		require.NoError(t, err, c.text)
		require.Equal(t, c.want, got, c.text)
	}
}

// refused is what must not be guessed at, with the whole message; bare numbers are refused too.
var refused = []struct{ text, want string }{
	{"", "cannot read “” as a length: nothing is written; write it like 150 cm or 4 ft 11 in"},
	{"  ", "cannot read “  ” as a length: nothing is written; write it like 150 cm or 4 ft 11 in"},
	{"5", "cannot read “5” as a length: “5” has no unit; use mm, cm, m, in, ft or yd, like 150 cm or 4 ft 11 in"},
	{"4 11 1/2", "cannot read “4 11 1/2” as a length: “4” has no unit; use mm, cm, m, in, ft or yd, like 150 cm or 4 ft 11 in"},
	{"5 mx", "cannot read “5 mx” as a length: “mx” is not a unit of length; use mm, cm, m, in, ft or yd"},
	{"5 kg", "cannot read “5 kg” as a length: “kg” is a unit of mass, not of length; use mm, cm, m, in, ft or yd"},
	{"m", "cannot read “m” as a length: “m” does not start with a number; write it like 150 cm or 4 ft 11 in"},
	{"about 5 m", "cannot read “about 5 m” as a length: “about 5 m” does not start with a number; write it like 150 cm or 4 ft 11 in"},
	{"-3 m", "cannot read “-3 m” as a length: a length cannot be negative; leave the minus out"},
	{"2-3 m", "cannot read “2-3 m” as a length: “-3 m” stands where a unit should be; use mm, cm, m, in, ft or yd"},
	{"2m5", "cannot read “2m5” as a length: “5” has no unit; after metres write two digits for centimetres, like 2m05 or 2m50"},
	{"12cm5", "cannot read “12cm5” as a length: “5” has no unit; give every number its unit"},
	{"5 yd 2", "cannot read “5 yd 2” as a length: “2” has no unit; give every number its unit"},
	{"1,500 mm", "cannot read “1,500 mm” as a length: “1,500” could mean 1500 or 1.500; write the one you mean"},
	{"1.2.3 m", "cannot read “1.2.3 m” as a length: “1.2.3” has too many dots or commas; use one dot for decimals"},
	{"1,2,3 m", "cannot read “1,2,3 m” as a length: “1,2,3” has too many dots or commas; use one dot for decimals"},
	{"15,00.5 m", "cannot read “15,00.5 m” as a length: “15,00.5” has too many dots or commas; use one dot for decimals"},
	{"4 ft 13 in", "cannot read “4 ft 13 in” as a length: “13 in” is one ft or more; carry it over to the ft"},
	{"3 in 4 ft", "cannot read “3 in 4 ft” as a length: ft cannot follow in; write the larger unit first, each once"},
	{"3 in 4 in", "cannot read “3 in 4 in” as a length: in cannot follow in; write the larger unit first, each once"},
	{"1 m 3 in", "cannot read “1 m 3 in” as a length: it mixes m and in; keep to metric or to imperial units"},
	{"1 2/2 in", "cannot read “1 2/2 in” as a length: the fraction after a whole number must be less than one; write it like 1 1/2"},
	{"1 3/2 in", "cannot read “1 3/2 in” as a length: the fraction after a whole number must be less than one; write it like 1 1/2"},
	{"3/0 in", "cannot read “3/0 in” as a length: a fraction cannot have 0 under its line; write it like 1/2"},
	{"3/ in", "cannot read “3/ in” as a length: the fraction has nothing under its line; write it like 1/2"},
	{"1.5/2 in", "cannot read “1.5/2 in” as a length: “/2 in” stands where a unit should be; use mm, cm, m, in, ft or yd"},
	{"5 m²", "cannot read “5 m²” as a length: “²” cannot follow a length; write it like 150 cm or 4 ft 11 in"},
	{"5 m,", "cannot read “5 m,” as a length: “,” cannot follow a length; write it like 150 cm or 4 ft 11 in"},
	{"6 inches tall", "cannot read “6 inches tall” as a length: “tall” cannot follow a length; write it like 150 cm or 4 ft 11 in"},
	{"5. m", "cannot read “5. m” as a length: “. m” stands where a unit should be; use mm, cm, m, in, ft or yd"},
	{"5 android", "cannot read “5 android” as a length: “android” is not a unit of length; use mm, cm, m, in, ft or yd"},
	{"1,500.500.5 m", "cannot read “1,500.500.5 m” as a length: “1,500.500.5” has too many dots or commas; use one dot for decimals"},
	{"3/0 1/2 in", "cannot read “3/0 1/2 in” as a length: a fraction cannot have 0 under its line; write it like 1/2"},
	{"2 3/0 in", "cannot read “2 3/0 in” as a length: a fraction cannot have 0 under its line; write it like 1/2"},
	{"1 yd 1 ft 400 mm", "cannot read “1 yd 1 ft 400 mm” as a length: it mixes ft and mm; keep to metric or to imperial units"},
	{"1e3 m", "cannot read “1e3 m” as a length: “e” is not a unit of length; use mm, cm, m, in, ft or yd"},
	{"9999999999 km", "cannot read “9999999999 km” as a length: it is more than can be reckoned with; write it like 150 cm or 4 ft 11 in"},
}

func TestParseRefuses(t *testing.T) {
	for _, c := range refused {
		_, err := Parse(c.text, 0)
		require.EqualError(t, err, c.want, c.text)
		var input *InputError
		require.ErrorAs(t, err, &input)
		require.Equal(t, c.text, input.Input)
	}
}

func TestBareNumberCannotStartACompound(t *testing.T) {
	_, err := Parse("7 3 in", Foot)
	require.EqualError(t, err, "cannot read “7 3 in” as a length: “7” has no unit; give every number its unit")
}

func TestQuoteKeepsMessagesReadable(t *testing.T) {
	_, err := Parse("5 \x00\nmm", 0)
	require.EqualError(t, err, "cannot read “5   mm” as a length: “\u0020 mm” stands where a unit should be; use mm, cm, m, in, ft or yd")
	_, err = Parse("7 "+string(make([]byte, 200)), 0)
	require.ErrorContains(t, err, "it is too long to read")
	require.Less(t, len(err.Error()), 300)
}

func TestParseThickness(t *testing.T) {
	for text, want := range map[string]Length{
		"4": 4 * Millimetre, "3,5": 3500 * Micrometre, "5/32 in": 5 * Inch / 32, "0.3": 300 * Micrometre, "6 cm": 60 * Millimetre,
	} {
		got, err := ParseThickness(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
	for text, want := range map[string]string{
		"5 m":    "a thickness of “5 m” is more than 60 mm, the most that makes sense; did you mean 5 mm?",
		"5 ft":   "a thickness of “5 ft” is more than 60 mm, the most that makes sense; did you mean 5 mm?",
		"500":    "a thickness of “500” is more than 60 mm, the most that makes sense; give one between 0.3 mm and 60 mm",
		"0.1 mm": "a thickness of “0.1 mm” is less than 0.3 mm, the least that makes sense; give one between 0.3 mm and 60 mm",
		"thick":  "cannot read “thick” as a thickness: “thick” does not start with a number; write it like 4 mm or 5/32 in",
	} {
		_, err := ParseThickness(text)
		require.EqualError(t, err, want)
	}
}

func TestBoundsQuestionAnUnlikelyDrop(t *testing.T) {
	drops := Bounds{Noun: "drop", Least: Centimetre, Most: 30 * Metre, Usual: Unit{"cm", Centimetre}}
	_, err := drops.Parse("40 km", Centimetre)
	require.EqualError(t, err, "a drop of “40 km” is more than 30 m, the most that makes sense; did you mean 40 cm?")
	require.EqualError(t, drops.Check(40*Kilometre), "a drop of 40 km is more than 30 m, the most that makes sense; give one between 1 cm and 30 m")
	require.NoError(t, drops.Check(30*Metre))
	require.EqualError(t, Bounds{Least: Metre}.Check(Centimetre), "a length of 1 cm is less than 1 m, the least that makes sense; give a longer one")
	require.NoError(t, Bounds{Least: Metre}.Check(40*Kilometre))
}

func FuzzParse(f *testing.F) {
	for _, c := range accepted {
		f.Add(c.text)
	}
	for _, c := range refused {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Parse(text, Centimetre)
		if err != nil {
			var input *InputError
			require.ErrorAs(t, err, &input)
			return
		}
		require.GreaterOrEqual(t, l, Length(0))
		again, err := Parse(l.String(), 0)
		require.NoError(t, err)
		require.Equal(t, l, again)
	})
}
