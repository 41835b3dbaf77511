package commands

import (
	"context"
	"errors"
	"regexp"
	"strings"

	"larkfold/commands/picture"
	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/store"
)

var papers = []reply.Choice{{Name: "A4", Value: "a4"}, {Name: "Letter", Value: "letter"}}

func (a *App) printCommand() command {
	return command{run: a.printProject, Command: reply.Command{
		Name: "print", Description: "A sheet to print: picture, cut list to tick, marks for the dowel, cutting plan", Example: `/project print name:"Tide Line"`,
		Options: []reply.Option{
			{Name: "name", Description: "of the project", Required: true, Suggest: "project"},
			{Name: "paper", Description: "A4, or Letter", Choices: papers},
		},
	}}
}

// printProject is the printable sheet of a saved design.
func (a *App) printProject(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	o := picture.Options{Units: p.Style}
	if q.choice("paper", papers, "a4") == "letter" {
		o.Paper = picture.Letter
	}
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	plan, name, err := a.planOf(ctx, req, req.Options["name"])
	if err != nil {
		return reply.Reply{}, err
	}
	shelf, err := a.store.Leftovers(ctx, req.Member)
	if err != nil {
		return reply.Reply{}, err
	}
	if o.Cutting, err = cuttings(ctx, plan, shelf); err != nil {
		return reply.Reply{}, err
	}
	for _, f := range assumptions(plan, p) {
		o.Assumptions = append(o.Assumptions, sentence(f.Label+": "+f.Value))
	}
	pdf, err := picture.Print(plan, o)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading(name + " to print"),
		reply.Text("Print it at full size (100 %), so that the dowel's marks and the check bar are true."),
		reply.File{Name: fileName(name) + ".pdf", Data: pdf, Alt: "a PDF with the picture, the cut list, marks for the dowel, a cutting plan, the steps in words and cautions"},
	}}, nil
}

// cuttings are the cutting plans of a design, for the cords that there is
// something to cut from.
func cuttings(ctx context.Context, plan sizing.Plan, shelf store.Leftovers) ([]picture.Cutting, error) {
	var all []picture.Cutting
	cuts := cutsOf(plan, nil)
	for _, w := range cuts {
		done, err := solve(ctx, w, shelf, defaultKeep, share(planBudget, len(cuts)))
		switch {
		case errors.Is(err, errNothing), isTooLong(err):
			continue
		case err != nil:
			return nil, err
		}
		shelf = without(shelf, done.takes)
		all = append(all, picture.Cutting{Title: w.cord, Plan: done.plan})
	}
	return all, nil
}

// sizeMessage answers the working sheet in somebody's message.
func (a *App) sizeMessage(ctx context.Context, req reply.Request) (reply.Reply, error) {
	text := fenced(req.Text)
	if strings.TrimSpace(text) == "" {
		return reply.Reply{}, &reply.UserError{Wrong: "the message holds no text", Right: "pick one that holds a working sheet: a cord line, a panel and its steps"}
	}
	if !sheetLine.MatchString(text) {
		return reply.Reply{}, &reply.UserError{Read: cutTo(strings.TrimSpace(text), 80), Wrong: "the message holds no working sheet", Right: "pick one that does: a cord line, a panel and its steps", Try: "/help topic:sheet"}
	}
	plan, p, err := a.size(ctx, req, text)
	if err != nil {
		return reply.Reply{}, err
	}
	return a.withActions(ctx, req, planReply(plan, p, nil), plan, p, "")
}

// sheetLine is a line that every working sheet has.
var sheetLine = regexp.MustCompile(`(?mi)^\s*(cord|panel)\s`)

// fenced is what stands between the code fences of a message, or all of it.
func fenced(text string) string {
	_, inside, ok := strings.Cut(text, "```")
	if !ok {
		return text
	}
	inside, _, _ = strings.Cut(inside, "```")
	first, rest, found := strings.Cut(inside, "\n")
	if found && !strings.Contains(strings.TrimSpace(first), " ") {
		return rest // the fence's language, or nothing
	}
	return inside
}

func (a *App) messageCommand() command {
	return command{run: a.sizeMessage, Command: reply.Command{Name: "size this sheet", MessageMenu: true}}
}
