package former_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/former"
	"larkfold/sizing/sheet/sheettest"
)

// saved are sheets that the parser of the version before accepted: random ones
// that it printed, with names that have become words since.
func saved(t *testing.T) []string {
	data, err := os.ReadFile(filepath.Join("testdata", "former-sheets.txt"))
	require.NoError(t, err)
	return regexp.MustCompile(`(?m)^== \d+\n`).Split(string(data), -1)[1:]
}

func TestFormerSheetsStillOpen(t *testing.T) {
	changed := 0
	for _, text := range saved(t) {
		now := former.Sheet(text, sheettest.Book{})
		s, faults := sheet.Parse(now, sheettest.Book{})
		require.NoError(t, faults.Err(), text)
		if now != text {
			changed++
			require.True(t, strings.HasPrefix(now, former.Changed), now)
			require.NotEmpty(t, s.Remarks)
		}
		require.Equal(t, now, former.Sheet(now, sheettest.Book{}), "once is enough")
		panels := strings.Count("\n"+text, "\npanel ")
		require.Len(t, s.Panels, panels)
	}
	require.Greater(t, changed, 15)
	require.Less(t, changed, 60)
}

func TestMigrate(t *testing.T) {
	const text = "cord laid 4 mm\ncord sea 3 mm\n\npanel both\n  mount 4 folded laid\n  row square knot  # laid, both\n  wrap length 3 cm with laid\n\npanel on from both\n  add 2 single laid left\n  bar left to right slope 0\n\nfringe 4 cm by 2 on left of both with laid\nswag 3 laid over 4 cm drop 2 cm\n"
	require.Equal(t, `# changed: cord laid is called my-laid, for laid is a word of the sheet now
# changed: panel both is called the-both, for both is a word of the sheet now
# changed: panel on is called the-on, for on is a word of the sheet now
# changed: wrap length is said wrap for now
cord my-laid 4 mm
cord sea 3 mm

panel the-both
  mount 4 folded my-laid
  row square knot  # laid, both
  wrap for 3 cm with my-laid

panel the-on from the-both
  add 2 single my-laid left
  bar left to right slope 0

fringe 4 cm by 2 on left of the-both with my-laid
swag 3 my-laid over 4 cm drop 2 cm
`, former.Sheet(text, sheettest.Book{}))
	const faulty = "cord laid 4 mm\npanel p\n  mount 4 folded laid\n  row sqare\n"
	require.Equal(t, faulty, former.Sheet(faulty, sheettest.Book{}), "what cannot be read in any case stays as it is")
	require.Equal(t, "offset spiral", former.Knot("Shifted spiral"))
	require.Equal(t, "spiral", former.Knot("spiral"))
	require.NoError(t, sheet.CheckKnotName(former.Knot("shifted spiral")))
}
