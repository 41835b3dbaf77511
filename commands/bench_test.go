package commands

import (
	"context"
	"testing"

	"larkfold/sizing/sheet"

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
		p, err := a.prefs(b.Context(), req)
		require.NoError(b, err)
		w, err := a.want(req, p)
		require.NoError(b, err)
		s, err := a.build(w)
		require.NoError(b, err)
		plan, p, err := a.size(b.Context(), req, sheet.Format(s))
		require.NoError(b, err)
		require.NotEmpty(b, planWords(plan, p, w.understood(plan, p)))
	}
}
