package sitting

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
)

// Books are made once and kept, but never more than so many at a time.
func TestBooksAreKeptWithinBounds(t *testing.T) {
	var c bookCache
	made := 0
	get := func(i byte) {
		_, err := c.get([32]byte{i}, func() (*knot.Book, error) { made++; return knot.Standard(), nil })
		require.NoError(t, err)
	}
	for i := range mostBooks {
		get(byte(i))
		get(byte(i))
	}
	require.Equal(t, mostBooks, made)
	require.Len(t, c.made, mostBooks)
	get(mostBooks)
	require.Equal(t, mostBooks+1, made)
	require.Len(t, c.made, 1)
	get(0)
	require.Equal(t, mostBooks+2, made)
}
