package building

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"larkfold/commands/cutting"
	"larkfold/commands/design"
	"larkfold/commands/making"
	"larkfold/commands/project"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/commands/slip"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// pressedBuild opens the design behind a control.
func pressedBuild(ctx context.Context, sit sitting.Sitting, req reply.Request) (*building, error) {
	b := &building{}
	var err error
	if b.wip, err = designs.pressed(sit, req, &b.Design); err != nil {
		return nil, err
	}
	return b, b.resize(ctx)
}

// moved shows the design as it stands to whoever pressed an old control.
func (b *building) moved(typed string) reply.Reply {
	note := "This design has moved on since that message. Nothing was changed; this is how it stands now."
	if typed != "" {
		note += " You had typed: " + typed
	}
	return b.view(note)
}

// buildView shows a part of the design: nothing is changed.
func buildView(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	b, err := pressedBuild(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	p := pressOf(req)
	if p.turn != b.Turn {
		return b.moved(""), nil
	}
	page, err := b.page()
	if err != nil {
		return reply.Reply{}, err
	}
	switch p.what {
	case "change":
		return b.steps(page, p.number()), nil
	case "step":
		return b.step(page, p.number()), nil
	case "panels":
		return b.panels(page), nil
	case "finish":
		return b.finish(page), nil
	case "head":
		return b.head(page), nil
	case "colours":
		return b.colours(p), nil
	case "sheet":
		return reply.Reply{Blocks: []reply.Block{reply.Heading(b.title()), reply.Verbatim(strings.TrimRight(b.Sheet, "\n")),
			reply.Actions{Buttons: []reply.Button{b.backButton(), {Label: "write in it", Do: b.control("build.ask", "write")}}}}}, nil
	case "cuts":
		return b.withBack(design.WithActions(ctx, sit, req, say.Sized(b.titled(), sit.Prefs, nil), b.titled(), "", nil))
	case "use":
		return b.use(), nil
	case "print":
		return b.withBack(project.Printed(ctx, sit, project.UsualPaper(sit.Prefs), b.titled(), b.title()))
	case "plan":
		return b.withBack(cutting.Answer(ctx, sit, req, b.title(), cutting.CutsOf(b.sized, nil), cutting.UsualKeep, false))
	}
	return b.view(""), nil
}

// buildOther takes another design in the making in hand.
func buildOther(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	b := &building{}
	var err error
	if b.wip, err = designs.chosen(sit, req, &b.Design); err != nil {
		return reply.Reply{}, err
	}
	return b.shown(ctx)
}

// buildDo makes a change that needs no form.
func buildDo(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	b, err := pressedBuild(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	p := pressOf(req)
	if p.what == "save" && b.Name != "" {
		return b.save(ctx, b.Name)
	}
	note := ""
	err = b.change(ctx, func(d *making.Design) error {
		switch p.what {
		case "undo":
			if !d.Undo() && p.turn == b.Turn {
				note = "There is nothing left to take back."
			}
			return nil
		case "redo":
			if !d.Redo() && p.turn == b.Turn {
				note = "There is nothing to do again."
			}
			return nil
		case "use":
			if i := p.number(); i >= 1 && i <= len(b.sized.Sheet.Panels) {
				d.Use(b.sized.Sheet.Panels[i-1].Name)
			}
			return nil
		}
		edit, ok := b.directEdit(p)
		if !ok {
			return &reply.UserError{Wrong: "this button is from an earlier version of Larkfold", Right: "go on with the new buttons", Try: "/build"}
		}
		_, err := d.Do(edit, b.size(ctx), b.book)
		note = b.unchanged(d, p)
		return err
	})
	return b.answered(ctx, err, note, "")
}

// unchanged says that an edit of the design as it stands came to what was there, and
// that there is nothing of it to take back; empty for one that came to something else.
func (b *building) unchanged(after *making.Design, p pressing) string {
	switch {
	case p.turn != b.Turn || after.Sheet != b.Sheet:
		return ""
	case p.what == "mirror":
		return "Panel " + b.inHand().Name + " is its own mirror image: nothing was changed."
	}
	return "That is what the sheet says already: nothing was changed."
}

// directEdit is the edit that a button asks for.
func (b *building) directEdit(p pressing) (making.Edit, bool) {
	switch p.what {
	case "out":
		return making.RemoveStep(p.number()), true
	case "up":
		return making.MoveStep(p.number(), true), true
	case "down":
		return making.MoveStep(p.number(), false), true
	case "twice":
		return making.RepeatSteps(p.number(), p.number(), 2), true
	case "mirror":
		return making.MirrorPanel(), true
	case "leave":
		return making.RemovePanel(), true
	case "before":
		return making.MovePanel(true), true
	case "behind":
		return making.MovePanel(false), true
	case "unfinish":
		return making.RemoveFinish(p.number()), true
	case "own":
		return b.ownCord(p.number(), false)
	case "besides":
		return b.ownCord(p.number(), true)
	case "colour":
		return b.colourEdit(p)
	}
	return nil, false
}

// answered is what is said after a change was tried.
func (b *building) answered(ctx context.Context, err error, note, typed string) (reply.Reply, error) {
	if errors.Is(err, errMoved) {
		if err := b.again(ctx); err != nil {
			return reply.Reply{}, err
		}
		return b.moved(typed), nil
	}
	if why, ok := faultsOf(err); ok {
		return reply.Refused(
			reply.Heading("That does not fit yet"), reply.Verbatim(why),
			reply.Text("The design is as it was."), b.back(),
		), nil
	}
	if err != nil {
		return reply.Reply{}, err
	}
	return b.view(note), nil
}

// typedForm is a form that was refused, as it was filled in.
type typedForm struct {
	Build string     `json:"build"` // key of the design
	Form  reply.Form `json:"form"`
}

// buildFilled takes a filled form.
func buildFilled(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	b, err := pressedBuild(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	p := pressOf(req)
	if p.what == "save" {
		return b.save(ctx, req.Fields["name"])
	}
	page, err := b.page()
	if err != nil {
		return reply.Reply{}, err
	}
	f, err := b.asked(ctx, page, p)
	if err != nil && p.turn != b.Turn { // it asked about what is not there now
		return b.moved(filledIn(req.Fields)), nil
	}
	if err != nil {
		return reply.Reply{}, err
	}
	line, note := f.line(req.Fields), ""
	err = b.change(ctx, func(d *making.Design) error {
		edit, err := f.edit(line, req.Fields)
		if err != nil {
			return err
		}
		if _, err := d.Do(edit, b.size(ctx), b.book); err != nil {
			return err
		}
		note = b.unchanged(d, p)
		if f.use != "" {
			d.Use(making.NameOf(req.Fields[f.use]))
		}
		return nil
	})
	why, refused := faultsOf(err)
	if !refused {
		return b.answered(ctx, err, note, f.typed(req.Fields))
	}
	form := b.form(f, p)
	form.Otherwise = nil // what came from a form fits one
	for i, field := range form.Fields {
		form.Fields[i].Value = req.Fields[field.Name]
	}
	key, err := sit.Keep(ctx, b.req, "typed", typedForm{b.key, form})
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Refused(
		reply.Heading("That does not fit yet"), reply.Verbatim(why),
		reply.Text("The design is as it was, and what you typed is kept:"), reply.Verbatim(f.typed(req.Fields)),
		reply.Actions{Buttons: []reply.Button{
			{Label: "mend it", Do: reply.Do("build.mend", key, ""), Main: true},
			{Label: "back to the design", Do: b.control("build.view", "today")},
		}},
	), nil
}

// filledIn is what was filled into a form, blank by blank.
func filledIn(fields map[string]string) string {
	var lines []string
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		if fields[name] != "" {
			lines = append(lines, name+": "+fields[name])
		}
	}
	return strings.Join(lines, "\n")
}

// buildMend opens a refused form again with what was typed.
func buildMend(_ context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var t typedForm
	if err := sit.Kept("typed", &t); err != nil {
		return reply.Reply{}, err
	}
	parts := strings.SplitN(t.Form.Do.Op, pressParts, 3)
	parts[len(parts)-1] = req.ID // the last of them makes it one of its kind; the form that begins a design has no other
	t.Form.Do.Op = strings.Join(parts, pressParts)
	return reply.Reply{Blocks: []reply.Block{t.Form}}, nil
}

// save writes the design into the member's projects.
func (b *building) save(ctx context.Context, name string) (reply.Reply, error) {
	name = strings.TrimSpace(name)
	named := b.titledAs(name)
	data, err := sitting.PackKnots(b.sit.UsedRows(b.book, named.Sheet))
	if err != nil {
		return reply.Reply{}, err
	}
	text := sheet.Format(named.Sheet)
	_, err = b.wip.change(ctx, b.Turn, func(tx *store.Tx) (any, error) {
		p := store.Project{Name: name, Sheet: text, Data: data}
		var expected uint64
		if name == b.Name {
			p.ID, expected = b.ID, b.Revision
		}
		saved, err := tx.SaveProject(p, expected)
		after := b.Design
		after.Name, after.ID, after.Revision, after.Saved = saved.Name, saved.ID, saved.Revision, after.Sheet
		return after, err
	})
	var conflict *store.Conflict
	var gone *store.NotFound
	switch {
	case errors.Is(err, errMoved):
		return b.answered(ctx, err, "", "")
	case errors.As(err, &conflict):
		return reply.Refused(
			reply.Heading(name+" was changed meanwhile"),
			reply.Text("Nothing was overwritten, and the design in the making is kept. Save it under another name, or build on what is saved now:"),
			reply.Verbatim("/build name:"+reply.QuotedIfSpaced(name)),
			reply.Actions{Buttons: []reply.Button{{Label: "save under another name", Do: b.control("build.ask", "save"), Main: true}, b.backButton()}},
		), nil
	case errors.As(err, &gone) && gone.Kind == store.KindProject:
		return reply.Refused(
			reply.Heading(name+" was deleted meanwhile"),
			reply.Text("The design in the making is kept. Save it under another name, or bring back what was deleted:"),
			reply.Verbatim("/project undo name:"+reply.QuotedIfSpaced(name)),
			reply.Actions{Buttons: []reply.Button{{Label: "save under another name", Do: b.control("build.ask", "save"), Main: true}, b.backButton()}},
		), nil
	case err != nil:
		answer, err := slip.Refusal(err)
		if err == nil {
			answer.Blocks = append(answer.Blocks, reply.Text("The design in the making is kept."),
				reply.Actions{Buttons: []reply.Button{{Label: "another name", Do: b.control("build.ask", "save"), Main: true}, b.backButton()}})
		}
		return answer, err
	}
	if err := b.again(ctx); err != nil {
		return reply.Reply{}, err
	}
	answer := b.view("Saved as " + reply.Quoted(b.Name) + ".")
	quoted := reply.QuotedIfSpaced(b.Name)
	answer.Blocks = append(answer.Blocks, reply.Text("What is saved can be printed, shared, resized and planned:"),
		reply.Verbatim(fmt.Sprintf("/project print name:%s\n/project share name:%s\n/project resize name:%s width:40cm\n/plan project:%s\n/work name:%s", quoted, quoted, quoted, quoted, quoted)))
	if !b.hangs() { // else the view has them
		answer.Blocks = append(answer.Blocks, say.Cautions(b.sized)...)
	}
	return answer, nil
}
