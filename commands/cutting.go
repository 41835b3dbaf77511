package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"larkfold/commands/picture"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
	"larkfold/store"
)

func (a *App) planCommand() Command {
	return Command{
		Name: "plan", Description: "Which piece to cut from which leftover or spool", Example: `/plan pieces:"12 x 3.2m, 40 x 50cm" spool:100m`,
		Options: []Option{
			{Name: "project", Description: "a saved design whose cut list to plan", Suggest: "project"},
			{Name: "pieces", Description: "or a list, such as 12 x 3.2m, 40 x 50cm"},
			{Name: "cord", Description: "which cord of your shelf may serve for the list: 4 mm single-strand", Suggest: "cord"},
			{Name: "spool", Description: "what a new spool holds, such as 100m; the sheet's own when silent"},
			{Name: "price", Description: "of one new spool, such as 24.00"},
			{Name: "keep", Description: "shortest rest worth keeping; 10 cm when silent"},
			{Name: "book", Description: "yes books it at once: used pieces off your shelf, rests onto it", Kind: YesNo},
		},
		Run: a.planCuts,
	}
}

// planBudget is how long a cutting plan may take in a chat.
const planBudget = time.Second

// defaultKeep is the shortest rest that is worth a place on the shelf (common practice, no source).
const defaultKeep = 10 * length.Centimetre

// wantedCuts is what is cut from one cord.
type wantedCuts struct {
	cord   string // its name in the sheet; empty for a typed list
	words  cordWords
	pieces []stock.Piece
	spool  cord.Spool
}

// planned is a cutting plan for one cord and what it would change on the shelf.
type planned struct {
	wantedCuts
	plan  stock.Plan
	takes []store.Take
	adds  []store.Leftover
}

// booking is what a plan's button remembers.
type booking struct {
	Why      string           `json:"why"`
	Revision uint64           `json:"revision"` // of the shelf that was planned with
	Take     []store.Take     `json:"take,omitempty"`
	Add      []store.Leftover `json:"add,omitempty"`
}

func (a *App) planCuts(ctx context.Context, req Request) (Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return Reply{}, err
	}
	q := newAsk(req, p)
	spool := cord.Spool{Length: q.measure("spool", spools, length.Metre, 0), Price: q.price("price")}
	keep := q.length("keep", boundsOf("rest", 0, 10*length.Metre, "10 cm or 4 in"), defaultKeep)
	book := q.yes("book")
	if q.err != nil {
		return Reply{}, q.err
	}
	name, cuts, err := a.cutsWanted(ctx, req, q, spool)
	if err != nil {
		return Reply{}, err
	}
	return a.cuttingReply(ctx, req, p, name, cuts, keep, book)
}

// cutsWanted are the pieces of the list or the design that is asked about.
func (a *App) cutsWanted(ctx context.Context, req Request, q *ask, spool cord.Spool) (string, []wantedCuts, error) {
	switch {
	case q.has("project") && q.has("pieces"):
		return "", nil, &UserError{Read: "/plan", Wrong: "it names both a project and a list of pieces", Right: "one of the two", Try: retype(req, nil, "pieces")}
	case q.has("project"):
		plan, name, err := a.planOf(ctx, req, q.text("project"))
		return name, cutsOf(plan, spool), err
	case q.has("pieces"):
		heaps, err := parseHeaps(q.text("pieces"))
		if err != nil {
			return "", nil, withTry(err, req.command.Example)
		}
		cuts := wantedCuts{words: wordsOfCord(q.text("cord")), spool: spool}
		for i, h := range heaps {
			cuts.pieces = append(cuts.pieces, stock.Piece{Length: h.length, Count: h.count, Label: letter(i)})
		}
		return "Cutting plan", []wantedCuts{cuts}, nil
	}
	return "", nil, &UserError{Read: "/plan", Wrong: "it needs a saved project or a list of pieces", Right: "give one of the two", Try: req.command.Example}
}

// letter labels the pieces of a typed list: A, B ... Z, then A1, B1 ...
func letter(i int) string {
	name := string(rune('A' + i%26))
	if i >= 26 {
		name += fmt.Sprint(i / 26)
	}
	return name
}

// cutsOf are the cuts of a sized sheet, cord by cord. A spool that was asked for
// replaces the sheet's own.
func cutsOf(plan sizing.Plan, spool cord.Spool) []wantedCuts {
	var all []wantedCuts
	for i, c := range plan.Cords {
		w := wantedCuts{cord: c.Name, words: ofCord(c), spool: c.Spool}
		if spool.Length > 0 {
			w.spool = spool
		}
		for _, cut := range plan.List.Cuts {
			if cut.Cord == i {
				w.pieces = append(w.pieces, stock.Piece{Length: cut.Length, Count: cut.Count, Label: cut.Label})
			}
		}
		if len(w.pieces) > 0 {
			all = append(all, w)
		}
	}
	return all
}

