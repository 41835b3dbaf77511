package bot

import (
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The operator's page tells how long running answers may take at the end.
func TestTheOperatorsPageTellsTheTimeToFinish(t *testing.T) {
	text, err := os.ReadFile("../deploy/README.md")
	require.NoError(t, err)
	require.Contains(t, string(text), "let running answers finish, for twenty seconds,")
	require.Equal(t, 20*time.Second, Timing{}.withDefaults().Stop)
}
