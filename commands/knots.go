package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/picture"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/near"
	"larkfold/sizing/noun"
	"larkfold/store"
)

func knotsCommand() command {
	name := reply.Option{Name: "name", Description: "of the knot, such as square knot", Required: true, Suggest: "knot"}
	return command{Command: reply.Command{
		Name: "knots", Description: "The knot book: what every knot takes up and how to tie it",
	}, sub: []command{
		{run: listKnots, reads: sitting.Knots, Command: reply.Command{Name: "list", Description: "All knots, this community's among them", Example: "/knots list"}},
		{run: showKnot, reads: sitting.Knots, Command: reply.Command{Name: "show", Description: "What a knot takes in your cord, and how to tie it", Example: `/knots show name:"square knot" thickness:4mm`,
			Options: []reply.Option{name,
				{Name: "thickness", Description: "of the cord, such as 4mm; 4 mm if left out"},
				{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: ask.Constructions()},
				{Name: "ends", Description: "how many ends tie it; the usual number if left out", Kind: reply.Whole, Min: 1, Max: 400},
				{Name: "dowel", Description: "its thickness, for knots that hang a cord; 20 mm if left out"}}}},
		{run: addKnot, reads: sitting.Knots, Command: reply.Command{Name: "add", Description: "Add a knot of this community's own (for those who may manage the server)", Example: `/knots add name:"Pebble Knot"`, ManageOnly: true,
			Options: knotOptions()}},
		{run: removeKnot, reads: sitting.Knots, Command: reply.Command{Name: "remove", Description: "Take one of this community's knots out (for those who may manage the server)", Example: `/knots remove name:"Pebble Knot"`, ManageOnly: true,
			Options: []reply.Option{name}}},
	}}
}

func listKnots(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	added, err := sit.CommunityKnots()
	if err != nil {
		return reply.Reply{}, err
	}
	t := reply.Table{Columns: []reply.Column{{Title: "knot", Right: false}, {Title: "short", Right: false}, {Title: "ends", Right: false}, {Title: "trust", Right: false}, {Title: "whose", Right: false}}}
	row := func(r knot.Row, whose owner) {
		t.Rows = append(t.Rows, []string{r.Name, r.Short, endsRange(r), string(r.Trust), string(whose)})
		t.Short = append(t.Short, strings.TrimSpace(fmt.Sprintf("%-3s %s", r.Short, r.Name)))
	}
	for _, k := range sit.Standard.Knots() {
		row(k.Row, builtIn)
	}
	for _, k := range added {
		row(k.Row, communitys)
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("The knot book"), t,
		reply.Text("What one takes in your cord, and how to tie it:"), reply.Verbatim(`/knots show name:"square knot" thickness:4mm`),
	}}, nil
}

// endsRange is how many ends a knot takes: "4", "3 to 40".
func endsRange(r knot.Row) string {
	if r.Fewest == r.Most || r.Shape == knot.Pattern {
		return fmt.Sprint(r.Ends)
	}
	return fmt.Sprintf("%d to %d", r.Fewest, r.Most)
}

// trustWords say what a grade of trust means for the maker.
func trustWords(t knot.Trust) string {
	switch t {
	case knot.High:
		return "high: the numbers hold for evenly firm hands"
	case knot.Medium:
		return "medium: tension and friction move it; a swatch settles it"
	}
	return "low: hands decide; tie a swatch before you cut"
}

// howTo shows how a knot is tied, step by step.
func howTo(k *knot.Knot) []reply.Block {
	return []reply.Block{reply.Heading("How to tie it"), reply.Text(say.Numbered(k.HowTo)), say.Drawn(say.FileName(k.Name)+".png", func() *picture.Drawing { return picture.Knot(k) }, "knot", k.Row)}
}

