package building

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/picture/drawn"
	"larkfold/commands/project"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/commands/takeup"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// WorkCommand is /work.
func WorkCommand() handler.Command {
	return handler.Command{Run: work, Reads: sitting.Sheets | sitting.Design | sitting.Underway, Command: reply.Command{
		Name: "work", Description: "Be led through the making of a piece; without options it goes on where you stopped", Example: "/work demo:tide-line",
		Options: []reply.Option{
			{Name: "name", Description: "a saved project to make", Suggest: "project"},
			{Name: "demo", Description: "a demo design to make", Choices: demos()},
		},
	}}
}

// workpiece is a piece that is being worked, as it is kept.
type workpiece struct {
	Title  string     `json:"title"`
	Sheet  string     `json:"sheet"`
	Knots  []knot.Row `json:"knots,omitempty"`
	At     int        `json:"at"`     // the station, from 0
	Turn   int        `json:"turn"`   // grows with every change
	Ticked []string   `json:"ticked"` // labels of what is cut
	Hangs  bool       `json:"hangs,omitempty"`
}

// station is one thing to do.
type station struct {
	title string
	text  string
	knot  string // that is tied in it; empty for none
	step  bool   // it is a step of the instructions
	does  drawn.Span
	cut   bool // it is the cutting
	hang  bool // it is the hanging up, with its cautions
}

// stations are everything to do for a piece, from the first cut to the hook.
func stations(sized sizing.Sized, p sitting.Prefs) []station {
	all := []station{{title: "Cut", text: "Cut the cords and tick them off.", cut: true}}
	for _, in := range say.Instructions(sized.Result, p.Style) {
		for j, sentence := range in.Steps {
			s := station{title: fmt.Sprintf("%s: %d of %d", say.Sentence(in.Name), j+1, len(in.Steps)), text: sentence, step: true, does: in.Spans[j]}
			s.title = strings.Replace(s.title, ".:", ":", 1)
			if j < len(in.Tells) && in.Tells[j] != nil {
				s.knot = knotIn(in.Tells[j])
			}
			all = append(all, s)
		}
	}
	return append(all, station{title: "Hang it up", text: "Trim what is uneven, then hang the piece.", hang: true})
}

// carried are the knots of steps that name none, by the words they begin with.
var carried = map[string]string{"mount": "lark's head", "bar": "double half hitch", "gather": "double half hitch", "onto": "double half hitch", "plait": "three-strand plait", "wrap": "gathering wrap", "tassel": "gathering wrap"}

// knotIn is the knot that a step ties; empty for none.
func knotIn(s sheet.Step) string {
	f := sheet.FactsOf(s)
	if k := f.Knot(); k != nil {
		return *k
	}
	return carried[f.Word]
}

// leftAfter is how many knots are left to tie when a step is done.
func leftAfter(sized sizing.Sized, done drawn.Span) int {
	left := 0
	for _, k := range sized.Placed {
		if done.Panel >= 0 && (k.Panel > done.Panel || k.Panel == done.Panel && k.Step >= done.To) {
			left++
		}
	}
	return left
}

func leftWords(left int) string {
	if left == 0 {
		return "All knots are tied when this is done."
	}
	return noun.Count(left, "knot") + " left when this is done."
}

// working is a piece with what it is sized by.
type working struct {
	wip
	workpiece
	sized sizing.Sized
	todo  []station
}

func work(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	q := ask.Of(req, sit.Prefs)
	demo := q.Choice("demo", demos(), "")
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	switch {
	case req.Options["name"] != "":
		saved, err := design.Find(sit, req)
		if err != nil {
			return reply.Reply{}, err
		}
		own, err := sitting.KnotsOf(saved)
		if err != nil {
			return reply.Reply{}, err
		}
		return workOn(ctx, sit, req, workpiece{Title: saved.Name, Sheet: saved.Sheet, Knots: own})
	case demo != "":
		text, err := demoSheet(demo)
		if err != nil {
			return reply.Reply{}, err
		}
		return workOn(ctx, sit, req, workpiece{Sheet: text})
	}
	all, err := pieces.all(sit)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(all) == 0 {
		return reply.Reply{Blocks: []reply.Block{reply.Text("You are not making a piece just now. Begin with a design of yours, or with a demo:"),
			reply.Verbatim("/project list\n/work demo:tide-line")}}, nil
	}
	w := &working{}
	if w.wip, err = pieces.take(sit, req, all[0], &w.workpiece); err != nil {
		return reply.Reply{}, err
	}
	answer, err := w.shown(ctx, "")
	answer.Blocks = append(answer.Blocks, w.others(all)...)
	return answer, err
}

