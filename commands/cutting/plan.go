package cutting

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"larkfold/commands/ask"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/picture"
	"larkfold/commands/picture/paint"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/stock"
	"larkfold/store"
)

// PlanCommand is /plan.
func PlanCommand() handler.Command {
	return handler.Command{Run: planCuts, Reads: sitting.Sheets | sitting.Design | sitting.Leftovers, Command: reply.Command{
		Name: "plan", Description: "Which piece to cut from which leftover or spool", Example: `/plan pieces:"12 x 3.2m, 40 x 50cm" spool:100m`,
		Options: []reply.Option{
			{Name: "project", Description: "a saved design whose cut list to plan", Suggest: "project"},
			{Name: "pieces", Description: "or a list, such as 12 x 3.2m, 40 x 50cm"},
			{Name: "cord", Description: "which cord of your shelf may serve for the list: 4 mm single-strand cream", Suggest: "cord"},
			{Name: "spool", Description: "what a new spool holds, such as 100m, or several sizes: 50m, 100m; the sheet's own if left out"},
			{Name: "price", Description: "of one new spool, such as 24.00; of several sizes in their order: 14.00, 24.00"},
			{Name: "keep", Description: "shortest rest worth keeping; " + ask.LeftOut(UsualKeep)},
			{Name: "book", Description: "yes books it at once: used pieces off your shelf, rests onto it", Kind: reply.YesNo},
		},
	}}
}

// Budget is how long a cutting plan may take in a chat.
const Budget = time.Second

// UsualKeep is the shortest rest that is worth a place on the shelf (common practice, no source).
const UsualKeep = 10 * length.Centimetre

// Wanted is what is cut from one cord.
type Wanted struct {
	Cord   string // its name in the sheet; empty for a typed list
	words  ask.CordWords
	pieces []stock.Piece
	asked  []string      // how long each was typed to be; nil for a design's
	spools []stock.Stock // what can be bought, as many as it takes
	only   bool          // the design has no other cord
}

// Planned is a cutting plan for one cord and what it would change on the shelf.
type Planned struct {
	Wanted
	Plan  stock.Plan
	Takes []store.Take
	adds  []store.Leftover
}

// taking is what a plan's button remembers.
type taking struct {
	Why      string           `json:"why"`
	Revision uint64           `json:"revision"` // of the shelf that was planned with
	Take     []store.Take     `json:"take,omitempty"`
	Add      []store.Leftover `json:"add,omitempty"`
}

func planCuts(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	bought := newSpools(q)
	keep := q.Length("keep", ask.Bounds("rest", 0, 10*length.Metre, "10 cm or 4 in"), UsualKeep)
	book := q.Yes("book")
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	if book {
		if answer, before, err := takenBefore(ctx, sit, req, p); before || err != nil {
			return answer, err
		}
	}
	name, cuts, err := cutsWanted(ctx, sit, req, q, bought)
	if err != nil {
		return reply.Reply{}, err
	}
	return Answer(ctx, sit, req, name, cuts, keep, book)
}

// takenBefore answers a request that was delivered twice and booked the first
// time; a new plan would be made from what the first left on the shelf.
func takenBefore(ctx context.Context, sit sitting.Sitting, req reply.Request, p sitting.Prefs) (answer reply.Reply, before bool, err error) {
	errNew := errors.New("not booked yet")
	sit, err = sit.Change(ctx, req, func(*store.Tx) error { return errNew })
	if err != nil {
		if errors.Is(err, errNew) {
			err = nil
		}
		return reply.Reply{}, false, err
	}
	shelf, err := sit.Leftovers()
	if err != nil {
		return reply.Reply{}, true, err
	}
	answer, err = shelfReply(req, shelf, p, "Booked already: your shelf now")
	return answer, true, err
}

// cutsWanted are the pieces of the list or the design that is asked about.
func cutsWanted(ctx context.Context, sit sitting.Sitting, req reply.Request, q *ask.Options, bought []stock.Stock) (string, []Wanted, error) {
	switch {
	case q.Has("project") && q.Has("pieces"):
		return "", nil, &reply.UserError{Read: "/plan", Wrong: "it names both a project and a list of pieces", Right: "one of the two", Try: req.Retype(nil, "pieces")}
	case q.Has("project"):
		sized, name, err := design.SizeSaved(ctx, sit, req)
		if err != nil {
			return "", nil, err
		}
		cuts := CutsOf(sized, bought)
		if !q.Has("cord") {
			return name, cuts, nil
		}
		if len(cuts) > 1 {
			return "", nil, &reply.UserError{Read: "cord: " + q.Text("cord"), Wrong: "the design is made of several cords and names them itself", Right: "leave cord out", Try: req.Retype(nil, "cord")}
		}
		cuts[0].words.Others, cuts[0].only = ask.CordIn(q.Text("cord")).Others, false
		return name, cuts, nil
	case q.Has("pieces"):
		heaps, err := ask.Heaps(q.Text("pieces"))
		if err != nil {
			instead := req.Example()
			if meant := ask.LikelyHeaps(q.Text("pieces"), q.Unit); meant != "" {
				instead = req.Retype(map[string]string{"pieces": meant}, "")
			}
			return "", nil, reply.WithTry(err, instead)
		}
		cuts := Wanted{words: ask.CordIn(q.Text("cord")), spools: bought}
		for i, h := range heaps {
			cuts.pieces = append(cuts.pieces, stock.Piece{Length: h.Length, Count: h.Count, Label: cutlist.Label(i)})
			cuts.asked = append(cuts.asked, h.Repeat(q.Style))
		}
		return "Cutting plan", []Wanted{cuts}, nil
	}
	return "", nil, &reply.UserError{Read: "/plan", Wrong: "it needs a saved project or a list of pieces", Right: "give one of the two", Try: req.Example()}
}

