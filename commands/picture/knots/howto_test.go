package knots_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

func TestGoldenPictures(t *testing.T) {
	square, _ := knot.Standard().Knot("square knot")
	picturetest.Golden(t, "square-knot", knots.HowTo(square))
}

func TestKnotsOfACommunityAreShownAsSchemes(t *testing.T) {
	book, err := knot.Standard().With(knot.Row{
		Name: "heron knot", Short: "HR", Shape: knot.Group, About: "Our own.", Ends: 3, Fewest: 3, Most: 3,
		Roles:  []knot.Role{{Name: "worker", Works: true, Takes: "9*d"}, {Name: "filler", Takes: "3*d"}},
		Places: []string{"worker", "filler", "worker"}, Height: "3*d", Width: "5*d",
		HowTo: []string{"Tie it."}, Source: "measured by us", Trust: knot.Low,
	})
	require.NoError(t, err)
	heron, _ := book.Knot("heron knot")
	d := knots.HowTo(heron)
	require.Len(t, picturetest.Parts(d, knots.AStage), 1)
	require.Contains(t, picturetest.WordsOf(d), "HR")
	picturetest.RequireClear(t, d)

	sized, err := sizing.Size(t.Context(), "piece H\ncord main 4 mm\npanel p\n  mount 3 folded\n  row heron knot\n  tail 20 cm\n", sizing.Maker{Book: book})
	require.NoError(t, err)
	piece := drawn.Piece(sized, length.Style{})
	require.Len(t, picturetest.Parts(piece, drawn.AKnot), 2)
	picturetest.RequireClear(t, piece)
}
