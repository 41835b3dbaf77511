package commands

import (
	"strings"

	"larkfold/commands/reply"
	"larkfold/sizing/knot"
)

// named are the knots whose names in the book hold what was typed.
func named(knots []*knot.Knot, typed string) []reply.Choice {
	var choices []reply.Choice
	for _, k := range knots {
		if holds(k.Name, typed) {
			choices = append(choices, reply.Choice{Name: k.Name, Value: k.Name})
		}
	}
	return choices
}

// tradeNamed are the other names of knots that begin with what was typed, each with
// the book's: so many that they are shown only when something was.
func tradeNamed(knots []*knot.Knot, typed string) []reply.Choice {
	var choices []reply.Choice
	for _, k := range knots {
		for _, also := range k.Also {
			if typed != "" && strings.HasPrefix(also, strings.ToLower(typed)) {
				choices = append(choices, reply.Choice{Name: also + ": " + k.Name, Value: also})
			}
		}
	}
	return choices
}

func holds(name, typed string) bool {
	return strings.Contains(strings.ToLower(name), strings.ToLower(typed))
}

// alsoCalled are the other names of something.
func alsoCalled(names []string) reply.Fact {
	return reply.Fact{Label: "also called", Value: strings.Join(names, ", ") + " (trade usage, no source)"}
}

func headingOf(k *knot.Knot) string {
	if k.Short != "" {
		return k.Name + " (" + k.Short + ")"
	}
	return k.Name
}
