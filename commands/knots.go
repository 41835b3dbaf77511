package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/picture"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/store"
)

func (a *App) knotsCommand() Command {
	name := Option{Name: "name", Description: "of the knot, such as square knot", Required: true, Suggest: "knot"}
	return Command{
		Name: "knots", Description: "The knot book: what every knot takes up and how to tie it",
		Sub: []Command{
			{Name: "list", Description: "All knots, this community's among them", Example: "/knots list", Run: a.listKnots},
			{Name: "show", Description: "What a knot takes in your cord, and how to tie it", Example: `/knots show name:"square knot" thickness:4mm`, Run: a.showKnot,
				Options: []Option{name,
					{Name: "thickness", Description: "of the cord, such as 4mm; 4 mm if left out"},
					{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: constructionChoices()},
					{Name: "ends", Description: "how many ends tie it; the usual number if left out", Kind: Whole, Min: 1, Max: 400},
					{Name: "dowel", Description: "its thickness, for knots that hang a cord; 20 mm if left out"}}},
			{Name: "add", Description: "Add a knot of this community's own (for who may manage the server)", Example: `/knots add name:"Pebble Knot"`, ManageOnly: true, Run: a.addKnot,
				Options: knotOptions()},
			{Name: "remove", Description: "Take one of this community's knots out (for who may manage the server)", Example: `/knots remove name:"Pebble Knot"`, ManageOnly: true, Run: a.removeKnot,
				Options: []Option{name}},
		},
	}
}