func showKnot(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	book, err := sit.Book()
	if err != nil {
		return reply.Reply{}, err
	}
	q := ask.Of(req, p)
	k, err := ask.Knot(req, "name", book, q.Text("name"))
	if err != nil {
		return reply.Reply{}, err
	}
	c := cord.Cord{Nominal: q.Thickness("thickness", 4*length.Millimetre), Construction: q.Construction("construction", cord.SingleStrand)}
	gauge := knot.Gauge{Diameter: c.Diameter(), Ends: q.Count("ends", 1, 400, k.Ends), Rod: q.Measure("dowel", ask.RodThicknesses, length.Millimetre, 20*length.Millimetre)}
	if k.Shape == knot.Wrap && q.Has("ends") {
		gauge.Ends++ // the wrapping cord itself
	}
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	answer := reply.Reply{Blocks: []reply.Block{reply.Heading(headingOf(k)), reply.Text(k.About)}}
	if k.Shape != knot.Pattern {
		if err := k.Fits(gauge.Ends); err != nil {
			return reply.Reply{}, &reply.UserError{Read: "ends: " + q.Text("ends"), Wrong: err.Error(), Right: "leave ends out for " + noun.Count(k.Ends, "end"), Try: req.Retype(nil, "ends"), Cause: err}
		}
		size, err := k.Size(gauge)
		if err != nil {
			return reply.Reply{}, err
		}
		answer.Blocks = append(answer.Blocks, reply.Facts(takesOf(k, size, gauge, c, p)))
	}
	answer.Blocks = append(answer.Blocks, howTo(k)...)
	if facts := formulasOf(k); len(facts) > 0 {
		answer.Blocks = append(answer.Blocks, reply.Heading("The formulas"), reply.Facts(facts))
	}
	facts, err := originOf(ctx, sit, req, k)
	if err != nil {
		return reply.Reply{}, err
	}
	answer.Blocks = append(answer.Blocks, reply.Facts(facts))
	if k.Note != "" {
		answer.Blocks = append(answer.Blocks, reply.Text(k.Note))
	}
	return answer, nil
}

func headingOf(k *knot.Knot) string {
	if k.Short != "" {
		return k.Name + " (" + k.Short + ")"
	}
	return k.Name
}

// takesOf is what one knot takes in a cord, and what ten centimetres of it take.
func takesOf(k *knot.Knot, s knot.Size, g knot.Gauge, c cord.Cord, p sitting.Prefs) []reply.Fact {
	f := p.Style.Format
	facts := []reply.Fact{{Label: "in", Value: fmt.Sprintf("%s %s, %s when knotted", p.Style.Thickness(c.Nominal), c.Construction, p.Style.Thickness(c.Diameter()))}}
	if places := placesOf(k, g.Ends); places != "" {
		facts = append(facts, reply.Fact{Label: "tied by", Value: places})
	}
	switch k.Shape {
	case knot.Hitch:
		facts = append(facts, reply.Fact{Label: "tied over", Value: noun.Count(g.Ends-1, "carrier")})
	case knot.Wrap:
		facts = append(facts, reply.Fact{Label: "wound round", Value: noun.Count(g.Ends-1, "end")})
	case knot.Mount:
		facts = append(facts, reply.Fact{Label: "on", Value: "a dowel " + p.Style.Thickness(g.Rod) + " thick, counted from its axis"})
	}
	one := map[knot.Shape]string{knot.Group: "in one knot", knot.Mount: "in one mount", knot.Hitch: "in one knot, beside its straight way", knot.Plait: "in one repeat of six crossings"}[k.Shape]
	for i, role := range k.Roles {
		if role.Once {
			facts = append(facts, reply.Fact{Label: role.Name, Value: f(s.Takes[i]) + " once"})
			continue
		}
		facts = append(facts, reply.Fact{Label: "each " + role.Name, Value: strings.TrimSpace(f(s.Takes[i]) + " " + one)})
	}
	facts = append(facts, reply.Fact{Label: "height", Value: f(s.Height)}, reply.Fact{Label: "width", Value: f(s.Width)})
	if k.Shape == knot.Mount {
		facts[len(facts)-1].Value += " a cord"
	}
	if s.Closer > 0 {
		facts[len(facts)-1].Value += ", " + f(s.Closer) + " pushed together"
	}
	if k.Shape == knot.Group || k.Shape == knot.Plait {
		facts = append(facts, reply.Fact{Label: "for " + f(tenth(p)) + " of it", Value: perTenth(k, s, p)})
	}
	return facts
}

// placesOf are the roles of so many ends from left to right, neighbours that are
// alike together: "worker, 2 fillers, worker".
func placesOf(k *knot.Knot, ends int) string {
	if len(k.Places) == 0 {
		return ""
	}
	roles, _ := k.Cast(ends)
	var parts []string
	for from := 0; from < len(roles); {
		to := from
		for to < len(roles) && roles[to] == roles[from] {
			to++
		}
		parts = append(parts, noun.Count(to-from, k.Roles[roles[from]].Name))
		from = to
	}
	return noun.Count(ends, "end") + ", left to right: " + strings.Join(parts, ", ")
}

