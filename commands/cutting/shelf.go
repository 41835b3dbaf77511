package cutting

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/handler"
	"larkfold/commands/pages"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
	"larkfold/store"
)

// OnShelf is an entry of a shelf with its words read.
type OnShelf struct {
	store.Leftover
	words ask.CordWords
}

// label names the entry in a cutting plan: "your cream offcut".
func (e OnShelf) label() string {
	return strings.Join(slices.Concat([]string{"your"}, e.words.Others, []string{string(e.Kind)}), " ")
}

// Stock is what lies on a shelf as cutting plans take it.
func Stock(lying []OnShelf) []stock.Stock {
	all := make([]stock.Stock, len(lying))
	for i, e := range lying {
		all[i] = stock.Stock{Length: length.Length(e.Length), Count: e.Count, Offcut: true, Label: e.label()}
	}
	return all
}

// readShelf reads the words of an entry.
func readShelf(e store.Leftover) (OnShelf, error) {
	one := OnShelf{Leftover: e}
	if len(e.Data) > 0 {
		if err := json.Unmarshal(e.Data, &one.words); err != nil {
			return one, fmt.Errorf("the shelf entry %s cannot be read: %w", e.ID, err)
		}
	}
	return one, nil
}

// Serving are the entries of a shelf that may serve for a cord. Other words, such
// as a colour, must agree where both sides have some. An only cord's name is often
// no colour: it counts only when a piece on the shelf bears it.
func Serving(shelf store.Leftovers, wanted ask.CordWords, only bool) ([]OnShelf, error) {
	var fitting []OnShelf
	named := false
	for _, e := range shelf.Entries {
		one, err := readShelf(e)
		if err != nil {
			return nil, err
		}
		if one.words.Fits(wanted) {
			fitting = append(fitting, one)
			named = named || one.words.Overlaps(wanted)
		}
	}
	if only && !named {
		return fitting, nil
	}
	return slices.DeleteFunc(fitting, func(e OnShelf) bool {
		return len(e.words.Others) > 0 && len(wanted.Others) > 0 && !e.words.Overlaps(wanted)
	}), nil
}

// ShelfCommand is /shelf and what stands under it.
func ShelfCommand() handler.Command {
	return handler.Command{Command: reply.Command{
		Name: "shelf", Description: "Your leftovers and spools, for cutting plans and fringe",
	}, Under: []handler.Command{
		{Run: addToShelf, Reads: sitting.Leftovers, Command: reply.Command{Name: "add", Description: "Put pieces or spools on your shelf", Example: `/shelf add pieces:"45cm x12, 1.2m x3, 2 spools 100m" cord:"4 mm single-strand"`,
			Options: []reply.Option{{Name: "pieces", Description: "such as 45cm x12, 1.2m x3, 2 spools 100m", Required: true}, {Name: "cord", Description: "which cord, in your words, with its thickness: 4 mm single-strand", Suggest: "cord"}, {Name: "note", Description: "anything to remember"}}}},
		{Run: listShelf, Reads: sitting.Leftovers, Command: reply.Command{Name: "list", Description: "What lies on your shelf", Example: "/shelf list", Options: []reply.Option{pages.Option}}},
		{Run: removeFromShelf, Reads: sitting.Leftovers, Command: reply.Command{Name: "remove", Description: "Take pieces off your shelf", Example: `/shelf remove pieces:"45cm x2"`,
			Options: []reply.Option{{Name: "pieces", Description: "such as 45cm x2", Required: true}, {Name: "cord", Description: "of which cord, when several have pieces of that length", Suggest: "cord"}}}},
		{Run: clearShelf, Reads: sitting.Leftovers, Command: reply.Command{Name: "clear", Description: "Empty your shelf; undo brings it back", Example: "/shelf clear"}},
		{Run: undoShelf, Reads: sitting.Leftovers, Command: reply.Command{Name: "undo", Description: "Take back the last change of your shelf", Example: "/shelf undo"}},
	}}
}

