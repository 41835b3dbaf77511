package ask

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
)

// What is suggested for an amount in words is that amount, or nothing.
func TestAmountsInWords(t *testing.T) {
	b := length.Bounds{Noun: "size", Least: length.Millimetre, Most: 10 * length.Metre, Usual: length.Unit{Symbol: "cm", Length: length.Centimetre}, Sample: "45 cm"}
	for said, want := range map[string]length.Length{
		"two metres":                   2 * length.Metre,
		"two and a half metres":        2500 * length.Millimetre,
		"two metres and a half":        2500 * length.Millimetre,
		"four and a half feet":         4*length.Foot + length.Foot/2,
		"a foot and a half":            length.Foot + length.Foot/2,
		"one yard and a half":          length.Yard + length.Yard/2,
		"half a metre":                 length.Metre / 2,
		"a half metre":                 length.Metre / 2,
		"a quarter of a metre":         length.Metre / 4,
		"one and a quarter metres":     length.Metre + length.Metre/4,
		"three quarters of a metre":    length.Metre / 4 * 3,
		"three quarter inch":           length.Inch / 4 * 3,
		"one and three quarter metres": length.Metre / 4 * 7,
		"three sixteenths of an inch":  length.Inch / 16 * 3,
		"five eighths inch":            length.Inch / 8 * 5,
		"one metre ten":                110 * length.Centimetre,
		"six feet two":                 6*length.Foot + 2*length.Inch,
		"about 40 cm":                  40 * length.Centimetre,
		"25%":                          0,
		"one hundred cm":               0,
		"five hundred mm":              0,
		"two dozen inches":             0,
		"seventy cm":                   0,
		"a couple of feet":             0,
		"two thirds of a yard":         0,
		"nineteen inches":              0,
	} {
		likely := Likely(said, b, length.Centimetre)
		if want == 0 {
			require.Empty(t, likely, said)
			continue
		}
		read, err := length.Parse(likely, length.Centimetre)
		require.NoError(t, err, "%s: %q", said, likely)
		require.Equal(t, want, read, "%s: %q", said, likely)
	}
}

// Of several figures the first that makes sense is meant, those with a unit before those
// without; a word for nothing is nothing where that is allowed.
func TestWhichFiguresAreMeant(t *testing.T) {
	within := Bounds("size", length.Centimetre, length.Metre, "45 cm")
	for said, want := range map[string]string{
		"9000 m or 16 in":        "16in",
		"3, 40 cm":               "40cm",
		"9000 and 40 bananas":    "40cm",
		"none":                   "",
		"4o cm":                  "40cm",
		"1.5.2 m":                "1.5cm",
		"twelve":                 "",
		"about two feet or less": "2feet",
	} {
		require.Equal(t, want, Likely(said, within, length.Centimetre), said)
	}
	require.Equal(t, "0", Likely("None", Tails, length.Centimetre))
}

// What is suggested for a list holds as many pieces of as many lengths as were typed.
func TestLikelyHeapsLoseNothing(t *testing.T) {
	for typed, want := range map[string]string{
		"45cmm x12":           "12 x 45cm",
		"45 x12":              "12 x 45cm",
		"45 X12, 2 x 1.2m":    "12 x 45cm, 2 x 1.2m",
		"20 x 45":             "20 x 45cm",
		"45cm x12, nonsense":  "",
		"nonsense, 45cm x12":  "",
		"45cm x12 cream":      "",
		"45cm*12 and 3 of 60": "",
		"1/2 yard x 3, foo":   "",
		"3 spools":            "",
		"5001 x 45cm":         "5000 x 45cm",
		"45cm x0, 2 x 1.2m":   "1 x 45cm, 2 x 1.2m",
		"12 x 3.2m, 40":       "12 x 3.2m, 40cm",
		"1 mm x 3":            "3 x 1cm",

		"45cm x12 2.5m x3":          "45cm x12, 2.5m x3",
		"45cm x 12 2.5 m x 3 1m x2": "45cm x 12, 2.5 m x 3, 1m x2",
		"12 x 45cm 3 x 2.5m 2x1m":   "12 x 45cm, 3 x 2.5m, 2x1m",
		"12 x 10ft 6in 2 x 1m":      "12 x 10ft 6in, 2 x 1m",
		"45cm x12 2.5m x3 red":      "",
		"1 1/2 yd! x3":              "3 x 1 1/2 yd",
	} {
		require.Equal(t, want, LikelyHeaps(typed, length.Centimetre), typed)
	}
}
