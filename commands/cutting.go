package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"larkfold/commands/picture"
	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
	"larkfold/store"
)

func (a *App) planCommand() command {
	return command{run: a.planCuts, Command: reply.Command{
		Name: "plan", Description: "Which piece to cut from which leftover or spool", Example: `/plan pieces:"12 x 3.2m, 40 x 50cm" spool:100m`,
		Options: []reply.Option{
			{Name: "project", Description: "a saved design whose cut list to plan", Suggest: "project"},
			{Name: "pieces", Description: "or a list, such as 12 x 3.2m, 40 x 50cm"},
			{Name: "cord", Description: "which cord of your shelf may serve for the list: 4 mm single-strand cream", Suggest: "cord"},
			{Name: "spool", Description: "what a new spool holds, such as 100m, or several sizes: 50m, 100m; the sheet's own if left out"},
			{Name: "price", Description: "of one new spool, such as 24.00; of several sizes in their order: 14.00, 24.00"},
			{Name: "keep", Description: "shortest rest worth keeping; 10 cm if left out"},
			{Name: "book", Description: "yes books it at once: used pieces off your shelf, rests onto it", Kind: reply.YesNo},
		},
	}}
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
	spools []stock.Stock // what can be bought, as many as it takes
	only   bool          // the design has no other cord
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

func (a *App) planCuts(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	bought := newSpools(q)
	keep := q.length("keep", boundsOf("rest", 0, 10*length.Metre, "10 cm or 4 in"), defaultKeep)
	book := q.yes("book")
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	if book {
		if answer, before, err := a.bookedBefore(ctx, req, p); before || err != nil {
			return answer, err
		}
	}
	name, cuts, err := a.cutsWanted(ctx, req, q, bought)
	if err != nil {
		return reply.Reply{}, err
	}
	return a.cuttingReply(ctx, req, p, name, cuts, keep, book)
}

// bookedBefore answers a request that was delivered twice and booked the first
// time; a new plan would be made from what the first left on the shelf.
func (a *App) bookedBefore(ctx context.Context, req reply.Request, p Prefs) (answer reply.Reply, before bool, err error) {
	errNew := errors.New("not booked yet")
	_, _, err = a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(*store.Tx) (json.RawMessage, error) { return nil, errNew })
	if err != nil {
		if errors.Is(err, errNew) {
			err = nil
		}
		return reply.Reply{}, false, err
	}
	shelf, err := a.store.Leftovers(ctx, req.Member)
	return shelfReply(shelf, p, "Booked already: your shelf now"), true, err
}

// cutsWanted are the pieces of the list or the design that is asked about.
func (a *App) cutsWanted(ctx context.Context, req reply.Request, q *ask, bought []stock.Stock) (string, []wantedCuts, error) {
	switch {
	case q.has("project") && q.has("pieces"):
		return "", nil, &reply.UserError{Read: "/plan", Wrong: "it names both a project and a list of pieces", Right: "one of the two", Try: req.Retype(nil, "pieces")}
	case q.has("project"):
		plan, name, err := a.planOf(ctx, req, q.text("project"))
		if err != nil {
			return "", nil, err
		}
		cuts := cutsOf(plan, bought)
		if !q.has("cord") {
			return name, cuts, nil
		}
		if len(cuts) > 1 {
			return "", nil, &reply.UserError{Read: "cord: " + q.text("cord"), Wrong: "the design is made of several cords and names them itself", Right: "leave cord out", Try: req.Retype(nil, "cord")}
		}
		cuts[0].words.Others, cuts[0].only = wordsOfCord(q.text("cord")).Others, false
		return name, cuts, nil
	case q.has("pieces"):
		heaps, err := parseHeaps(q.text("pieces"))
		if err != nil {
			return "", nil, reply.WithTry(err, req.Example())
		}
		cuts := wantedCuts{words: wordsOfCord(q.text("cord")), spools: bought}
		for i, h := range heaps {
			cuts.pieces = append(cuts.pieces, stock.Piece{Length: h.length, Count: h.count, Label: letter(i)})
		}
		return "Cutting plan", []wantedCuts{cuts}, nil
	}
	return "", nil, &reply.UserError{Read: "/plan", Wrong: "it needs a saved project or a list of pieces", Right: "give one of the two", Try: req.Example()}
}

// letter labels the pieces of a typed list: A, B ... Z, then A1, B1 ...
func letter(i int) string {
	name := string(rune('A' + i%26))
	if i >= 26 {
		name += fmt.Sprint(i / 26)
	}
	return name
}

