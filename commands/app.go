// Package commands is everything a member can ask of Larkfold: one file per
// slash command, a [Request] in, a [Reply] out.
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
	"strings"

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
	commands []Command
	actions  map[string]Handler
	books    books
}

// New makes an App.
func New(c Config) *App {
	a := &App{store: c.Store, book: c.Book}
	if a.book == nil {
		a.book = knot.Standard()
	}
	a.commands = a.list()
	a.actions = a.presses()
	return a
}

// Commands lists every command in the order that help shows them.
func (a *App) Commands() []Command { return a.commands }

// Do answers one request. Whatever is wrong with a member's input comes back as
// a Reply with Refused set; an error is a fault of the program or the store.
func (a *App) Do(ctx context.Context, req Request) (Reply, error) {
	run, err := a.handler(&req)
	if err != nil {
		return refusal(err)
	}
	reply, err := run(ctx, req)
	if err != nil {
		return refusal(err)
	}
	return reply, nil
}

// actionVersion is the meaning that buttons made now carry.
const actionVersion = 1

// handler finds what answers a request, and notes the command in it.
func (a *App) handler(req *Request) (Handler, error) {
	if req.Action != nil {
		run, ok := a.actions[req.Action.Name]
		if !ok || req.Action.Version != actionVersion {
			return nil, &UserError{Wrong: "this button is from an earlier version of Larkfold", Right: "ask again with the command and use the new buttons"}
		}
		return run, nil
	}
	c, ok := find(a.commands, strings.Fields(req.Command))
	switch {
	case !ok:
		return nil, a.unknown(req.Command)
	case c.Run == nil:
		return nil, &UserError{Read: "/" + req.Command, Wrong: "it needs one word more", Right: "one of " + subNames(c), Try: examples(c)[0]}
	}
	req.command = c
	for name := range req.Options {
		if !hasOption(c, name) {
			return nil, unknownOption(*req, c, name)
		}
	}
	for _, o := range c.Options {
		if o.Required && strings.TrimSpace(req.Options[o.Name]) == "" {
			return nil, &UserError{Read: "/" + req.Command, Wrong: "it needs " + o.Name + ": " + o.Description, Right: "give it a value", Try: c.Example}
		}
	}
	return c.Run, nil
}

// find follows a path of words through the commands.
func find(commands []Command, path []string) (Command, bool) {
	if len(path) == 0 {
		return Command{}, false
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
	return Command{}, false
}

func subNames(c Command) string {
	names := make([]string, len(c.Sub))
	for i, s := range c.Sub {
		names[i] = s.Name
	}
	return strings.Join(names, ", ")
}

func hasOption(c Command, name string) bool {
	for _, o := range c.Options {
		if o.Name == name {
			return true
		}
	}
	return false
}

func (a *App) unknown(command string) error {
	var names []string
	for _, c := range a.commands {
		names = append(names, c.Name)
		for _, s := range c.Sub {
			names = append(names, c.Name+" "+s.Name)
		}
	}
	e := &UserError{Read: "/" + command, Wrong: "there is no such command", Right: "/help lists them all", Try: "/help"}
	if near := nearest(command, names); near != "" {
		e.Right, e.Try = "the nearest is /"+near, "/"+near
		if c, ok := find(a.commands, strings.Fields(near)); ok && c.Example != "" {
			e.Try = c.Example
		}
	}
	return e
}

func unknownOption(req Request, c Command, name string) error {
	names := make([]string, len(c.Options))
	for i, o := range c.Options {
		names[i] = o.Name
	}
	e := &UserError{Read: name + ":" + req.Options[name], Wrong: "/" + req.Command + " has no option " + quoted(name), Right: "it has " + strings.Join(names, ", "), Try: c.Example}
	if len(names) == 0 {
		e.Right = "it takes no options"
	}
	if near := nearest(name, names); near != "" {
		e.Right = "did you mean " + near + "?"
		e.Try = retype(req, map[string]string{near: req.Options[name]}, name)
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

// retype is the request's command as it would be typed, with some options
// changed (an empty value leaves one out) and one left out; where that is not
// enough to run, it is the command's example.
func retype(req Request, change map[string]string, without string) string {
	options := map[string]string{}
	for name, value := range req.Options {
		options[name] = value
	}
	delete(options, without)
	for name, value := range change {
		options[name] = value
	}
	var b strings.Builder
	b.WriteString("/" + req.Command)
	for _, o := range req.command.Options {
		if value := options[o.Name]; value != "" {
			fmt.Fprintf(&b, " %s:%s", o.Name, quotedIfSpaced(value))
		} else if o.Required {
			return req.command.Example
		}
	}
	return b.String()
}

func quotedIfSpaced(value string) string {
	if strings.ContainsAny(value, " \t\"“”„«»") {
		return `"` + value + `"`
	}
	return value
}
