package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/making"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

func buildCommand() command {
	return command{run: build, reads: sitting.Sheets | sitting.Design | sitting.Underway, Command: reply.Command{
		Name: "build", Description: "Make a design step by step, by pressing; without options it goes on where you stopped", Example: "/build demo:tide-line",
		Options: []reply.Option{
			{Name: "name", Description: "a saved project to build on; it changes only when you save", Suggest: "project"},
			{Name: "demo", Description: "a demo design to begin with", Choices: demos()},
			{Name: "new", Description: "yes begins from nothing", Kind: reply.YesNo},
		},
	}}
}

// inBuild is what a press on a design in the making needs.
const inBuild = sitting.Draft | sitting.Sheets | sitting.Leftovers

// building is a design in the making with what it is sized by.
type building struct {
	making.Design
	key  string
	sit  sitting.Sitting
	req  reply.Request
	book *knot.Book
	plan sizing.Plan // of the design as it stands
}

// size sizes a sheet by the member's hands.
func (b *building) size(ctx context.Context) making.Size {
	return func(text string) (sizing.Plan, string, error) {
		plan, err := sizeText(ctx, b.sit, text, b.Knots...)
		if err != nil {
			return sizing.Plan{}, "", err
		}
		return plan, sheet.Format(plan.Sheet), nil
	}
}

// build opens a design to build on.
func build(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	q := ask.Of(req, sit.Prefs)
	fresh := q.Yes("new")
	demo := q.Choice("demo", demos(), "")
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	switch {
	case req.Options["name"] != "":
		saved, err := findDesign(sit, req)
		if err != nil {
			return reply.Reply{}, err
		}
		return buildOn(ctx, sit, req, saved)
	case demo != "":
		text, err := demoSheet(demo)
		if err != nil {
			return reply.Reply{}, err
		}
		return begin(ctx, sit, req, making.Design{}, text)
	case fresh:
		return startForm(sit, req), nil
	}
	all, err := sit.Underway(sitting.Build)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(all) == 0 {
		return startForm(sit, req), nil
	}
	b, err := opened(ctx, sit, req, all[0])
	if err != nil {
		return reply.Reply{}, err
	}
	answer := b.view("")
	if others := others(all[1:]); len(others) > 0 {
		answer.Blocks = append(answer.Blocks, reply.Actions{Menus: []reply.Menu{{Placeholder: "another one in the making", Do: reply.Do("build.other", b.key, ""), Choices: others}}})
	}
	return answer, nil
}

// others are further designs in the making, to be chosen from.
func others(all []store.Draft) []reply.Choice {
	var choices []reply.Choice
	for _, d := range all {
		var one making.Design
		if json.Unmarshal(d.Payload, &one) == nil && len(choices) < mostChoices {
			choices = append(choices, reply.Choice{Name: designName(one.Name), Value: d.Key, Note: "touched last on " + say.Day(d.Created)})
		}
	}
	return choices
}

// mostChoices is how many choices a menu offers at once; more of them page.
const mostChoices = 25

func designName(name string) string {
	if name == "" {
		return "a design without a name"
	}
	return name
}

// buildOn begins with a saved design, which stays as it is until it is saved again.
func buildOn(ctx context.Context, sit sitting.Sitting, req reply.Request, saved store.Project) (reply.Reply, error) {
	own, err := sitting.KnotsOf(saved)
	if err != nil {
		return reply.Reply{}, err
	}
	return begin(ctx, sit, req, making.Design{Name: saved.Name, ID: saved.ID, Revision: saved.Revision, Knots: own}, saved.Sheet)
}

// begin keeps a new design in the making and shows it.
func begin(ctx context.Context, sit sitting.Sitting, req reply.Request, of making.Design, text string) (reply.Reply, error) {
	b := &building{sit: sit, req: req}
	b.Knots = of.Knots
	d, plan, err := making.New(text, b.size(ctx))
	if err != nil {
		return reply.Reply{}, err
	}
	d.Name, d.ID, d.Revision, d.Knots = of.Name, of.ID, of.Revision, of.Knots
	if d.ID != "" {
		d.Saved = d.Sheet
	}
	b.Design, b.plan = d, plan
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		key, err := sitting.KeepUnderway(tx, req, sitting.Build, "", d)
		if err != nil {
			return nil, err
		}
		return json.Marshal(key)
	})
	if err != nil {
		return reply.Reply{}, err
	}
	if err := json.Unmarshal(result, &b.key); err != nil {
		return reply.Reply{}, err
	}
	if b.book, err = sit.Book(b.Knots...); err != nil {
		return reply.Reply{}, err
	}
	return b.view(""), nil
}

