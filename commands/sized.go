package commands

import (
	"context"
	"encoding/json"
	"fmt"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// withActions gives a sized sheet its buttons.
func withActions(ctx context.Context, sit sitting.Sitting, req reply.Request, answer reply.Reply, plan sizing.Plan, project string) (reply.Reply, error) {
	key, err := sit.Keep(ctx, req, "sheet", sheetDraft{Sheet: canonical(plan), Name: project, Knots: sit.UsedRows(plan.Book, plan.Sheet)})
	if err != nil {
		return reply.Reply{}, err
	}
	buttons := []reply.Button{
		{Label: "save it", Do: reply.Do("sheet.save", key, ""), Main: true},
		{Label: "see the sheet", Do: reply.Do("sheet.show", key, "")},
		{Label: "in my cord", Do: reply.Do("sheet.cord", key, "")},
	}
	if project != "" {
		buttons = append([]reply.Button{{Label: "edit", Do: reply.Do("project.edit", key, ""), Main: true}}, buttons[1:]...)
	}
	menu := reply.Menu{Placeholder: "why is this cut so long?", Do: reply.Do("sheet.why", key, "")}
	for _, c := range plan.List.Cuts {
		if len(menu.Choices) < 25 {
			menu.Choices = append(menu.Choices, reply.Choice{Name: fmt.Sprintf("%s  %s  %s", c.Label, sit.Prefs.Cut(c.Length), c.For), Value: c.Label})
		}
	}
	answer.Blocks = append(answer.Blocks, reply.Actions{Buttons: buttons, Menus: []reply.Menu{menu}})
	return answer, nil
}

// saveNew saves a sheet as a new project, with the knots it takes along, once
// for each request.
func saveNew(ctx context.Context, sit sitting.Sitting, req reply.Request, name, text string, knots []knot.Row) (store.Project, error) {
	var saved store.Project
	data, err := sitting.PackKnots(knots)
	if err != nil {
		return saved, err
	}
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		p, err := tx.SaveProject(store.Project{Name: name, Sheet: text, Data: data}, 0)
		if err != nil {
			return nil, err
		}
		return json.Marshal(p)
	})
	if err != nil {
		return saved, err
	}
	return saved, json.Unmarshal(result, &saved)
}

// planOf sizes a saved design.
func planOf(ctx context.Context, sit sitting.Sitting, req reply.Request) (sizing.Plan, string, error) {
	saved, err := findDesign(sit, req)
	if err != nil {
		return sizing.Plan{}, "", err
	}
	own, err := sitting.KnotsOf(saved)
	if err != nil {
		return sizing.Plan{}, "", err
	}
	plan, err := sizeText(ctx, sit, saved.Sheet, own...)
	return plan, saved.Name, err
}

// sheetDraft is what the buttons of a sized sheet remember.
type sheetDraft struct {
	Sheet string     `json:"sheet"`
	Name  string     `json:"name,omitempty"`  // the project it came from
	Knots []knot.Row `json:"knots,omitempty"` // those of its knots that are not in the standard book
}

// canonical is the sheet as the one canonical form prints it.
func canonical(plan sizing.Plan) string { return sheet.Format(plan.Sheet) }

// sizeText sizes a member's written sheet, see sizeSheet. Own are the knots that a
// saved design took along.
func sizeText(ctx context.Context, sit sitting.Sitting, text string, own ...knot.Row) (sizing.Plan, error) {
	b, err := sit.Bench(own...)
	if err != nil {
		return sizing.Plan{}, err
	}
	s, faults := sheet.Parse(text, b.Book)
	if faults.Any() {
		return sizing.Plan{}, faults
	}
	return sizeSheet(ctx, sit, s, text, b)
}

// sizeSheet sizes a member's sheet, by their swatches where they have some of its cords.
func sizeSheet(ctx context.Context, sit sitting.Sitting, s sheet.Sheet, text string, b sizing.Bench) (sizing.Plan, error) {
	hands, err := sit.Hands(b.Book, s.Cords)
	if err != nil {
		return sizing.Plan{}, err
	}
	b.Hands = sitting.Traced(hands)
	plan, err := sizing.Sheet(ctx, s, text, b)
	plan.Notes = append(say.HandNotes(hands, sit.Prefs), plan.Notes...)
	return plan, err
}