// changeShelf makes one change of the shelf, once for each request, and shows it.
func changeShelf(ctx context.Context, sit sitting.Sitting, req reply.Request, change func(tx *store.Tx, now store.Leftovers) error, heading string) (reply.Reply, error) {
	sit, err := sit.Change(ctx, req, func(tx *store.Tx) error {
		before, err := tx.Leftovers()
		if err != nil {
			return err
		}
		return change(tx, before)
	})
	if err != nil {
		return reply.Reply{}, err
	}
	shelf, err := sit.Leftovers()
	if err != nil {
		return reply.Reply{}, err
	}
	return shelfReply(req, shelf, sit.Prefs, heading)
}

func addToShelf(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	heaps, err := ask.Heaps(req.Options["pieces"])
	if err != nil {
		instead := ask.LikelyHeaps(req.Options["pieces"], ask.Of(req, sit.Prefs).Unit)
		if instead == "" {
			instead = "45cm x12, 1.2m x3, 2 spools 100m"
		}
		return reply.Reply{}, reply.WithTry(err, req.Retype(map[string]string{"pieces": instead}, ""))
	}
	cord := strings.TrimSpace(req.Options["cord"])
	data, err := json.Marshal(ask.CordIn(cord))
	if err != nil {
		return reply.Reply{}, err
	}
	worth := false
	change := store.LeftoverChange{Why: "added " + say.Shortened(req.Options["pieces"], 60)}
	for _, h := range heaps {
		entry := store.Leftover{Kind: store.Offcut, Cord: cord, Length: store.Nanometres(h.Length), Count: h.Count, Note: strings.TrimSpace(req.Options["note"]), Data: data}
		if h.Spool {
			entry.Kind = store.Spool
		}
		worth = worth || h.Worth
		change.Add = append(change.Add, entry)
	}
	answer, err := changeShelf(ctx, sit, req, func(tx *store.Tx, now store.Leftovers) error {
		_, err := tx.ChangeLeftovers(change, now.Revision)
		return err
	}, "Added to your shelf")
	if err == nil && worth {
		answer.Blocks = append(answer.Blocks, reply.Text("A shelf keeps lengths alone: what a spool weighs and costs is not kept."))
	}
	if err == nil && ask.CordIn(cord).Thickness == 0 {
		answer.Blocks = append(answer.Blocks, reply.Text(sit.Prefs.Sample("No thickness was named, so these pieces serve only for lists without a cord. Name one to use them for your designs: cord:\"4 mm single-strand\".")))
	}
	return answer, err
}

func listShelf(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	shelf, err := sit.Leftovers()
	if err != nil {
		return reply.Reply{}, err
	}
	p := sit.Prefs
	return shelfReply(req, shelf, p, "Your shelf")
}

// shelfReply shows a page of a shelf.
func shelfReply(req reply.Request, shelf store.Leftovers, p sitting.Prefs, heading string) (reply.Reply, error) {
	if len(shelf.Entries) == 0 {
		return reply.Reply{Blocks: []reply.Block{reply.Heading(heading), reply.Text("Nothing lies on your shelf. Put your leftovers there with"), reply.Verbatim(p.Sample(`/shelf add pieces:"45cm x12, 1.2m x3" cord:"4 mm single-strand"`))}}, nil
	}
	t := reply.Table{Columns: []reply.Column{{Title: "cord", Right: false}, {Title: "", Right: false}, {Title: "count", Right: true}, {Title: "length", Right: true}, {Title: "note", Right: false}, {Title: "changed", Right: false}}}
	var total length.Length
	for _, e := range shelf.Entries {
		l := length.Length(e.Length)
		total += l * length.Length(e.Count)
		t.Rows = append(t.Rows, []string{cordName(e), string(e.Kind), fmt.Sprint(e.Count), p.Style.Format(l), e.Note, say.Day(e.Changed)})
		t.Short = append(t.Short, strings.TrimRight(fmt.Sprintf("%3d x %s %s", e.Count, say.OneSystem(p).Format(l), e.Cord), " ")+", "+say.Day(e.Changed))
	}
	shown, err := pages.Of(req, len(shelf.Entries), pages.Rows)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := append([]reply.Block{reply.Heading(heading), shown.Cut(t)}, shown.Others("shelf list")...)
	return reply.Reply{Blocks: append(blocks, reply.Facts{{Label: "in all", Value: p.Style.Format(total)}}, reply.Text("Use them with /plan and /fringe; /shelf undo takes back the last change."))}, nil
}