// cuttingReply plans every cord and shows the plans.
func (a *App) cuttingReply(ctx context.Context, req Request, p Prefs, name string, cuts []wantedCuts, keep length.Length, book bool) (Reply, error) {
	shelf, err := a.store.Leftovers(ctx, req.Member)
	if err != nil {
		return Reply{}, err
	}
	blocks := []Block{Heading{name + ": what to cut from what"}}
	b := booking{Why: "cut " + name, Revision: shelf.Revision}
	for _, w := range cuts {
		done, err := solve(ctx, w, shelf, keep, share(planBudget, len(cuts)))
		if err != nil {
			return Reply{}, tooLong(err, p, req)
		}
		heading := name
		if w.cord != "" {
			heading = name + ", " + w.cord
			blocks = append(blocks, Heading{"Of " + w.cord})
		}
		blocks = append(blocks, Facts{[]Fact{{"pieces", w.list(p)}}}, stripTable(done.plan, p), Facts{planFacts(done.plan, p)}, drawn(picture.Strips(done.plan, heading, p.Style), fileName(heading)+"-cuts.png"))
		b.Take, b.Add = append(b.Take, done.takes...), append(b.Add, done.adds...)
	}
	if len(b.Take)+len(b.Add) == 0 {
		return Reply{Blocks: blocks}, nil
	}
	if book {
		booked, err := a.bookCuts(ctx, req, b)
		booked.Blocks = append(blocks, booked.Blocks...)
		return booked, err
	}
	key, err := a.keep(ctx, req, "booking", b)
	if err != nil {
		return Reply{}, err
	}
	return Reply{Blocks: append(blocks, Actions{Buttons: []Button{{Label: "I have cut it: book it", Do: do("plan.book", key, req.ID), Main: true}}})}, nil
}

// list names the pieces by their letters: "A 12 x 3.20 m, B 40 x 50 cm".
func (w wantedCuts) list(p Prefs) string {
	parts := make([]string, len(w.pieces))
	for i, piece := range w.pieces {
		parts[i] = fmt.Sprintf("%s %d x %s", piece.Label, piece.Count, p.Style.Cut(piece.Length))
	}
	return strings.Join(parts, ", ")
}

// solve plans one cord: the shelf's pieces of that cord first, then new spools.
func solve(ctx context.Context, w wantedCuts, shelf store.Leftovers, keep length.Length, budget time.Duration) (planned, error) {
	problem := stock.Problem{Pieces: w.pieces, Keep: keep}
	var entries []store.Leftover
	for _, e := range shelf.Entries {
		var words cordWords
		if len(e.Data) > 0 {
			if err := json.Unmarshal(e.Data, &words); err != nil {
				return planned{}, fmt.Errorf("the shelf entry %s cannot be read: %w", e.ID, err)
			}
		}
		if words.fits(w.words) {
			entries = append(entries, e)
			problem.Stock = append(problem.Stock, stock.Stock{Length: length.Length(e.Length), Count: e.Count, Offcut: true, Label: "your " + string(e.Kind)})
		}
	}
	if w.spool.Length > 0 {
		problem.Stock = append(problem.Stock, stock.Stock{Length: w.spool.Length, Price: stock.Price(w.spool.Price), Label: "new spool"})
	}
	if len(problem.Stock) == 0 {
		return planned{}, &UserError{Wrong: "there is nothing to cut from: no piece of that cord lies on your shelf and no spool was named", Right: "say what a new spool holds, or put your leftovers on the shelf", Try: "/shelf add pieces:\"45cm x12, 2 spools 100m\" cord:\"4 mm single-strand\""}
	}
	ctx, cancel := context.WithTimeout(ctx, budget)
	defer cancel()
	plan, err := stock.Solve(ctx, problem)
	if err != nil {
		return planned{}, err
	}
	done := planned{wantedCuts: w, plan: plan}
	used := map[int]int{}
	for _, pattern := range plan.Patterns {
		used[pattern.Stock] += pattern.Times
	}
	for i, e := range entries {
		if used[i] > 0 {
			done.takes = append(done.takes, store.Take{ID: e.ID, Count: used[i]})
		}
	}
	for _, r := range plan.Remainders() {
		rest := store.Leftover{Kind: store.Offcut, Length: store.Nanometres(r.Length), Count: r.Count}
		if r.Stock < len(entries) {
			rest.Cord, rest.Data = entries[r.Stock].Cord, entries[r.Stock].Data
		} else if rest.Cord, rest.Data, err = w.words.store(); err != nil {
			return planned{}, err
		}
		done.adds = append(done.adds, rest)
	}
	return done, nil
}

