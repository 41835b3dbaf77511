package takeup

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/handler"
	"larkfold/commands/pages"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/knot"
	"larkfold/sizing/near"
	"larkfold/sizing/trace"
	"larkfold/store"
)

// KnotsCommand is /knots and what stands under it.
func KnotsCommand() handler.Command {
	name := reply.Option{Name: "name", Description: "of the knot, such as square knot", Required: true, Suggest: "knot"}
	return handler.Command{Command: reply.Command{
		Name: "knots", Description: "The knot book: what every knot takes up and how to tie it",
	}, Under: []handler.Command{
		{Run: listKnots, Reads: sitting.Knots, Command: reply.Command{Name: "list", Description: "All knots, this community's among them", Example: "/knots list", Options: []reply.Option{pages.Option}}},
		{Run: showKnot, Reads: sitting.Sheets, Command: reply.Command{Name: "show", Description: "What a knot takes in your cord, and how to tie it", Example: `/knots show name:"square knot" thickness:4mm`,
			Options: []reply.Option{name,
				{Name: "thickness", Description: "of the cord, such as 4mm; " + ask.ThickLeftOut(ask.UsualThick)},
				{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: ask.Constructions()},
				{Name: "ends", Description: "how many ends tie it; the usual number if left out", Kind: reply.Whole, Min: 1, Max: 400},
				{Name: "dowel", Description: "its thickness, for knots that hang a cord; " + ask.ThickLeftOut(trace.UsualRod)}}}},
		{Run: addKnot, Reads: sitting.Sheets, Command: reply.Command{Name: "add", Description: "Add a knot of this community's own (for those who may manage the server)", Example: `/knots add name:"Pebble Knot"`, ManageOnly: true,
			Options: knotOptions()}},
		{Run: removeKnot, Reads: sitting.Knots, Command: reply.Command{Name: "remove", Description: "Take one of this community's knots out (for those who may manage the server)", Example: `/knots remove name:"Pebble Knot"`, ManageOnly: true,
			Options: []reply.Option{name}}},
	}}
}

func listKnots(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	added, err := sit.CommunityKnots()
	if err != nil {
		return reply.Reply{}, err
	}
	t := reply.Table{Columns: []reply.Column{{Title: "knot", Right: false}, {Title: "short", Right: false}, {Title: "ends", Right: false}, {Title: "trust", Right: false}, {Title: "whose", Right: false}, {Title: "changed", Right: false}}}
	row := func(r knot.Row, whose Owner, changed string) {
		t.Rows = append(t.Rows, []string{r.Name, r.Short, endsRange(r), string(r.Trust), string(whose), changed})
		t.Short = append(t.Short, strings.TrimRight(strings.TrimSpace(fmt.Sprintf("%-3s %s, %s", r.Short, r.Name, changed)), ", "))
	}
	for _, k := range added {
		row(k.Row, communitys, say.Day(k.Added))
	}
	for _, k := range sit.Standard.Knots() {
		row(k.Row, BuiltIn, "")
	}
	shown, err := pages.Of(req, len(t.Rows), pages.Rows)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: append(append([]reply.Block{reply.Heading("The knot book"), shown.Cut(t)}, shown.Others("knots list")...),
		reply.Text("What one takes in your cord, and how to tie it:"), reply.Verbatim(sit.Prefs.Sample(`/knots show name:"square knot" thickness:4mm`)),
	)}, nil
}

// endsRange is how many ends a knot takes: "4", "3 to 40".
func endsRange(r knot.Row) string {
	if r.Fewest == r.Most || r.Shape == knot.Pattern {
		return fmt.Sprint(r.Ends)
	}
	return fmt.Sprintf("%d to %d", r.Fewest, r.Most)
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
		return reply.Reply{}, noSuchKnot(sit, req, name, err)
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
func noSuchKnot(sit sitting.Sitting, req reply.Request, name string, cause error) error {
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