// newSpools are the spools that can be bought: one size, or several with a price each.
func newSpools(q *ask) []stock.Stock {
	sizes, prices := items(q.text("spool")), items(q.text("price"))
	switch {
	case q.err != nil || len(sizes)+len(prices) == 0:
		return nil
	case len(sizes) == 0:
		q.err = &reply.UserError{Read: "price: " + q.text("price"), Wrong: "it does not say what a spool for that price holds", Right: "name the spool too", Try: q.req.Retype(map[string]string{"spool": "100m"}, "")}
		return nil
	case len(sizes) > mostSpoolSizes:
		q.err = &reply.UserError{Read: "spool: " + q.text("spool"), Wrong: fmt.Sprintf("that is %d sizes", len(sizes)), Right: fmt.Sprintf("%d at most", mostSpoolSizes), Try: q.req.Retype(map[string]string{"spool": "50m, 100m"}, "price")}
		return nil
	case len(prices) > 0 && len(prices) != len(sizes):
		q.err = &reply.UserError{Read: "price: " + q.text("price"), Wrong: fmt.Sprintf("%s for %s of spool", count(len(prices), "price"), count(len(sizes), "size")), Right: "one price for each size, in the same order; or none, to buy the fewest metres", Try: q.req.Retype(nil, "price")}
		return nil
	}
	bought := make([]stock.Stock, len(sizes))
	for i, size := range sizes {
		one := q.with("spool", size)
		bought[i] = stock.Stock{Length: one.measure("spool", spools, length.Metre, 0), Label: newSpool}
		if len(prices) > 0 {
			one = one.with("price", prices[i])
			bought[i].Price = stock.Price(one.price("price"))
		}
		if one.err != nil {
			q.err = one.err
			if len(sizes) > 1 {
				q.err = reply.WithTry(q.err, q.req.Retype(map[string]string{"spool": "50m, 100m"}, "price"))
			}
			return nil
		}
	}
	return bought
}

// mostSpoolSizes is more than any shop offers of one cord.
const mostSpoolSizes = 10

const newSpool = "new spool"

// cutsOf are the cuts of a sized sheet, cord by cord. Spools that were asked for
// replace the sheet's own.
func cutsOf(plan sizing.Plan, bought []stock.Stock) []wantedCuts {
	var all []wantedCuts
	for i, c := range plan.Cords {
		w := wantedCuts{cord: c.Name, words: ofCord(c), spools: bought, only: len(plan.Cords) == 1}
		if len(bought) == 0 && c.Spool.Length > 0 {
			w.spools = []stock.Stock{{Length: c.Spool.Length, Price: stock.Price(c.Spool.Price), Label: newSpool}}
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
func (a *App) cuttingReply(ctx context.Context, req reply.Request, p Prefs, name string, cuts []wantedCuts, keep length.Length, book bool) (reply.Reply, error) {
	shelf, err := a.store.Leftovers(ctx, req.Member)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading(name + ": what to cut from what")}
	b := booking{Why: "booked: " + name, Revision: shelf.Revision}
	for _, w := range cuts {
		done, err := solve(ctx, w, shelf, keep, share(planBudget, len(cuts)))
		if err != nil {
			return reply.Reply{}, uncuttable(err, w, p, req)
		}
		shelf = without(shelf, done.takes)
		heading := name
		if len(cuts) > 1 {
			heading = name + ", " + w.cord
			blocks = append(blocks, reply.Heading("Of "+w.cord))
		}
		blocks = append(blocks, reply.Facts{{Label: "pieces", Value: w.list(p)}}, stripTable(done.plan, p), reply.Facts(planFacts(done.plan, p)), drawn(picture.Strips(done.plan, heading, p.Style), fileName(heading)+"-cuts.png"))
		b.Take, b.Add = append(b.Take, done.takes...), append(b.Add, done.adds...)
	}
	if len(b.Take)+len(b.Add) == 0 {
		return reply.Reply{Blocks: blocks}, nil
	}
	if book {
		booked, err := a.bookCuts(ctx, req, b)
		booked.Blocks = append(blocks, booked.Blocks...)
		return booked, err
	}
	key, err := a.keep(ctx, req, "booking", b)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: append(blocks,
		reply.Text("Once it is cut, the button takes the used pieces off your shelf and puts the rests onto it."),
		reply.Actions{Buttons: []reply.Button{{Label: "I have cut it: book it", Do: reply.Do("plan.book", key, req.ID), Main: true}}})}, nil
}

// without is a shelf after some of it was used.
func without(shelf store.Leftovers, takes []store.Take) store.Leftovers {
	left := store.Leftovers{Revision: shelf.Revision}
	for _, e := range shelf.Entries {
		for _, t := range takes {
			if t.ID == e.ID {
				e.Count -= t.Count
			}
		}
		if e.Count > 0 {
			left.Entries = append(left.Entries, e)
		}
	}
	return left
}

// list names the pieces by their letters: "A 12 x 3.20 m, B 40 x 50 cm".
func (w wantedCuts) list(p Prefs) string {
	parts := make([]string, len(w.pieces))
	for i, piece := range w.pieces {
		parts[i] = fmt.Sprintf("%s %d x %s", piece.Label, piece.Count, p.Style.Cut(piece.Length))
	}
	return strings.Join(parts, ", ")
}

// errNothing is that there is neither a leftover nor a spool to cut from.
var errNothing = errors.New("nothing to cut from")

// solve plans one cord: the shelf's pieces of that cord first, then new spools.
func solve(ctx context.Context, w wantedCuts, shelf store.Leftovers, keep length.Length, budget time.Duration) (planned, error) {
	entries, err := serving(shelf, w.words, w.only)
	if err != nil {
		return planned{}, err
	}
	problem := stock.Problem{Pieces: w.pieces, Keep: keep}
	for _, e := range entries {
		problem.Stock = append(problem.Stock, stock.Stock{Length: length.Length(e.Length), Count: e.Count, Offcut: true, Label: e.label()})
	}
	problem.Stock = append(problem.Stock, w.spools...)
	if len(problem.Stock) == 0 {
		return planned{}, errNothing
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
			e := entries[r.Stock]
			rest.Cord, rest.Data, rest.Note = e.Cord, e.Data, e.Note
		} else if rest.Cord, rest.Data, err = w.words.store(); err != nil {
			return planned{}, err
		}
		done.adds = append(done.adds, rest)
	}
	return done, nil
}

