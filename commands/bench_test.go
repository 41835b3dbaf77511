package commands

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// From Request to Reply, with the store in a file.
func BenchmarkCord(b *testing.B) {
	a := newApp(b)
	req := typed(b, a, ana, "/cord width:40cm drop:70cm thickness:4mm")
	b.ReportAllocs()
	for b.Loop() {
		reply, err := a.Do(context.Background(), req)
		require.NoError(b, err)
		require.False(b, reply.Refused)
	}
}

// The same without keeping the sheet for the buttons, which waits for the disk.
func BenchmarkCordComputed(b *testing.B) {
	a := newApp(b)
	req := typed(b, a, ana, "/cord width:40cm drop:70cm thickness:4mm why:A")
	b.ReportAllocs()
	for b.Loop() {
		reply, err := a.Do(context.Background(), req)
		require.NoError(b, err)
		require.False(b, reply.Refused)
	}
}
