package picture_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
	"larkfold/sizing/length"
)

// Every demo design can be drawn and printed, and what it is made of beside knots
// is in its picture.
func TestDemosAreDrawnAndPrinted(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "sheets", "*.sheet"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 16)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		sized := size(t, string(text))
		d := picture.Piece(sized, length.Style{})
		kinds := map[picture.Kind]int{}
		for _, part := range d.Parts {
			kinds[part.Kind]++
			require.LessOrEqual(t, part.Box.Right, d.Width+1, "%s: %s", file, part.Kind)
		}
		require.Equal(t, len(sized.Beads), kinds[picture.ABead], file)
		require.NotEmpty(t, picture.Sheets(sized, picture.Options{}), file)
	}
}
