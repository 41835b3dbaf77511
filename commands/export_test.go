package commands

import (
	"maps"
	"slices"
)

// HelpSheet is help's page on sheets, for its tests.
var HelpSheet = helpSheet

// Topics are what help can be asked about.
func (a *App) Topics() []string { return a.topics() }

// Tasks are the paths of the commands of each task of help.
func Tasks() [][]string {
	var paths [][]string
	for _, t := range tasks() {
		paths = append(paths, t.commands)
	}
	return paths
}

// Tour is the lines of the tour.
func Tour() []string {
	var lines []string
	for _, s := range tour() {
		lines = append(lines, s.line)
	}
	return lines
}

// Presses are the names of the actions of each room.
func Presses() []string {
	var names []string
	for _, room := range rooms() {
		names = slices.AppendSeq(names, maps.Keys(room))
	}
	return names
}
