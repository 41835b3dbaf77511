package knot

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestStandardBookCompiles(t *testing.T) {
	_, err := New(rows())
	require.NoError(t, err)
}
