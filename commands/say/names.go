package say

import (
	"strings"

	"larkfold/commands/reply"
	"larkfold/sizing/knot"
)

// AlsoCalled are the other names of something.
func AlsoCalled(names []string) reply.Fact {
	return reply.Fact{Label: "also called", Value: strings.Join(names, ", ") + " (trade usage, no source)"}
}

// KnotTitle is a knot's name, with its short form where it has one.
func KnotTitle(k *knot.Knot) string {
	if k.Short != "" {
		return k.Name + " (" + k.Short + ")"
	}
	return k.Name
}
