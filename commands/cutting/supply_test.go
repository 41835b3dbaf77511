package cutting_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/cutting"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/commands/slip"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/resize"
	"larkfold/sizing/sheet"
	"larkfold/sizing/stock"
)

const m, cm = length.Metre, length.Centimetre

// What a member has is read as lengths, as their shelf or as a cord of it, and belongs
// to one cord of the design; where several could be meant the answer asks which.
func TestWhatAMemberHas(t *testing.T) {
	a := commandstest.Quick(t)
	for _, line := range []string{
		`/shelf add pieces:"3m x20" cord:"4 mm single-strand cream"`,
		`/shelf add pieces:40m cord:"3 mm braided rust"`,
		`/shelf add pieces:7m cord:"cream cotton"`,
		`/shelf add pieces:5m`,
	} {
		commandstest.Answered(t, a, line)
	}
	one := []sheet.Cord{{Name: "main", Thickness: 4 * length.Millimetre}}
	two := []sheet.Cord{{Name: "sand", Thickness: 4 * length.Millimetre}, {Name: "reed", Thickness: 3 * length.Millimetre}}
	twins := []sheet.Cord{{Name: "sand", Thickness: 4 * length.Millimetre}, {Name: "reed", Thickness: 4 * length.Millimetre}}
	for _, tt := range []struct {
		have, only string
		cords      []sheet.Cord
		words      string // of what there is
		of         map[int][]stock.Stock
		refused    string
		try        string
	}{
		{have: "60m", cords: one, words: "60.00 m", of: pieces(0, 60*m, 1)},
		{have: "1 x 60m", cords: one, words: "60.00 m", of: pieces(0, 60*m, 1)},
		{have: "2 spools 50m", cords: one, words: "2 x 50.00 m", of: pieces(0, 50*m, 2)},
		{have: "60m", cords: two, refused: "several cords: sand and reed"},
		{have: "60m", only: "REED", cords: two, words: "60.00 m", of: pieces(1, 60*m, 1)},
		{have: "60m", only: "moss", cords: two, refused: "several cords: sand and reed"},

		{have: "Shelf", cords: one, words: "your shelf", of: pieces(0, 3*m, 20)},
		{have: "shelf", cords: []sheet.Cord{{Name: "main", Thickness: 5 * length.Millimetre}}, refused: "nothing of the cord “main” lies there: 5 mm"},
		{have: "shelf", cords: []sheet.Cord{one[0], {Name: "deep", Thickness: 5 * length.Millimetre}}, refused: "nothing of the cord “deep” lies there"},

		{have: "4 mm single-strand cream", cords: one, words: "4 mm single-strand cream on your shelf", of: pieces(0, 3*m, 20)},
		{have: "cream", cords: one, words: "4 mm single-strand cream on your shelf", of: pieces(0, 3*m, 20)},
		{have: "4 mm cream", cords: one, words: "4 mm single-strand cream on your shelf", of: pieces(0, 3*m, 20)},
		{have: "4 mm", cords: one, words: "4 mm single-strand cream on your shelf", of: pieces(0, 3*m, 20)},
		{have: "cotton cream", cords: one, words: "4 mm single-strand cream on your shelf", of: pieces(0, 3*m, 20)},
		{have: "cream cotton", cords: one, words: "4 mm single-strand cream on your shelf", of: map[int][]stock.Stock{0: append(pieces(0, 3*m, 20)[0], pieces(0, 7*m, 1)[0]...)}},
		{have: "any", cords: one, words: "any on your shelf", of: pieces(0, 5*m, 1)},
		{have: "3 mm cream", cords: one, refused: "neither a length nor a cord on your shelf"},
		{have: "4 mm rust", cords: one, refused: "neither a length nor a cord on your shelf"},
		{have: "moss", cords: one, refused: "neither a length nor a cord on your shelf"},
		{have: "75.5", cords: one, refused: "neither a length nor a cord on your shelf"},
		{have: "rust", cords: one, refused: "another cord than the design is made of, 4 mm single-strand"},
		{have: "cream", cords: two, words: "4 mm single-strand cream on your shelf", of: pieces(0, 3*m, 20)},
		{have: "cream", cords: twins, refused: "several cords: sand and reed"},
		{have: "cream", only: "reed", cords: twins, words: "4 mm single-strand cream on your shelf", of: pieces(1, 3*m, 20)},
	} {
		line := `/project resize name:Gull have:"` + tt.have + `"`
		if tt.only != "" {
			line += " only:" + tt.only
		}
		req := commandstest.Typed(t, commandstest.Ana, line)
		s, err := cutting.WantSupply(seatedWithShelf(t, a, req), req, tt.cords)
		if tt.refused != "" {
			var e *reply.UserError
			require.ErrorAs(t, err, &e, line)
			require.Contains(t, e.Wrong, tt.refused, line)
			continue
		}
		require.NoError(t, err, line)
		require.Equal(t, tt.words, s.Words(), line)
		for i := range s.Of {
			for n := range s.Of[i] {
				s.Of[i][n].Label = ""
			}
		}
		require.Equal(t, tt.of, s.Of, line)
	}
	s, err := cutting.WantSupply(seatedWithShelf(t, a, commandstest.Ana), commandstest.Typed(t, commandstest.Ana, "/project resize name:Gull"), one)
	require.NoError(t, err)
	require.Nil(t, s, "nobody said what there is")
}

