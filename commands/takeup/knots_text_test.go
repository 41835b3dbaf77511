package takeup

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/sizing/formula"
	"larkfold/sizing/knot"
)

// A row's text is read back as the row it was written from.
func TestKnotTextRoundTrip(t *testing.T) {
	for _, k := range knot.Standard().Knots() {
		if k.Shape != knot.Group || k.Cross {
			continue
		}
		row, err := textOf(k.Row).row()
		require.NoError(t, err, k.Name)
		require.NoError(t, tryKnot(row), k.Name)
		require.Equal(t, k.Roles, row.Roles, k.Name)
		require.Equal(t, k.Places, row.Places, k.Name)
		require.Equal(t, []string{k.Pitch, k.Height, k.Width}, []string{row.Pitch, row.Height, row.Width}, k.Name)
	}
}

// Whatever is written down is refused in words or reads back as itself.
func FuzzKnotText(f *testing.F) {
	for _, k := range knot.Standard().Knots() {
		t := textOf(k.Row)
		f.Add(t.Ends, t.Roles, t.Pitch, t.Height, t.Width)
	}
	f.Add("worker, worker", "worker: 8*d", "", "4*d", "4*d")
	f.Add("worker, filer", "worker ties: 8*d; filler runs: 4*d", "", "4*d", "4*d")
	f.Add("worker..., worker...", "worker ties: 8*d", "", "4*d", "4*d")
	f.Add("worker, worker", "worker ties: 8*q", "4*d", "4", "")
	f.Fuzz(func(t *testing.T, ends, roles, pitch, height, width string) {
		row, err := knotText{Name: "Shell", Ends: ends, Roles: roles, Pitch: pitch, Height: height, Width: width, Source: "us"}.row()
		if err == nil {
			err = tryKnot(row)
		}
		var user *reply.UserError
		var fault *formula.Fault
		if err != nil {
			require.True(t, errors.As(err, &user) || errors.As(err, &fault), "%v", err)
			return
		}
		again, err := textOf(row).row()
		require.NoError(t, err)
		require.Equal(t, row, again)
		_, err = knot.Standard().With(row)
		require.NoError(t, err)
	})
}
