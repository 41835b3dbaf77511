package project

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/pages"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// ProjectCommand is /project and what stands under it.
func ProjectCommand() handler.Command {
	name := reply.Option{Name: "name", Description: "of the project", Required: true, Suggest: "project"}
	return handler.Command{Command: reply.Command{
		Name: "project", Description: "Your saved designs",
	}, Under: []handler.Command{
		{Run: newProject, Reads: sitting.Sheets | sitting.Design, Command: reply.Command{Name: "new", Description: "Write a working sheet and save it", Example: `/project new name:"Tide Line"`,
			Options: []reply.Option{{Name: "name", Description: "of the new project", Required: true}, {Name: "sheet", Description: "the working sheet; a form opens if left out"}}}},
		{Run: editProject, Reads: sitting.Sheets | sitting.Design, Command: reply.Command{Name: "edit", Description: "Change a saved sheet", Example: `/project edit name:"Tide Line"`,
			Options: []reply.Option{name, {Name: "sheet", Description: "the new sheet; a form opens if left out"}}}},
		{Run: showProject, Reads: sitting.Sheets | sitting.Design, Command: reply.Command{Name: "show", Description: "The cut list of a saved design", Example: `/project show name:"Tide Line"`,
			Options: []reply.Option{name, {Name: "why", Description: "explain one line of the cut list by its letter"},
				{Name: "short", Description: "a line of the cut list whose cords are too short, by its letter; by: says by how much"}, {Name: "by", Description: "how much they are too short, such as 20cm"},
				{Name: "written", Description: "yes shows the working sheet instead", Kind: reply.YesNo},
				{Name: "steps", Description: "yes says how to tie it, step by step", Kind: reply.YesNo}}}},
		{Run: listProjects, Reads: sitting.Designs, Command: reply.Command{Name: "list", Description: "Your saved designs by name", Example: "/project list", Options: []reply.Option{pages.Option}}},
		{Run: renameProject, Reads: sitting.Design, Command: reply.Command{Name: "rename", Description: "Give a design another name", Example: `/project rename name:"Tide Line" to:"Ebb Line"`,
			Options: []reply.Option{name, {Name: "to", Description: "the new name", Required: true}}}},
		{Run: copyProject, Reads: sitting.Design, Command: reply.Command{Name: "copy", Description: "Save a design again under another name", Example: `/project copy name:"Tide Line" to:"Tide Line 2"`,
			Options: []reply.Option{name, {Name: "to", Description: "the name of the copy", Required: true}}}},
		resizeCommand(name),
		printCommand(),
		shareCommand(name),
		unshareCommand(name),
		{Run: deleteProject, Reads: sitting.Design, Command: reply.Command{Name: "delete", Description: "Put a design into the bin; undo brings it back", Example: `/project delete name:"Tide Line"`,
			Options: []reply.Option{name}}},
		{Run: undoProject, Reads: sitting.Design, Command: reply.Command{Name: "undo", Description: "Take back the last change of a design, or its deletion", Example: `/project undo name:"Tide Line"`,
			Options: []reply.Option{name, {Name: "changes", Description: "how many, 1 if left out", Kind: reply.Whole, Min: 1, Max: 20}}}},
	}}
}

func newProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	name := strings.TrimSpace(req.Options["name"])
	if _, err := sit.Design(); err == nil {
		return reply.Reply{}, &reply.UserError{Read: name, Wrong: "you have a project of that name", Right: "choose another name, or edit that one", Try: "/project edit name:" + reply.QuotedIfSpaced(name)}
	} else if !errors.Is(err, store.ErrNotFound) {
		return reply.Reply{}, err
	}
	w := writing{Name: name, Sheet: fmt.Sprintf(template, name)}
	if text := req.Options["sheet"]; text != "" {
		w.Sheet = text
		return writeSheet(ctx, sit, req, w)
	}
	return openForm(ctx, sit, req, w)
}

func editProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p, err := design.Find(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	w, err := writingOf(p)
	if err != nil {
		return reply.Reply{}, err
	}
	if text := req.Options["sheet"]; text != "" {
		w.Sheet = text
		return writeSheet(ctx, sit, req, w)
	}
	return openForm(ctx, sit, req, w)
}

func showProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	saved, err := design.Find(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	p := sit.Prefs
	q := ask.Of(req, p)
	if q.Yes("written") {
		return reply.Reply{Blocks: []reply.Block{reply.Heading(saved.Name), reply.Verbatim(strings.TrimRight(saved.Sheet, "\n"))}}, nil
	}
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	w, err := writingOf(saved)
	if err != nil {
		return reply.Reply{}, err
	}
	sized, err := design.Size(ctx, sit, saved.Name, saved.Sheet, w.Knots)
	var faults sheet.Faults
	if errors.As(err, &faults) {
		return faultySheet(ctx, sit, req, w, faults)
	}
	if err != nil {
		return reply.Reply{}, err
	}
	if q.Has("why") {
		return say.Why(sized, p, q.Text("why"))
	}
	if q.Has("short") || q.Has("by") {
		return shortOf(sized, q, p)
	}
	if steps := q.Yes("steps"); steps || q.Err != nil {
		return reply.Reply{Blocks: say.Steps(sized, p)}, q.Err
	}
	return design.WithActions(ctx, sit, req, say.Sized(sized, sit.Prefs, nil), sized, saved.Name, nil)
}

func listProjects(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	all := sit.Designs()
	if len(all) == 0 {
		return reply.Reply{Blocks: []reply.Block{reply.Text("You have no saved designs yet. Start one with"), reply.Verbatim(`/project new name:"First Hanging"`), reply.Text("or save the answer to a question:"), reply.Verbatim(sit.Prefs.Sample(`/cord width:40cm drop:70cm save:"First Hanging"`))}}, nil
	}
	t := reply.Table{Columns: []reply.Column{{Title: "name", Right: false}, {Title: "changed", Right: false}, {Title: "revision", Right: true}}}
	for _, p := range all {
		t.Rows = append(t.Rows, []string{p.Name, say.Day(p.Changed), fmt.Sprint(p.Revision)})
		t.Short = append(t.Short, p.Name+", "+say.Day(p.Changed))
	}
	shown, err := pages.Of(req, len(all), pages.Rows)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: append([]reply.Block{reply.Heading("Your designs"), shown.Cut(t)}, shown.Others("project list")...)}, nil
}

// changeProject does one change of a saved design, once for each request.
func changeProject(ctx context.Context, sit sitting.Sitting, req reply.Request, change func(tx *store.Tx, p store.Project) (store.Project, error)) (store.Project, error) {
	p, err := design.Find(sit, req)
	if err != nil {
		return p, err
	}
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		after, err := change(tx, p)
		if err != nil {
			return nil, err
		}
		return json.Marshal(after)
	})
	if err != nil {
		return p, err
	}
	return p, json.Unmarshal(result, &p)
}

func renameProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p, err := changeProject(ctx, sit, req, func(tx *store.Tx, p store.Project) (store.Project, error) {
		return tx.RenameProject(p.ID, strings.TrimSpace(req.Options["to"]), p.Revision)
	})
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text(reply.Quoted(req.Options["name"]) + " is now " + reply.Quoted(p.Name) + ".")}}, nil
}

func copyProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p, err := changeProject(ctx, sit, req, func(tx *store.Tx, p store.Project) (store.Project, error) {
		return tx.CopyProject(p.ID, strings.TrimSpace(req.Options["to"]))
	})
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text("Copied to " + reply.Quoted(p.Name) + "."), reply.Verbatim("/project edit name:" + reply.QuotedIfSpaced(p.Name))}}, nil
}

func deleteProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p, err := changeProject(ctx, sit, req, func(tx *store.Tx, p store.Project) (store.Project, error) {
		return tx.DeleteProject(p.ID, p.Revision)
	})
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text(reply.Quoted(p.Name) + " is in the bin. This brings it back:"), reply.Verbatim("/project undo name:" + reply.QuotedIfSpaced(p.Name))}}, nil
}

func undoProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	q := ask.Of(req, sit.Prefs)
	steps := q.Count("changes", 1, 20, 1)
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	name := strings.TrimSpace(req.Options["name"])
	if _, err := sit.Design(); errors.Is(err, store.ErrNotFound) {
		return restoreProject(ctx, sit, req)
	}
	p, err := changeProject(ctx, sit, req, func(tx *store.Tx, p store.Project) (store.Project, error) {
		return tx.UndoProject(p.ID, steps, p.Revision)
	})
	var invalid *store.InvalidError
	if errors.As(err, &invalid) {
		return reply.Reply{}, &reply.UserError{Read: fmt.Sprintf("%s, %s back", name, noun.Count(steps, "step")), Wrong: invalid.Reason, Right: "look at it as it is", Try: "/project show name:" + reply.QuotedIfSpaced(name), Cause: err}
	}
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Heading(p.Name + " as it was"), reply.Verbatim(strings.TrimRight(p.Sheet, "\n")), reply.Text("Undo once more brings back what was undone.")}}, nil
}

// restoreProject brings a deleted design back.
func restoreProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	_, missing := design.Find(sit, req)
	var back store.Project
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		bin, err := tx.Bin()
		if err != nil {
			return nil, err
		}
		for _, p := range bin {
			if strings.EqualFold(p.Name, sitting.DesignNamed(req)) {
				if back, err = tx.RestoreProject(p.ID, ""); err != nil {
					return nil, err
				}
				return json.Marshal(back) // for changeProject, which finds it there when the request comes again
			}
		}
		return nil, missing
	})
	if err != nil {
		return reply.Reply{}, err
	}
	if err := json.Unmarshal(result, &back); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text(reply.Quoted(back.Name) + " is back from the bin."), reply.Verbatim("/project show name:" + reply.QuotedIfSpaced(back.Name))}}, nil
}

// askName asks under which name to save a sized sheet.
func askName(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Form{Title: "Save this design", Do: reply.Do("sheet.named", req.Action.Key, req.ID), Fields: []reply.Field{{Name: "name", Label: "Name", Placeholder: "Tide Line", Required: true, MaxLength: 80}}}}}, nil
}

func saveNamed(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return reply.Reply{}, err
	}
	name := strings.TrimSpace(req.Fields["name"])
	book, err := sit.Book(d.Knots...)
	if err != nil {
		return reply.Reply{}, err
	}
	s, faults := sheet.Parse(d.Sheet, book)
	if len(faults.Shown) > 0 {
		return reply.Reply{}, faults
	}
	s.Piece = name
	if _, err := sit.Change(ctx, req, design.SaveNew(name, sheet.Format(s), d.Knots)); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text("Saved as " + reply.Quoted(name) + ". See it again with"), reply.Verbatim("/project show name:" + reply.QuotedIfSpaced(name))}}, nil
}

func showSheet(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Heading("The working sheet"), reply.Verbatim(strings.TrimRight(d.Sheet, "\n"))}}, nil
}

func editPressed(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return reply.Reply{}, err
	}
	p, err := sit.Design()
	if err != nil {
		return reply.Reply{}, err
	}
	w, err := writingOf(p)
	if err != nil {
		return reply.Reply{}, err
	}
	return openForm(ctx, sit, req, w)
}

// whyPressed explains the line that was chosen from a menu.
func whyPressed(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	sized, err := keptSized(ctx, sit)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(req.Values) != 1 {
		return reply.Reply{}, &reply.UserError{Wrong: "nothing was chosen", Right: "choose one line of the cut list"}
	}
	return say.Why(sized, sit.Prefs, req.Values[0])
}

// askShort asks which line of a cut list is too short, and by how much.
func askShort(_ context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Form{Title: "A cord that is too short", Do: reply.Do("sheet.shorted", req.Action.Key, req.ID), Fields: []reply.Field{
		{Name: "short", Label: "Which line of the cut list", Placeholder: "A", Required: true, MaxLength: 3},
		{Name: "by", Label: "How much too short", Placeholder: "20cm", Required: true, MaxLength: 20},
	}}}}, nil
}

// shortPressed answers the form.
func shortPressed(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	sized, err := keptSized(ctx, sit)
	if err != nil {
		return reply.Reply{}, err
	}
	filled := req
	filled.Options = maps.Clone(req.Fields)
	return shortOf(sized, ask.Of(filled, sit.Prefs), sit.Prefs)
}

// keptSized sizes the sheet behind a button again.
func keptSized(ctx context.Context, sit sitting.Sitting) (sizing.Sized, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return sizing.Sized{}, err
	}
	return design.SizeText(ctx, sit, d.Sheet, d.Knots...)
}
