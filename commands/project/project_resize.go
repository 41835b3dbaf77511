package project

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/cutting"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/resize"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

func resizeCommand(name reply.Option) handler.Command {
	return handler.Command{Run: resizeProject, Reads: sitting.Sheets | sitting.Design | sitting.Leftovers, Command: reply.Command{
		Name: "resize", Description: "The same design in other cord, width, drop or on another dowel", Example: `/project resize name:"Tide Line" width:60cm`,
		Options: []reply.Option{
			name,
			{Name: "thickness", Description: "of the new cord, such as 3mm; several cords go in proportion to the first"},
			{Name: "construction", Description: "of the new cord", Choices: ask.Constructions()},
			{Name: "only", Description: "which cord of the sheet changes; all if left out"},
			{Name: "width", Description: "finished width, such as 60cm; whole repeats come nearest"},
			{Name: "drop", Description: "finished drop, tails included, such as 90cm"},
			{Name: "dowel", Description: "its thickness, its length, or length x thickness, such as 60cm x 20mm"},
			{Name: "have", Description: "cord you have: 60m, 2 spools 50m, shelf or a cord on it; makes the largest that it gives", Suggest: "cord"},
			{Name: "save", Description: "a new name to save it under, or: in place"},
		},
	}}
}

// resizeProject shows a saved design before and after a change, and saves it
// when asked to.
func resizeProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	saved, err := design.Find(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	w, err := writingOf(saved)
	if err != nil {
		return reply.Reply{}, err
	}
	change, err := WantChange(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	as := ask.Of(req, sit.Prefs)
	name := as.SaveAs("save", ask.InPlace)
	if as.Err != nil {
		return reply.Reply{}, as.Err
	}
	if change.Nothing() && !as.Has("have") {
		return reply.Reply{}, &reply.UserError{Wrong: "nothing is to be changed", Right: "give a thickness, a construction, a width, a drop or a dowel, or the cord you have", Try: req.Retype(map[string]string{"width": "60cm"}, "")}
	}
	resized, err := Resize(ctx, sit, req, w.Name, w.Sheet, w.Knots, change)
	var faults sheet.Faults
	if errors.As(err, &faults) && !resized.sized {
		return faultySheet(ctx, sit, req, w, faults)
	}
	if err != nil {
		return reply.Reply{}, err
	}
	w.Sheet = resized.Text
	switch {
	case strings.EqualFold(name, ask.InPlace):
		return saveSheet(ctx, sit, req, w, resized.after, resized.reply("resized", []reply.Fact{{Label: "saved", Value: w.Name + ", in place"}}))
	case name != "":
		answer := resized.reply("resized", []reply.Fact{{Label: "saved", Value: name}})
		return design.WithActions(ctx, sit, req, answer, resized.after, name, design.SaveNew(name, resized.named(name), w.Knots))
	}
	var facts []reply.Fact
	if len(resized.notes) > 0 {
		facts = []reply.Fact{{Label: "saved", Value: "not yet: " + w.Name + " stays as it is until this is saved"}}
	}
	answer := resized.reply("resized", facts)
	keys, err := sit.KeepAll(ctx, req, nil, design.DraftOf(sit, resized.after, ""), sitting.Remembered{Kind: "writing", Holds: w})
	if err != nil {
		return reply.Reply{}, err
	}
	actions := design.ActionsOf(keys[0], resized.after, sit.Prefs, "")
	replace := reply.Button{Label: "replace " + w.Name, Do: reply.Do("project.replace", keys[1], req.ID)}
	actions.Buttons = slices.Insert(actions.Buttons, 1, replace)
	answer.Blocks = append(answer.Blocks, actions)
	return answer, nil
}

// replaceProject saves a resized design over the one it was made from.
func replaceProject(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var w writing
	if err := sit.Kept("writing", &w); err != nil {
		return reply.Reply{}, err
	}
	return writeSheet(ctx, sit, req, w)
}

// WantChange reads what shall be different.
func WantChange(ctx context.Context, sit sitting.Sitting, req reply.Request) (resize.Change, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	c := resize.Change{Thickness: q.Thickness("thickness", 0), Cord: q.Text("only"), Width: q.Length("width", ask.Widths, 0), Drop: q.Length("drop", ask.Drops, 0)}
	if q.Has("construction") {
		c.Construction = q.Construction("construction", cord.SingleStrand).String()
	}
	if q.Has("dowel") {
		c.Rod = q.Dowel("dowel")
	}
	return c, q.Err
}

// Resizing is a design before and after.
type Resizing struct {
	sized         bool // the design as it was could be sized
	before, after sizing.Sized
	Text          string // of the changed sheet
	notes         []string
	facts         []reply.Fact // about the cord that the member has
	there         []int        // the cords of the design that are cut from it
	prefs         sitting.Prefs
}

// Resize sizes a sheet, of a saved design where it has a name, before and after a change, each by the maker's swatches
// of its cords. A request that names the cord there is wants the largest that it makes.
func Resize(ctx context.Context, sit sitting.Sitting, req reply.Request, name, text string, own []knot.Row, c resize.Change) (Resizing, error) {
	r := Resizing{prefs: sit.Prefs}
	var err error
	if r.before, err = design.SizeText(ctx, sit, text, own...); err != nil {
		return r, err
	}
	if name != "" {
		r.before.Sheet.Piece = name
	}
	r.before.Placed = nil // what is told of it needs no places of knots
	r.sized = true
	book := r.before.Book
	hands, err := sit.Hands(book, r.before.Sheet.Cords)
	if err != nil {
		return r, err
	}
	changed, err := sit.Hands(book, c.Cords(r.before.Sheet.Cords))
	if err != nil {
		return r, err
	}
	c.Hands = sitting.Traced(changed)
	if c.Hands == nil {
		c.Hands = map[string]trace.Hand{}
	}
	m, err := sit.Maker(own...)
	if err != nil {
		return r, err
	}
	have, err := cutting.WantSupply(sit, req, c.Cords(r.before.Sheet.Cords))
	if err != nil {
		return r, err
	}
	var done resize.Resized
	if have != nil {
		m.Hands = sitting.Traced(hands)
		r.there = slices.Sorted(maps.Keys(have.Of))
		done, r.facts, err = have.Fill(ctx, req, sit.Prefs, r.before.Sheet, m, c)
	} else {
		done, err = resize.Resize(ctx, r.before.Sheet, trace.Maker{Book: book, Hands: sitting.Traced(hands), Ways: sit.Prefs.Ways, Style: sit.Prefs.Style}, c)
	}
	var refused *resize.Error
	if errors.As(err, &refused) {
		return r, resizeRefused(req, sit.Prefs, c, refused)
	}
	if err != nil {
		return r, err
	}
	r.Text, r.notes = sheet.Format(done.Sheet), done.Notes
	r.after, err = design.SizeOn(ctx, sit, done.Sheet, r.Text, m)
	return r, err
}

// resizeRefused refuses a size with the nearest that can be made.
func resizeRefused(req reply.Request, p sitting.Prefs, c resize.Change, refused *resize.Error) error {
	e := &reply.UserError{Wrong: refused.Wrong, Right: refused.Right, Cause: refused}
	option := string(refused.Of)
	switch refused.Of {
	case resize.OfRod:
		option = "dowel"
	case resize.OfCord:
		option = "only"
	}
	if option == "" || req.Action != nil {
		return e
	}
	e.Read = option + ": " + req.Options[option]
	instead := refused.Words
	if refused.Nearest > 0 {
		instead = ask.Compact(p.Style.Cut(refused.Nearest))
	}
	if refused.Of == resize.OfRod && c.Rod != nil && c.Rod.Thickness > 0 {
		if instead == "" {
			instead = "60cm"
		}
		instead += " x " + ask.Compact(p.Style.Thickness(c.Rod.Thickness))
	}
	if instead == "" {
		e.Try = "/project edit name:" + reply.QuotedIfSpaced(req.Options["name"])
		if len(req.Options) > 2 {
			e.Try = req.Retype(nil, option)
		}
		return e
	}
	e.Try = req.Retype(map[string]string{option: instead}, "")
	return e
}

// named is the changed sheet under another name.
func (r Resizing) named(name string) string {
	s := r.after.Sheet
	s.Piece = name
	return sheet.Format(s)
}

// reply shows what was and what is, what changed, and the new cut list.
func (r Resizing) reply(how string, facts []reply.Fact) reply.Reply {
	plan := say.SizedOf(r.after, r.prefs, append(slices.Clone(r.facts), facts...), func(cord int) bool { return slices.Contains(r.there, cord) })
	heading := reply.Heading(say.Title(r.before) + ", " + how)
	changed := reply.Text("Nothing changes: it has that size.")
	if len(r.notes) > 0 {
		changed = reply.Text("Changed\n· " + strings.Join(r.notes, "\n· "))
	}
	return reply.Reply{Blocks: append([]reply.Block{heading, r.table(), changed}, plan.Blocks[1:]...)}
}

// table compares before and after.
func (r Resizing) table() reply.Table {
	f := r.prefs.Style.Format
	t := reply.Table{Columns: []reply.Column{{Title: "", Right: false}, {Title: "before", Right: true}, {Title: "now", Right: true}}}
	add := func(label string, of func(sizing.Sized) string) {
		was, is := of(r.before), of(r.after)
		t.Rows = append(t.Rows, []string{label, was, is})
		t.Short = append(t.Short, label+" "+was+" → "+is)
	}
	add("width", func(sized sizing.Sized) string { return f(resize.Width(sized.Result).Tidy()) })
	add("drop", func(sized sizing.Sized) string { return f(resize.Drop(sized.Result).Tidy()) })
	for i, c := range r.before.Cords {
		label := "cord"
		if len(r.before.Cords) > 1 {
			label = c.Name
		}
		add(label, func(sized sizing.Sized) string { return r.prefs.Style.Thickness(sized.Cords[i].Nominal) })
	}
	add("cords", func(sized sizing.Sized) string { return strconv.Itoa(len(sized.Strands)) })
	add("longest cut", func(sized sizing.Sized) string {
		var longest length.Length
		for _, c := range sized.List.Cuts {
			longest = max(longest, c.Length)
		}
		return r.prefs.Cut(longest)
	})
	add("in all", func(sized sizing.Sized) string {
		return sized.List.Sum(r.prefs.Style, sized.List.Totals...).Total()
	})
	return t
}

// askCord asks in which cord to size a sheet again.
func askCord(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return reply.Reply{}, err
	}
	return cordForm(req.Action.Key, req.ID), nil
}

