package building

import (
	"context"
	"strings"

	"larkfold/commands/making"
	"larkfold/commands/project"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/commands/slip"
)

// use is what the design can be used for as it stands.
func (b *building) use() reply.Reply {
	blocks := []reply.Block{reply.Heading(b.title() + ": to print, to cut, to make")}
	a := reply.Actions{Buttons: []reply.Button{
		{Label: "a sheet to print", Do: b.control("build.view", "print")},
		{Label: "cutting plan", Do: b.control("build.view", "plan")},
		{Label: "work along", Do: b.control("build.work", "begin")},
		{Label: "another size", Do: b.control("build.ask", "size")},
	}}
	since := b.since()
	switch {
	case since != "":
		blocks = append(blocks, reply.Text("What is shared here is the design as it is saved, and "+since+": save this one under another name first."))
	case b.Name == "" || b.Unsaved():
		blocks = append(blocks, reply.Text("What is shared here is the design as it is saved: save it first."))
	default:
		a.Buttons = append(a.Buttons, reply.Button{Label: "share it here", Do: b.control("build.share", "share")})
	}
	a.Buttons = append(a.Buttons, b.backButton())
	return reply.Reply{Blocks: append(blocks, a)}
}

// withBack is an answer, or a refusal, with the way back to the design.
func (b *building) withBack(answer reply.Reply, err error) (reply.Reply, error) {
	if err != nil {
		answer, err = slip.Refusal(err)
	}
	if err == nil {
		answer.Blocks = append(answer.Blocks, b.back())
	}
	return answer, err
}

// buildShare shares the saved design.
func buildShare(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	b, err := pressedBuild(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	if pressOf(req).turn != b.Turn || b.Unsaved() || b.since() != "" {
		return b.moved(""), nil
	}
	return project.Share(ctx, sit, req)
}

// buildWork begins to make the design as it stands.
func buildWork(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	b, err := pressedBuild(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	if pressOf(req).turn != b.Turn {
		return b.moved(""), nil
	}
	return workOn(ctx, sit, req, workpiece{Title: b.title(), Sheet: b.Sheet, Knots: b.Knots})
}

// askedSize asks for the same design in another size or cord.
func (b *building) askedSize(ctx context.Context) askedFor {
	return askedFor{title: "Another size or cord", blanks: []making.Blank{
		{Name: "width", Label: "how wide", Like: "60 cm"},
		{Name: "drop", Label: "how long, tails included", Like: "90 cm"},
		{Name: "dowel", Label: "on which dowel", Like: "60 cm x 20 mm"},
		{Name: "thickness", Label: "in cord how thick", Like: "3 mm"},
		{Name: "construction", Label: "in cord how made", Choices: constructions()},
	}, edit: func(_ string, fields map[string]string) (making.Edit, error) {
		req := b.req
		req.Action, req.Command, req.Options = nil, "project resize", map[string]string{}
		for name, said := range fields {
			if said = strings.TrimSpace(said); said != "" {
				req.Options[name] = said
			}
		}
		change, err := project.WantChange(ctx, b.sit, req)
		if err != nil {
			return nil, err
		}
		if change.Nothing() {
			return nil, &reply.UserError{Wrong: "nothing is to be changed", Right: "fill in one of them at least"}
		}
		resized, err := project.Resize(ctx, b.sit, req, b.Name, b.Sheet, b.Knots, change)
		if err != nil {
			return nil, err
		}
		return making.Rewrite(resized.Text), nil
	}}
}

// askedSheet asks for the whole sheet, to be written.
func (b *building) askedSheet() askedFor {
	return askedFor{title: "The working sheet", blanks: []making.Blank{{Name: "sheet", Label: "one step a line", Value: b.Sheet, Must: true, Long: true}},
		edit: func(_ string, fields map[string]string) (making.Edit, error) {
			return making.Rewrite(fields["sheet"]), nil
		}}
}
