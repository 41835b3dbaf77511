package building_test

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"flag"
	"fmt"

	"larkfold/commands"
	"larkfold/commands/building"
	"larkfold/commands/commandstest"
	"larkfold/testdata"

	randv2 "math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/making"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/store"
	"larkfold/store/storetest"
)

var (
	walks     = flag.Int("walks", 20, "how many random walks of presses TestRandomPresses makes")
	firstWalk = flag.Int("first-walk", 0, "the number of the first of them, so that a walk can be walked again")
)

// Presses at random, each delivered twice: always a design that sizes or a refusal that
// says how to go on; nothing lost and nothing twice; undo leads back byte for byte; a
// saved project is as it was until it is saved. Every second walk types nonsense into
// its forms. A long run is
//
//	go test ./commands/building -run TestRandomPresses -walks 10000 -timeout 3h
func TestRandomPresses(t *testing.T) {
	t.Parallel()
	var counts walked
	for seed := range *walks {
		newWalk(t, uint64(*firstWalk+seed), &counts).along()
		if seed%500 == 499 {
			t.Logf("%d walks so far", seed+1)
		}
	}
	t.Logf("%d walks: %d presses, %d forms, %d refused, %d old controls, %d changes", *walks, counts.presses, counts.forms, counts.refused, counts.old, counts.changes)
}

// walked is what happened in walks.
type walked struct{ presses, forms, refused, old, changes int }

// walk is one member's random presses on one design.
type walk struct {
	t        *testing.T
	seed     uint64
	dice     *randv2.Rand
	app      *commandstest.App
	who      reply.Request
	nonsense bool
	counts   *walked

	answer reply.Reply
	older  []reply.Reply // earlier answers, whose controls may be pressed too
	model  history
	saved  string // the project's sheet as it was saved last; empty for none
}

// moment is a design's sheet, and the panel in hand.
type moment struct{ sheet, panel string }

func momentOf(d making.Design) moment { return moment{d.Sheet, d.Panel} }

// history is a design's moments as the test remembers them.
type history struct {
	past, future []moment
	now          moment
}

// follow is the moment after a press.
func (h *history) follow(what string, then moment) error {
	last := func(of []moment) moment {
		if len(of) == 0 {
			return moment{}
		}
		return of[len(of)-1]
	}
	switch {
	case then.sheet == h.now.sheet && (then.panel == h.now.panel || what == "use"):
		h.now = then
	case what == "undo" && then == last(h.past):
		h.past, h.future, h.now = h.past[:len(h.past)-1], append(h.future, h.now), then
	case what == "redo" && then == last(h.future):
		h.future, h.past, h.now = h.future[:len(h.future)-1], append(h.past, h.now), then
	case what == "undo" || what == "redo":
		return fmt.Errorf("%s came to panel %s of\n%s", what, then.panel, then.sheet)
	default:
		h.past, h.future, h.now = append(h.past, h.now), nil, then
	}
	return nil
}

// pressesInWalk is how long a walk is.
const pressesInWalk = 16

// newWalk opens a small design: a new one, a saved one or a demo.
func newWalk(t *testing.T, seed uint64, counts *walked) *walk {
	records, err := store.New(context.Background(), storetest.NewMemory(), store.Options{Random: randv2.NewChaCha8([32]byte{byte(seed), byte(seed >> 8), 1})})
	require.NoError(t, err)
	w := &walk{t: t, seed: seed, dice: randv2.New(randv2.NewPCG(seed, 1)), app: commandstest.On(commands.Config{Store: records}), who: commandstest.Ana, nonsense: seed%2 == 1, counts: counts}
	small := []string{"buoy-line", "gull-wing", "ember-pennant", "kelp-leaf", "mooring-plait", "rope-strap", "signal-flags", "harbour-swag", "tide-runner", "beacon-shade", "moss-cradle"}
	demo := small[w.dice.IntN(len(small))]
	switch w.dice.IntN(3) {
	case 0:
		w.answer = commandstest.AskedBy(t, w.app, w.who, "/build new:yes")
		f, _ := formIn(w.answer)
		fields := fieldsOf(f)
		fields["count"] = fmt.Sprint(2 + w.dice.IntN(10))
		fields["hung"] = pickOne(w.dice, []string{"dowel", "dowel", "ring", "both ways"})
		fields["way"] = pickOne(w.dice, []string{"folded", "folded", "single", "laid"})
		w.answer = commandstest.Act(t, w.app, w.who, f.Do, nil, fields)
		if w.answer.Refused {
			w.answer = commandstest.AskedBy(t, w.app, w.who, "/build demo:"+demo)
		}
	case 1:
		data, err := testdata.Sheets.ReadFile("sheets/" + demo + ".sheet")
		text := string(data)
		require.NoError(t, err)
		_, err = records.SaveProject(context.Background(), w.who.Member, w.who.Now, store.Project{Name: "Ebb", Sheet: text}, 0)
		require.NoError(t, err)
		w.saved = text
		w.answer = commandstest.AskedBy(t, w.app, w.who, "/build name:Ebb")
	default:
		w.answer = commandstest.AskedBy(t, w.app, w.who, "/build demo:"+demo)
	}
	w.require(!w.answer.Refused, "it opens")
	w.model.now = momentOf(w.kept())
	return w
}

func pickOne[T any](dice *randv2.Rand, of []T) T { return of[dice.IntN(len(of))] }

func fieldsOf(f reply.Form) map[string]string {
	fields := map[string]string{}
	for _, field := range f.Fields {
		fields[field.Name] = field.Value
	}
	return fields
}