// opened is a kept design with its plan.
func opened(ctx context.Context, sit sitting.Sitting, req reply.Request, kept store.Draft) (*building, error) {
	b := &building{sit: sit, req: req, key: kept.Key}
	if err := json.Unmarshal(kept.Payload, &b.Design); err != nil {
		return nil, fmt.Errorf("a design in the making cannot be read: %w", err)
	}
	return b, b.resize(ctx)
}

// resize sizes the design as it stands.
func (b *building) resize(ctx context.Context) (err error) {
	if b.book, err = b.sit.Book(b.Knots...); err != nil {
		return err
	}
	b.plan, _, err = b.size(ctx)(b.Sheet)
	return err
}

// errMoved says that a design was changed since a control was shown.
var errMoved = errors.New("the design has moved on")

// change makes a change of the design once and keeps it. What has changed meanwhile,
// on another device perhaps, stays as it is, and errMoved is returned.
func (b *building) change(ctx context.Context, change func(d *making.Design) error) error {
	turn := b.Turn
	after := b.Design
	failed := change(&after)
	_, first, err := b.sit.Once(ctx, b.req, func(tx *store.Tx) (json.RawMessage, error) {
		var now making.Design
		kept, err := tx.Draft(b.key)
		if err != nil {
			return nil, err
		}
		if err := json.Unmarshal(kept.Payload, &now); err != nil {
			return nil, err
		}
		if now.Turn != turn || pressOf(b.req).turn != turn {
			return nil, errMoved
		}
		if failed != nil {
			return nil, failed
		}
		_, err = sitting.KeepUnderway(tx, b.req, sitting.Build, b.key, after)
		return nil, err
	})
	switch {
	case err != nil:
		return err
	case !first: // delivered once more; the sitting has it, or it came in between
		return b.reread(ctx)
	}
	b.Design = after
	return b.resize(ctx)
}

// reread takes up the design as it is kept now.
func (b *building) reread(ctx context.Context) error {
	sit, err := b.sit.Again(ctx, b.req)
	if err != nil {
		return err
	}
	b.sit = sit
	if err := sit.Kept(sitting.Build, &b.Design); err != nil {
		return err
	}
	return b.resize(ctx)
}

// lists are the names that a form's menus offer.
func (b *building) lists() making.Lists {
	var l making.Lists
	for _, k := range b.book.Knots() {
		l.Knots = append(l.Knots, k.Name)
	}
	for _, c := range b.plan.Sheet.Cords {
		l.Cords = append(l.Cords, c.Name)
	}
	if b.plan.Sheet.Rod != nil {
		l.Rods = append(l.Rods, "rod")
	}
	for _, r := range b.plan.Sheet.More {
		l.Rods = append(l.Rods, r.Name)
	}
	return l
}

// page is the design's sheet, read.
func (b *building) page() (making.Page, error) { return b.Open(b.book) }

// faultsOf is what a sheet's faults say, or nothing for another error.
func faultsOf(err error) (string, bool) {
	var faults sheet.Faults
	if errors.As(err, &faults) {
		return strings.TrimRight(faults.Error(), "\n"), true
	}
	var user *reply.UserError
	if errors.As(err, &user) {
		return user.Error(), true
	}
	var wrong *making.Wrong
	if errors.As(err, &wrong) {
		return wrong.Error(), true
	}
	return "", false
}

// buildShared builds on a shared design.
func buildShared(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	s, own, err := sharedSheet(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	return begin(ctx, sit, req, making.Design{Knots: own}, s.Sheet)
}

// sharedSheet is the shared design behind a button, with the knots it took along.
func sharedSheet(sit sitting.Sitting, req reply.Request) (store.Share, []knot.Row, error) {
	s, err := findShare(sit, req)
	if err != nil {
		return s, nil, err
	}
	own, err := sitting.KnotsOf(store.Project{Data: s.Data})
	return s, own, err
}
