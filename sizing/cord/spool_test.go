package cord

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
)

func TestSpoolsAreReadAsTheirLabelsSay(t *testing.T) {
	for typed, want := range map[string]Spool{
		"100 m":                    {Length: 100 * length.Metre},
		"100":                      {Length: 100 * length.Metre},
		"100m 24":                  {Length: 100 * length.Metre, Price: 2400},
		"100 m 900 g 24.00":        {Length: 100 * length.Metre, Mass: 900 * length.Gram, Price: 2400},
		"100 m, 900 g, 24,00":      {Length: 100 * length.Metre, Mass: 900 * length.Gram, Price: 2400},
		"100 yd 1 1/2 lb 19,5":     {Length: 100 * length.Yard, Mass: 24 * length.Ounce, Price: 1950},
		"2 km 8kg":                 {Length: 2 * length.Kilometre, Mass: 8 * length.Kilogram},
		"2.5 m 30":                 {Length: 5 * length.Metre / 2, Price: 3000},
		"100 metres 2 lb 3 oz 9.5": {Length: 100 * length.Metre, Mass: 35 * length.Ounce, Price: 950},
	} {
		got, err := ParseSpool(typed, length.Metre)
		require.NoError(t, err, typed)
		require.Equal(t, want, got, typed)
	}
	for typed, says := range map[string]string{
		"": "nothing is written", "900 g": "not what a spool holds", "100 m 0 g": "a mass of nothing", "100 m 0": "a price of nothing", "100 m 24.555": "not a price", "cheap": "does not start with a number", "100 m soft": "not what a spool holds",
	} {
		_, err := ParseSpool(typed, length.Metre)
		var input *length.InputError
		require.ErrorAs(t, err, &input, typed)
		require.Contains(t, input.Wrong, says, typed)
	}
	_, err := ParseSpool("100", 0)
	require.Error(t, err, "a unit is asked for where bare numbers are not read")
}