// store are the words as a shelf entry keeps them.
func (w cordWords) store() (string, json.RawMessage, error) {
	var words []string
	if w.Thickness > 0 {
		words = append(words, length.Style{}.Thickness(w.Thickness))
	}
	if w.Construction != "" {
		words = append(words, w.Construction)
	}
	data, err := json.Marshal(w)
	return strings.Join(words, " "), data, err
}

// share is each one's part of a budget.
func share(budget time.Duration, among int) time.Duration {
	return budget / time.Duration(max(among, 1))
}

func isTooLong(err error) bool {
	var long *stock.TooLongError
	return errors.As(err, &long)
}

// tooLong says which piece no stock can give.
func tooLong(err error, p Prefs, req Request) error {
	var long *stock.TooLongError
	if !errors.As(err, &long) {
		return err
	}
	return &UserError{
		Read:  "piece " + long.Label + ", " + p.Style.Cut(long.Length),
		Wrong: "it is longer than anything there is to cut from; the longest is " + p.Style.Format(long.Longest),
		Right: "name a longer spool",
		Try:   retype(req, map[string]string{"spool": compact(length.FormatMetric(long.Length.RoundUp(50*length.Metre), 0))}, ""),
		Cause: err,
	}
}

// stripTable is one line for every way to cut a length of stock.
func stripTable(plan stock.Plan, p Prefs) Table {
	t := Table{Columns: []Column{{"from", false}, {"times", true}, {"cut", false}, {"rest", true}}}
	for _, pattern := range plan.Patterns {
		from := pattern.Label + " " + p.Style.Format(pattern.Length)
		rest := p.Style.Format(pattern.Remainder)
		if pattern.Remainder == 0 {
			rest = "none"
		}
		cut := runs(pattern.Cuts)
		t.Rows = append(t.Rows, []string{from, fmt.Sprint(pattern.Times), cut, rest})
		t.Short = append(t.Short, cutTo(fmt.Sprintf("%dx %s: %s", pattern.Times, length.FormatMetric(pattern.Length, 2), cut), 26))
	}
	return t
}

// runs writes the cuts of a strip, equal neighbours together: "4 A, 2 B".
func runs(cuts []stock.Cut) string {
	var parts []string
	for i := 0; i < len(cuts); {
		j := i
		for j < len(cuts) && cuts[j].Label == cuts[i].Label {
			j++
		}
		parts = append(parts, fmt.Sprintf("%d %s", j-i, cuts[i].Label))
		i = j
	}
	return strings.Join(parts, ", ")
}

// planFacts are what a plan uses, and how good it is.
func planFacts(plan stock.Plan, p Prefs) []Fact {
	f := p.Style.Format
	facts := []Fact{}
	switch {
	case plan.Spools > 0:
		buy := fmt.Sprintf("%s, %s in all", count(plan.Spools, "new spool"), f(plan.NewCord))
		if plan.Cost > 0 {
			buy += ", cost " + plan.Cost.String()
		}
		facts = append(facts, Fact{"to buy", buy})
	default:
		facts = append(facts, Fact{"to buy", "nothing"})
	}
	if plan.FromOffcuts > 0 {
		facts = append(facts, Fact{"from your shelf", f(plan.FromOffcuts)})
	}
	facts = append(facts, Fact{"to cut", count(plan.Cuts, "time")})
	for _, s := range plan.Unplaced {
		facts = append(facts, Fact{"short of", fmt.Sprintf("%d x %s (%s), %s in all", s.Count, p.Style.Cut(s.Length), s.Label, f(s.Length*length.Length(s.Count)))})
	}
	best := "proved: no plan buys less"
	if len(plan.Unplaced) > 0 {
		best = "proved: no plan leaves out less"
	}
	if !plan.Proved {
		best = fmt.Sprintf("the best found in the time; at most %.2g %% could still be saved", plan.Gap()*100)
	}
	return append(facts, Fact{"how good", best})
}

// bookPressed books the plan behind a button.
func (a *App) bookPressed(ctx context.Context, req Request) (Reply, error) {
	var b booking
	if err := a.kept(ctx, req, "booking", &b); err != nil {
		return Reply{}, err
	}
	return a.bookCuts(ctx, req, b)
}

// bookCuts takes what was cut off the shelf and puts the rests onto it.
func (a *App) bookCuts(ctx context.Context, req Request, b booking) (Reply, error) {
	reply, err := a.changeShelf(ctx, req, func(tx *store.Tx, _ store.Leftovers) error {
		_, err := tx.ChangeLeftovers(store.LeftoverChange{Why: b.Why, Take: b.Take, Add: b.Add}, b.Revision)
		return err
	}, "Booked: your shelf now")
	if errors.Is(err, store.ErrConflict) {
		return Reply{}, &UserError{Wrong: "your shelf was changed since this plan was made, so nothing was booked", Right: "plan again, then book", Cause: err}
	}
	return reply, err
}
