// Package design finds the designs of members and sizes them as their makers want it:
// by their swatches, preferences and knots. What was sized gets its buttons here, which
// remember the sheet as a [Draft].
//
// What will hurt you: a large design waits for its turn before it is sized, so that a
// context may end while it does; the faults of a sheet are an error beside which the
// result is empty.
package design

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/near"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/former"
	"larkfold/sizing/trace"
	"larkfold/store"
)

// Find is the saved design that a request names, or says which ones there are.
func Find(sit sitting.Sitting, req reply.Request) (store.Project, error) {
	p, err := sit.Design()
	if errors.Is(err, store.ErrNotFound) {
		return p, noSuchDesign(req, sitting.DesignNamed(req), sit.Designs(), err)
	}
	return p, err
}

// noSuchDesign refuses a name that none of the member's designs has.
func noSuchDesign(req reply.Request, name string, all []store.ProjectSummary, cause error) error {
	e := &reply.UserError{Read: name, Wrong: "you have no project of that name", Right: "you have none yet", Try: "/project new name:" + reply.QuotedIfSpaced(name), Cause: cause}
	if len(all) == 0 {
		return e
	}
	names := make([]string, len(all))
	for i, one := range all {
		names[i] = one.Name
	}
	e.Right, e.Try = "/project list shows yours", "/project list"
	if meant := near.Word(name, names); meant != "" {
		option := "name"
		if req.Takes("project") {
			option = "project"
		}
		e.Right = "did you mean " + reply.Quoted(meant) + "?"
		if req.Command != "project delete" { // another one is not deleted by a slip
			e.Try = req.Retype(map[string]string{option: meant}, "")
		}
	}
	return e
}

// WithActions gives a sized sheet its buttons. What is changed in the same breath,
// such as saving it, is changed once for each request; nil for nothing.
func WithActions(ctx context.Context, sit sitting.Sitting, req reply.Request, answer reply.Reply, sized sizing.Sized, project string, also func(*store.Tx) error) (reply.Reply, error) {
	keys, err := sit.KeepAll(ctx, req, also, DraftOf(sit, sized, project))
	if err != nil {
		return reply.Reply{}, err
	}
	answer.Blocks = append(answer.Blocks, ActionsOf(keys[0], sized, sit.Prefs, project))
	return answer, nil
}

// Draft is what the buttons of a sized sheet remember.
type Draft struct {
	Sheet string     `json:"sheet"`
	Name  string     `json:"name,omitempty"`  // the project it came from
	Knots []knot.Row `json:"knots,omitempty"` // those of its knots that are not in the standard book
}

// DraftOf is a sized sheet as its buttons remember it.
func DraftOf(sit sitting.Sitting, sized sizing.Sized, project string) sitting.Remembered {
	return sitting.Remembered{Kind: "sheet", Holds: Draft{Sheet: sheet.Format(sized.Sheet), Name: project, Knots: sit.UsedRows(sized.Book, sized.Sheet)}}
}

// ActionsOf are the buttons of a sized sheet and the menu that explains its cuts.
func ActionsOf(key string, sized sizing.Sized, p sitting.Prefs, project string) reply.Actions {
	buttons := []reply.Button{
		{Label: "save it", Do: reply.Do("sheet.save", key, ""), Main: true},
		{Label: "see the sheet", Do: reply.Do("sheet.show", key, "")},
		{Label: "in my cord", Do: reply.Do("sheet.cord", key, "")},
		{Label: "a cord is short", Do: reply.Do("sheet.short", key, "")},
		{Label: "work along", Do: reply.Do("work.sized", key, "")},
	}
	if project != "" {
		buttons[0] = reply.Button{Label: "edit", Do: reply.Do("project.edit", key, ""), Main: true}
	}
	menu := reply.Menu{Placeholder: "why is this cut so long?", Do: reply.Do("sheet.why", key, "")}
	for _, c := range sized.List.Cuts {
		menu.Choices = append(menu.Choices, reply.Choice{Name: fmt.Sprintf("%s  %s  %s", c.Label, p.Cut(c.Length), drawn.Purpose(sized, c)), Value: c.Label})
	}
	return reply.Actions{Buttons: buttons, Menus: []reply.Menu{menu}}
}