func removeFromShelf(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	heaps, err := ask.Heaps(req.Options["pieces"])
	if err != nil {
		return reply.Reply{}, reply.WithTry(err, "/shelf list")
	}
	p := sit.Prefs
	cord := strings.TrimSpace(req.Options["cord"])
	return changeShelf(ctx, sit, req, func(tx *store.Tx, now store.Leftovers) error {
		change := store.LeftoverChange{Why: "removed " + say.Shortened(req.Options["pieces"], 60)}
		for _, h := range heaps {
			takes, err := takeOff(now, h, cord, p, req)
			if err != nil {
				return err
			}
			change.Take = append(change.Take, takes...)
		}
		_, err := tx.ChangeLeftovers(change, now.Revision)
		return err
	}, "Taken off your shelf")
}

// takeOff finds the entries that a heap is taken from. A length counts as the same
// when the list shows it so; a list of pieces names offcuts first, then spools.
func takeOff(shelf store.Leftovers, h ask.Heap, cord string, p sitting.Prefs, req reply.Request) ([]store.Take, error) {
	of := func(same func(store.Leftover) bool) []store.Leftover {
		var found []store.Leftover
		for _, e := range shelf.Entries {
			if same(e) && (e.Kind == store.Spool || !h.Spool) && (cord == "" || strings.EqualFold(cordName(e), cord)) {
				found = append(found, e)
			}
		}
		return found
	}
	found := of(func(e store.Leftover) bool { return length.Length(e.Length) == h.Length })
	if len(found) == 0 {
		found = of(func(e store.Leftover) bool {
			return p.Style.Format(length.Length(e.Length)) == p.Style.Format(h.Length)
		})
	}
	if slices.ContainsFunc(found, func(e store.Leftover) bool { return e.Kind == store.Offcut }) {
		found = slices.DeleteFunc(found, func(e store.Leftover) bool { return e.Kind == store.Spool })
	}
	read := p.Style.Format(h.Length)
	if len(found) == 0 {
		return nil, &reply.UserError{Read: read, Wrong: "no such piece lies on your shelf", Right: "/shelf list shows what does", Try: "/shelf list"}
	}
	left := h.Count
	var takes []store.Take
	for _, e := range found {
		if !strings.EqualFold(e.Cord, found[0].Cord) {
			return nil, &reply.UserError{
				Read: read, Wrong: "several cords have pieces of that length: " + reply.Quoted(cordName(found[0])) + ", " + reply.Quoted(cordName(e)),
				Right: "say of which cord", Try: req.Retype(map[string]string{"cord": cordName(found[0])}, ""),
			}
		}
		if n := min(left, e.Count); n > 0 {
			takes = append(takes, store.Take{ID: e.ID, Count: n})
			left -= n
		}
	}
	if left > 0 {
		return nil, &reply.UserError{Read: fmt.Sprintf("%d x %s", h.Count, read), Wrong: fmt.Sprintf("your shelf has %d of them", h.Count-left), Right: fmt.Sprintf("%d or fewer", h.Count-left), Try: "/shelf list"}
	}
	return takes, nil
}

// cordName is how the list names the cord of an entry.
func cordName(e store.Leftover) string {
	if e.Cord == "" {
		return "any"
	}
	return e.Cord
}

func clearShelf(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	return changeShelf(ctx, sit, req, func(tx *store.Tx, now store.Leftovers) error {
		_, err := tx.ChangeLeftovers(store.LeftoverChange{Why: "cleared", Clear: true}, now.Revision)
		return err
	}, "Your shelf is empty; /shelf undo brings it back")
}

func undoShelf(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	return changeShelf(ctx, sit, req, func(tx *store.Tx, now store.Leftovers) error {
		if now.Revision == 0 {
			return &reply.UserError{Wrong: "nothing was ever changed on your shelf", Right: "put your leftovers there first", Try: "/shelf add pieces:\"45cm x12, 1.2m x3\" cord:\"4 mm single-strand\""}
		}
		_, err := tx.UndoLeftovers(1, now.Revision)
		return err
	}, "Your shelf as it was; undo once more brings back what was undone")
}
