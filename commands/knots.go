package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/picture"
	"larkfold/commands/reply"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/store"
)

func (a *App) knotsCommand() command {
	name := reply.Option{Name: "name", Description: "of the knot, such as square knot", Required: true, Suggest: "knot"}
	return command{Command: reply.Command{
		Name: "knots", Description: "The knot book: what every knot takes up and how to tie it",
	}, sub: []command{
		{run: a.listKnots, Command: reply.Command{Name: "list", Description: "All knots, this community's among them", Example: "/knots list"}},
		{run: a.showKnot, Command: reply.Command{Name: "show", Description: "What a knot takes in your cord, and how to tie it", Example: `/knots show name:"square knot" thickness:4mm`,
			Options: []reply.Option{name,
				{Name: "thickness", Description: "of the cord, such as 4mm; 4 mm if left out"},
				{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: constructionChoices()},
				{Name: "ends", Description: "how many ends tie it; the usual number if left out", Kind: reply.Whole, Min: 1, Max: 400},
				{Name: "dowel", Description: "its thickness, for knots that hang a cord; 20 mm if left out"}}}},
		{run: a.addKnot, Command: reply.Command{Name: "add", Description: "Add a knot of this community's own (for who may manage the server)", Example: `/knots add name:"Pebble Knot"`, ManageOnly: true,
			Options: knotOptions()}},
		{run: a.removeKnot, Command: reply.Command{Name: "remove", Description: "Take one of this community's knots out (for who may manage the server)", Example: `/knots remove name:"Pebble Knot"`, ManageOnly: true,
			Options: []reply.Option{name}}},
	}}
}