// SaveNew saves a sheet as a new project, with the knots it takes along.
func SaveNew(name, text string, knots []knot.Row) func(*store.Tx) error {
	return func(tx *store.Tx) error {
		data, err := sitting.PackKnots(knots)
		if err != nil {
			return err
		}
		_, err = tx.SaveProject(store.Project{Name: name, Sheet: text, Data: data}, 0)
		return err
	}
}

// SizeSaved sizes a saved design.
func SizeSaved(ctx context.Context, sit sitting.Sitting, req reply.Request) (sizing.Sized, string, error) {
	saved, err := Find(sit, req)
	if err != nil {
		return sizing.Sized{}, "", err
	}
	own, err := sitting.KnotsOf(saved)
	if err != nil {
		return sizing.Sized{}, "", err
	}
	sized, err := Size(ctx, sit, saved.Name, saved.Sheet, own)
	return sized, saved.Name, err
}

// SizeText sizes a written sheet. Own are the knots that a
// saved design took along.
func SizeText(ctx context.Context, sit sitting.Sitting, text string, own ...knot.Row) (sizing.Sized, error) {
	m, err := sit.Maker(own...)
	if err != nil {
		return sizing.Sized{}, err
	}
	s, faults := sheet.ParseFor(text, m.Book, m.Style.System)
	if faults.Any() {
		return sizing.Sized{}, faults
	}
	sized, err := SizeOn(ctx, sit, s, text, m)
	for _, r := range s.Remarks {
		if told, changed := strings.CutPrefix(r.Text, former.Changed); changed {
			sized.Notes = append(sized.Notes, trace.Note{Place: sheet.Place{Line: r.Line, Column: 1}, Text: told})
		}
	}
	return sized, err
}

// Size sizes a saved sheet. Its title is the name that it is saved under,
// whatever its text says.
func Size(ctx context.Context, sit sitting.Sitting, name, text string, own []knot.Row) (sizing.Sized, error) {
	sized, err := SizeText(ctx, sit, text, own...)
	sized.Sheet.Piece = name
	return sized, err
}

// SizeSheet sizes a sheet that was put together from a question. Faults have no
// text to point into.
func SizeSheet(ctx context.Context, sit sitting.Sitting, s sheet.Sheet) (sizing.Sized, error) {
	m, err := sit.Maker()
	if err != nil {
		return sizing.Sized{}, err
	}
	return SizeOn(ctx, sit, s, "", m)
}

// Sheets of more knots than so many wait for a turn among what takes long, and so do
// cutting plans and files. The bytes are what sizing before and after a change was
// measured to take.
const (
	quicklySized = 3000
	BytesOfAKnot = 300
)

// TurnToSize waits for a turn to size a sheet of many knots.
func TurnToSize(ctx context.Context, s sheet.Sheet) error {
	if knots := s.Weight(); knots > quicklySized {
		return reply.Turn(ctx, reply.Work{Amount: float64(knots), Bytes: knots * BytesOfAKnot})
	}
	return nil
}

// SizeOn sizes a sheet by the member's swatches where they have some of its cords.
func SizeOn(ctx context.Context, sit sitting.Sitting, s sheet.Sheet, text string, m sizing.Maker) (sizing.Sized, error) {
	if err := TurnToSize(ctx, s); err != nil {
		return sizing.Sized{}, err
	}
	hands, err := sit.Hands(m.Book, s.Cords)
	if err != nil {
		return sizing.Sized{}, err
	}
	m.Hands = sitting.Traced(hands)
	sized, err := sizing.Sheet(ctx, s, text, m)
	sized.Notes = append(say.HandNotes(hands, sit.Prefs), sized.Notes...)
	return sized, err
}
