package commands

import (
	"context"
	"testing"

	"larkfold/commands/say"
	"larkfold/commands/sitting"

	"github.com/stretchr/testify/require"
)

// From Request to Reply, with the store in a file.
func BenchmarkCord(b *testing.B) {
	a := newApp(b)
	req := typed(b, a, ana, "/cord width:40cm drop:70cm thickness:4mm")
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
	a := newApp(b)
	req := typed(b, a, ana, "/cord width:40cm drop:70cm thickness:4mm")
	c, _ := find(a.commands, []string{"cord"})
	req = req.As(c)
	b.ReportAllocs()
	for b.Loop() {
		sit, err := a.room.Sit(b.Context(), req, sitting.Sheets)
		require.NoError(b, err)
		w, err := wantPanel(sit, req)
		require.NoError(b, err)
		s, err := buildPanel(sit, w)
		require.NoError(b, err)
		sized, err := sizeSheet(b.Context(), sit, s)
		require.NoError(b, err)
		require.NotEmpty(b, say.Words(sized, sit.Prefs, w.understood(sized, sit.Prefs)))
	}
}
