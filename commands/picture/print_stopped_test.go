package picture_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/picturetest"
)

// ending is a context that ends when it was looked at so often.
type ending struct {
	context.Context
	looks *int
}

func (e ending) Err() error {
	if *e.looks--; *e.looks < 0 {
		return context.Canceled
	}
	return nil
}

// A print that nobody waits for any more stops: it looks after every part of the sheet
// and before every step, so that a large one is given up between two of its pictures.
func TestAPrintStopsWhenItsTimeIsOver(t *testing.T) {
	steps := drawn.Instructions{Name: "front", Steps: []string{"Mount the cords.", "Tie a row.", "Trim the ends."}}
	o := picture.Options{Steps: []drawn.Instructions{steps}}
	sized := picturetest.Size(t, picturetest.TideLine)
	const parts = 9 // picture, cut list, cutting plans, chart, steps, cautions, assumptions, notes, marks
	enough := parts + len(steps.Steps)
	for n := range enough {
		left := n
		_, err := picture.Print(ending{t.Context(), &left}, sized, o)
		require.ErrorIs(t, err, context.Canceled, "after %d looks", n)
		require.GreaterOrEqual(t, left, -2, "nothing more is set after %d looks", n)
	}
	left := enough
	pdf, err := picture.Print(ending{t.Context(), &left}, sized, o)
	require.NoError(t, err)
	require.NotEmpty(t, pdf)
	require.Zero(t, left)
}
