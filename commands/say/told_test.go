package say_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/say"
	"larkfold/sizing/length"
)

// A repeat is told once and said to be done again; each sentence knows which steps it
// tells, and every line of the sheet its sentence.
func TestRepeatsAreToldOnce(t *testing.T) {
	sized := size(t, "cord main 4 mm\npanel p\n  mount 4 folded\n  repeat 3\n    row square\n    space 2 cm\n  end\n  repeat 2\n    space 1 cm\n  end\n  tail 20 cm\n")
	const row, space = "One row: 2 square knots on each 4 ends from 1 to 8.", "Leave 2 cm free of knots."
	got := say.Instructions(sized.Result, length.Style{})
	require.Len(t, got, 1, "there is nothing to finish")
	require.Equal(t, []string{
		"Hang 4 cords, folded, by lark's heads.", row, space, "Do steps 2 to 3 again, 2 times more.", "Leave 1 cm free of knots.", "Do step 5 again, 1 time more.", "Trim so that 20 cm hang free.",
	}, got[0].Steps)
	// What is done: the mount, three times a row and a space, two spaces, the tail.
	require.Equal(t, []drawn.Span{{Panel: 0, From: 0, To: 1}, {Panel: 0, From: 1, To: 2}, {Panel: 0, From: 2, To: 3}, {Panel: 0, From: 3, To: 7}, {Panel: 0, From: 7, To: 8}, {Panel: 0, From: 8, To: 9}, {Panel: 0, From: 9, To: 10}}, got[0].Spans)

	var lines []string
	for _, told := range say.Told(sized.Result, 0, length.Style{}) {
		lines = append(lines, fmt.Sprint(told.Does.From, " ", told.Does.To, " ", told.Sentence))
	}
	require.Equal(t, []string{
		"0 1 Hang 4 cords, folded, by lark's heads.", "0 0 Do what stands up to 5 3 times.", "1 2 " + row, "2 3 " + space, "0 0 End of what is repeated.",
		"0 0 Do what stands up to 8 2 times.", "7 8 Leave 1 cm free of knots.", "0 0 End of what is repeated.", "9 10 Trim so that 20 cm hang free.",
	}, lines)
}

// A round that comes out otherwise is told by itself: the row of 8, 12 and 16 ends.
func TestRoundsThatDifferAreTold(t *testing.T) {
	got := say.Instructions(size(t, "cord main 4 mm\npanel p\n  mount 4 folded\n  repeat 3\n    add 2 folded left\n    row square\n  end\n  tail 20 cm\n").Result, length.Style{})
	require.Equal(t, []string{
		"Hang 4 cords, folded, by lark's heads.",
		"Add 2 cords, folded, at the left; they are ends 1 to 4 then.", "One row: 3 square knots on each 4 ends from 1 to 12.",
		"Add 2 cords, folded, at the left; they are ends 1 to 4 then.", "One row: 4 square knots on each 4 ends from 1 to 16.",
		"Add 2 cords, folded, at the left; they are ends 1 to 4 then.", "One row: 5 square knots on each 4 ends from 1 to 20.",
		"Trim so that 20 cm hang free.",
	}, got[0].Steps)
	require.Equal(t, []drawn.Span{{From: 0, To: 1}, {From: 1, To: 2}, {From: 2, To: 3}, {From: 3, To: 4}, {From: 4, To: 5}, {From: 5, To: 6}, {From: 6, To: 7}, {From: 7, To: 8}}, got[0].Spans)
}

// Ends and places are named as a maker counts them.
func TestEndsInWords(t *testing.T) {
	for line, want := range map[string]string{
		"space 3 cm":                       "Leave 3 cm free of knots.",
		"space 3 cm on left 2":             "Leave 3 cm free of knots on the left 2 ends.",
		"space 3 cm on right 1":            "Leave 3 cm free of knots on the right 1 end.",
		"space 3 cm on middle 2":           "Leave 3 cm free of knots on the middle 2 ends.",
		"space 3 cm on 3":                  "Leave 3 cm free of knots on end 3.",
		"space 3 cm on 2-5":                "Leave 3 cm free of knots on ends 2 to 5.",
		"space 3 cm on 1-2, 5-6":           "Leave 3 cm free of knots on ends 1 to 2 and ends 5 to 6.",
		"add 2 folded at left":             "Add 2 cords, folded, at the left; they are ends 1 to 4 then.",
		"add 2 single at right":            "Add 2 cords, single, at the right; they are ends 9 to 10 then.",
		"add 1 single at 3":                "Add 1 cord, single, at place 3; it is end 4 then.",
		"bead 15 mm hole 9 mm of 2":        "Thread 4 beads of 1.5 cm on each 2 ends from 1 to 8.",
		"bead 15 mm hole 9 mm of 2 on 3-4": "Thread 1 bead of 1.5 cm on ends 3 to 4.",
		"net square rows 8":                "8 rows of alternating square knots: rows 1, 3, 5 and 7: 2 square knots on each 4 ends from 1 to 8; rows 2, 4, 6 and 8: 1 square knot on ends 3 to 6.",
		"net square rows 9":                "9 rows of alternating square knots: rows 1, 3 and so on to 9: 2 square knots on each 4 ends from 1 to 8; rows 2, 4, 6 and 8: 1 square knot on ends 3 to 6.",
	} {
		got := say.Instructions(size(t, "cord main 4 mm\npanel o\n  mount 1 folded\n  bead 15 mm of 1\n  tail 9 cm\npanel p\n  mount 4 folded\n  "+line+"\n  tail 20 cm\n").Result, length.Style{})
		require.Equal(t, want, got[1].Steps[1], line)
	}
	for at, want := range map[string]string{"middle": "the middle", "middle+1": "1 to the right of the middle", "middle-2": "2 to the left of the middle"} {
		got := say.Instructions(size(t, "cord main 4 mm\npanel p\n  mount 4 folded\n  add 1 single at "+at+"\n  tail 20 cm\n").Result, length.Style{})
		require.Contains(t, got[0].Steps[1], "single, at "+want+";", at)
	}
}

// What finishes a piece is told with what it cuts: the wrap before it is cut first.
func TestWhatFinishesAPiece(t *testing.T) {
	for finish, want := range map[string][]string{
		"fringe 20 cm by 1 on left of p\nhanger rise 15 cm\n": {"Hang fringe on the left edge of p: one piece to a loop, each folded and drawn through; trim to 20 cm.", "Tie the hanger to both ends of the rod so that it rises 15 cm."},
		"fringe 20 cm by 2 on left of p\nhanger angle 45\n":   {"Hang fringe on the left edge of p: 2 pieces to a loop, each folded and drawn through; trim to 20 cm.", "Tie the hanger to both ends of the rod so that its two sides stand at 45 degrees."},
	} {
		got := say.Instructions(size(t, "cord main 4 mm\ndowel 40 cm x 20 mm\npanel p\n  mount 4 folded\n  net square rows 6\n  wrap turns 6\n  tail 20 cm\n"+finish).Result, length.Style{})
		require.Equal(t, want, got[1].Steps)
		require.Equal(t, []drawn.Span{{Panel: -1, From: 1, To: 2}, {Panel: -1, From: 2, To: 3}}, got[1].Spans)
	}
}
