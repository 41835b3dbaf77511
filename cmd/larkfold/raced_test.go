package main

import (
	"runtime/debug"
	"slices"
	"testing"
)

// raced tells whether the race detector watches.
func raced() bool {
	info, _ := debug.ReadBuildInfo()
	return info != nil && slices.Contains(info.Settings, debug.BuildSetting{Key: "-race", Value: "true"})
}

// unlessRaced skips a test of many cases, one after the other, under the race detector:
// it has nothing to find there and takes ten times as long.
func unlessRaced(t *testing.T) {
	t.Helper()
	if raced() {
		t.Skip("many cases, one after the other: done without the race detector")
	}
}

// some are all, but a fifth of them under the race detector: it has seen the program's
// ways after a few, and takes ten times as long for each.
func some[T any](all []T) []T {
	if !raced() {
		return all
	}
	var few []T
	for i := 0; i < len(all); i += 5 {
		few = append(few, all[i])
	}
	return few
}
