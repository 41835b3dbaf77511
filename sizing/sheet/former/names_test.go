package former_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/former"
	"larkfold/sizing/sheet/sheettest"
	"larkfold/sizing/vocabulary"
)

// What no cord and no panel could be called in the version before.
var formerlyTaken = []string{"left", "right", "at", "over", "round", "from"}

// Whatever word of the sheet a cord or a panel was called in the version before, the
// sheet still opens; where the name has become a word, it says what it is called now.
func TestNamesThatBecameWordsStillOpen(t *testing.T) {
	renamed := 0
	for _, w := range vocabulary.Words() {
		if slices.Contains(formerlyTaken, w.Name) {
			continue
		}
		for _, name := range []string{w.Name, strings.ToUpper(w.Name)} {
			text := fmt.Sprintf("cord sea 3 mm\ncord %[1]s 4 mm\n\npanel %[1]s\n  mount 4 folded %[1]s\n  row square knot\n  add 2 single %[1]s left\n  wrap turns 3 with %[1]s\n\npanel q\n  mount 4 folded\n  net square knot until under %[1]s\n\npanel r from %[1]s, q\n  row square knot on left 4\n\nfringe 4 cm by 2 on left of %[1]s with %[1]s\nswag 3 %[1]s over 4 cm drop 2 cm\n", name)
			now := former.Sheet(text, sheettest.Book{})
			s, faults := sheet.Parse(now, sheettest.Book{})
			require.NoError(t, faults.Err(), now)
			require.Len(t, s.Cords, 2)
			require.Equal(t, s.Cords[1].Name, s.Panels[0].Steps[0].(sheet.Mount).Hung[0].Cord)
			if now == text {
				require.Equal(t, name, s.Cords[1].Name)
				continue
			}
			renamed++
			require.Contains(t, now, former.Changed, now)
			require.Contains(t, now, "for "+w.Name+" is a word of the sheet now")
		}
	}
	require.Greater(t, renamed, 10)
}

// Lines as people typed them, which the version before accepted, open too.
func TestFormerLinesStillOpen(t *testing.T) {
	for line, now := range map[string]string{
		"wrap length 3 cm with rot on 1-4": "wrap for 3 cm on 1-4 with Rot",
		"wrap length 3 cm":                 "wrap for 3 cm",
		"bar right to 2 slope 0":           "bar right to 2 level",
	} {
		s, faults := sheet.Parse(former.Sheet("cord main 4 mm\ncord Rot 3 mm\npanel wave\nmount 12 folded\n"+line+"\n", sheettest.Book{}), sheettest.Book{})
		require.NoError(t, faults.Err(), line)
		require.Contains(t, sheet.Format(s), "\n  "+now+"\n", line)
	}
}
