package question_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/sizing/length"
)

// What an answer tells to buy is at least what its cuts come to as they are printed, in
// whichever system somebody cuts by.
func TestTotalsCoverTheCutsAsPrinted(t *testing.T) {
	parsed := func(text string) length.Length {
		t.Helper()
		l, err := length.Parse(text, 0)
		require.NoError(t, err, text)
		return l
	}
	for _, units := range []string{"metric", "imperial", "both"} {
		for _, step := range []string{"5cm", "1in", "7mm"} {
			a := commandstest.New(t)
			commandstest.Answered(t, a, "/prefs units:"+units+" step:"+step)
			commandstest.Answered(t, a, `/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm"`)
			for _, line := range []string{"/cord width:40cm drop:70cm", "/cord width:16in drop:2ft", "/fringe drop:25cm loops:24", "/fringe drop:10in loops:24"} {
				answer := commandstest.Answered(t, a, line)
				said := commandstest.FactOf(answer, "to buy") + commandstest.FactOf(answer, "in all")
				said, _, _ = strings.Cut(said, ", about")
				for i, total := range systems(said) {
					var cuts length.Length
					for _, row := range rowsOf(answer) {
						count, err := strconv.Atoi(row[1])
						require.NoError(t, err)
						cuts += length.Length(count) * parsed(systems(row[2])[i])
					}
					require.Positive(t, cuts)
					require.GreaterOrEqual(t, parsed(total), cuts, "%s, %s, %s", units, step, line)
				}
			}
			for _, finished := range []string{"40cm", "16in", "1.234m"} {
				line := fmt.Sprintf("/cut finished:%s count:7 folded:yes", finished)
				rows := rowsOf(commandstest.Answered(t, a, line))
				require.Greater(t, len(rows), 3)
				for _, row := range rows {
					one, all := systems(row[1]), systems(row[2])
					for i := range one {
						require.Equal(t, 7*parsed(one[i]), parsed(all[i]), "%s, %s, %s", units, line, row[0])
					}
				}
			}
		}
	}
}

// systems parts "4.40 m (14 ft 5 1/2 in)" into its two.
func systems(text string) []string {
	return strings.Split(strings.TrimSuffix(text, ")"), " (")
}

func rowsOf(answer reply.Reply) [][]string {
	var rows [][]string
	for _, block := range answer.Blocks {
		if table, ok := block.(reply.Table); ok {
			rows = append(rows, table.Rows...)
		}
	}
	return rows
}

// What a fringe is short of is what its missing pieces come to: 48 pieces of 56 cm are
// 1 ft 10 1/2 in each, and one spool of 10 m holds 17 of them.
func TestShortOfIsThePiecesAsPrinted(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, "/prefs units:both")
	commandstest.Answered(t, a, `/shelf add pieces:10m cord:"4 mm single-strand"`)
	answer := commandstest.Answered(t, a, "/fringe drop:25cm loops:24")
	require.Contains(t, commandstest.FactOf(answer, "short of"), "31 pieces, 17.36 m (58 ft 1 1/2 in)")
}
