package question_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/design"
	"larkfold/commands/question"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
)

// From Request to Reply, with the store in a file.
func BenchmarkCord(b *testing.B) {
	a := commandstest.New(b)
	req := commandstest.Typed(b, commandstest.Ana, "/cord width:40cm drop:70cm thickness:4mm")
	b.ReportAllocs()
	for b.Loop() {
		answer, err := a.Do(context.Background(), req)
		require.NoError(b, err)
		require.False(b, answer.Refused)
	}
}

// The answer in words alone: no picture, and nothing kept for the buttons, which
// waits for the disk.
func BenchmarkCordComputed(b *testing.B) {
	a := commandstest.New(b)
	req := commandstest.Typed(b, commandstest.Ana, "/cord width:40cm drop:70cm thickness:4mm")
	c, _ := reply.Find(a.Commands(), []string{"cord"})
	req = req.As(c)
	b.ReportAllocs()
	for b.Loop() {
		sit, err := a.Room.Sit(b.Context(), req, sitting.Sheets)
		require.NoError(b, err)
		s, _, understood, err := question.Panel(sit, req)
		require.NoError(b, err)
		sized, err := design.SizeSheet(b.Context(), sit, s)
		require.NoError(b, err)
		require.NotEmpty(b, say.Words(sized, sit.Prefs, understood(sized)))
	}
}
