package building

import (
	"context"
	"errors"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/making"
	"larkfold/commands/project"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// BuildCommand is /build.
func BuildCommand() handler.Command {
	return handler.Command{Run: build, Reads: sitting.Sheets | sitting.Leftovers | sitting.Design | sitting.Designs | sitting.Underway, Command: reply.Command{
		Name: "build", Description: "Make a design step by step, by pressing; without options it goes on where you stopped", Example: "/build new:yes",
		Options: []reply.Option{
			{Name: "name", Description: "a saved project to build on; it changes only when you save", Suggest: "project"},
			{Name: "demo", Description: "a demo design to begin with", Choices: demos()},
			{Name: "new", Description: "yes begins from nothing", Kind: reply.YesNo},
		},
	}}
}

// inBuild is what a press on a design in the making needs.
const inBuild = sitting.Draft | sitting.Sheets | sitting.Leftovers | sitting.Designs

// building is a design in the making with what it is sized by.
type building struct {
	wip
	making.Design
	book  *knot.Book
	sized sizing.Sized // of the design as it stands
}

// size sizes a sheet by the member's hands.
func (b *building) size(ctx context.Context) making.Size {
	return func(text string) (sizing.Sized, string, error) {
		sized, err := design.SizeText(ctx, b.sit, text, b.Knots...)
		if err != nil {
			return sizing.Sized{}, "", err
		}
		return sized, sheet.Format(sized.Sheet), nil
	}
}

// ahead follows a sheet by the member's hands.
func (b *building) ahead(ctx context.Context) making.Ahead {
	return func(text string, panel, step int) (*sizing.Further, error) {
		m, err := b.sit.Maker(b.Knots...)
		if err != nil {
			return nil, err
		}
		hands, err := b.sit.Hands(m.Book, b.sized.Sheet.Cords)
		if err != nil {
			return nil, err
		}
		m.Hands = sitting.Traced(hands)
		return sizing.NewFurther(ctx, text, panel, step, m)
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
		saved, err := design.Find(sit, req)
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
	all, err := designs.all(sit)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(all) == 0 {
		return startForm(sit, req), nil
	}
	b := &building{}
	if b.wip, err = designs.take(sit, req, all[0], &b.Design); err != nil {
		return reply.Reply{}, err
	}
	answer, err := b.shown(ctx)
	answer.Blocks = append(answer.Blocks, b.others(all)...)
	return answer, err
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
	b := &building{wip: wip{sit: sit}}
	b.Knots = of.Knots
	d, sized, err := making.New(text, b.size(ctx))
	if err != nil {
		return reply.Reply{}, err
	}
	d.Name, d.ID, d.Revision, d.Knots = of.Name, of.ID, of.Revision, of.Knots
	if d.ID != "" {
		d.Saved = d.Sheet
	}
	b.Design, b.sized = d, sized
	if b.wip, err = designs.begin(ctx, sit, req, d); err != nil {
		return reply.Reply{}, err
	}
	if b.book, err = sit.Book(b.Knots...); err != nil {
		return reply.Reply{}, err
	}
	return b.view(""), nil
}

// resize sizes the design as it stands.
func (b *building) resize(ctx context.Context) (err error) {
	if b.book, err = b.sit.Book(b.Knots...); err != nil {
		return err
	}
	b.sized, _, err = b.size(ctx)(b.Sheet)
	return err
}

// change makes a change of the design once and keeps it. What has changed meanwhile,
// on another device perhaps, stays as it is, and errMoved is returned.
func (b *building) change(ctx context.Context, change func(d *making.Design) error) error {
	after := b.Design
	failed := change(&after)
	first, err := b.wip.change(ctx, b.Turn, func(*store.Tx) (any, error) { return after, failed })
	switch {
	case err != nil:
		return err
	case !first: // delivered once more; the sitting has it, or it came in between
		return b.again(ctx)
	}
	b.Design = after
	return b.resize(ctx)
}

// again takes up the design as it is kept now.
func (b *building) again(ctx context.Context) error {
	if err := b.reread(ctx, &b.Design); err != nil {
		return err
	}
	return b.resize(ctx)
}

// shown is the design as it stands, sized.
func (b *building) shown(ctx context.Context) (reply.Reply, error) {
	if err := b.resize(ctx); err != nil {
		return reply.Reply{}, err
	}
	return b.view(""), nil
}

// lists are the names that a form's menus offer.
func (b *building) lists() making.Lists {
	var l making.Lists
	for _, k := range b.book.Knots() {
		if k.Shape == knot.Group {
			l.Knots = append(l.Knots, k.Name)
		}
	}
	for _, c := range b.sized.Sheet.Cords {
		l.Cords = append(l.Cords, c.Name)
	}
	if b.sized.Sheet.Rod != nil {
		l.Rods = append(l.Rods, "rod")
	}
	for _, r := range b.sized.Sheet.More {
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
	s, own, err := project.Shared(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	return begin(ctx, sit, req, making.Design{Knots: own}, s.Sheet)
}