// share is each one's part of a budget.
func share(budget time.Duration, among int) time.Duration {
	return budget / time.Duration(max(among, 1))
}

func isTooLong(err error) bool {
	var long *stock.TooLongError
	return errors.As(err, &long)
}

// uncuttable says which cord has nothing to be cut from, or which piece no stock can give.
func uncuttable(err error, w wantedCuts, p Prefs, req reply.Request) error {
	var long *stock.TooLongError
	e := &reply.UserError{Cause: err}
	spool := "100m"
	switch {
	case errors.Is(err, errNothing):
		e.Wrong = "there is nothing to cut from: no piece of that cord lies on your shelf and no spool was named"
		if w.cord != "" {
			text, _, _ := w.words.store()
			e.Wrong = "there is nothing to cut the cord " + reply.Quoted(w.cord) + " from: no piece of " + text + " lies on your shelf and no spool was named"
		}
		e.Right = "say what a new spool holds, or put your leftovers on the shelf with /shelf add"
		longest := length.Length(0)
		for _, piece := range w.pieces {
			longest = max(longest, piece.Length)
		}
		if longest > 100*length.Metre {
			spool = longSpool(longest, p)
		}
	case errors.As(err, &long):
		spool = longSpool(long.Length, p)
		e.Read = "piece " + long.Label + ", " + p.Style.Cut(long.Length)
		e.Wrong = "it is longer than anything there is to cut from; the longest is " + p.Style.Format(long.Longest)
		e.Right = "name a spool that long, or join cord and list the parts as pieces"
	default:
		return err
	}
	if req.Action != nil {
		e.Right = "keep a copy, then plan it with a spool: /plan project:… spool:" + spool
		return e
	}
	e.Try = req.Retype(map[string]string{"spool": spool}, "price")
	return e
}

// longSpool is the next round length of a spool that holds a piece.
func longSpool(piece length.Length, p Prefs) string {
	if p.Style.System == length.Imperial {
		return fmt.Sprintf("%dyd", piece.RoundUp(50*yard)/yard)
	}
	return fmt.Sprintf("%dm", piece.RoundUp(50*length.Metre)/length.Metre)
}

const yard = 36 * length.Inch

// stripTable is one line for every way to cut a length of stock.
func stripTable(plan stock.Plan, p Prefs) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "from", Right: false}, {Title: "times", Right: true}, {Title: "cut", Right: false}, {Title: "rest", Right: true}}}
	for _, pattern := range plan.Patterns {
		from := pattern.Label + " " + p.Style.Format(pattern.Length)
		rest := p.Style.Format(pattern.Remainder)
		if pattern.Remainder == 0 {
			rest = "none"
		}
		cut := runs(pattern.Cuts)
		t.Rows = append(t.Rows, []string{from, fmt.Sprint(pattern.Times), strings.Join(cut, ", "), rest})
		for i := range cut[:len(cut)-1] {
			cut[i] += ","
		}
		t.Short = append(t.Short, folded(fmt.Sprintf("%dx %s:", pattern.Times, oneSystem(p).Format(pattern.Length)), cut)...)
	}
	return t
}

