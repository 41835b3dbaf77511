package say

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/swatch"
)

// What of a spread is alike in all cords of a piece is said in a word.
func TestHalfOfASpreadIsAlike(t *testing.T) {
	require.EqualValues(t, 0.5, swatch.AlikeInPiece, alike)
	require.Contains(t, alike, "half")
}