// tenth is a length of sinnet that is easy to picture.
func tenth(p sitting.Prefs) length.Length {
	if p.Style.System == length.Imperial {
		return 4 * length.Inch
	}
	return 10 * length.Centimetre
}

func perTenth(k *knot.Knot, s knot.Size, p sitting.Prefs) string {
	times := float64(tenth(p)) / float64(s.Height)
	parts := []string{fmt.Sprintf("%.1f knots", times)}
	if k.Shape == knot.Plait {
		parts[0] = fmt.Sprintf("%.1f repeats", times)
	}
	for i, role := range k.Roles {
		takes := length.Length(float64(s.Takes[i]) * times)
		parts = append(parts, fmt.Sprintf("%s of each %s (%.1f times)", p.Style.Format(takes), role.Name, float64(s.Takes[i])/float64(s.Height)))
	}
	return strings.Join(parts, ", ")
}

// formulasOf are the closed forms of a knot.
func formulasOf(k *knot.Knot) []reply.Fact {
	var facts []reply.Fact
	for _, role := range k.Roles {
		facts = append(facts, reply.Fact{Label: role.Name, Value: role.Takes})
	}
	for _, part := range []reply.Fact{{Label: "pitch", Value: k.Pitch}, {Label: "height", Value: k.Height}, {Label: "width", Value: k.Width}, {Label: "pushed together", Value: k.Closer}} {
		if part.Value != "" {
			facts = append(facts, part)
		}
	}
	if len(facts) > 0 {
		facts = append(facts, reply.Fact{Label: "where", Value: "d is the cord when knotted, k the cords inside, n the ends, D the dowel; /help topic:formulas has them all"})
	}
	return facts
}

// originOf is where a knot's numbers come from, and who added it.
func originOf(ctx context.Context, sit sitting.Sitting, req reply.Request, k *knot.Knot) ([]reply.Fact, error) {
	facts := []reply.Fact{{Label: "source", Value: k.Source}, {Label: "trust", Value: trustWords(k.Trust)}}
	if _, standard := sit.Standard.Knot(k.Name); standard {
		return facts, nil
	}
	added, err := sit.CommunityKnots()
	for _, one := range added {
		if one.Name == k.Name {
			facts = append(facts, reply.Fact{Label: "added", Value: addedBy(req, one.AddedBy) + " on " + say.Day(one.Added)})
		}
	}
	return facts, err
}

func removeKnot(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	if err := mayManage(req, "knots", "/knots list"); err != nil {
		return reply.Reply{}, err
	}
	name := strings.TrimSpace(req.Options["name"])
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		removed, err := tx.DeleteCommunityEntry(req.Community, store.KindKnot, name)
		if err != nil {
			return nil, err
		}
		return json.Marshal(removed)
	})
	if errors.Is(err, store.ErrNotFound) {
		return reply.Reply{}, noSuchKnot(ctx, sit, req, name, err)
	}
	if err != nil {
		return reply.Reply{}, err
	}
	var removed store.Entry
	var row knot.Row
	if err := errors.Join(json.Unmarshal(result, &removed), json.Unmarshal(removed.Data, &row)); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Text(reply.Quoted(row.Name) + " is out of this community's book. Saved designs that use it keep its formulas and are sized as before. This brings it back:"),
		reply.Verbatim(textOf(row).command()),
	}}, nil
}

// noSuchKnot says which knots could be removed.
func noSuchKnot(ctx context.Context, sit sitting.Sitting, req reply.Request, name string, cause error) error {
	e := &reply.UserError{Read: "name: " + name, Wrong: "this community has added no knot of that name", Right: "/knots list shows which are whose", Try: "/knots list", Cause: cause}
	if k, ok := sit.Standard.Knot(name); ok {
		e.Wrong, e.Right = "the "+k.Name+" is built in and stays", "only knots that this community added can be removed"
	}
	added, err := sit.CommunityKnots()
	if err != nil {
		return err
	}
	var names []string
	for _, k := range added {
		names = append(names, k.Name)
	}
	if meant := near.Word(name, names); meant != "" {
		e.Right, e.Try = "did you mean "+meant+"?", req.Retype(map[string]string{"name": meant}, "")
	}
	return e
}
