package cutting_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/cutting"
	"larkfold/commands/reply"
	"larkfold/store"
)

// A plan takes a rest of 10 m as worth keeping and ten sizes of spool, and no more.
func TestBoundsOfAPlan(t *testing.T) {
	a := commandstest.Quick(t)
	sizes := strings.Repeat("50m, ", 9)
	for line, fine := range map[string]bool{
		`/plan pieces:"4 x 1m" spool:50m keep:10m`:            true,
		`/plan pieces:"4 x 1m" spool:50m keep:10.01m`:         false,
		`/plan pieces:"4 x 1m" spool:"` + sizes + `50m"`:      true,
		`/plan pieces:"4 x 1m" spool:"` + sizes + `50m, 50m"`: false,
	} {
		require.Equal(t, !fine, commandstest.Asked(t, a, line).Refused, line)
	}
	one := commandstest.Render(commandstest.Asked(t, a, `/plan pieces:"4 x 1m" spool:0m`))
	require.NotContains(t, one, `spool:"50m, 100m"`, "who named one size is not offered several")
	require.Equal(t, time.Second/4, cutting.Apiece(time.Second, 4))
	require.Equal(t, time.Second, cutting.Apiece(time.Second, 1))
	require.Equal(t, time.Second, cutting.Apiece(time.Second, 0), "a design without cords")
}

// Where there is nothing to cut from the answer names a spool that gives the longest
// piece: 100 m unless a piece is longer, else the next whole 50 m or 50 yd. 100 m are
// 109.4 yd, 4 km are 4374.5 yd.
func TestASpoolThatWouldDo(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.Answered(t, a, `/project new name:Gull sheet:"`+commandstest.Small+`"`)
	for _, tt := range []struct{ units, line, wrong, try string }{
		{"metric", `/plan pieces:"4 x 100m, 2 x 3m"`, "no piece of that cord lies on your shelf", "spool:100m"},
		{"metric", `/plan pieces:"2 x 3m, 4 x 100.1m"`, "no piece of that cord", "spool:150m"},
		{"metric", `/plan pieces:"4 x 150m"`, "no piece of that cord", "spool:150m"},
		{"metric", `/plan pieces:"4 x 150.1m"`, "no piece of that cord", "spool:200m"},
		{"imperial", `/plan pieces:"4 x 4km"`, "no piece of that cord", "spool:4400yd"},
		{"imperial", `/plan pieces:"4 x 150yd"`, "no piece of that cord", "spool:150yd"},
		{"metric", `/plan pieces:"4 x 150.1m" spool:150m`, "piece A, 150.10 m\nwrong: it is longer than anything there is to cut from; the longest is 150.00 m", "spool:200m"},
		{"metric", `/plan project:Gull`, "nothing to cut the cord “main” from: no piece of 4 mm single-strand lies on your shelf and no spool was named", "spool:100m"},
	} {
		commandstest.Answered(t, a, "/prefs units:"+tt.units)
		answer := commandstest.Asked(t, a, tt.line)
		require.True(t, answer.Refused, tt.line)
		require.Contains(t, commandstest.Render(answer), tt.wrong, tt.line)
		require.Contains(t, commandstest.Render(answer), tt.try+"\n", tt.line)
		require.False(t, commandstest.Asked(t, a, tryOf(t, answer)).Refused, "what is offered works")
	}

	post := commandstest.Answered(t, a, "/project share name:Gull")
	pressed := commandstest.Press(t, a, post, "cutting plan")
	require.True(t, pressed.Refused)
	require.Contains(t, commandstest.Render(pressed), "/plan project:… spool:100m")
	require.NotContains(t, commandstest.Render(pressed), "Try", "a press has no line to type again")
}

// tryOf is the line that a refusal offers.
func tryOf(t *testing.T, answer reply.Reply) string {
	t.Helper()
	for _, block := range answer.Blocks {
		if line, ok := block.(reply.Verbatim); ok && strings.HasPrefix(string(line), "/") {
			return string(line)
		}
	}
	require.Fail(t, "nothing is offered", commandstest.Render(answer))
	return ""
}

