package drawn_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/commands/say"
	"larkfold/sizing/length"
)

func TestGoldenPictures(t *testing.T) {
	metric := length.Style{}
	tide := picturetest.Size(t, picturetest.TideLine)
	for name, d := range map[string]*paint.Drawing{
		"piece":        drawn.Piece(tide, metric),
		"every-knot":   drawn.Piece(picturetest.Size(t, picturetest.EveryKnot), metric),
		"joined":       drawn.Piece(picturetest.Size(t, picturetest.TwoArms), length.Style{System: length.Both}),
		"round":        drawn.Piece(picturetest.Size(t, picturetest.Lantern), metric),
		"cradle":       drawn.Piece(picturetest.Size(t, picturetest.Cradle), metric),
		"two-hundred":  drawn.Piece(picturetest.NetOf(t, 200), metric),
		"four-hundred": drawn.Piece(picturetest.NetOf(t, 400), length.Style{System: length.Imperial}),
		"step-bar":     drawn.Step(tide, spansOf(tide)[4], metric),
		"chart":        chartOf(tide, metric),
		"step-sheet":   drawn.StepSheet(tide, say.Instructions(tide.Result, metric)[0], metric),
		"step-sinnets": drawn.Step(tide, spansOf(tide)[7], metric),
	} {
		t.Run(name, func(t *testing.T) { picturetest.Golden(t, name, d) })
	}
}

// The picture that the front page shows is the one that the program draws.
func TestPictureOfTheFrontPage(t *testing.T) {
	text, err := os.ReadFile("../../../testdata/sheets/three-herons.sheet")
	require.NoError(t, err)
	picturetest.Whole(t, "../../../testdata/three-herons.png", drawn.Piece(picturetest.Size(t, string(text)), length.Style{}))
}
