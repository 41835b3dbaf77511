package commands

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"larkfold/sizing/length"
	"larkfold/store"
)

func (a *App) shelfCommand() Command {
	return Command{
		Name: "shelf", Description: "Your leftovers and spools, for cutting plans and fringe",
		Sub: []Command{
			{Name: "add", Description: "Put pieces or spools on your shelf", Example: `/shelf add pieces:"45cm x12, 1.2m x3, 2 spools 100m" cord:"4 mm single-strand"`, Run: a.addToShelf,
				Options: []Option{{Name: "pieces", Description: "such as 45cm x12, 1.2m x3, 2 spools 100m", Required: true}, {Name: "cord", Description: "which cord, in your words, with its thickness: 4 mm single-strand", Suggest: "cord"}, {Name: "note", Description: "anything to remember"}}},
			{Name: "list", Description: "What lies on your shelf", Example: "/shelf list", Run: a.listShelf},
			{Name: "remove", Description: "Take pieces off your shelf", Example: `/shelf remove pieces:"45cm x2"`, Run: a.removeFromShelf,
				Options: []Option{{Name: "pieces", Description: "such as 45cm x2", Required: true}, {Name: "cord", Description: "of which cord, when several have pieces of that length", Suggest: "cord"}}},
			{Name: "clear", Description: "Empty your shelf; undo brings it back", Example: "/shelf clear", Run: a.clearShelf},
			{Name: "undo", Description: "Take back the last change of your shelf", Example: "/shelf undo", Run: a.undoShelf},
		},
	}
}

// changeShelf makes one change of the shelf, once for each request, and shows it.
func (a *App) changeShelf(ctx context.Context, req Request, change func(tx *store.Tx, now store.Leftovers) error, heading string) (Reply, error) {
	_, _, err := a.store.Once(ctx, req.Member, req.Now, req.operation(), func(tx *store.Tx) (json.RawMessage, error) {
		shelf, err := tx.Leftovers()
		if err != nil {
			return nil, err
		}
		return nil, change(tx, shelf)
	})
	if err != nil {
		return Reply{}, err
	}
	shelf, err := a.store.Leftovers(ctx, req.Member)
	if err != nil {
		return Reply{}, err
	}
	p, err := a.prefs(ctx, req)
	if err != nil {
		return Reply{}, err
	}
	return shelfReply(shelf, p, heading), nil
}

func (a *App) addToShelf(ctx context.Context, req Request) (Reply, error) {
	heaps, err := parseHeaps(req.Options["pieces"])
	if err != nil {
		return Reply{}, withTry(err, retype(req, map[string]string{"pieces": "45cm x12, 1.2m x3, 2 spools 100m"}, ""))
	}
	cord := strings.TrimSpace(req.Options["cord"])
	data, err := json.Marshal(wordsOfCord(cord))
	if err != nil {
		return Reply{}, err
	}
	change := store.LeftoverChange{Why: "added " + cutTo(req.Options["pieces"], 60)}
	for _, h := range heaps {
		entry := store.Leftover{Kind: store.Offcut, Cord: cord, Length: store.Nanometres(h.length), Count: h.count, Note: strings.TrimSpace(req.Options["note"]), Data: data}
		if h.spool {
			entry.Kind = store.Spool
		}
		change.Add = append(change.Add, entry)
	}
	reply, err := a.changeShelf(ctx, req, func(tx *store.Tx, now store.Leftovers) error {
		_, err := tx.ChangeLeftovers(change, now.Revision)
		return err
	}, "Added to your shelf")
	if err == nil && wordsOfCord(cord).Thickness == 0 {
		reply.Blocks = append(reply.Blocks, Text{"No thickness was named, so these pieces serve only for lists without a cord. Name one to use them for your designs: cord:\"4 mm single-strand\"."})
	}
	return reply, err
}

// withTry adds a command to paste to a refusal.
func withTry(err error, try string) error {
	if e, ok := err.(*UserError); ok && e.Try == "" {
		e.Try = try
	}
	return err
}

