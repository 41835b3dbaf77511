package cord_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

func TestParsePrice(t *testing.T) {
	for text, want := range map[string]cord.Price{
		"24": 2400, "24.00": 2400, "24.5": 2450, "24,50": 2450, "0": 0, "0.01": 1,
		"€24.00": 2400, "24 $": 2400, " 7.90 ": 790, "999999999999.99": 99999999999999,
	} {
		got, err := cord.ParsePrice(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
		again, err := cord.ParsePrice(got.String())
		require.NoError(t, err, text)
		require.Equal(t, got, again, text)
	}
	for _, text := range []string{"", "-0.50", "1.-5", "24.+5", "+24", "24.005", "24.", ".50", "1e3", "twelve", "1 000", "1,000.00", "9999999999999", "24 euro", "0x10", "٣"} {
		_, err := cord.ParsePrice(text)
		var input *length.InputError
		require.ErrorAs(t, err, &input, text)
	}
}