func (a *App) listKnots(ctx context.Context, req Request) (Reply, error) {
	added, err := a.communityKnots(ctx, req)
	if err != nil {
		return Reply{}, err
	}
	t := Table{Columns: []Column{{"knot", false}, {"short", false}, {"ends", false}, {"trust", false}, {"whose", false}}}
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
	return Reply{Blocks: []Block{
		Heading{"The knot book"}, t,
		Text{"What one takes in your cord, and how to tie it:"}, Verbatim{`/knots show name:"square knot" thickness:4mm`},
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
func findKnot(req Request, option string, book *knot.Book, name string) (*knot.Knot, error) {
	if k, ok := book.Knot(name); ok {
		return k, nil
	}
	e := &UserError{Read: option + ": " + name, Wrong: "the knot book has no such knot", Right: "/knots list shows them all", Try: "/knots list"}
	if near := book.Nearest(name); len(near) > 0 {
		e.Right, e.Try = "did you mean "+strings.Join(near, " or ")+"?", retype(req, map[string]string{option: near[0]}, "")
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

func (a *App) showKnot(ctx context.Context, req Request) (Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return Reply{}, err
	}
	book, err := a.bookFor(ctx, req)
	if err != nil {
		return Reply{}, err
	}
	q := newAsk(req, p)
	k, err := findKnot(req, "name", book, q.text("name"))
	if err != nil {
		return Reply{}, err
	}
	c := cord.Cord{Nominal: q.thickness("thickness", 4*length.Millimetre), Construction: q.construction("construction", cord.SingleStrand)}
	gauge := knot.Gauge{Diameter: c.Diameter(), Ends: q.count("ends", 1, 400, k.Ends), Rod: q.measure("dowel", rods, length.Millimetre, 20*length.Millimetre)}
	if k.Shape == knot.Wrap && q.has("ends") {
		gauge.Ends++ // the wrapping cord itself
	}
	if q.err != nil {
		return Reply{}, q.err
	}
	reply := Reply{Blocks: []Block{Heading{headingOf(k)}, Text{k.About}}}
	if k.Shape != knot.Pattern {
		if err := k.Fits(gauge.Ends); err != nil {
			return Reply{}, &UserError{Read: "ends: " + q.text("ends"), Wrong: err.Error(), Right: "leave ends out for " + count(k.Ends, "end"), Try: retype(req, nil, "ends"), Cause: err}
		}
		size, err := k.Size(gauge)
		if err != nil {
			return Reply{}, err
		}
		reply.Blocks = append(reply.Blocks, Facts{takesOf(k, size, gauge, c, p)})
	}
	reply.Blocks = append(reply.Blocks, Heading{"How to tie it"}, Text{numbered(k.HowTo)}, drawn(picture.Knot(k), fileName(k.Name)+".png"))
	if facts := formulasOf(k); len(facts) > 0 {
		reply.Blocks = append(reply.Blocks, Heading{"The formulas"}, Facts{facts})
	}
	facts, err := a.originOf(ctx, req, k)
	if err != nil {
		return Reply{}, err
	}
	reply.Blocks = append(reply.Blocks, Facts{facts})
	if k.Note != "" {
		reply.Blocks = append(reply.Blocks, Text{k.Note})
	}
	return reply, nil
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
func takesOf(k *knot.Knot, s knot.Size, g knot.Gauge, c cord.Cord, p Prefs) []Fact {
	f := p.Style.Format
	facts := []Fact{{"in", fmt.Sprintf("%s %s, %s when knotted", p.Style.Thickness(c.Nominal), c.Construction, p.Style.Thickness(c.Diameter()))}}
	if places := placesOf(k, g.Ends); places != "" {
		facts = append(facts, Fact{"tied by", places})
	}
	switch k.Shape {
	case knot.Hitch:
		facts = append(facts, Fact{"tied over", count(g.Ends-1, "carrier")})
	case knot.Wrap:
		facts = append(facts, Fact{"wound round", count(g.Ends-1, "end")})
	case knot.Mount:
		facts = append(facts, Fact{"on", "a dowel " + p.Style.Thickness(g.Rod) + " thick, counted from its axis"})
	}
	one := map[knot.Shape]string{knot.Group: "in one knot", knot.Mount: "in one mount", knot.Hitch: "in one knot, beside its straight way", knot.Plait: "in one repeat of six crossings"}[k.Shape]
	for i, role := range k.Roles {
		if role.Once {
			facts = append(facts, Fact{role.Name, f(s.Takes[i]) + " once"})
			continue
		}
		facts = append(facts, Fact{"each " + role.Name, strings.TrimSpace(f(s.Takes[i]) + " " + one)})
	}
	facts = append(facts, Fact{"height", f(s.Height)}, Fact{"width", f(s.Width)})
	if k.Shape == knot.Mount {
		facts[len(facts)-1].Value += " a cord"
	}
	if s.Closer > 0 {
		facts[len(facts)-1].Value += ", " + f(s.Closer) + " pushed together"
	}
	if k.Shape == knot.Group || k.Shape == knot.Plait {
		facts = append(facts, Fact{"for " + f(tenth(p)) + " of it", perTenth(k, s, p)})
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
func formulasOf(k *knot.Knot) []Fact {
	var facts []Fact
	for _, role := range k.Roles {
		facts = append(facts, Fact{role.Name, role.Takes})
	}
	for _, part := range []Fact{{"pitch", k.Pitch}, {"height", k.Height}, {"width", k.Width}, {"pushed together", k.Closer}} {
		if part.Value != "" {
			facts = append(facts, part)
		}
	}
	if len(facts) > 0 {
		facts = append(facts, Fact{"where", "d is the cord when knotted, k the cords inside, n the ends, D the dowel; /help topic:formulas has them all"})
	}
	return facts
}

// originOf is where a knot's numbers come from, and who added it.
func (a *App) originOf(ctx context.Context, req Request, k *knot.Knot) ([]Fact, error) {
	facts := []Fact{{"source", k.Source}, {"trust", trustWords(k.Trust)}}
	if _, standard := a.book.Knot(k.Name); standard {
		return facts, nil
	}
	added, err := a.communityKnots(ctx, req)
	for _, one := range added {
		if one.Name == k.Name {
			facts = append(facts, Fact{"added", addedBy(req, one.AddedBy) + " on " + one.Added})
		}
	}
	return facts, err
}

func (a *App) removeKnot(ctx context.Context, req Request) (Reply, error) {
	if err := mayManage(req, "knots", "/knots list"); err != nil {
		return Reply{}, err
	}
	name := strings.TrimSpace(req.Options["name"])
	result, _, err := a.store.Once(ctx, req.Member, req.Now, req.operation(), func(tx *store.Tx) (json.RawMessage, error) {
		removed, err := tx.DeleteCommunityEntry(req.Community, store.KindKnot, name)
		if err != nil {
			return nil, err
		}
		return json.Marshal(removed)
	})
	if errors.Is(err, store.ErrNotFound) {
		return Reply{}, a.noSuchKnot(ctx, req, name, err)
	}
	if err != nil {
		return Reply{}, err
	}
	var removed store.Entry
	var row knot.Row
	if err := errors.Join(json.Unmarshal(result, &removed), json.Unmarshal(removed.Data, &row)); err != nil {
		return Reply{}, err
	}
	return Reply{Blocks: []Block{
		Text{quoted(row.Name) + " is out of this community's book. Saved designs that use it keep its formulas and are sized as before. This brings it back:"},
		Verbatim{textOf(row).command()},
	}}, nil
}

// noSuchKnot says which knots could be removed.
func (a *App) noSuchKnot(ctx context.Context, req Request, name string, cause error) error {
	e := &UserError{Read: "name: " + name, Wrong: "this community has added no knot of that name", Right: "/knots list shows which are whose", Try: "/knots list", Cause: cause}
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
		e.Right, e.Try = "did you mean "+near+"?", retype(req, map[string]string{"name": near}, "")
	}
	return e
}