// workOn begins to make a piece, or goes on with it where it is under way already.
func workOn(ctx context.Context, sit sitting.Sitting, req reply.Request, p workpiece) (reply.Reply, error) {
	w := &working{workpiece: p, wip: wip{sit: sit}}
	if err := w.size(ctx); err != nil {
		return reply.Reply{}, err
	}
	if w.Title == "" {
		w.Title = say.Title(w.sized)
	}
	underway, err := pieces.all(sit)
	if err != nil {
		return reply.Reply{}, err
	}
	for _, d := range underway {
		had := &working{}
		if had.wip, err = pieces.take(sit, req, d, &had.workpiece); err == nil && had.Title == w.Title && had.Sheet == w.Sheet {
			note := "You stopped here."
			if had.Turn == 0 {
				note = "" // it was only begun
			}
			return had.shown(ctx, note)
		}
	}
	if w.wip, err = pieces.begin(ctx, sit, req, w.workpiece); err != nil {
		return reply.Reply{}, err
	}
	return w.view(""), nil
}

func (w *working) size(ctx context.Context) (err error) {
	if w.sized, err = design.SizeText(ctx, w.sit, w.Sheet, w.Knots...); err != nil {
		return err
	}
	w.todo = stations(w.sized, w.sit.Prefs)
	w.At = min(max(w.At, 0), len(w.todo)-1)
	return nil
}

func (w *working) control(action, what string) reply.Action {
	return w.wip.control(w.Turn, action, what)
}

// shown is where the piece stands, sized.
func (w *working) shown(ctx context.Context, note string) (reply.Reply, error) {
	if err := w.size(ctx); err != nil {
		return reply.Reply{}, err
	}
	return w.view(note), nil
}

// view is where the piece stands: what to do now, and what can be pressed.
func (w *working) view(note string) reply.Reply {
	if w.Hangs {
		return reply.Reply{Blocks: append([]reply.Block{reply.Heading(w.Title + " hangs"), reply.Text("Well made. It is no longer among the pieces under way.")}, say.Cautions(w.sized)...)}
	}
	now := w.todo[w.At]
	blocks := []reply.Block{reply.Heading(fmt.Sprintf("%s, %d of %d", w.Title, w.At+1, len(w.todo)))}
	if note != "" {
		blocks = append(blocks, reply.Text(note))
	}
	blocks = append(blocks, reply.Text(now.title+"\n"+now.text))
	if now.step {
		blocks = append(blocks, reply.Text(leftWords(leftAfter(w.sized, now.does))), say.Step(w.sized, now.does, w.sit.Prefs))
	} else if now.hang {
		blocks = append(blocks, say.Piece(w.sized, w.sit.Prefs))
	}
	var a reply.Actions
	if w.At+1 < len(w.todo) {
		a.Buttons = append(a.Buttons, reply.Button{Label: "done, next", Do: w.control("work.step", "next"), Main: true})
	} else {
		a.Buttons = append(a.Buttons, reply.Button{Label: "it hangs", Do: w.control("work.step", "done"), Main: true})
	}
	if w.At > 0 {
		a.Buttons = append(a.Buttons, reply.Button{Label: "back", Do: w.control("work.step", "back")})
	}
	if now.knot != "" {
		a.Buttons = append(a.Buttons, reply.Button{Label: "how is this knot tied?", Do: w.control("work.knot", "show")})
	}
	a.Buttons = append(a.Buttons, reply.Button{Label: "I stop here", Do: w.control("work.stop", "stop")})
	if now.cut {
		lines, open := w.cuts()
		blocks = append(blocks, reply.Verbatim(strings.Join(lines, "\n")))
		if len(open) > 0 {
			a.Menus = append(a.Menus, reply.Menu{Placeholder: "Tick off what is cut", Do: w.control("work.step", ""), Choices: open})
		}
	}
	if now.hang {
		blocks = append(blocks, say.Cautions(w.sized)...)
	}
	return reply.Reply{Blocks: append(blocks, a)}
}

