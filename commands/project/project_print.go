package project

import (
	"context"
	"errors"

	"larkfold/commands/ask"
	"larkfold/commands/cutting"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/picture"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/store"
)

var papers = []reply.Choice{{Name: "A4", Value: "a4"}, {Name: "Letter", Value: "letter"}}

func printCommand() handler.Command {
	return handler.Command{Run: printProject, Reads: sitting.Sheets | sitting.Design | sitting.Leftovers, Command: reply.Command{
		Name: "print", Description: "A sheet to print: picture, cut list to tick, marks for the dowel, cutting plan", Example: `/project print name:"Tide Line"`,
		Options: []reply.Option{
			{Name: "name", Description: "of the project", Required: true, Suggest: "project"},
			{Name: "paper", Description: "A4 or Letter; what goes with your units if left out", Choices: papers},
		},
	}}
}

// printProject is the printable sheet of a saved design.
func printProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	paper := q.Choice("paper", papers, UsualPaper(p))
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	sized, name, err := design.SizeSaved(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	return Printed(ctx, sit, paper, sized, name)
}

// UsualPaper is the paper that goes with a member's units.
func UsualPaper(p sitting.Prefs) string {
	if p.Style.System == length.Imperial {
		return "letter"
	}
	return "a4"
}

// Printed is the printable sheet of a sized one.
func Printed(ctx context.Context, sit sitting.Sitting, paper string, sized sizing.Sized, name string) (reply.Reply, error) {
	p := sit.Prefs
	o := picture.Options{Units: p.Style}
	if paper == "letter" {
		o.Paper = picture.Letter
	}
	if err := reply.Turn(ctx, weightOf(sized)); err != nil {
		return reply.Reply{}, err
	}
	shelf, err := sit.Leftovers()
	if err != nil {
		return reply.Reply{}, err
	}
	if o.Cutting, err = cuttings(ctx, sized, shelf); err != nil {
		return reply.Reply{}, err
	}
	for _, f := range say.Assumptions(sized, p) {
		o.Assumptions = append(o.Assumptions, say.Sentence(f.Label+": "+f.Value))
	}
	o.Steps = say.Instructions(sized.Result, p.Style)
	pdf, err := picture.Print(ctx, sized, o)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading(name + " to print"),
		reply.Text("Print it at full size (100 %), so that the dowel's marks and the check bar are true."),
		reply.File{Name: say.FileName(name) + ".pdf", Data: pdf, Alt: "a PDF with the picture, the cut list, marks for the dowel, a cutting plan, the steps in words and cautions"},
	}}, nil
}

// weightOf is what the print of a design weighs: it was measured to take as long as its
// knots and a thousand more do, and to hold so many bytes for each beside what any holds.
func weightOf(sized sizing.Sized) reply.Work {
	const (
		beside = 1000
		bytes  = 16 << 20
		byKnot = 600
	)
	knots := len(sized.Placed)
	return reply.Work{Amount: float64(beside + knots), Bytes: bytes + byKnot*knots}
}

// cuttings are the cutting plans of a design, for the cords that there is
// something to cut from.
func cuttings(ctx context.Context, sized sizing.Sized, shelf store.Leftovers) ([]picture.Cutting, error) {
	var all []picture.Cutting
	cuts := cutting.CutsOf(sized, nil)
	for _, w := range cuts {
		done, err := cutting.Solve(ctx, w, shelf, cutting.UsualKeep, cutting.Apiece(cutting.Budget, len(cuts)))
		switch {
		case errors.Is(err, cutting.ErrNothing), cutting.IsTooLong(err):
			continue
		case err != nil:
			return nil, err
		}
		shelf = cutting.Without(shelf, done.Takes)
		all = append(all, picture.Cutting{Title: w.Cord, Plan: done.Plan})
	}
	return all, nil
}
