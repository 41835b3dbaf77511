package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// What is offered instead of a line that lacks a word, has one too many, or has them in
// another order: all that was said is kept, and what is added is the likeliest. What
// would lose or change a number or a word of the sheet is not offered.
func TestMistypedLines(t *testing.T) {
	for typed, right := range map[string]string{
		"row square of on left 4":             "row square of 4 on left 4",
		"row square on":                       "row square on all",
		"row square skip":                     "row square skip 2",
		"net square rows on 1-4":              "net square rows 6 on 1-4",
		"net square rows 6 of":                "net square rows 6 of 4",
		"net square apart 2 cm":               "net square apart 2 cm rows 6",
		"sinnet square on left 4":             "sinnet square on left 4 times 12",
		"sinnet square times on left 4":       "sinnet square times 12 on left 4",
		"bar left to":                         "bar left to middle",
		"bar to middle":                       "bar left to middle",
		"bar 3 to times 2":                    "bar 3 to middle times 2",
		"bar left to middle slope":            "bar left to middle slope 30",
		"bar left to middle slop 30":          "bar left to middle slope 30",
		"add 2 folded":                        "add 2 folded left",
		"add folded left":                     "add 4 folded left",
		"add 2 left 5":                        "", // at 5, or 5 of them
		"wrap with Rot":                       "wrap with Rot turns 6",
		"wrap turns with Rot":                 "wrap turns 6 with Rot",
		"wrap 6 on 1-4":                       "wrap turns 6 on 1-4",
		"tassel 10 cm on left 2":              "tassel 10 cm with 12 strands on left 2",
		"tassel with 12 strands":              "tassel 10 cm with 12 strands",
		"leaf 10 to 3 cm":                     "leaf 10 from 8 cm to 3 cm",
		"leaf from 8 cm to 3 cm":              "leaf 12 from 8 cm to 3 cm",
		"bead hole 8 mm":                      "bead 15 mm hole 8 mm",
		"bead 15 mm hole":                     "bead 15 mm hole 8 mm",
		"plait 20 cm":                         "plait for 20 cm",
		"plait 5 for 20 cm":                   "plait of 5 for 20 cm",
		"plait for 20":                        "plait for 20 cm",
		"space":                               "space 3 cm",
		"space 3":                             "space 3 cm",
		"tail 15 cm to 30 cm":                 "tail 15 cm to 30 cm at middle",
		"tail 15 cm at middle":                "tail 15 cm to 30 cm at middle",
		"onto":                                "onto rod",
		"mount folded":                        "mount 12 folded",
		"mount twelve folded":                 "mount 12 folded",
		"gap":                                 "gap 4 cm",
		"gap 4":                               "gap 4 cm",
		"fringe 22 cm on left of wave":        "fringe 22 cm by 2 on left of wave",
		"fringe by 2 on left of wave":         "fringe 22 cm by 2 on left of wave",
		"fringe 22 cm by 2 on foot of wave":   "fringe 22 cm by 2 each 1 cm on foot of wave",
		"swag 6 drop 25 cm":                   "swag 6 over 40 cm drop 25 cm",
		"swag over 40 cm drop 25 cm":          "swag 6 over 40 cm drop 25 cm",
		"hanger":                              "hanger rise 15 cm",
		"hanger rise":                         "hanger rise 15 cm",
		"hanger 45":                           "hanger angle 45",
		"copies":                              "copies 4",
		"copies many":                         "copies 4",
		"margin":                              "margin 8%",
		"round up":                            "round up to 5 cm",
		"round 5 cm":                          "round up to 5 cm",
		"tie up":                              "tie pushed up",
		"hang":                                "hang touching",
		"cord":                                "cord second 4 mm",
		"cord a":                              "cord a 4 mm",
		"cord a 4 mm colour":                  "cord a 4 mm colour teal",
		"cord a 4 mm squeeze":                 "cord a 4 mm squeeze 0.75",
		"cord a 4 mm spool":                   "cord a 4 mm spool 4 mm",
		"dowel":                               "dowel 60 cm x 20 mm birch",
		"dowel 60 cm":                         "dowel 60 cm x 20 mm",
		"dowel x 20 mm":                       "dowel 60 cm x 20 mm",
		"ring 20 cm":                          "ring 20 cm x 20 mm",
		"square row":                          "row square",
		"square on 1-4":                       "row square on 1-4",
		"row squre skp 2":                     "row square skip 2",
		"net square 6":                        "net square rows 6",
		"row square 4":                        "row square of 4",
		"sinnet half 12,5 times":              "sinnet half 12 times",
		"net square rows 2.4":                 "net square rows 2",
		"sinnet half times 7.9":               "sinnet half times 8",
		"row square times 5":                  "", // which groups of 5 are not
		"repeat":                              "repeat 3",
		"sinnet half knot tims 10 on midle 4": "sinnet half knot times 10 on middle 4",
		"sinnet half tims nine on rigt 4":     "sinnet half times 9 on right 4",
		"sinnet square times nine":            "sinnet square times 9",
		"sinnet square times twelve":          "sinnet square times 12",
		"sinnet half knot times 12 on ends 5 to 8": "sinnet half knot times 12 on 5-8",
		"row square on 1 to 14":                    "row square on 1-14",
		"row square on 1 and 5":                    "row square on 1, 5",
		"net square for 25cn":                      "net square for 25 cm",
		"net square for 25cn on midle 4":           "net square for 25 cm on middle 4",
		"net square rows 6 form left":              "", // how many on the left?
		"gather at middel":                         "", // from where?
		"dowel 70cm":                               "dowel 70cm x 20 mm",
		"net square rows 3 of 4 rows 5":            "", // 3 or 5?
		"bar left to middle level slope 5":         "",
		"ring 25 mm x 20 mm":                       "",
		"hang loose":                               "",
		"net squre rows 0":                         "net square rows 6",
		"plait for 20 cm tigt":                     "plait for 20 cm tight",
		"repeat thrice":                            "repeat 3",
		"rise 15 cm":                               "hanger rise 15 cm",
		"colour teal":                              "cord second 4 mm colour teal",
	} {
		_, faults := sheet.Parse(around(typed), sheettest.Book{})
		require.Error(t, faults.Err(), typed)
		assert.Equal(t, right, faults.Shown[0].Right, typed)
	}
}