// A spool on the shelf that was not cut is told only where it might have been thought to
// serve, and by what really keeps it from serving.
func TestWhyASpoolIsPassedOver(t *testing.T) {
	const unnamed, unasked, short = "its thickness is not named", "no thickness was asked for", "it is shorter than the shortest piece"
	for _, tt := range []struct{ shelf, cord, plan, why string }{
		{"spool 5m", "4 mm moss", `pieces:"2 x 2m" spool:50m`, ""}, // another thickness than none
		{"spool 5m", "", `pieces:"2 x 2m" spool:50m cord:"4 mm"`, unnamed},
		{"spool 5m", "rust", `pieces:"2 x 2m" spool:50m cord:cream`, "it is rust, not cream"},
		{"spool 5m", "4 mm cream", `pieces:"2 x 2m" spool:50m cord:cream`, unasked},
		{"spool 5m", "4 mm", `pieces:"2 x 2m" spool:50m cord:cream`, unasked},
		{"spool 5m", "4 mm rust", `pieces:"2 x 2m" spool:50m cord:cream`, ""},
		{"spool 5m", "rust", `pieces:"2 x 2m" spool:50m cord:"4 mm cream"`, unnamed},
		{"spool 5m", "4 mm rust", `pieces:"2 x 2m" spool:50m cord:"4 mm cream"`, "it is rust, not cream"},
		{"spool 5m", "5 mm rust", `pieces:"2 x 2m" spool:50m cord:"4 mm cream"`, ""},
		{"spool 5m", "4 mm plied", `pieces:"2 x 2m" spool:50m cord:"4 mm braided"`, "it is plied, not braided"},
		// What would serve and is not needed is not told; nor is one as long as the shortest piece.
		{"2m x2, spool 5m", "4 mm", `pieces:"2 x 2m" cord:"4 mm cream"`, ""},
		{"2m x2, spool 5m", "4 mm rust", `pieces:"2 x 2m" cord:"4 mm"`, ""},
		{"2m x2, spool 2m", "4 mm", `pieces:"2 x 2m" cord:"4 mm"`, ""},
		{"3m x2, 2m x1, spool 1.99m", "4 mm", `pieces:"1 x 3m, 1 x 2m, 1 x 2.5m" cord:"4 mm"`, short},
		{"3m x2, 2m x1, spool 2m", "4 mm", `pieces:"1 x 3m, 1 x 2m, 1 x 2.5m" cord:"4 mm"`, ""},
	} {
		a := commandstest.Quick(t)
		commandstest.Answered(t, a, `/shelf add pieces:"`+tt.shelf+`" cord:"`+tt.cord+`"`)
		told := commandstest.FactOf(commandstest.Answered(t, a, "/plan "+tt.plan), "not cut")
		if tt.why == "" {
			require.Empty(t, told, tt)
			continue
		}
		require.True(t, strings.HasSuffix(told, ": "+tt.why), "%v: %s", tt, told)
	}
}

// A cord of the sheet that nothing hangs by is not planned, and a search is weighed
// before it begins.
func TestOnlyCordsThatAreCutArePlanned(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.Answered(t, a, `/project new name:Gull sheet:"`+strings.Replace(commandstest.Small, "panel front", "cord spare 3 mm\npanel front", 1)+`"`)
	var asked []reply.Work
	ctx := reply.WithTurns(t.Context(), func(_ context.Context, w reply.Work) error {
		asked = append(asked, w)
		return nil
	})
	answer, err := a.Do(ctx, commandstest.Typed(t, commandstest.Ana, "/plan project:Gull spool:50m"))
	require.NoError(t, err)
	require.False(t, answer.Refused, commandstest.Render(answer))
	require.NotContains(t, commandstest.Render(answer), "spare")
	require.Equal(t, []reply.Work{{Amount: 1000, Bytes: 8 << 20}}, asked)
}

// Pieces that say nothing of their colour serve for every colour; those that do serve
// for their own, and for an only cord whose name no piece bears, since that is often no
// colour.
func TestWhichPiecesServe(t *testing.T) {
	a := commandstest.Quick(t)
	for _, line := range []string{
		`/shelf add pieces:1m cord:"4 mm"`, `/shelf add pieces:2m cord:"4 mm sand"`, `/shelf add pieces:3m cord:"4 mm moss"`, `/shelf add pieces:4m cord:"5 mm sand"`, `/shelf add pieces:5m`,
	} {
		commandstest.Answered(t, a, line)
	}
	for _, tt := range []struct{ cord, serve string }{
		{`cord:"4 mm sand"`, "1 m 2 m"}, {`cord:"4 mm moss"`, "1 m 3 m"}, {`cord:"4 mm rust"`, "1 m"}, {`cord:"4 mm"`, "1 m 2 m 3 m"}, {"", "5 m"},
	} {
		// As many pieces of 1 m as there are metres that serve, and one more.
		metres := 0
		for _, word := range strings.Fields(tt.serve) {
			if word != "m" {
				metres += int(word[0] - '0')
			}
		}
		all := commandstest.Answered(t, a, `/plan pieces:"`+strings.Repeat("1m, ", metres)+`" keep:0cm `+tt.cord)
		require.Equal(t, "nothing", commandstest.FactOf(all, "to buy"), tt.cord)
		more := commandstest.Answered(t, a, `/plan pieces:"`+strings.Repeat("1m, ", metres+1)+`" keep:0cm `+tt.cord)
		require.Contains(t, commandstest.Render(more), "short of: 1 x 1", tt.cord)
	}
}

// A piece that was put on the shelf without words, by an earlier version, lies there as
// any other.
func TestAPieceWithoutWordsServes(t *testing.T) {
	a := commandstest.Quick(t)
	_, err := a.Room.Store.ChangeLeftovers(t.Context(), commandstest.Ana.Member, commandstest.Ana.Now, store.LeftoverChange{Why: "test", Add: []store.Leftover{{Kind: store.Offcut, Length: store.Nanometres(2 * m), Count: 1}}}, store.AnyRevision)
	require.NoError(t, err)
	require.Equal(t, "2.00 m", commandstest.FactOf(commandstest.Answered(t, a, `/plan pieces:2m`), "from your shelf"))
}
