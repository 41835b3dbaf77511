package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// A fraction without unit is millimetres as any bare thickness is, as saved sheets have
// it; what would be thinner than any cord is inches.
func TestBareFractionsOfThickness(t *testing.T) {
	for text, want := range map[string]length.Length{
		"3 1/2": 3500 * length.Micrometre, "1½": 1500 * length.Micrometre, "1/2": 500 * length.Micrometre,
		"3/16": 3 * length.Inch / 16, "1/4": length.Inch / 4, "3/16 in": 3 * length.Inch / 16,
	} {
		s, faults := sheet.Parse("piece X\ncord main "+text+" plied\npanel x\nmount 8 folded\nrow square\ntail 20 cm\n", knot.Standard())
		require.Empty(t, faults.Shown, text)
		require.Equal(t, want, s.Cords[0].Thickness, text)
	}
}
