package commands_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
)

// The name of an action says which room answers it: no two have one of the same name.
func TestEveryActionHasOneRoom(t *testing.T) {
	names := commands.Presses()
	slices.Sort(names)
	require.Len(t, slices.Compact(slices.Clone(names)), len(names))
	require.Greater(t, len(names), 30)
}
