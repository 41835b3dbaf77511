package question_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/design"
	"larkfold/commands/question"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/length"
)

func TestCutAnswers(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm" source:"my own jar covers"`)
	commandstest.Answered(t, a, `/rule add name:"By Width" formula:"6*width"`)
	commandstest.Golden(t, "cut", commandstest.Conversation(t, a,
		"/cut finished:1.2m count:8 folded:yes",
		"/cut finished:1.2m",
		"/cut finished:4ft count:8 folded:yes tail:1ft",
		"/cut finished:1.2m count:6 folded:yes knot:plait",
		`/cut finished:60cm count:10 folded:yes knot:"half hitch" thickness:3mm rule:"jar cover"`,
		"/cut finished:20cm count:40 folded:yes rule:doubled",
		`/cut finished:90cm rule:"by width" width:40cm`,
	))
}

// traced is a question to /cut, traced.
type traced struct {
	sizing.Sized
	worked length.Length // the knotwork below the mounts
}

func tracedPieces(t *testing.T, a *commandstest.App, line string) traced {
	t.Helper()
	req := commandstest.Typed(t, commandstest.Ana, line)
	c, _ := reply.Find(a.Commands(), []string{"cut"})
	sit := commandstest.Seated(t, a, req)
	s, worked, err := question.Doubled(sit, req.As(c))
	require.NoError(t, err)
	sized, err := design.SizeSheet(t.Context(), sit, s)
	require.NoError(t, err)
	return traced{sized, worked}
}

// The workers of a square-knot sinnet use four to five times its length, and the
// fillers once (common practice, no source).
func TestCutAgainstTheTradesBand(t *testing.T) {
	a := commandstest.New(t)
	for _, thickness := range []int{2, 3, 4, 6, 9} {
		sized := tracedPieces(t, a, fmt.Sprintf("/cut finished:2m thickness:%dmm", thickness))
		worked := float64(sized.worked)
		for _, e := range sized.Ends {
			for _, u := range e.Uses {
				times := float64(u.Takes) / worked
				if u.Role == "worker" {
					require.Greater(t, times, 4.0, "%d mm", thickness)
					require.Less(t, times, 5.0, "%d mm", thickness)
				} else {
					require.InDelta(t, 1, times, 0.03, "%d mm", thickness)
				}
			}
		}
	}
}

// A rule is said to run short exactly when its length leaves the worker less than 12 cm
// (common practice, no source) to tie the last knots with, and by how much of that,
// worked out here by itself.
func TestVerdictsOfRules(t *testing.T) {
	a := commandstest.New(t)
	rules := 0
	for _, asked := range []struct {
		line                  string
		legs                  length.Length
		tail                  length.Length
		knotted, tied, inHand string // the verdicts 1 mm below an edge
	}{
		{"/cut finished:1.2m count:8 folded:yes", 2, 0, "runs short by 24.2 cm, 24 cm of it to tie with", "runs short by 2 mm of the 24 cm to tie with", "runs short by 24 cm of the 24 cm to tie with"},
		{"/cut finished:1.2m count:8", 1, 0, "runs short by 12.1 cm, 12 cm of it to tie with", "runs short by 1 mm of the 12 cm to tie with", "runs short by 12 cm of the 12 cm to tie with"},
		{"/cut finished:1.2m count:8 folded:yes tail:5cm", 2, 5 * length.Centimetre, "runs short by 14.2 cm, 14 cm of it to tie with", "runs short by 2 mm of the 24 cm to tie with", "runs short by 14 cm of the 24 cm to tie with"},
		{"/cut finished:1.2m count:8 folded:yes tail:12cm", 2, 12 * length.Centimetre, "runs short by 2 mm", "runs short by 2 mm", ""},
	} {
		var bare length.Length
		for _, e := range tracedPieces(t, a, asked.line).Ends {
			bare = max(bare, e.Total())
		}
		whole := bare + 12*length.Centimetre - asked.tail
		verdict := func(leg length.Length) string {
			rules++
			commandstest.Answered(t, a, fmt.Sprintf("/rule add name:rule%d formula:\"0*finished + %d.%06d mm\"", rules, int64(leg/length.Millimetre), int64(leg%length.Millimetre)))
			return commandstest.Render(commandstest.Answered(t, a, fmt.Sprintf("%s rule:rule%d", asked.line, rules)))
		}
		require.Contains(t, verdict(bare-length.Millimetre), asked.knotted+"\n", asked.line)
		require.Contains(t, verdict(whole-length.Millimetre), asked.tied+"\n", asked.line)
		if asked.inHand != "" {
			require.Contains(t, verdict(bare), asked.inHand+"\n", asked.line)
		}
		reaches := verdict(whole)
		require.NotContains(t, reaches, "runs short by", asked.line)
		require.Contains(t, reaches, "reaches, but eats into your margin", asked.line)
	}
}