// newSpools are the spools that can be bought: one size, or several with a price each.
func newSpools(q *ask.Options) []stock.Stock {
	sizes, prices := ask.Spoolfuls(q.Text("spool")), ask.Items(q.Text("price"))
	switch {
	case q.Err != nil || len(sizes)+len(prices) == 0:
		return nil
	case len(sizes) == 0:
		q.Err = q.NoSpool()
		return nil
	case len(sizes) > MostSpoolSizes:
		q.Err = &reply.UserError{Read: "spool: " + q.Text("spool"), Wrong: fmt.Sprintf("that is %d sizes", len(sizes)), Right: fmt.Sprintf("%d at most", MostSpoolSizes), Try: q.Request.Retype(map[string]string{"spool": "50m, 100m"}, "price")}
		return nil
	case len(prices) > 0 && len(prices) != len(sizes):
		e := &reply.UserError{Read: "price: " + q.Text("price"), Wrong: fmt.Sprintf("%s for %s of spool", noun.Count(len(prices), "price"), noun.Count(len(sizes), "size")), Right: "one price for each size, in the same order; or none, to buy the fewest metres", Try: q.Request.Retype(nil, "price")}
		if apart := strings.Split(q.Text("price"), ","); len(apart) == len(sizes) {
			e.Right = "a comma between two digits is a decimal one: leave a blank behind those that part the prices"
			e.Try = q.Request.Retype(map[string]string{"price": strings.Join(apart, ", ")}, "")
		}
		q.Err = e
		return nil
	}
	bought := make([]stock.Stock, len(sizes))
	for i, size := range sizes {
		one := q.With("spool", size)
		holds := one.Spool("spool")
		bought[i] = stock.Stock{Length: holds.Length, Price: stock.Price(holds.Price), Label: NewSpool}
		if len(prices) > 0 {
			one = one.With("price", prices[i])
			bought[i].Price = stock.Price(one.Price("price"))
		}
		if one.Err != nil {
			q.Err = one.Err
			if len(sizes) > 1 {
				q.Err = reply.WithTry(q.Err, q.Request.Retype(map[string]string{"spool": "50m, 100m"}, "price"))
			}
			return nil
		}
	}
	return bought
}

// MostSpoolSizes is more than any shop offers of one cord.
const MostSpoolSizes = 10

const NewSpool = "new spool"