// What a member has and that does not serve is answered with the line that would.
func TestWhatWouldServeInstead(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	commandstest.Demo(t, a, commandstest.Ana, "Three Herons", "three-herons.sheet")
	for _, tt := range []struct{ line, try string }{
		{`/project resize name:"Three Herons" have:40m`, `only:sand have:40m`},
		{`/project resize name:"Three Herons" have:shelf`, `only:sand have:60m`},
		{`/project resize name:"Tide Line" have:shelf`, `name:"Tide Line" have:60m`},
		{`/project resize name:"Tide Line" have:moss`, `have:60m`},
		{`/project resize name:"Tide Line" have:75.5`, `have:75.5m`},
		{`/shelf add pieces:40m cord:"3 mm braided rust"`, ""},
		{`/project resize name:"Tide Line" have:rust`, `thickness:3mm construction:braided have:rust`},
	} {
		answer := commandstest.Asked(t, a, tt.line)
		require.Equal(t, tt.try != "", answer.Refused, tt.line)
		require.Contains(t, commandstest.Render(answer), tt.try, tt.line)
	}
}

// pieces are so many of one length of one cord.
func pieces(cord int, l length.Length, count int) map[int][]stock.Stock {
	return map[int][]stock.Stock{cord: {{Length: l, Count: count, Offcut: true}}}
}

// seatedWithShelf is a sitting of a request with the member's shelf.
func seatedWithShelf(t *testing.T, a *commandstest.App, req reply.Request) sitting.Sitting {
	t.Helper()
	sit, err := a.Room.Sit(t.Context(), req, sitting.Leftovers)
	require.NoError(t, err)
	return sit
}

