// Package commands is everything a member can ask of Larkfold, a [reply.Request] in, a
// [reply.Reply] out: the [App] that answers, the list of all commands, what each family
// of them has a room for, help, completion and greeting.
//
// It knows no platform, no network and no clock of its own: a front end (the
// chat platform in package bot, the terminal in cmd/larkfold) turns its own
// events into Requests and shows the Replies. What will hurt you: a handler may
// be called twice with the same request, so whatever changes records must carry
// the request's id or the action's operation key down to the store.
package commands

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/handler"
	"larkfold/commands/member"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/commands/slip"
	"larkfold/sizing/knot"
	"larkfold/sizing/near"
	"larkfold/sizing/noun"
	"larkfold/store"
)

// Config is what an App is handed.
type Config struct {
	Store *store.Records
	Book  *knot.Book // knot.Standard() when nil

	Retention member.Retention
	Greets    bool // a member's first answer ends with three things to try
}

// App answers requests. It may be used by many goroutines at once.
type App struct {
	Slips *slip.Mender // the way out of a refusal

	room     *sitting.Room
	commands []reply.Command
	typed    map[string]handler.Command // what answers typed commands, by their paths
	presses  map[string]handler.Command // what answers buttons, menus and forms, by the names of their actions
	greets   bool
}

// New makes an App.
func New(c Config) *App {
	a := &App{room: &sitting.Room{Store: c.Store, Book: c.Book}, typed: map[string]handler.Command{}, greets: c.Greets}
	if a.room.Book == nil {
		a.room.Book = knot.Standard()
	}
	for _, c := range list(c.Retention, a.helpCommand()) {
		a.commands = append(a.commands, a.describe(c, ""))
	}
	a.Slips = &slip.Mender{Commands: a.commands, Room: a.room, Rehearse: func(ctx context.Context, req reply.Request) error {
		_, err := a.do(ctx, &req, true)
		return err
	}}
	a.presses = pressed(handler.Command{Run: a.helpTask})
	return a
}

// describe is a command's description with those under it. What answers them is
// noted by their paths.
func (a *App) describe(c handler.Command, above string) reply.Command {
	described := c.Command
	path := strings.TrimSpace(above + " " + c.Name)
	if c.Run != nil {
		a.typed[path] = c
	}
	for _, s := range c.Under {
		described.Sub = append(described.Sub, a.describe(s, path))
	}
	return described
}

// Commands lists every command in the order that help shows them.
func (a *App) Commands() []reply.Command { return a.commands }

// Do answers one request. Whatever is wrong with a member's input comes back as
// a Reply with Refused set; an error is a fault of the program or the store.
func (a *App) Do(ctx context.Context, req reply.Request) (reply.Reply, error) {
	req, err := a.Slips.TypedBy(ctx, req)
	if err != nil {
		return slip.Refusal(err)
	}
	answer, err := a.do(ctx, &req, false)
	if err == nil {
		return a.greeted(ctx, req, answer), nil
	}
	if user := slip.Mendable(err); user != nil && !slip.StoreFailed(err) {
		err = a.Slips.Suggested(ctx, req, user)
	}
	answer, err = slip.Refusal(err)
	if try := slip.Suggestion(answer); err == nil && try != "" {
		answer = a.Slips.Offered(ctx, req, answer, try)
	}
	return answer, err
}

// do answers a request, or only tries to; what is wrong with it comes back as an error.
func (a *App) do(ctx context.Context, req *reply.Request, rehearse bool) (reply.Reply, error) {
	c, err := a.command(req)
	if err != nil {
		return reply.Reply{}, slip.InUnits(err, *req, a.room.Prefs(ctx, *req))
	}
	sit, err := a.room.Sit(ctx, *req, c.Reads)
	if err != nil {
		return reply.Reply{}, err
	}
	if rehearse {
		sit = sit.Rehearsal()
	}
	answer, err := c.Run(ctx, sit, *req)
	if err != nil {
		return reply.Reply{}, slip.InUnits(err, *req, sit.Prefs)
	}
	t := sit.Troubles()
	if t.Unkept != nil && slices.ContainsFunc(answer.Blocks, isForm) {
		return reply.Reply{}, t.Unkept
	}
	return withTroubles(likened(readAs(answer, *req, sit.Prefs), sit.Prefs), t), nil
}

// likened are the forms of an answer with what they show as examples in the member's units.
func likened(answer reply.Reply, p sitting.Prefs) reply.Reply {
	if !p.Imperial() {
		return answer
	}
	answer.Blocks = slices.Clone(answer.Blocks)
	for i, block := range answer.Blocks {
		form, ok := block.(reply.Form)
		if !ok {
			continue
		}
		form.Fields = slices.Clone(form.Fields)
		for n, f := range form.Fields {
			form.Fields[n].Placeholder = p.Sample(f.Placeholder)
		}
		answer.Blocks[i] = form
	}
	return answer
}

