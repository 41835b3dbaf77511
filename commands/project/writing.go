package project

import (
	"context"
	"errors"
	"strings"

	"larkfold/commands/design"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/commands/slip"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// template is what a new sheet's form starts with.
const template = `piece %s
cord main 4 mm single-strand
dowel 50 cm x 20 mm

panel front
  mount 12 folded
  net square rows 6
  tail 20 cm
`

// sheetForm asks for a sheet. What was typed before stands in it.
func sheetForm(w writing, action reply.Action) reply.Reply {
	return reply.Reply{Blocks: []reply.Block{reply.Form{
		Title: w.Name, Do: action, Otherwise: w.asFile(),
		Fields: []reply.Field{{Name: "sheet", Label: "Working sheet, one step a line", Placeholder: "mount 12 folded", Value: w.Sheet, Long: true, Required: true}},
	}}}
}

// writing is what a sheet's form remembers.
type writing struct {
	Name     string `json:"name"`
	ID       string `json:"id,omitempty"` // of the project being edited
	Revision uint64 `json:"revision,omitempty"`
	Sheet    string `json:"sheet"`

	Knots []knot.Row `json:"knots,omitempty"` // that the saved design took along
}

// openForm keeps what is being written and asks for the sheet.
func openForm(ctx context.Context, sit sitting.Sitting, req reply.Request, w writing) (reply.Reply, error) {
	key, err := sit.Keep(ctx, req, "writing", w)
	if err != nil {
		return reply.Reply{}, err
	}
	return sheetForm(w, reply.Do("project.write", key, req.ID)), nil
}

// asFile hands out a sheet that a form cannot hold, to be changed elsewhere.
func (w writing) asFile() []reply.Block {
	command := "/project edit"
	if w.ID == "" {
		command = "/project new"
	}
	return []reply.Block{
		reply.Heading(w.Name + ": too long for a form"),
		reply.Text("A form cannot hold all of this sheet, so here it is as a file. Change it there, then give all of it to"),
		reply.Verbatim(command + " name:" + reply.QuotedIfSpaced(w.Name) + " sheet:"),
		reply.File{Name: say.FileName(w.Name) + ".txt", Data: []byte(w.Sheet), Alt: "the working sheet as text"},
	}
}

// writingOf is a saved design as its form remembers it.
func writingOf(p store.Project) (writing, error) {
	knots, err := sitting.KnotsOf(p)
	return writing{Name: p.Name, ID: p.ID, Revision: p.Revision, Sheet: p.Sheet, Knots: knots}, err
}

// writeForm is a filled form.
func writeForm(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var w writing
	if err := sit.Kept("writing", &w); err != nil {
		return reply.Reply{}, err
	}
	w.Sheet = req.Fields["sheet"]
	return writeSheet(ctx, sit, req, w)
}

// writeSheet sizes what was written and saves it. A faulty sheet is kept behind a
// button that opens the form again.
func writeSheet(ctx context.Context, sit sitting.Sitting, req reply.Request, w writing) (reply.Reply, error) {
	sized, err := design.Size(ctx, sit, w.Name, w.Sheet, w.Knots)
	var faults sheet.Faults
	if errors.As(err, &faults) {
		return faultySheet(ctx, sit, req, w, faults)
	}
	if err != nil {
		return reply.Reply{}, err
	}
	answer := say.Sized(sized, sit.Prefs, []reply.Fact{{Label: "saved", Value: w.Name}})
	return saveSheet(ctx, sit, req, w, sized, answer)
}

// saveSheet saves what was written and sized, and gives the answer its buttons.
func saveSheet(ctx context.Context, sit sitting.Sitting, req reply.Request, w writing, sized sizing.Sized, answer reply.Reply) (reply.Reply, error) {
	answer, err := design.WithActions(ctx, sit, req, answer, sized, w.Name, func(tx *store.Tx) error {
		data, err := sitting.PackKnots(sit.UsedRows(sized.Book, sized.Sheet))
		if err != nil {
			return err
		}
		_, err = tx.SaveProject(store.Project{ID: w.ID, Name: w.Name, Sheet: w.Sheet, Data: data}, w.Revision)
		return err
	})
	var conflict *store.Conflict
	if errors.As(err, &conflict) {
		return clashingSheet(ctx, sit, req, w, conflict)
	}
	return answer, err
}

// faultySheet shows the faults of a sheet; nothing of it is lost.
func faultySheet(ctx context.Context, sit sitting.Sitting, req reply.Request, w writing, faults sheet.Faults) (reply.Reply, error) {
	key, err := sit.Keep(ctx, req, "writing", w)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Refused(
		reply.Heading("Not saved yet: "+say.Shortened(w.Name, slip.MostRead)),
		reply.Verbatim(faults.Error()),
		reply.Text("Your text is kept:"), reply.Verbatim(strings.TrimRight(w.Sheet, "\n")),
		reply.Actions{Buttons: []reply.Button{{Label: "mend it", Do: reply.Do("sheet.edit", key, ""), Main: true}}},
	), nil
}

// clashingSheet shows both versions when a sheet was changed meanwhile.
func clashingSheet(ctx context.Context, sit sitting.Sitting, req reply.Request, w writing, c *store.Conflict) (reply.Reply, error) {
	stored, ok := c.Stored.(store.Project)
	if !ok {
		return reply.Reply{}, c
	}
	w.Revision = stored.Revision
	key, err := sit.Keep(ctx, req, "writing", w)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Refused(
		reply.Heading(w.Name+" was changed meanwhile"),
		reply.Text("Nothing was overwritten. This is saved now:"), reply.Verbatim(strings.TrimRight(stored.Sheet, "\n")),
		reply.Text("This is what you wrote:"), reply.Verbatim(strings.TrimRight(w.Sheet, "\n")),
		reply.Actions{Buttons: []reply.Button{{Label: "edit mine and save it over", Do: reply.Do("sheet.edit", key, ""), Main: true}}},
	), nil
}

// mendSheet opens the form again with what was written.
func mendSheet(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var w writing
	if err := sit.Kept("writing", &w); err != nil {
		return reply.Reply{}, err
	}
	return sheetForm(w, reply.Do("project.write", req.Action.Key, req.ID)), nil
}
