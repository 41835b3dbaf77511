package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"

	"github.com/stretchr/testify/require"
)

// What is refused begins just beyond the most that a sheet may say.
func TestTheMostIsRead(t *testing.T) {
	name := func(n int) string {
		return "cord " + strings.Repeat("n", n) + " 4 mm\npanel p\n  mount 2 folded\n"
	}
	ends := func(n int) string {
		return fmt.Sprintf("cord main 4 mm\npanel p\n  mount %d folded\npanel q\n  mount %d single\n", sheet.MostEnds/4, n-sheet.MostEnds/2)
	}
	knots := func(times int) string {
		return fmt.Sprintf("cord main 4 mm\npanel p\n  mount 2 folded\n  repeat %d\n    sinnet square times %d\n  end\n", times, sheet.MostKnots/10)
	}
	grown := func(times int) string {
		return fmt.Sprintf("cord main 4 mm\npanel p\n  mount %d folded\n  repeat %d\n    add 1 folded left\n  end\n", sheet.MostEnds/2-3, times)
	}
	lines := func(n int) string {
		return "cord main 4 mm\npanel p\n  mount 2 folded\n" + strings.Repeat("row half of 3 on 1-3\n", n-3)
	}
	bytes := func(n int) string {
		const text = "cord main 4 mm\npanel p\n  mount 2 folded\n#"
		return text + strings.Repeat("o", n-len(text))
	}
	for name, test := range map[string]struct{ most, beyond, says string }{
		"ends that are added":   {grown(3), grown(4), "makes 2002 ends in the whole sheet: the most is 2000"},
		"lines":                 {lines(sheet.MostLines), lines(sheet.MostLines + 1), "lines"},
		"bytes":                 {bytes(sheet.MostBytes), bytes(sheet.MostBytes + 1), "16 KiB"},
		"letters of a name":     {name(40), name(41), "too long for the name of a cord"},
		"ends of a sheet":       {ends(sheet.MostEnds), ends(sheet.MostEnds + 1), "ends in the whole sheet"},
		"knots, block by block": {knots(10), knots(11), "knots in the whole sheet"},
	} {
		_, faults := sheet.Parse(test.most, sheettest.Book{})
		require.NoError(t, faults.Err(), name)
		_, faults = sheet.Parse(test.beyond, sheettest.Book{})
		require.ErrorContains(t, faults.Err(), test.says, name)
	}
}