// cordForm asks for a cord.
func cordForm(key, op string) reply.Reply {
	return reply.Reply{Blocks: []reply.Block{reply.Form{Title: "The same design in my cord", Do: reply.Do("sheet.recorded", key, op), Fields: []reply.Field{
		{Name: "thickness", Label: "Thickness", Placeholder: "3 mm or 1/8 in", Required: true, MaxLength: 20},
		{Name: "construction", Label: "Construction", Placeholder: "single-strand, plied or braided; as before when empty", MaxLength: 20},
	}}}}
}

// inCord sizes a sheet in another cord, with the same counts and its lengths in
// proportion.
func inCord(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return reply.Reply{}, err
	}
	change, err := WantChange(ctx, sit, reply.Request{Member: req.Member, Now: req.Now, Command: "in my cord", Options: req.Fields})
	if err != nil {
		return reply.Reply{}, err
	}
	r, err := Resize(ctx, sit, req, d.Name, d.Sheet, d.Knots, change)
	if err != nil {
		return reply.Reply{}, err
	}
	was, is := r.before.Cords[0], r.after.Cords[0]
	answer := r.reply("in your cord", []reply.Fact{{Label: "cord", Value: fmt.Sprintf("%s %s instead of %s %s, with the same knots", r.prefs.Style.Thickness(is.Nominal), is.Construction, r.prefs.Style.Thickness(was.Nominal), was.Construction)}})
	return design.WithActions(ctx, sit, req, answer, r.after, "", nil)
}