// require fails with the walk's number, so that it can be walked again, and the answer.
func (w *walk) require(ok bool, format string, args ...any) {
	w.t.Helper()
	if !ok {
		require.Fail(w.t, fmt.Sprintf("walk %d: ", w.seed)+fmt.Sprintf(format, args...), "%s\n%s", strings.Join(texts(w.answer), "\n"), w.model.now.sheet)
	}
}

func (w *walk) along() {
	for range pressesInWalk {
		w.press()
	}
	for range w.model.past {
		undo, ok := buttonIn(w.answer, "undo")
		if !ok {
			w.answer = commandstest.AskedBy(w.t, w.app, w.who, "/build")
			undo, ok = buttonIn(w.answer, "undo")
		}
		w.require(ok, "there is something to take back")
		w.do(undo.Do, nil, nil)
	}
	w.require(len(w.model.past) == 0, "undo takes back one change")
	_, more := buttonIn(w.answer, "undo")
	w.require(!more, "all is taken back")
}

func buttonIn(r reply.Reply, label string) (reply.Button, bool) {
	for _, b := range commandstest.ButtonsOf(r) {
		if b.Label == label {
			return b, true
		}
	}
	return reply.Button{}, false
}

// press fills in the form at hand or presses something at random.
func (w *walk) press() {
	from := w.answer
	if len(w.older) > 0 && w.dice.IntN(10) == 0 {
		from = pickOne(w.dice, w.older)
		w.counts.old++
	}
	if f, ok := formIn(from); ok {
		w.counts.forms++
		w.do(f.Do, nil, w.filled(f))
		return
	}
	type control struct {
		do     reply.Action
		values []string
	}
	var buttons, choices []control
	for _, b := range commandstest.ButtonsOf(from) {
		if strings.HasPrefix(b.Do.Name, "build.") && b.Do.Name != "build.shared" { // which begins another design
			buttons = append(buttons, control{b.Do, nil})
		}
	}
	for _, m := range commandstest.MenusOf(from) {
		for _, c := range m.Choices {
			if strings.HasPrefix(m.Do.Name, "build.") {
				choices = append(choices, control{m.Do, []string{c.Value}})
			}
		}
	}
	if len(buttons)+len(choices) == 0 { // it is made now, or shared
		w.require(len(commandstest.ButtonsOf(from)) > 0, "there is always a way on")
		w.answer = commandstest.AskedBy(w.t, w.app, w.who, "/build")
		return
	}
	next := buttons
	if len(buttons) == 0 || len(choices) > 0 && w.dice.IntN(2) == 0 {
		next = choices
	}
	one := pickOne(w.dice, next)
	w.counts.presses++
	w.do(one.do, one.values, nil)
}

// filled are the fields of a form as they may be sent.
func (w *walk) filled(f reply.Form) map[string]string {
	fields := fieldsOf(f)
	for _, field := range f.Fields {
		switch dice := w.dice.IntN(4); {
		case len(field.Choices) > 0 && dice > 0:
			fields[field.Name] = pickOne(w.dice, field.Choices).Value
		case w.nonsense && dice > 1:
			fields[field.Name] = pickOne(w.dice, typedAtRandom)
		}
	}
	return fields
}

// typedAtRandom is what a member may put into a form.
var typedAtRandom = []string{"", "7", "left 4", "12 cm", "square", "panel", "\x00", "99999999999", "middle+1 of", "🪢", "end", "# no", "-3", "all", "1-4"}

// do sends a press twice and looks at what came of it.
func (w *walk) do(action reply.Action, values []string, fields map[string]string) {
	r := w.who
	r.ID, r.Action, r.Values, r.Fields = rand.Text(), &action, values, fields
	first, err := w.app.Do(context.Background(), r)
	w.require(err == nil, "%v", err)
	before, then := w.model.now.sheet, w.kept()
	again, err := w.app.Do(context.Background(), r)
	w.require(err == nil, "again: %v", err)
	twice := w.kept()
	w.require(then.Turn == twice.Turn && momentOf(then) == momentOf(twice), "a press delivered twice changes one thing once")
	w.older = append(w.older, w.answer)
	w.answer = first
	if _, form := formIn(first); !form {
		w.require(slices.Equal(texts(first), texts(again)), "delivered twice, it is answered\n%s", strings.Join(texts(again), "\n"))
	}
	if first.Refused {
		w.counts.refused++
	}
	what := building.What(r)
	if err := w.model.follow(what, momentOf(then)); err != nil {
		w.require(false, "%v", err)
	}
	if before == then.Sheet {
		w.unlessSaved(what, then)
		return
	}
	w.counts.changes++
	w.require(!first.Refused, "what is refused changes nothing")
	_, err = sizing.Size(context.Background(), then.Sheet, sizing.Maker{})
	w.require(err == nil, "%v\n%s", err, then.Sheet)
	w.unlessSaved(what, then)
}

// unlessSaved insists that the project is as it was saved last.
func (w *walk) unlessSaved(what string, d making.Design) {
	if d.Name == "" {
		return
	}
	p, err := w.app.Room.Store.Project(context.Background(), w.who.Member, d.Name)
	w.require(err == nil, "%v", err)
	if what == "save" && !w.answer.Refused {
		w.saved = p.Sheet
	}
	w.require(p.Sheet == w.saved, "a saved project is never changed before it is saved:\n%s", p.Sheet)
}

// kept is the design as it is kept. There is one.
func (w *walk) kept() making.Design {
	var all []store.Draft
	err := w.app.Room.Store.View(context.Background(), w.who.Member, w.who.Now, func(tx *store.Tx) (err error) {
		all, err = tx.Drafts(sitting.Build)
		return err
	})
	w.require(err == nil && len(all) == 1, "%d designs in the making: %v", len(all), err)
	var d making.Design
	err = json.Unmarshal(all[0].Payload, &d)
	w.require(err == nil, "%v", err)
	return d
}
