package commands

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/resize"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// inPlace is what save says to change the design itself.
const inPlace = "in place"

func (a *App) resizeCommand(name Option) Command {
	return Command{
		Name: "resize", Description: "The same design in other cord, width, drop or on another dowel", Example: `/project resize name:"Tide Line" width:60cm`, Run: a.resizeProject,
		Options: []Option{
			name,
			{Name: "thickness", Description: "of the new cord, such as 3mm; several cords go in proportion to the first"},
			{Name: "construction", Description: "of the new cord", Choices: constructionChoices()},
			{Name: "cord", Description: "which cord of the sheet changes; all if left out"},
			{Name: "width", Description: "finished width, such as 60cm; whole repeats come nearest"},
			{Name: "drop", Description: "finished drop, tails included, such as 90cm"},
			{Name: "dowel", Description: "its length, or length x thickness, such as 60cm x 20mm"},
			{Name: "save", Description: "a new name to save it under, or: in place"},
		},
	}
}

// resizeProject shows a saved design before and after a change, and saves it
// when asked to.
func (a *App) resizeProject(ctx context.Context, req Request) (Reply, error) {
	saved, err := a.project(ctx, req, req.Options["name"])
	if err != nil {
		return Reply{}, err
	}
	w, err := writingOf(saved)
	if err != nil {
		return Reply{}, err
	}
	change, err := a.wantChange(ctx, req)
	if err != nil {
		return Reply{}, err
	}
	if change.Nothing() {
		return Reply{}, &UserError{Wrong: "nothing is to be changed", Right: "give a thickness, a construction, a width, a drop or a dowel", Try: retype(req, map[string]string{"width": "60cm"}, "")}
	}
	resized, err := a.resize(ctx, req, w.Sheet, w.Knots, change)
	var faults sheet.Faults
	if errors.As(err, &faults) && !resized.sized {
		return a.faulty(ctx, req, w, faults)
	}
	if err != nil {
		return Reply{}, err
	}
	w.Sheet = resized.text
	switch name := strings.TrimSpace(req.Options["save"]); {
	case strings.EqualFold(name, inPlace):
		if reply, err := a.writeSheet(ctx, req, w); err != nil || reply.Refused {
			return reply, err
		}
		return a.withActions(ctx, req, resized.reply("resized", []Fact{{"saved", w.Name + ", in place"}}), resized.after, resized.prefs, w.Name)
	case name != "":
		if _, err := a.saveNew(ctx, req, name, resized.named(name), w.Knots); err != nil {
			return Reply{}, err
		}
		return a.withActions(ctx, req, resized.reply("resized", []Fact{{"saved", name}}), resized.after, resized.prefs, name)
	}
	reply, err := a.withActions(ctx, req, resized.reply("resized", nil), resized.after, resized.prefs, "")
	if err != nil {
		return Reply{}, err
	}
	key, err := a.keep(ctx, req, "writing", w)
	if err != nil {
		return Reply{}, err
	}
	return withButton(reply, Button{Label: "replace " + cutTo(w.Name, 30), Do: do("project.replace", key, req.ID)}), nil
}

// replaceProject saves a resized design over the one it was made from.
func (a *App) replaceProject(ctx context.Context, req Request) (Reply, error) {
	var w writing
	if err := a.kept(ctx, req, "writing", &w); err != nil {
		return Reply{}, err
	}
	return a.writeSheet(ctx, req, w)
}

// withButton puts a button second among those of a reply.
func withButton(r Reply, b Button) Reply {
	for i, block := range r.Blocks {
		if actions, ok := block.(Actions); ok {
			actions.Buttons = append([]Button{actions.Buttons[0], b}, actions.Buttons[1:]...)
			r.Blocks[i] = actions
		}
	}
	return r
}

// wantChange reads what shall be different.
func (a *App) wantChange(ctx context.Context, req Request) (resize.Change, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return resize.Change{}, err
	}
	q := newAsk(req, p)
	c := resize.Change{Thickness: q.thickness("thickness", 0), Cord: q.text("cord"), Width: q.length("width", widths, 0), Drop: q.length("drop", drops, 0)}
	if q.has("construction") {
		c.Construction = q.construction("construction", cord.SingleStrand).String()
	}
	if q.has("dowel") {
		c.Rod = q.dowel("dowel")
	}
	return c, q.err
}

// dowelLengths are the lengths of dowels (common practice, no source).
var dowelLengths = boundsOf("dowel", 5*length.Centimetre, 10*length.Metre, "60 cm or 24 in")

// dowel reads a length, or a length x a thickness.
func (a *ask) dowel(option string) *sheet.Rod {
	text := strings.NewReplacer("×", "x", "X", "x").Replace(a.text(option))
	long, thick, both := strings.Cut(text, "x")
	part := *a
	part.req.Options = map[string]string{option: long, "thickness": thick}
	rod := &sheet.Rod{Length: part.length(option, dowelLengths, 0)}
	if both {
		rod.Thickness = part.measure("thickness", rods, length.Millimetre, 0)
	}
	var e *UserError
	if errors.As(part.err, &e) && a.err == nil {
		a.err = &UserError{
			Read: option + ": " + a.text(option), Wrong: e.Wrong, Right: "a length, or a length x a thickness",
			Try: retype(a.req, map[string]string{option: "60cm x 20mm"}, ""), Cause: part.err,
		}
	}
	return rod
}

// resizing is a design before and after.
type resizing struct {
	sized         bool // the design as it was could be sized
	before, after sizing.Plan
	text          string // of the changed sheet
	notes         []string
	prefs         Prefs
}