// readAs says below an answer how a number without a unit was read, where it may as
// well have been meant otherwise.
func readAs(answer reply.Reply, req reply.Request, p sitting.Prefs) reply.Reply {
	q := ask.Of(req, p)
	if along := q.AlongDowel("dowel"); along != "" && req.Action == nil && !q.Has("length") {
		answer.Blocks = append(slices.Clone(answer.Blocks), reply.Text(fmt.Sprintf("dowel:%s was read as %s mm thick. A length needs its unit: %s.", q.Text("dowel"), q.Text("dowel"), along)))
	}
	return answer
}

func isForm(b reply.Block) bool { _, ok := b.(reply.Form); return ok }

func isActions(b reply.Block) bool { _, ok := b.(reply.Actions); return ok }

// withTroubles says beside an answer what the store could not give, or keep for it.
func withTroubles(answer reply.Reply, t sitting.Troubles) reply.Reply {
	if t.Unkept != nil {
		answer.Blocks = append(slices.DeleteFunc(slices.Clone(answer.Blocks), isActions),
			reply.Text("Its buttons are left out: they need something saved, and the store cannot be written to just now. Whoever runs this Larkfold is told."))
		answer.Faults = append(answer.Faults, t.Unkept)
	}
	if len(t.Damaged) > 0 {
		answer.Blocks = append(slices.Clone(answer.Blocks), reply.Text(fmt.Sprintf("Left out, because damage keeps it from being read: %s of yours or this server's. Whoever runs this Larkfold is told.", noun.Count(len(t.Damaged), "record"))))
		answer.Faults = append(answer.Faults, t.Damaged...)
	}
	return answer
}

// command finds what answers a request, and notes in the request what it asks for.
func (a *App) command(req *reply.Request) (handler.Command, error) {
	if req.Action != nil {
		pressed, ok := a.presses[req.Action.Name]
		if !ok || req.Action.Version != reply.ActionVersion {
			return handler.Command{}, &reply.UserError{Wrong: "this button is from an earlier version of Larkfold", Right: "ask again with the command and use the new buttons"}
		}
		return pressed, nil
	}
	c, ok := reply.Find(a.commands, strings.Fields(req.Command))
	typed := a.typed[strings.Join(strings.Fields(req.Command), " ")]
	switch {
	case !ok:
		return handler.Command{}, a.unknown(*req)
	case typed.Run == nil:
		return handler.Command{}, &reply.UserError{Read: "/" + req.Command, Wrong: "it needs one word more", Right: "one of " + subNames(c), Try: a.Slips.Meant(req.AsTyped())}
	}
	*req = req.As(c)
	for name := range req.Options {
		if !c.Takes(name) {
			return handler.Command{}, a.unknownOption(*req, c, typed.Reads, name)
		}
	}
	for _, o := range c.Options {
		if o.Required && strings.TrimSpace(req.Options[o.Name]) == "" {
			return handler.Command{}, &reply.UserError{Read: "/" + req.Command, Wrong: "it needs " + o.Name + ": " + o.Description, Right: "give it a value", Try: a.Slips.Meant(req.AsTyped())}
		}
	}
	return typed, nil
}

func (a *App) unknown(req reply.Request) error {
	command := req.Command
	var names []string
	for _, c := range a.commands {
		names = append(names, c.Name)
		for _, s := range c.Sub {
			names = append(names, c.Name+" "+s.Name)
		}
	}
	e := &reply.UserError{Read: "/" + command, Wrong: "there is no such command", Right: "/help lists them all", Try: "/help"}
	if meant := near.Word(command, names); meant != "" {
		e.Right = "the nearest is /" + meant
	}
	if meant := a.Slips.Meant(req.AsTyped()); meant != "" {
		e.Try = meant
	}
	return e
}

func (a *App) unknownOption(req reply.Request, c reply.Command, reads sitting.Reads, name string) error {
	names := make([]string, len(c.Options))
	for i, o := range c.Options {
		names[i] = o.Name
	}
	e := &reply.UserError{Read: name + ":" + req.Options[name], Wrong: "/" + req.Command + " has no option " + reply.Quoted(name), Right: "it has " + strings.Join(names, ", "), Try: a.Slips.Meant(req.AsTyped())}
	if len(names) == 0 {
		e.Right = "it takes no options"
	}
	if c.Takes("spool") && slip.OfTheShelf(name) {
		if reads&sitting.Leftovers == 0 {
			e.Right = "it says what to buy; /plan cuts it from what lies on your shelf first"
			return e
		}
		of := "4 mm single-strand"
		if named := strings.TrimSpace(req.Options["cord"]); named != "" {
			of = named
		}
		e.Right = "what you have lies on your shelf, and is used first: put it there with its cord, /shelf add pieces:" + reply.QuotedIfSpaced(req.Options[name]) + " cord:" + reply.QuotedIfSpaced(of)
		return e
	}
	if meant, ok := slip.OptionMeant(c, name, req.Options[name]); ok {
		e.Right = "did you mean " + meant.Name + "?"
	}
	return e
}

func subNames(c reply.Command) string {
	names := make([]string, len(c.Sub))
	for i, s := range c.Sub {
		names[i] = s.Name
	}
	return strings.Join(names, ", ")
}
