package terminal

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
)

func TestWhatIsTypedForAField(t *testing.T) {
	rows := reply.Field{Label: "Rows", Value: "6", Required: true}
	shift := reply.Field{Label: "Ends to shift by", Value: "2"}
	hung := reply.Field{Label: "Hung on", Value: "dowel", Required: true, Choices: []reply.Choice{{Name: "a dowel", Value: "dowel"}, {Name: "a ring", Value: "ring"}}}
	sheet := reply.Field{Label: "Sheet", Value: "cord main 4 mm\n", Required: true, Long: true}
	how := reply.Field{Label: "How to tie it", Value: "Cross.\n", Long: true}
	for _, test := range []struct {
		field       reply.Field
		typed, want string
	}{
		{rows, "", "6"}, {rows, "  ", "6"}, {rows, "4", "4"}, {rows, "64", "64"},
		{rows, "-", "-"}, // to be refused: there must be rows
		{shift, "", "2"}, {shift, "-", ""}, {shift, " - ", ""}, {shift, "-1", "-1"},
		{hung, "", "dowel"}, {hung, "2", "ring"}, {hung, "ring", "ring"}, {hung, "A Ring", "ring"},
		{hung, "0", "0"}, {hung, "3", "3"}, {hung, "rign", "rign"},
		{sheet, "", "cord main 4 mm\n"}, {sheet, "-\n", "-\n"}, {sheet, "cord main 3 mm\n", "cord main 3 mm\n"},
		{how, "", "Cross.\n"}, {how, "-\n", ""}, {how, "- Cross.\n", "- Cross.\n"},
	} {
		require.Equal(t, test.want, filled(test.field, test.typed), "%s: %q", test.field.Label, test.typed)
	}
	require.Equal(t, "Rows (6): ", question(rows))
	require.Equal(t, "Ends to shift by (2; - empties it): ", question(shift))
	require.Equal(t, "Anything more: ", question(reply.Field{Label: "Anything more"}))
	require.NotContains(t, question(reply.Field{Label: "Name", Value: "\x1b[2J"}), "\x1b")
}

// A stream's lines are read as a prompt's are.
func TestAStreamFillsAForm(t *testing.T) {
	for _, test := range []struct{ typed, cord, copies string }{
		{"\n", "dowel", ""}, {"2\n", "ring 50 cm", ""}, {"ring\n", "ring 50 cm", ""}, {"a dowel\n", "dowel 50 cm", ""},
	} {
		s, out := newSession(t, test.typed+"\n\n8\n\n")
		require.NoError(t, s.typed(context.Background(), "/build new:yes"))
		require.False(t, s.refused, out.String())
		require.NoError(t, s.typed(context.Background(), "the sheet"))
		require.Contains(t, out.String(), test.cord)
		require.Contains(t, out.String(), "mount 8 folded")
	}
}

// What an older answer offered can never be taken for what a newer one offers.
func TestOffersOfAnOlderAnswer(t *testing.T) {
	ctx := context.Background()
	s, out := newSession(t, "")
	cord := "/cord width:40cm drop:70cm"
	require.NoError(t, s.typed(ctx, cord))
	require.Greater(t, len(s.offered), 1)
	first := s.offered

	// A refusal that offers nothing leaves them, and says whose they are.
	require.NoError(t, s.typed(ctx, "77"))
	require.Equal(t, first, s.offered)
	require.Contains(t, out.String(), "still offered after “"+cord+"”: 1 save it")
	require.Equal(t, 1, strings.Count(out.String(), "next: "))

	// One that offers something replaces them all.
	out.Reset()
	require.NoError(t, s.typed(ctx, `/project new name:Q sheet:"cord main 4 mm"`))
	require.Len(t, s.offered, 1)
	require.Contains(t, out.String(), "next: 1 mend it\n")
	out.Reset()
	require.NoError(t, s.typed(ctx, "2"))
	require.Contains(t, out.String(), "nothing has that number")
	require.Contains(t, out.String(), "still offered after “/project new name:Q")
	require.Less(t, len(firstLine(strings.Repeat("/project new ", 20))), 70)
	out.Reset()
	require.NoError(t, s.typed(ctx, "save it"))
	require.NotContains(t, strings.ToLower(out.String()), "saved")

	// An answer that offers nothing takes them away.
	require.NoError(t, s.typed(ctx, "/project list"))
	require.Empty(t, s.offered)
}

// What is offered by a pressed button is still the command's that began it, whatever
// was refused between.
func TestOffersOfAPressedButton(t *testing.T) {
	ctx := context.Background()
	s, out := newSession(t, "")
	require.NoError(t, s.typed(ctx, "/build demo:tide-line"))
	require.NoError(t, s.typed(ctx, "77"))
	require.NoError(t, s.typed(ctx, "panels"))
	out.Reset()
	require.NoError(t, s.typed(ctx, "77"))
	require.Contains(t, out.String(), "still offered after “/build demo:tide-line”: ")
}

func TestANumberWithNothingOffered(t *testing.T) {
	ctx := context.Background()
	for _, typed := range []string{"1", "0", "3 B"} {
		s, out := newSession(t, "")
		require.NoError(t, s.typed(ctx, typed))
		require.True(t, s.refused)
		require.Contains(t, out.String(), "nothing is offered now", typed)
		require.NotContains(t, out.String(), "/cord", typed)
	}
	for _, typed := range []string{"40 70", "40 cm", "40 x 70 cm"} { // sizes, for which a command is suggested
		s, out := newSession(t, "")
		require.NoError(t, s.typed(ctx, typed))
		require.NotContains(t, out.String(), "nothing is offered now", typed)
		require.Contains(t, out.String(), "/cord", typed)
	}
}