// oneSystem writes lengths in one system only, for lines of a phone's width.
func oneSystem(p Prefs) length.Style {
	style := p.Style
	if style.System == length.Both {
		style.System = length.Metric
	}
	return style
}

// folded is a line of a narrow screen's width, and what does not fit on further
// lines that stand in by two.
func folded(first string, parts []string) []string {
	lines := []string{cutTo(first, narrow)}
	for _, part := range parts {
		last := len(lines) - 1
		if utf8.RuneCountInString(lines[last])+1+utf8.RuneCountInString(part) > narrow {
			lines = append(lines, "  "+part)
			continue
		}
		lines[last] += " " + part
	}
	return lines
}

// runs writes the cuts of a strip, equal neighbours together: "4 A", "2 B".
func runs(cuts []stock.Cut) []string {
	var parts []string
	for i := 0; i < len(cuts); {
		j := i
		for j < len(cuts) && cuts[j].Label == cuts[i].Label {
			j++
		}
		parts = append(parts, fmt.Sprintf("%d %s", j-i, cuts[i].Label))
		i = j
	}
	return parts
}

// planFacts are what a plan uses, and how good it is.
func planFacts(plan stock.Plan, p Prefs) []reply.Fact {
	f := p.Style.Format
	facts := []reply.Fact{}
	switch {
	case plan.Spools > 0:
		buy := fmt.Sprintf("%s, %s in all", count(plan.Spools, "new spool"), f(plan.NewCord))
		if plan.Cost > 0 {
			buy += ", cost " + plan.Cost.String()
		}
		facts = append(facts, reply.Fact{Label: "to buy", Value: buy})
	case len(plan.Unplaced) == 0:
		facts = append(facts, reply.Fact{Label: "to buy", Value: "nothing"})
	}
	if plan.FromOffcuts > 0 {
		facts = append(facts, reply.Fact{Label: "from your shelf", Value: f(plan.FromOffcuts)})
	}
	if rests := rests(plan, p); rests != "" {
		facts = append(facts, reply.Fact{Label: "left over", Value: rests})
	}
	facts = append(facts, reply.Fact{Label: "to cut", Value: count(plan.Cuts, "time")})
	for _, s := range plan.Unplaced {
		facts = append(facts, reply.Fact{Label: "short of", Value: fmt.Sprintf("%d x %s (%s), %s in all", s.Count, p.Style.Cut(s.Length), s.Label, f(s.Length*length.Length(s.Count)))})
	}
	best := "proved: no plan buys less"
	if len(plan.Unplaced) > 0 {
		facts = append(facts, reply.Fact{Label: "for the rest", Value: "name a new spool, such as spool:100m"})
		best = "proved: no plan leaves out less"
	}
	if !plan.Proved {
		best = fmt.Sprintf("the best found in the time; at most %.2g %% could still be saved", plan.Gap()*100)
	}
	return append(facts, reply.Fact{Label: "how good", Value: best})
}

// rests are what goes back on the shelf and what is too short for it.
func rests(plan stock.Plan, p Prefs) string {
	var parts []string
	var kept length.Length
	n := 0
	for _, r := range plan.Remainders() {
		n += r.Count
		kept += r.Length * length.Length(r.Count)
	}
	if n > 0 {
		parts = append(parts, fmt.Sprintf("%s worth keeping, %s in all", count(n, "rest"), p.Style.Format(kept)))
	}
	if plan.Waste > 0 {
		parts = append(parts, p.Style.Format(plan.Waste)+" in scraps too short to keep")
	}
	return strings.Join(parts, "; ")
}

// bookPressed books the plan behind a button.
func (a *App) bookPressed(ctx context.Context, req reply.Request) (reply.Reply, error) {
	var b booking
	if err := a.kept(ctx, req, "booking", &b); err != nil {
		return reply.Reply{}, err
	}
	return a.bookCuts(ctx, req, b)
}

// bookCuts takes what was cut off the shelf and puts the rests onto it.
func (a *App) bookCuts(ctx context.Context, req reply.Request, b booking) (reply.Reply, error) {
	answer, err := a.changeShelf(ctx, req, func(tx *store.Tx, _ store.Leftovers) error {
		_, err := tx.ChangeLeftovers(store.LeftoverChange{Why: b.Why, Take: b.Take, Add: b.Add}, b.Revision)
		return err
	}, "Booked: your shelf now")
	if errors.Is(err, store.ErrConflict) {
		return reply.Reply{}, &reply.UserError{Wrong: "your shelf was changed since this plan was made, so nothing was booked", Right: "plan again, then book", Cause: err}
	}
	return answer, err
}
