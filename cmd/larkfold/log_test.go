package main

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"
)

// opened is a log as the flags make it.
func openedLog(t *testing.T, args ...string) (*slog.Logger, *bytes.Buffer) {
	t.Helper()
	var l logging
	f := pflag.NewFlagSet("", pflag.ContinueOnError)
	l.flags(f)
	require.NoError(t, f.Parse(args))
	to := &bytes.Buffer{}
	return l.open(to), to
}

// The journal's priorities are those of sd-daemon(3): 3 error, 4 warning, 6 info, 7 debug.
func TestJournalPriorities(t *testing.T) {
	log, to := openedLog(t, "--log", "journal", "--log-level", "debug")
	log = log.With("shard", 2)
	log.Debug("connecting")
	log.Info("gateway connected", "after", "a\nwhile")
	log.Warn("slow")
	log.WithGroup("store").Error("no room", "left", 3)
	require.Equal(t, "<7>connecting shard=2\n"+
		"<6>\"gateway connected\" shard=2 after=\"a\\nwhile\"\n"+
		"<4>slow shard=2\n"+
		"<3>\"no room\" shard=2 store.left=3\n", to.String())
}

func TestLogFormsAndLevels(t *testing.T) {
	log, to := openedLog(t)
	log.Debug("unseen")
	log.Info("seen")
	require.Contains(t, to.String(), "level=INFO msg=seen")
	require.NotContains(t, to.String(), "unseen", "text at info if silent")

	log, to = openedLog(t, "--log", "json", "--log-level", "warn")
	log.Info("unseen")
	require.Empty(t, to.String())
	log.Warn("seen", "n", 1)
	var line map[string]any
	require.NoError(t, json.Unmarshal(to.Bytes(), &line))
	require.Equal(t, "seen", line["msg"])

	for _, wrong := range [][]string{{"--log", "xml"}, {"--log-level", "loud"}, {"--log", ""}} {
		var l logging
		f := pflag.NewFlagSet("", pflag.ContinueOnError)
		l.flags(f)
		require.Error(t, f.Parse(wrong), "%v", wrong)
	}
}
