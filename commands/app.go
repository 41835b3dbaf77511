// Package commands is everything a member can ask of Larkfold: one file per
// slash command, a [reply.Request] in, a [reply.Reply] out.
//
// It knows no platform, no network and no clock of its own: a front end (the
// chat platform in package bot, the terminal in cmd/larkfold) turns its own
// events into Requests and shows the Replies. What will hurt you: a handler may
// be called twice with the same request, so whatever changes records must carry
// the request's id or the action's operation key down to the store.
package commands

import (
	"context"
	"strings"

	"larkfold/commands/reply"
	"larkfold/sizing/knot"
	"larkfold/store"

	"github.com/agnivade/levenshtein"
)

// Config is what an App is handed.
type Config struct {
	Store *store.Shelf
	Book  *knot.Book // knot.Standard() when nil
}

// App answers requests. It may be used by many goroutines at once.
type App struct {
	store    *store.Shelf
	book     *knot.Book
	commands []reply.Command
	handlers map[string]handler // of typed commands by their paths
	presses  map[string]handler // of buttons, menus and forms by the names of their actions
	books    books
}

// New makes an App.
func New(c Config) *App {
	a := &App{store: c.Store, book: c.Book}
	if a.book == nil {
		a.book = knot.Standard()
	}
	a.handlers = map[string]handler{}
	for _, c := range a.list() {
		a.commands = append(a.commands, a.describe(c, ""))
	}
	a.presses = a.pressed()
	return a
}

// Commands lists every command in the order that help shows them.
func (a *App) Commands() []reply.Command { return a.commands }

// Do answers one request. Whatever is wrong with a member's input comes back as
// a Reply with Refused set; an error is a fault of the program or the store.
func (a *App) Do(ctx context.Context, req reply.Request) (reply.Reply, error) {
	run, err := a.handler(&req)
	if err != nil {
		return refusal(err)
	}
	answer, err := run(ctx, req)
	if err != nil {
		return refusal(err)
	}
	return answer, nil
}

// handler finds what answers a request, and notes the command in it.
func (a *App) handler(req *reply.Request) (handler, error) {
	if req.Action != nil {
		run, ok := a.presses[req.Action.Name]
		if !ok || req.Action.Version != reply.ActionVersion {
			return nil, &reply.UserError{Wrong: "this button is from an earlier version of Larkfold", Right: "ask again with the command and use the new buttons"}
		}
		return run, nil
	}
	c, ok := find(a.commands, strings.Fields(req.Command))
	run := a.handlers[strings.Join(strings.Fields(req.Command), " ")]
	switch {
	case !ok:
		return nil, a.unknown(req.Command)
	case run == nil:
		return nil, &reply.UserError{Read: "/" + req.Command, Wrong: "it needs one word more", Right: "one of " + subNames(c), Try: examples(c)[0]}
	}
	*req = req.As(c)
	for name := range req.Options {
		if !c.Takes(name) {
			return nil, unknownOption(*req, c, name)
		}
	}
	for _, o := range c.Options {
		if o.Required && strings.TrimSpace(req.Options[o.Name]) == "" {
			return nil, &reply.UserError{Read: "/" + req.Command, Wrong: "it needs " + o.Name + ": " + o.Description, Right: "give it a value", Try: c.Example}
		}
	}
	return run, nil
}

// find follows a path of words through the commands.
func find(commands []reply.Command, path []string) (reply.Command, bool) {
	if len(path) == 0 {
		return reply.Command{}, false
	}
	for _, c := range commands {
		name := c.Name
		if c.MessageMenu && strings.Join(path, " ") == name {
			return c, true
		}
		if name != path[0] {
			continue
		}
		if len(path) == 1 {
			return c, true
		}
		return find(c.Sub, path[1:])
	}
	return reply.Command{}, false
}

func subNames(c reply.Command) string {
	names := make([]string, len(c.Sub))
	for i, s := range c.Sub {
		names[i] = s.Name
	}
	return strings.Join(names, ", ")
}

func (a *App) unknown(command string) error {
	var names []string
	for _, c := range a.commands {
		names = append(names, c.Name)
		for _, s := range c.Sub {
			names = append(names, c.Name+" "+s.Name)
		}
	}
	e := &reply.UserError{Read: "/" + command, Wrong: "there is no such command", Right: "/help lists them all", Try: "/help"}
	if near := nearest(command, names); near != "" {
		e.Right, e.Try = "the nearest is /"+near, "/"+near
		if c, ok := find(a.commands, strings.Fields(near)); ok && c.Example != "" {
			e.Try = c.Example
		}
	}
	return e
}

func unknownOption(req reply.Request, c reply.Command, name string) error {
	names := make([]string, len(c.Options))
	for i, o := range c.Options {
		names[i] = o.Name
	}
	e := &reply.UserError{Read: name + ":" + req.Options[name], Wrong: "/" + req.Command + " has no option " + reply.Quoted(name), Right: "it has " + strings.Join(names, ", "), Try: c.Example}
	if len(names) == 0 {
		e.Right = "it takes no options"
	}
	if near := nearest(name, names); near != "" {
		e.Right = "did you mean " + near + "?"
		e.Try = req.Retype(map[string]string{near: req.Options[name]}, name)
	}
	return e
}

// nearest is the name that looks most like what was typed, or nothing when none does.
func nearest(typed string, names []string) string {
	best, at := "", max(2, len(typed)/3)+1
	for _, n := range names {
		lower := strings.ToLower(n)
		d := levenshtein.ComputeDistance(strings.ToLower(typed), lower)
		if typed != "" && strings.HasPrefix(lower, strings.ToLower(typed)) {
			d = 1
		}
		if d < at {
			best, at = n, d
		}
	}
	return best
}
