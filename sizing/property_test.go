package sizing_test

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// Whatever the notation can write is sized or refused with a fault in its place.
func TestWhateverCanBeWrittenIsAnswered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := sheet.Format(sheettest.Written(t))
		_, err := sizing.Size(context.Background(), text, byTheBook())
		var faults sheet.Faults
		if err != nil && !errors.As(err, &faults) {
			t.Fatalf("an error that no member can mend: %v\n%s", err, text)
		}
		for _, f := range faults.Shown {
			require.Positive(t, f.Place.Line)
			require.NotEmpty(t, f.Line)
		}
	})
}

// What can be knotted is sized, and a wider margin never cuts less.
func TestMarginsNeverCutLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := sheet.Format(sheettest.Valid(t))
		var last length.Length
		for _, margin := range []string{"0%", "5%", "40%", "200%"} {
			sized, err := sizing.Size(context.Background(), text+"margin "+margin+"\n", byTheBook())
			require.NoError(t, err)
			var sum length.Length
			for _, total := range sized.List.Totals {
				sum += total.Length
			}
			require.GreaterOrEqual(t, sum, last)
			last = sum
		}
	})
}