// The hanging that /cut offers to size can be asked for as it stands, in every system.
func TestCutOffersALineThatAnswers(t *testing.T) {
	for _, units := range []string{"metric", "imperial", "both"} {
		a := commandstest.New(t)
		commandstest.Answered(t, a, "/prefs units:"+units)
		blocks := commandstest.Answered(t, a, "/cut finished:40cm count:8").Blocks
		line, ok := blocks[len(blocks)-1].(reply.Verbatim)
		require.True(t, ok)
		commandstest.Answered(t, a, string(line))
	}
}

// What /cut says of a sinnet is what a sheet of the same sinnet says.
func TestCutAgreesWithTheSheet(t *testing.T) {
	a := commandstest.New(t)
	sized := tracedPieces(t, a, "/cut finished:1m folded:yes tail:20cm")
	answer := commandstest.Answered(t, a, `/project new name:Same sheet:"cord main 4 mm
dowel 50 cm x 20 mm
panel work
mount 2 folded
sinnet square for 78.7 cm
tail 20 cm"`)
	require.Contains(t, commandstest.Render(answer), "2 x "+sitting.Prefs{}.Cut(sized.List.Cuts[0].Length))
}

// From Request to Reply: rules, take-up and folding off centre.
func BenchmarkCut(b *testing.B) {
	a := commandstest.New(b)
	req := commandstest.Typed(b, commandstest.Ana, "/cut finished:1.2m count:8 folded:yes")
	b.ReportAllocs()
	for b.Loop() {
		answer, err := a.Do(context.Background(), req)
		require.NoError(b, err)
		require.False(b, answer.Refused)
	}
}

// A maker whose knots all take 1.12 times the book's is sized so: the take-up of
// every working end grows by just that, and cords of another making are left alone.
func TestKnownHandComesThrough(t *testing.T) {
	const hand = 1.12
	a := commandstest.New(t)
	line := "/cut finished:1m knot:sk thickness:%s construction:%s tail:10cm"
	was := map[string]float64{}
	cords := [][2]string{{"4mm", "single-strand"}, {"4.1mm", "single-strand"}, {"5mm", "single-strand"}, {"4mm", "braided"}}
	for _, c := range cords {
		sized := tracedPieces(t, a, fmt.Sprintf(line, c[0], c[1]))
		was[c[0]+c[1]] = sized.Ends[0].TakeUp.Millimetres()
	}
	k, _ := a.Room.Book.Knot("square knot")
	book := commandstest.WorkerOf(t, k)
	for _, n := range []int{10, 20, 30} {
		commandstest.OnDay(t, a, n, fmt.Sprintf("/swatch add knot:sk count:%d used:%.3fmm", n, hand*float64(n)*book.Millimetres()))
	}
	for i, c := range cords {
		sized := tracedPieces(t, a, fmt.Sprintf(line, c[0], c[1]))
		want := 1.0
		if i < 2 {
			want = hand // 4.1 mm is 4 mm to a quarter of a millimetre
		}
		require.InDelta(t, want, sized.Ends[0].TakeUp.Millimetres()/was[c[0]+c[1]], 1e-4, "%v", c)
	}
}
