package commandstest

import (
	"runtime/debug"
	"slices"
	"testing"
)

// Raced tells whether the race detector watches.
func Raced() bool {
	info, _ := debug.ReadBuildInfo()
	return info != nil && slices.Contains(info.Settings, debug.BuildSetting{Key: "-race", Value: "true"})
}

// UnlessRaced skips a test of many cases, one after the other, under the race detector:
// it has nothing to find there and takes ten times as long.
func UnlessRaced(t *testing.T) {
	t.Helper()
	if Raced() {
		t.Skip("many cases, one after the other: done without the race detector")
	}
}