// resize sizes a sheet before and after a change, each by the maker's swatches
// of its cords.
func (a *App) resize(ctx context.Context, req Request, text string, own []knot.Row, c resize.Change) (resizing, error) {
	var r resizing
	var err error
	if r.before, r.prefs, err = a.size(ctx, req, text, own...); err != nil {
		return r, err
	}
	r.sized = true
	book, style := r.before.Book, r.prefs.Style
	hands, _, err := a.hands(ctx, req, r.prefs, book, r.before.Sheet.Cords)
	if err != nil {
		return r, err
	}
	if c.Hands, _, err = a.hands(ctx, req, r.prefs, book, c.Cords(r.before.Sheet.Cords)); err != nil {
		return r, err
	}
	if c.Hands == nil {
		c.Hands = map[string]trace.Hand{}
	}
	done, err := resize.Resize(ctx, r.before.Sheet, trace.Bench{Book: book, Hands: hands, Style: style}, c)
	var refused *resize.Error
	if errors.As(err, &refused) {
		return r, &UserError{Wrong: refused.Wrong, Right: refused.Right, Cause: err}
	}
	if err != nil {
		return r, err
	}
	r.text, r.notes = sheet.Format(done.Sheet), done.Notes
	r.after, _, err = a.size(ctx, req, r.text, own...)
	return r, err
}

// named is the changed sheet under another name.
func (r resizing) named(name string) string {
	s := r.after.Sheet
	s.Piece = name
	return sheet.Format(s)
}

// reply shows what was and what is, what changed, and the new cut list.
func (r resizing) reply(how string, facts []Fact) Reply {
	plan := planReply(r.after, r.prefs, facts)
	heading := Heading{title(r.before) + ", " + how}
	changed := Text{"Nothing changes: it has that size."}
	if len(r.notes) > 0 {
		changed.Text = "Changed\n· " + strings.Join(r.notes, "\n· ")
	}
	return Reply{Blocks: append([]Block{heading, r.table(), changed}, plan.Blocks[1:]...)}
}

// narrow is how many characters a line may have on a narrow screen.
const narrow = 26

// table compares before and after.
func (r resizing) table() Table {
	f := r.prefs.Style.Format
	t := Table{Columns: []Column{{"", false}, {"before", true}, {"now", true}}}
	add := func(label string, of func(sizing.Plan) string) {
		was, is := of(r.before), of(r.after)
		t.Rows = append(t.Rows, []string{label, was, is})
		if short := label + " " + was + " → " + is; utf8.RuneCountInString(short) <= narrow {
			t.Short = append(t.Short, short)
			return
		}
		t.Short = append(t.Short, cutTo(label+" "+was, narrow), cutTo("  → "+is, narrow))
	}
	add("width", func(p sizing.Plan) string { return f(tidy(resize.Width(p.Result))) })
	add("drop", func(p sizing.Plan) string { return f(tidy(resize.Drop(p.Result))) })
	for i, c := range r.before.Cords {
		label := "cord"
		if len(r.before.Cords) > 1 {
			label = c.Name
		}
		add(label, func(p sizing.Plan) string { return r.prefs.Style.Thickness(p.Cords[i].Nominal) })
	}
	add("cords", func(p sizing.Plan) string { return strconv.Itoa(len(p.Strands)) })
	add("longest cut", func(p sizing.Plan) string {
		var longest length.Length
		for _, c := range p.List.Cuts {
			longest = max(longest, c.Length)
		}
		return r.prefs.cut(longest)
	})
	add("in all", func(p sizing.Plan) string {
		var all length.Length
		for _, t := range p.List.Totals {
			all += t.Length
		}
		return f(all)
	})
	return t
}

// askCord asks in which cord to size a sheet again.
func (a *App) askCord(ctx context.Context, req Request) (Reply, error) {
	var d sheetDraft
	if err := a.kept(ctx, req, "sheet", &d); err != nil {
		return Reply{}, err
	}
	return Reply{Blocks: []Block{Form{Title: "The same design in my cord", Do: do("sheet.recorded", req.Action.Key, req.ID), Fields: []Field{
		{Name: "thickness", Label: "Thickness", Placeholder: "3 mm or 1/8 in", Required: true, MaxLength: 20},
		{Name: "construction", Label: "Construction", Placeholder: "single-strand, plied or braided; as before when empty", MaxLength: 20},
	}}}}, nil
}

// inCord sizes a sheet in another cord, with the same counts and its lengths in
// proportion.
func (a *App) inCord(ctx context.Context, req Request) (Reply, error) {
	var d sheetDraft
	if err := a.kept(ctx, req, "sheet", &d); err != nil {
		return Reply{}, err
	}
	change, err := a.wantChange(ctx, Request{Member: req.Member, Now: req.Now, Command: "in my cord", Options: req.Fields})
	if err != nil {
		return Reply{}, err
	}
	r, err := a.resize(ctx, req, d.Sheet, d.Knots, change)
	if err != nil {
		return Reply{}, err
	}
	was, is := r.before.Cords[0], r.after.Cords[0]
	reply := r.reply("in your cord", []Fact{{"cord", fmt.Sprintf("%s %s instead of %s %s, with the same knots", r.prefs.Style.Thickness(is.Nominal), is.Construction, r.prefs.Style.Thickness(was.Nominal), was.Construction)}})
	return a.withActions(ctx, req, reply, r.after, r.prefs, "")
}