func (a *App) listKnots(ctx context.Context, req reply.Request) (reply.Reply, error) {
	added, err := a.communityKnots(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	t := reply.Table{Columns: []reply.Column{{Title: "knot", Right: false}, {Title: "short", Right: false}, {Title: "ends", Right: false}, {Title: "trust", Right: false}, {Title: "whose", Right: false}}}
	row := func(r knot.Row, whose owner) {
		t.Rows = append(t.Rows, []string{r.Name, r.Short, endsRange(r), string(r.Trust), string(whose)})
		t.Short = append(t.Short, cutTo(strings.TrimSpace(fmt.Sprintf("%-3s %s", r.Short, r.Name)), narrow))
	}
	for _, k := range a.book.Knots() {
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

// findKnot finds a knot by name.
func findKnot(req reply.Request, option string, book *knot.Book, name string) (*knot.Knot, error) {
	if k, ok := book.Knot(name); ok {
		return k, nil
	}
	e := &reply.UserError{Read: option + ": " + name, Wrong: "the knot book has no such knot", Right: "/knots list shows them all", Try: "/knots list"}
	if near := book.Nearest(name); len(near) > 0 {
		e.Right, e.Try = "did you mean "+strings.Join(near, " or ")+"?", req.Retype(map[string]string{option: near[0]}, "")
	}
	return nil, e
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

func (a *App) showKnot(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	book, err := a.bookFor(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	k, err := findKnot(req, "name", book, q.text("name"))
	if err != nil {
		return reply.Reply{}, err
	}
	c := cord.Cord{Nominal: q.thickness("thickness", 4*length.Millimetre), Construction: q.construction("construction", cord.SingleStrand)}
	gauge := knot.Gauge{Diameter: c.Diameter(), Ends: q.count("ends", 1, 400, k.Ends), Rod: q.measure("dowel", rods, length.Millimetre, 20*length.Millimetre)}
	if k.Shape == knot.Wrap && q.has("ends") {
		gauge.Ends++ // the wrapping cord itself
	}
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	answer := reply.Reply{Blocks: []reply.Block{reply.Heading(headingOf(k)), reply.Text(k.About)}}
	if k.Shape != knot.Pattern {
		if err := k.Fits(gauge.Ends); err != nil {
			return reply.Reply{}, &reply.UserError{Read: "ends: " + q.text("ends"), Wrong: err.Error(), Right: "leave ends out for " + count(k.Ends, "end"), Try: req.Retype(nil, "ends"), Cause: err}
		}
		size, err := k.Size(gauge)
		if err != nil {
			return reply.Reply{}, err
		}
		answer.Blocks = append(answer.Blocks, reply.Facts(takesOf(k, size, gauge, c, p)))
	}
	answer.Blocks = append(answer.Blocks, reply.Heading("How to tie it"), reply.Text(numbered(k.HowTo)), drawn(picture.Knot(k), fileName(k.Name)+".png"))
	if facts := formulasOf(k); len(facts) > 0 {
		answer.Blocks = append(answer.Blocks, reply.Heading("The formulas"), reply.Facts(facts))
	}
	facts, err := a.originOf(ctx, req, k)
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

func numbered(steps []string) string {
	lines := make([]string, len(steps))
	for i, s := range steps {
		lines[i] = fmt.Sprintf("%d. %s", i+1, s)
	}
	return strings.Join(lines, "\n")
}

// takesOf is what one knot takes in a cord, and what ten centimetres of it take.
func takesOf(k *knot.Knot, s knot.Size, g knot.Gauge, c cord.Cord, p Prefs) []reply.Fact {
	f := p.Style.Format
	facts := []reply.Fact{{Label: "in", Value: fmt.Sprintf("%s %s, %s when knotted", p.Style.Thickness(c.Nominal), c.Construction, p.Style.Thickness(c.Diameter()))}}
	if places := placesOf(k, g.Ends); places != "" {
		facts = append(facts, reply.Fact{Label: "tied by", Value: places})
	}
	switch k.Shape {
	case knot.Hitch:
		facts = append(facts, reply.Fact{Label: "tied over", Value: count(g.Ends-1, "carrier")})
	case knot.Wrap:
		facts = append(facts, reply.Fact{Label: "wound round", Value: count(g.Ends-1, "end")})
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
		parts = append(parts, count(to-from, k.Roles[roles[from]].Name))
		from = to
	}
	return count(ends, "end") + ", left to right: " + strings.Join(parts, ", ")
}

// tenth is a length of sinnet that is easy to picture.
func tenth(p Prefs) length.Length {
	if p.Style.System == length.Imperial {
		return 4 * length.Inch
	}
	return 10 * length.Centimetre
}

func perTenth(k *knot.Knot, s knot.Size, p Prefs) string {
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
func (a *App) originOf(ctx context.Context, req reply.Request, k *knot.Knot) ([]reply.Fact, error) {
	facts := []reply.Fact{{Label: "source", Value: k.Source}, {Label: "trust", Value: trustWords(k.Trust)}}
	if _, standard := a.book.Knot(k.Name); standard {
		return facts, nil
	}
	added, err := a.communityKnots(ctx, req)
	for _, one := range added {
		if one.Name == k.Name {
			facts = append(facts, reply.Fact{Label: "added", Value: addedBy(req, one.AddedBy) + " on " + one.Added})
		}
	}
	return facts, err
}

func (a *App) removeKnot(ctx context.Context, req reply.Request) (reply.Reply, error) {
	if err := mayManage(req, "knots", "/knots list"); err != nil {
		return reply.Reply{}, err
	}
	name := strings.TrimSpace(req.Options["name"])
	result, _, err := a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		removed, err := tx.DeleteCommunityEntry(req.Community, store.KindKnot, name)
		if err != nil {
			return nil, err
		}
		return json.Marshal(removed)
	})
	if errors.Is(err, store.ErrNotFound) {
		return reply.Reply{}, a.noSuchKnot(ctx, req, name, err)
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
func (a *App) noSuchKnot(ctx context.Context, req reply.Request, name string, cause error) error {
	e := &reply.UserError{Read: "name: " + name, Wrong: "this community has added no knot of that name", Right: "/knots list shows which are whose", Try: "/knots list", Cause: cause}
	if k, ok := a.book.Knot(name); ok {
		e.Wrong, e.Right = "the "+k.Name+" is built in and stays", "only knots that this community added can be removed"
	}
	added, err := a.communityKnots(ctx, req)
	if err != nil {
		return err
	}
	var names []string
	for _, k := range added {
		names = append(names, k.Name)
	}
	if near := nearest(name, names); near != "" {
		e.Right, e.Try = "did you mean "+near+"?", req.Retype(map[string]string{"name": near}, "")
	}
	return e
}
