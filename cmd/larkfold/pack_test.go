package main

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A search that is interrupted answers with the best plan so far.
func TestPackAnswersWhenInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	cmd := packCommand()
	cmd.SetArgs([]string{"-", "--json"})
	cmd.SetIn(strings.NewReader(packExample))
	var out bytes.Buffer
	cmd.SetOut(&out)
	require.NoError(t, cmd.ExecuteContext(ctx))
	require.Contains(t, out.String(), `"length_mm": 100000`)
	require.Contains(t, out.String(), `"proved": `)
}
