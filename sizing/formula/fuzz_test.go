package formula

import (
	"errors"
	"testing"

	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

func FuzzCompile(f *testing.F) {
	for _, tt := range accepted {
		f.Add(tt.source, int(tt.use), int64(4_000_000), 2)
	}
	for _, tt := range refused {
		f.Add(tt.source, int(tt.use), int64(0), -1)
	}
	for _, source := range hostile() {
		if len(source) < 2000 {
			f.Add(source, 0, int64(1), 60)
		}
	}
	f.Fuzz(func(t *testing.T, source string, use int, size int64, count int) {
		purpose := Use(uint(use) % 3)
		compiled, err := Compile(source, purpose)
		if err != nil {
			var fault *Fault
			require.True(t, errors.As(err, &fault))
			wellFormed(t, fault)
			return
		}
		again, err := Compile(compiled.String(), purpose)
		require.NoError(t, err, "what was printed must be read again")
		l := length.Length(size)
		q := Quantities{Diameter: l, Core: l / 2, Cores: count, Rod: 3 * l, Pitch: l + 1, Ends: count, Finished: l, Drop: 2 * l, Width: l, Fringe: l / 3}
		got, err := compiled.Length(q)
		if err != nil {
			var fault *Fault
			require.True(t, errors.As(err, &fault))
			wellFormed(t, fault)
			return
		}
		require.GreaterOrEqual(t, got, length.Length(0))
		same, err := again.Length(q)
		require.NoError(t, err)
		require.Equal(t, got, same)
	})
}