func (a *App) listShelf(ctx context.Context, req Request) (Reply, error) {
	shelf, err := a.store.Leftovers(ctx, req.Member)
	if err != nil {
		return Reply{}, err
	}
	p, err := a.prefs(ctx, req)
	if err != nil {
		return Reply{}, err
	}
	return shelfReply(shelf, p, "Your shelf"), nil
}

// shelfReply shows a shelf.
func shelfReply(shelf store.Leftovers, p Prefs, heading string) Reply {
	if len(shelf.Entries) == 0 {
		return Reply{Blocks: []Block{Heading{heading}, Text{"Nothing lies on your shelf. Put your leftovers there with"}, Verbatim{`/shelf add pieces:"45cm x12, 1.2m x3" cord:"4 mm single-strand"`}}}
	}
	t := Table{Columns: []Column{{"cord", false}, {"", false}, {"count", true}, {"length", true}, {"note", false}}}
	var total length.Length
	for _, e := range shelf.Entries {
		l := length.Length(e.Length)
		total += l * length.Length(e.Count)
		name := e.Cord
		if name == "" {
			name = "any"
		}
		t.Rows = append(t.Rows, []string{name, string(e.Kind), fmt.Sprint(e.Count), p.Style.Format(l), e.Note})
		t.Short = append(t.Short, cutTo(fmt.Sprintf("%3d x %s %s", e.Count, p.Style.Format(l), e.Cord), 26))
	}
	return Reply{Blocks: []Block{Heading{heading}, t, Facts{[]Fact{{"in all", p.Style.Format(total)}}}, Text{"Use them with /plan and /fringe; /shelf undo takes back the last change."}}}
}

func (a *App) removeFromShelf(ctx context.Context, req Request) (Reply, error) {
	heaps, err := parseHeaps(req.Options["pieces"])
	if err != nil {
		return Reply{}, withTry(err, retype(req, map[string]string{"pieces": "45cm x2"}, ""))
	}
	p, err := a.prefs(ctx, req)
	if err != nil {
		return Reply{}, err
	}
	cord := strings.TrimSpace(req.Options["cord"])
	return a.changeShelf(ctx, req, func(tx *store.Tx, now store.Leftovers) error {
		change := store.LeftoverChange{Why: "removed " + cutTo(req.Options["pieces"], 60)}
		for _, h := range heaps {
			take, err := takeOff(now, h, cord, p, req)
			if err != nil {
				return err
			}
			change.Take = append(change.Take, take)
		}
		_, err := tx.ChangeLeftovers(change, now.Revision)
		return err
	}, "Taken off your shelf")
}

// takeOff finds the entry that a heap is taken from.
func takeOff(shelf store.Leftovers, h heap, cord string, p Prefs, req Request) (store.Take, error) {
	var found []store.Leftover
	for _, e := range shelf.Entries {
		if length.Length(e.Length) == h.length && (e.Kind == store.Spool) == h.spool && (cord == "" || strings.EqualFold(e.Cord, cord)) {
			found = append(found, e)
		}
	}
	switch len(found) {
	case 0:
		return store.Take{}, &UserError{Read: p.Style.Format(h.length), Wrong: "no such piece lies on your shelf", Right: "/shelf list shows what does", Try: "/shelf list"}
	case 1:
		return store.Take{ID: found[0].ID, Count: h.count}, nil
	}
	return store.Take{}, &UserError{
		Read: p.Style.Format(h.length), Wrong: "several cords have pieces of that length: " + quoted(found[0].Cord) + ", " + quoted(found[1].Cord),
		Right: "say of which cord", Try: retype(req, map[string]string{"cord": found[0].Cord}, ""),
	}
}

func (a *App) clearShelf(ctx context.Context, req Request) (Reply, error) {
	return a.changeShelf(ctx, req, func(tx *store.Tx, now store.Leftovers) error {
		_, err := tx.ChangeLeftovers(store.LeftoverChange{Why: "cleared", Clear: true}, now.Revision)
		return err
	}, "Your shelf is empty; /shelf undo brings it back")
}

func (a *App) undoShelf(ctx context.Context, req Request) (Reply, error) {
	return a.changeShelf(ctx, req, func(tx *store.Tx, now store.Leftovers) error {
		_, err := tx.UndoLeftovers(1, now.Revision)
		return err
	}, "Your shelf as it was")
}
