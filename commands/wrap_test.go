package commands

import (
	"context"
	"fmt"
	"testing"

	"larkfold/commands/sitting"

	"github.com/stretchr/testify/require"
)

func TestWrapAnswers(t *testing.T) {
	golden(t, "wrap", conversation(t, newApp(t),
		"/wrap ends:16 turns:5 thickness:5mm",
		"/wrap ends:16 length:50cm",
		"/wrap ends:12 thickness:5mm wrap-thickness:2mm length:2m",
		"/wrap strands:20 drop:10cm thickness:3mm",
		`/wrap strands:12 drop:"4 in" thickness:"1/8 in" construction:braided turns:6`,
	))
}

// What a sheet's wrap needs is what /wrap says it needs.
func TestWrapAgreesWithTheSheet(t *testing.T) {
	a := newApp(t)
	sized, err := sizeText(context.Background(), seated(t, a, ana), `cord main 5 mm
dowel 60 cm x 20 mm
panel work
mount 8 folded
wrap turns 5
tail 20 cm
`)
	require.NoError(t, err)
	require.Len(t, sized.Extras, 1)
	g, err := readGathered(typed(t, a, ana, "/wrap ends:16 turns:5 thickness:5mm"), sitting.Prefs{})
	require.NoError(t, err)
	w, err := wrapOf(seated(t, a, ana), g)
	require.NoError(t, err)
	wrapped, err := w.ForTurns(5)
	require.NoError(t, err)
	require.InDelta(t, sized.Extras[0].Need.Total().Millimetres(), wrapped.Cut.Millimetres(), 0.01)
}

// The turns that a cord is said to give do fit into it, and one more does not.
func TestTurnsFitTheCord(t *testing.T) {
	a := newApp(t)
	for cm := 25; cm < 400; cm += 25 {
		g, err := readGathered(typed(t, a, ana, fmt.Sprintf("/wrap ends:16 length:%dcm", cm)), sitting.Prefs{})
		require.NoError(t, err)
		w, err := wrapOf(seated(t, a, ana), g)
		require.NoError(t, err)
		got, err := w.FromCord(g.have)
		require.NoError(t, err)
		require.LessOrEqual(t, got.Cut, g.have)
		more, err := w.ForTurns(got.Turns + 1)
		require.NoError(t, err)
		require.Greater(t, more.Cut, g.have)
	}
}
