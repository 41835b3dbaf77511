package building

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/store"
)

// wipKind is a kind of work in progress: designs in the making, or pieces that are
// being made.
type wipKind struct {
	draft    string // the kind of its drafts
	other    string // the action that takes another one in hand
	another  string // what the menu of the others is called
	touched  string // said before the day on which one was touched last
	nameless string // what one without a name is called
	gone     reply.UserError
}

// untouched says what becomes of works in progress that nobody goes on with.
var untouched = fmt.Sprintf("was not touched for %d days", sitting.UnderwayDays)

var (
	designs = wipKind{
		draft: sitting.Build, other: "build.other", another: "another one in the making", touched: "touched last on ", nameless: "a design without a name",
		gone: reply.UserError{Wrong: "this design is no longer in the making: it is somebody else's, or " + untouched, Right: "open a design again", Try: "/build"},
	}
	pieces = wipKind{
		draft: sitting.Work, other: "work.other", another: "another piece under way", touched: "worked on last on ",
		gone: reply.UserError{Wrong: "this piece is no longer under way: it is somebody else's, hangs already, or " + untouched, Right: "begin it again", Try: "/work demo:tide-line"},
	}
)

// wip is a work in progress in the hand of whoever asks. It is kept in a draft, found
// again from any device, and changed by controls that carry the turn at which they
// were shown.
type wip struct {
	wipKind
	key string // of its draft
	sit sitting.Sitting
	req reply.Request
}

// glance is what the record of any work in progress tells of it.
type glance struct {
	Name, Title string
	Turn        int
	Hangs       bool // it is done
}

// all are the member's works of a kind, the one touched last first.
func (k wipKind) all(sit sitting.Sitting) ([]store.Draft, error) {
	all, err := sit.Underway(k.draft)
	return slices.DeleteFunc(all, func(d store.Draft) bool {
		var g glance
		return json.Unmarshal(d.Payload, &g) != nil || g.Hangs
	}), err
}

// take takes a kept work in hand and reads it.
func (k wipKind) take(sit sitting.Sitting, req reply.Request, kept store.Draft, into any) (wip, error) {
	if err := json.Unmarshal(kept.Payload, into); err != nil {
		return wip{}, fmt.Errorf("a work in progress cannot be read: %w", err)
	}
	return wip{k, kept.Key, sit, req}, nil
}

// pressed takes the work behind a control in hand.
func (k wipKind) pressed(sit sitting.Sitting, req reply.Request, into any) (wip, error) {
	w := wip{k, req.Action.Key, sit, req}
	if err := sit.Kept(k.draft, into); err != nil {
		gone := k.gone
		gone.Cause = err
		return w, &gone
	}
	// A choice is part of what a press does, so that two choices are two changes.
	if len(req.Values) == 1 {
		do := *req.Action
		do.Op += pressParts + req.Values[0]
		w.req.Action = &do
	}
	return w, nil
}

// chosen takes the work in hand that was chosen from a menu of them.
func (k wipKind) chosen(sit sitting.Sitting, req reply.Request, into any) (wip, error) {
	all, err := k.all(sit)
	if err != nil {
		return wip{}, err
	}
	i := slices.IndexFunc(all, func(d store.Draft) bool { return len(req.Values) == 1 && d.Key == req.Values[0] })
	if i < 0 {
		gone := k.gone
		return wip{}, &gone
	}
	return k.take(sit, req, all[i], into)
}

// others are a menu of further works, or nothing.
func (w wip) others(all []store.Draft) []reply.Block {
	menu := reply.Menu{Placeholder: w.another, Do: reply.Do(w.other, w.key, "")}
	for _, d := range all {
		var g glance
		if d.Key != w.key && json.Unmarshal(d.Payload, &g) == nil && len(menu.Choices) < mostChoices {
			menu.Choices = append(menu.Choices, reply.Choice{Name: cmp.Or(g.Name, g.Title, w.nameless), Value: d.Key, Note: w.touched + say.Day(d.Created)})
		}
	}
	if len(menu.Choices) == 0 {
		return nil
	}
	return []reply.Block{reply.Actions{Menus: []reply.Menu{menu}}}
}

// mostChoices is how many choices a menu offers at once; more of them page.
const mostChoices = 25

// begin keeps a new work, once for each request.
func (k wipKind) begin(ctx context.Context, sit sitting.Sitting, req reply.Request, holds any) (wip, error) {
	w := wip{wipKind: k, sit: sit, req: req}
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		key, err := w.keep(tx, holds)
		if err != nil {
			return nil, err
		}
		return json.Marshal(key)
	})
	if err != nil {
		return w, err
	}
	return w, json.Unmarshal(result, &w.key)
}

func (w wip) keep(tx *store.Tx, holds any) (string, error) {
	return sitting.Remembered{Kind: w.draft, Key: w.key, Holds: holds, For: sitting.UnderwayLife}.Keep(tx, w.req)
}

// errMoved says that a work was changed since a control was shown.
var errMoved = errors.New("the work has moved on")

// change makes a change of a work that stands at a turn, once for each press, and
// keeps what it is then; first tells whether this was the time that it was made. What
// has changed meanwhile, on another device perhaps, stays as it is, and errMoved is
// returned.
func (w wip) change(ctx context.Context, turn int, change func(tx *store.Tx) (after any, err error)) (first bool, err error) {
	_, first, err = w.sit.Once(ctx, w.req, func(tx *store.Tx) (json.RawMessage, error) {
		kept, err := tx.Draft(w.key)
		if err != nil {
			return nil, err
		}
		var now glance
		if err := json.Unmarshal(kept.Payload, &now); err != nil {
			return nil, err
		}
		if now.Turn != turn || pressOf(w.req).turn != turn {
			return nil, errMoved
		}
		after, err := change(tx)
		if err != nil {
			return nil, err
		}
		_, err = w.keep(tx, after)
		return nil, err
	})
	return first, err
}

// reread reads the work as it is kept now.
func (w *wip) reread(ctx context.Context, into any) (err error) {
	if w.sit, err = w.sit.Again(ctx, w.req); err != nil {
		return err
	}
	return w.sit.Kept(w.draft, into)
}

// Every control of a work in progress carries, as the operation of its action, the
// work's turn, what is asked for ("step net", "edit 3", "undo"), and what makes it one
// of its kind: "17|edit 3|x".
type pressing struct {
	turn int
	what string // the word of what is asked for
	of   string // which: a word, a number, a name
}

const pressParts = "|"

// operation is the operation of a control that is shown at a turn.
func operation(turn int, what, kind string) string {
	return strings.Join([]string{strconv.Itoa(turn), what, kind}, pressParts)
}

// control is an action on a work that stands at a turn.
func (w wip) control(turn int, action, what string) reply.Action {
	return reply.Do(action, w.key, operation(turn, what, w.key))
}

// pressOf reads what a control asked for; a menu's choice is what is asked for.
func pressOf(req reply.Request) pressing {
	parts := strings.SplitN(req.Action.Op, pressParts, 3)
	p := pressing{turn: -1}
	if len(parts) < 2 {
		return p
	}
	if n, err := strconv.Atoi(parts[0]); err == nil {
		p.turn = n
	}
	asked := parts[1]
	if asked == "" && len(req.Values) == 1 {
		asked = req.Values[0]
	}
	p.what, p.of, _ = strings.Cut(asked, " ")
	return p
}

// number is which, as a number; 0 for none.
func (p pressing) number() int {
	n, err := strconv.Atoi(p.of)
	if err != nil {
		return 0
	}
	return n
}
