package cutting_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// A chat's cutting plan from Request to Reply: 60 pieces of 6 lengths, 40 offcuts
// and spools of two sizes, with the picture and the booking kept for the button.
func BenchmarkPlan(b *testing.B) {
	a := commandstest.New(b)
	add := commandstest.Typed(b, commandstest.Ana, `/shelf add cord:"4 mm" pieces:"45cm x9, 70cm x7, 95cm x6, 1.3m x5, 1.75m x4, 2.1m x4, 2.6m x3, 3.4m x2"`)
	added, err := a.Do(context.Background(), add)
	require.NoError(b, err)
	require.False(b, added.Refused)
	req := commandstest.Typed(b, commandstest.Ana, `/plan cord:"4 mm" pieces:"12 x 3.2m, 8 x 2.45m, 10 x 1.6m, 10 x 1.1m, 12 x 65cm, 8 x 40cm" spool:"50m, 100m" price:"14.00, 24.00"`)
	b.ReportAllocs()
	for b.Loop() {
		answer, err := a.Do(context.Background(), req)
		require.NoError(b, err)
		require.False(b, answer.Refused)
	}
}