// A list is cut from what there is to the last millimetre of each cord; what is of
// another cord is bought and does not count.
func TestWhatThereIsReachesToItsEnd(t *testing.T) {
	list := cutlist.List{
		Cuts:   []cutlist.Cut{{Label: "A", Count: 4, Length: m}, {Label: "B", Count: 3, Length: 9 * m, Cord: 1}, {Label: "C", Count: 1, Length: 50 * cm}},
		Totals: []cutlist.Total{{Cord: 0, Length: 450 * cm}, {Cord: 1, Length: 27 * m}},
	}
	for _, tt := range []struct {
		what    string
		of      map[int][]stock.Stock
		reaches bool
	}{
		{"one piece of all that is needed", pieces(0, 450*cm, 1), true},
		{"one a millimetre shorter", pieces(0, 450*cm-length.Millimetre, 1), false},
		{"five as long as the longest", pieces(0, m, 5), true},
		{"six of which none is", pieces(0, m-length.Millimetre, 6), false},
		{"three that are long enough in all, but not cut into four", pieces(0, 160*cm, 3), false},
		{"enough of one cord and not of the other", map[int][]stock.Stock{0: pieces(0, 5*m, 1)[0], 1: pieces(1, 9*m, 2)[1]}, false},
		{"enough of both", map[int][]stock.Stock{0: pieces(0, 5*m, 1)[0], 1: pieces(1, 9*m, 3)[1]}, true},
		{"a cord that nothing is cut from", pieces(2, m, 1), true},
	} {
		s := &cutting.Supply{Of: tt.of}
		reaches, err := s.Reaches(t.Context(), list)
		require.NoError(t, err, tt.what)
		require.Equal(t, tt.reaches, reaches, tt.what)
	}
	s := &cutting.Supply{Of: map[int][]stock.Stock{0: {{Length: 3 * m, Count: 2}, {Length: m, Count: 1}}}}
	require.Equal(t, 7*m, s.Has())
	need, count := s.Need(list)
	require.Equal(t, 450*cm, need)
	require.Equal(t, 5, count)
}

// The largest that a member's cord makes says what it takes of what there is, and why
// there is no larger one.
func TestTheLargestSaysWhyItIsNotLarger(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	made := func(options string) reply.Reply {
		return commandstest.Answered(t, a, `/project resize name:"Tide Line" `+options)
	}
	plain := made("have:60m")
	require.Regexp(t, `^60\.00 m; this takes 5\d\.\d0 m$`, commandstest.FactOf(plain, "you have"), "what is 60.00 m is not said twice")
	require.Regexp(t, `and take 6\d\.\d0 m$`, commandstest.FactOf(plain, "one repeat more"), "more than there is, which says enough")
	pieces := made(`have:"20 x 3m, 30m"`)
	require.Regexp(t, `^20 x 3\.00 m and 30\.00 m; this takes [5-8]\d\.\d0 m of 90\.00 m$`, commandstest.FactOf(pieces, "you have"))
	require.Regexp(t, `and take [5-8]\d\.\d0 m, for which I found no way to cut your pieces$`, commandstest.FactOf(pieces, "one repeat more"))

	little := commandstest.Asked(t, a, `/project resize name:"Tide Line" have:1m`)
	require.True(t, little.Refused)
	require.Regexp(t, `right: the smallest takes \d+\.\d0 m in \d+ pieces`, commandstest.Render(little))
	most := made(`have:5km width:60cm`)
	require.NotEmpty(t, commandstest.FactOf(most, "no larger")+commandstest.FactOf(most, "one repeat more"))
	require.Empty(t, slip.Suggestion(most))
}

// Twenty sizes are tried, and so much is waited for: twenty times the knots, and the
// bytes of one size or of a cutting plan, whichever is more. 8 MiB are 27962 knots of
// 300 bytes.
func TestTheLargestIsWeighed(t *testing.T) {
	no := errors.New("no turn")
	for rows, bytes := range map[int]int{10: 8 << 20, 30000: 0} {
		s, err := sizing.Size(t.Context(), fmt.Sprintf("cord main 4 mm\npanel p\n  mount 2 folded\n  sinnet square times %d on left 4\n", rows), sizing.Maker{})
		require.NoError(t, err)
		knots := s.Sheet.Weight()
		if bytes == 0 {
			bytes = 300 * knots
		}
		var asked []reply.Work
		ctx := reply.WithTurns(t.Context(), func(_ context.Context, w reply.Work) error {
			asked = append(asked, w)
			return no
		})
		_, _, err = (&cutting.Supply{Of: pieces(0, 60*m, 1)}).Fill(ctx, commandstest.Ana, sitting.Prefs{}, s.Sheet, sizing.Maker{}, resize.Change{})
		require.ErrorIs(t, err, no)
		require.Equal(t, []reply.Work{{Amount: float64(20 * knots), Bytes: bytes}}, asked)
	}
}