// CutsOf are the cuts of a sized sheet, cord by cord. Spools that were asked for
// replace the sheet's own.
func CutsOf(sized sizing.Sized, bought []stock.Stock) []Wanted {
	var all []Wanted
	for i, c := range sized.Cords {
		w := Wanted{Cord: c.Name, words: ask.CordOf(c), spools: bought, only: len(sized.Cords) == 1}
		if len(bought) == 0 && c.Spool.Length > 0 {
			w.spools = []stock.Stock{{Length: c.Spool.Length, Price: stock.Price(c.Spool.Price), Label: NewSpool}}
		}
		for _, cut := range sized.List.Cuts {
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

// Answer plans every cord and shows the plans.
func Answer(ctx context.Context, sit sitting.Sitting, req reply.Request, name string, cuts []Wanted, keep length.Length, book bool) (reply.Reply, error) {
	shelf, err := sit.Leftovers()
	if err != nil {
		return reply.Reply{}, err
	}
	p := sit.Prefs
	blocks := []reply.Block{reply.Heading(name + ": what to cut from what")}
	b := taking{Why: "booked: " + name, Revision: shelf.Revision}
	for _, w := range cuts {
		done, err := Solve(ctx, w, shelf, keep, Apiece(Budget, len(cuts)))
		if err != nil {
			return reply.Reply{}, uncuttable(err, w, p, req)
		}
		passed, err := w.passedOver(shelf, done.Takes, p)
		if err != nil {
			return reply.Reply{}, err
		}
		shelf = Without(shelf, done.Takes)
		heading := name
		if len(cuts) > 1 {
			heading = name + ", " + w.Cord
			blocks = append(blocks, reply.Heading("Of "+w.Cord))
		}
		drawn := say.Drawn(say.FileName(heading)+"-cuts.png", func() *paint.Drawing { return picture.Strips(done.Plan, heading, p.Style) }, "strips", heading, p.Style, done.Plan)
		blocks = append(blocks, reply.Facts{{Label: "pieces", Value: w.list(p)}}, say.Strips(done.Plan, p), reply.Facts(append(say.StripFacts(done.Plan, p), passed...)), drawn)
		b.Take, b.Add = append(b.Take, done.Takes...), append(b.Add, done.adds...)
	}
	if len(b.Take)+len(b.Add) == 0 {
		return reply.Reply{Blocks: blocks}, nil
	}
	if book {
		booked, err := takeCuts(ctx, sit, req, b)
		booked.Blocks = append(blocks, booked.Blocks...)
		return booked, err
	}
	key, err := sit.Keep(ctx, req, "booking", b)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: append(blocks,
		reply.Text("Once it is cut, the button, or the same line with book:yes, takes the used pieces off your shelf and puts the rests onto it."),
		reply.Actions{Buttons: []reply.Button{{Label: "I have cut it: book it", Do: reply.Do("plan.book", key, req.ID), Main: true}}})}, nil
}

// Without is a shelf after some of it was used.
func Without(shelf store.Leftovers, takes []store.Take) store.Leftovers {
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

// passedOver are the spools on a shelf that might have been thought to serve and were
// not cut, with why.
func (w Wanted) passedOver(shelf store.Leftovers, takes []store.Take, p sitting.Prefs) ([]reply.Fact, error) {
	var shortest length.Length
	for _, piece := range w.pieces {
		if shortest == 0 || piece.Length < shortest {
			shortest = piece.Length
		}
	}
	var facts []reply.Fact
	for _, e := range shelf.Entries {
		if e.Kind != store.Spool || slices.ContainsFunc(takes, func(t store.Take) bool { return t.ID == e.ID }) {
			continue
		}
		spool, err := readShelf(e)
		if err != nil {
			return nil, err
		}
		why := ""
		switch has, wanted := spool.words, w.words; {
		case wanted.Thickness == 0 && len(wanted.Others) == 0:
		case has.Thickness == 0 && wanted.Thickness > 0:
			why = "its thickness is not named"
		case wanted.Thickness == 0 && has.Thickness > 0 && (len(has.Others) == 0 || has.Overlaps(wanted)):
			why = "no thickness was asked for"
		case has.Thickness != wanted.Thickness:
			continue
		case !has.Fits(wanted):
			why = "it is " + has.Construction + ", not " + wanted.Construction
		case !w.only && len(has.Others) > 0 && len(wanted.Others) > 0 && !has.Overlaps(wanted):
			why = "it is " + strings.Join(has.Others, " ") + ", not " + strings.Join(wanted.Others, " ")
		}
		if l := length.Length(e.Length); why == "" && l < shortest {
			why = "it is shorter than the shortest piece"
		}
		if why != "" {
			facts = append(facts, reply.Fact{Label: "not cut", Value: fmt.Sprintf("%s of %s of %s: %s", noun.Count(e.Count, "spool"), p.Style.Format(length.Length(e.Length)), cordName(e), why)})
		}
	}
	return facts, nil
}

// list names the pieces by their letters, those that were typed as they were: "A 12 x
// 3.2 m, B 40 x 50 cm".
func (w Wanted) list(p sitting.Prefs) string {
	parts := make([]string, len(w.pieces))
	for i, piece := range w.pieces {
		long := p.Style.Cut(piece.Length)
		if w.asked != nil {
			long = w.asked[i]
		}
		parts[i] = fmt.Sprintf("%s %d x %s", piece.Label, piece.Count, long)
	}
	return strings.Join(parts, ", ")
}

// ErrNothing is that there is neither a leftover nor a spool to cut from.
var ErrNothing = errors.New("nothing to cut from")

// Solve plans one cord: the shelf's pieces of that cord first, then new spools.
func Solve(ctx context.Context, w Wanted, shelf store.Leftovers, keep length.Length, budget time.Duration) (Planned, error) {
	entries, err := Serving(shelf, w.words, w.only)
	if err != nil {
		return Planned{}, err
	}
	problem := stock.Problem{Pieces: w.pieces, Stock: append(Stock(entries), w.spools...), Keep: keep}
	if len(problem.Stock) == 0 {
		return Planned{}, ErrNothing
	}
	if err := reply.Turn(ctx, reply.Work{Amount: knotsOfACutting, Bytes: bytesOfACutting}); err != nil {
		return Planned{}, err
	}
	ctx, cancel := context.WithTimeout(ctx, budget)
	defer cancel()
	plan, err := stock.Solve(ctx, problem)
	if err != nil {
		return Planned{}, err
	}
	done := Planned{Wanted: w, Plan: plan}
	used := map[int]int{}
	for _, pattern := range plan.Patterns {
		used[pattern.Stock] += pattern.Times
	}
	for i, e := range entries {
		if used[i] > 0 {
			done.Takes = append(done.Takes, store.Take{ID: e.ID, Count: used[i]})
		}
	}
	for _, r := range plan.Remainders() {
		rest := store.Leftover{Kind: store.Offcut, Length: store.Nanometres(r.Length), Count: r.Count}
		if r.Stock < len(entries) {
			e := entries[r.Stock]
			rest.Cord, rest.Data, rest.Note = e.Cord, e.Data, e.Note
		} else if rest.Cord, rest.Data, err = w.words.Record(); err != nil {
			return Planned{}, err
		}
		done.adds = append(done.adds, rest)
	}
	return done, nil
}

// A search for a cutting plan is taken to last as long as sizing so many knots (estimated), by which a
// large design was weighed before it, and holds about so many bytes.
const (
	knotsOfACutting = 1000
	bytesOfACutting = 8 << 20
)

// Apiece is each one's part of a budget.
func Apiece(budget time.Duration, among int) time.Duration {
	return budget / time.Duration(max(among, 1))
}

// IsTooLong tells whether a piece is longer than anything there is to cut from.
func IsTooLong(err error) bool {
	var long *stock.TooLongError
	return errors.As(err, &long)
}

// uncuttable says which cord has nothing to be cut from, or which piece no stock can give.
func uncuttable(err error, w Wanted, p sitting.Prefs, req reply.Request) error {
	var long *stock.TooLongError
	e := &reply.UserError{Cause: err}
	spool := "100m"
	switch {
	case errors.Is(err, ErrNothing):
		e.Wrong = "there is nothing to cut from: no piece of that cord lies on your shelf and no spool was named"
		if w.Cord != "" {
			text, _, _ := w.words.Record()
			e.Wrong = "there is nothing to cut the cord " + reply.Quoted(w.Cord) + " from: no piece of " + text + " lies on your shelf and no spool was named"
		}
		e.Right = "say what a new spool holds, or put your leftovers on the shelf with /shelf add"
		longest := length.Length(0)
		for _, piece := range w.pieces {
			longest = max(longest, piece.Length)
		}
		if longest > 100*length.Metre {
			spool = roundLength(longest, 50, p)
		}
	case errors.As(err, &long):
		spool = roundLength(long.Length, 50, p)
		e.Read = "piece " + long.Label + ", " + p.Style.Cut(long.Length)
		e.Wrong = "it is longer than anything there is to cut from; the longest is " + p.Style.Format(long.Longest)
		e.Right = "name a spool that long, or join cord and list the parts as pieces"
	default:
		return err
	}
	if req.Action != nil {
		e.Right = "save it or keep a copy, then plan it with a spool: /plan project:… spool:" + spool
		return e
	}
	e.Try = req.Retype(map[string]string{"spool": spool}, "price")
	return e
}

// roundLength is the next whole number of so many metres or yards.
func roundLength(l, each length.Length, p sitting.Prefs) string {
	if p.Imperial() {
		return fmt.Sprintf("%dyd", l.RoundUp(each*length.Yard)/length.Yard)
	}
	return fmt.Sprintf("%dm", l.RoundUp(each*length.Metre)/length.Metre)
}

// takePressed books the plan behind a button.
func takePressed(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var b taking
	if err := sit.Kept("booking", &b); err != nil {
		return reply.Reply{}, err
	}
	return takeCuts(ctx, sit, req, b)
}

// takeCuts takes what was cut off the shelf and puts the rests onto it.
func takeCuts(ctx context.Context, sit sitting.Sitting, req reply.Request, b taking) (reply.Reply, error) {
	answer, err := changeShelf(ctx, sit, req, func(tx *store.Tx, _ store.Leftovers) error {
		_, err := tx.ChangeLeftovers(store.LeftoverChange{Why: b.Why, Take: b.Take, Add: b.Add}, b.Revision)
		return err
	}, "Booked: your shelf now")
	if errors.Is(err, store.ErrConflict) {
		return reply.Reply{}, &reply.UserError{Wrong: "your shelf was changed since this plan was made, so nothing was booked", Right: "plan again, then book", Cause: err}
	}
	return answer, err
}

// Pressed is what the buttons, menus and forms of this room do, by the names of their actions.
func Pressed() map[string]handler.Command {
	return map[string]handler.Command{
		"plan.book": {Run: takePressed, Reads: sitting.Draft | sitting.Leftovers},
	}
}
