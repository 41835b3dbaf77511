package question_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// Whether work fits a dowel has one answer, whoever is asked: the sheet that names the
// dowel, /dowel for that sheet and for another stick, and /project resize.
func TestWhetherItFitsHasOneAnswer(t *testing.T) {
	const relaxed, closer, wide, full = "relaxed", "pushed closer", "too wide", "too full"
	// verdictOf is which of these an answer gives; a sheet says nothing of what hangs relaxed.
	verdictOf := func(answer string, words map[string]string) string {
		var all []string
		for verdict, says := range words {
			if strings.Contains(answer, says) {
				all = append(all, verdict)
			}
		}
		require.LessOrEqual(t, len(all), 1, answer)
		return strings.Join(all, "")
	}
	inSheet := map[string]string{closer: "sized as pushed closer", wide: "too wide for the dowel", full: "do not fit the dowel"}
	inDowel := map[string]string{closer: "fits: yes, pushed closer", wide: "too wide even when pushed together", relaxed: "fits: yes, relaxed"}
	inResize := map[string]string{closer: "with its cords pushed closer, so it keeps them", wide: "its width follows", relaxed: "fits the rod relaxed, so it keeps its cords"}
	// Cord of 4 mm is 2.8 mm in the knot. Folded it takes 4 diameters of the rod and 3
	// pushed together, laid 4 and 2, a single one half a folded one's.
	for name, c := range map[string]struct {
		hung    string
		lengths map[int]string // millimetres, on both sides of each edge
	}{
		"Folded": {"mount 24 folded", map[int]string{ // 268.8 mm, 201.6 mm
			201: full, 202: wide, 230: wide, 261: wide, 262: closer, 300: closer, 328: closer, 329: relaxed, 400: relaxed}},
		"Aside": {"gap 1 cm\nmount 24 folded", map[int]string{ // the gap is the left end
			211: full, 212: wide, 241: wide, 242: closer, 308: closer, 309: relaxed}},
		"Mixed": {"mount 12 folded\nmount 12 laid", map[int]string{ // 268.8 mm, 100.8 + 67.2 mm
			167: full, 169: wide, 227: wide, 229: closer, 328: closer, 329: relaxed}},
	} {
		t.Run(name, func(t *testing.T) {
			a := commandstest.Quick(t)
			commandstest.Answered(t, a, "/prefs units:metric")
			sheetOn := func(dowel string) string {
				return `sheet:"cord main 4 mm` + "\n" + dowel + "\npanel work\n" + c.hung + "\nnet square rows 2\ntail 10 cm\nhanger rise 15 cm\n\""
			}
			commandstest.Answered(t, a, "/project new name:Long "+sheetOn("dowel 60 cm x 20 mm"))
			for mm, want := range c.lengths {
				said := commandstest.Render(commandstest.Asked(t, a, fmt.Sprintf("/project new name:On%d %s", mm, sheetOn(fmt.Sprintf("dowel %d mm x 20 mm", mm)))))
				require.Equal(t, strings.TrimPrefix(want, relaxed), verdictOf(said, inSheet), "%d mm: %s", mm, said)
				inWords := want
				if want == full {
					inWords = wide // that is what /dowel and a resize can say of it
				}
				other := commandstest.Asked(t, a, fmt.Sprintf("/dowel project:Long length:%dmm", mm))
				require.Equal(t, inWords, verdictOf(commandstest.Render(other), inDowel), "%d mm", mm)
				resized := commandstest.Render(commandstest.Asked(t, a, fmt.Sprintf(`/project resize name:Long dowel:"%dmm x 20mm"`, mm)))
				require.Equal(t, inWords, verdictOf(resized, inResize), "%d mm: %s", mm, resized)
				require.NotContains(t, resized, "too wide for the dowel", "%d mm", mm)
				if want == full {
					continue
				}
				own := commandstest.Asked(t, a, fmt.Sprintf("/dowel project:On%d", mm))
				require.Equal(t, commandstest.FactOf(other, "fits"), commandstest.FactOf(own, "fits"), "%d mm", mm)
				if want == wide {
					by, _, _ := strings.Cut(commandstest.FactOf(own, "fits"), " too wide")
					require.Contains(t, said, "the work is "+strings.TrimPrefix(by, "no: ")+" too wide for the dowel", "%d mm", mm)
				}
			}
		})
	}
}
