package commands

import (
	"context"
	"slices"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/commands/takeup"
	"larkfold/sizing/knot"
)

// mostDesigns is more than anybody reads through.
const mostDesigns = 50

// Complete lists the completions of what has been typed so far for one option of
// the request's command, the likeliest first; a front end shows as many as it can.
func (a *App) Complete(ctx context.Context, req reply.Request, option, typed string) ([]reply.Choice, error) {
	c, ok := reply.Find(a.commands, strings.Fields(req.Command))
	if !ok {
		return nil, nil
	}
	for _, o := range c.Options {
		if o.Name != option {
			continue
		}
		switch o.Suggest {
		case "project":
			return a.completeProjects(ctx, req, typed)
		case "topic":
			return a.completeTopics(typed), nil
		}
		from := suggestions[o.Suggest]
		sit, err := a.room.Sit(ctx, req, from.reads)
		if err != nil || from.complete == nil {
			return nil, err
		}
		return from.complete(sit, typed)
	}
	return nil, nil
}

// suggestions are what options complete from, beside designs and topics.
var suggestions = map[string]struct {
	reads    sitting.Reads
	complete func(sit sitting.Sitting, typed string) ([]reply.Choice, error)
}{
	"knot": {sitting.Knots, completeKnots},
	"rule": {sitting.Rules, takeup.CompleteRules},
	"cord": {sitting.Leftovers, completeCords},
}

func (a *App) completeProjects(ctx context.Context, req reply.Request, typed string) ([]reply.Choice, error) {
	found, err := a.room.Store.CompleteProjects(ctx, req.Member, typed, mostDesigns)
	if err != nil {
		return nil, err
	}
	choices := make([]reply.Choice, len(found))
	for i, p := range found {
		choices[i] = reply.Choice{Name: p.Name, Value: p.Name}
	}
	return choices, nil
}

func completeKnots(sit sitting.Sitting, typed string) ([]reply.Choice, error) {
	book, err := sit.Book()
	if err != nil {
		return nil, err
	}
	return append(named(book.Knots(), typed), tradeNamed(book.Knots(), typed)...), nil
}

// completeCords lists the cords of the member's shelf, in their own words.
func completeCords(sit sitting.Sitting, typed string) ([]reply.Choice, error) {
	shelf, err := sit.Leftovers()
	if err != nil {
		return nil, err
	}
	var choices []reply.Choice
	for _, e := range shelf.Entries {
		c := reply.Choice{Name: e.Cord, Value: e.Cord}
		if e.Cord != "" && holds(e.Cord, typed) && !slices.Contains(choices, c) {
			choices = append(choices, c)
		}
	}
	return choices, nil
}

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