// cuts is the cut list with its ticks, and what is not cut yet.
func (w *working) cuts() (lines []string, open []reply.Choice) {
	for _, c := range w.sized.List.Cuts {
		mark := "[ ]"
		text := fmt.Sprintf("%s  %d x %s", c.Label, c.Count, w.sit.Prefs.Cut(c.Length))
		if slices.Contains(w.Ticked, c.Label) {
			mark = "[x]"
		} else if len(open) < mostChoices {
			open = append(open, reply.Choice{Name: text, Value: "tick " + c.Label, Note: c.For})
		}
		lines = append(lines, mark+" "+text)
	}
	return lines, open
}

// pressedWork opens the piece behind a control.
func pressedWork(ctx context.Context, sit sitting.Sitting, req reply.Request) (*working, error) {
	w := &working{}
	var err error
	if w.wip, err = pieces.pressed(sit, req, &w.workpiece); err != nil {
		return nil, err
	}
	return w, w.size(ctx)
}

// workStep goes on, back, ticks off, or ends.
func workStep(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	w, err := pressedWork(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	p := pressOf(req)
	after := w.workpiece
	after.Turn++
	switch p.what {
	case "next":
		after.At = min(w.At+1, len(w.todo)-1)
	case "back":
		after.At = max(w.At-1, 0)
	case "done":
		after.Hangs = true
	case "tick":
		after.Ticked = append(slices.Clone(w.Ticked), p.of)
	}
	first, err := w.change(ctx, w.Turn, func(*store.Tx) (any, error) { return after, nil })
	switch {
	case errors.Is(err, errMoved):
		return w.again(ctx, "You are further on than that message. Nothing was changed; this is where you are.")
	case err != nil:
		return reply.Reply{}, err
	case !first:
		return w.again(ctx, "")
	}
	w.workpiece = after
	return w.view(""), nil
}

// again is the piece as it is kept now.
func (w *working) again(ctx context.Context, note string) (reply.Reply, error) {
	if err := w.reread(ctx, &w.workpiece); err != nil {
		return reply.Reply{}, err
	}
	return w.shown(ctx, note)
}

// workKnot shows how the knot of this step is tied.
func workKnot(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	w, err := pressedWork(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	back := reply.Actions{Buttons: []reply.Button{{Label: "back to the piece", Do: w.control("work.stop", "show"), Main: true}}}
	k, ok := w.sized.Book.Knot(w.todo[w.At].knot)
	if !ok {
		return w.view(""), nil
	}
	return reply.Reply{Blocks: append(takeup.HowTo(k), back)}, nil
}

// workStop says that the place is kept; it is shown again for whoever only looked aside.
func workStop(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	w, err := pressedWork(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	if pressOf(req).what == "show" {
		return w.view(""), nil
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Text(fmt.Sprintf("Your place is kept for %d days: %s, %d of %d. On any device this goes on from here:", sitting.UnderwayDays, w.Title, w.At+1, len(w.todo))),
		reply.Verbatim("/work"),
	}}, nil
}

// workOther takes another piece in hand.
func workOther(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	w := &working{}
	var err error
	if w.wip, err = pieces.chosen(sit, req, &w.workpiece); err != nil {
		return reply.Reply{}, err
	}
	return w.shown(ctx, "")
}

// workSized begins to make what the buttons of a cut list remember.
func workSized(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	var d design.Draft
	if err := sit.Kept("sheet", &d); err != nil {
		return reply.Reply{}, err
	}
	return workOn(ctx, sit, req, workpiece{Title: d.Name, Sheet: d.Sheet, Knots: d.Knots})
}

// workShared begins to make a shared design.
func workShared(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	s, own, err := project.Shared(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	return workOn(ctx, sit, req, workpiece{Title: s.Name, Sheet: s.Sheet, Knots: own})
}
