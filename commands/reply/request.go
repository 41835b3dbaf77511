package reply

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// Request is one thing a member did, free of any platform: a typed command, a
// press on a button, a menu choice, a filled form, or a message picked from a menu.
type Request struct {
	ID          string // the platform's id of the event; a replay carries the same one
	Member      string // opaque id of the member
	MemberName  string // shown name, only for display
	Community   string // opaque id of the server; empty in a direct message
	Channel     string // opaque id of the channel
	CanManage   bool   // holds the manage-server permission here
	KeptPrivate bool   // what is posted here, only the member sees
	Now         time.Time

	Command string            // path joined by blanks: "project resize"
	Options map[string]string // what was typed, by option name

	Action *Action           // set for a press, a menu choice or a form
	Values []string          // what was chosen in a menu
	Fields map[string]string // what was typed in a form, by field name

	Text string // the picked message's text, for a message-menu command

	command Command // that Command names; see As
}

// Action names what a button, menu or form does. It travels through the platform
// as a short custom id and never holds a member's text.
type Action struct {
	Name    string // which handler: letters and dots
	Version int    // of the handler's meaning; an old one is answered as stale
	Key     string // short key of the record that the action is about
	Op      string // operation key: a change with the same Op is made once
}

// ActionVersion is the meaning that buttons made now carry.
const ActionVersion = 1

// Do is an action about a draft.
func Do(name, key, op string) Action {
	return Action{Name: name, Version: ActionVersion, Key: key, Op: op}
}

// As is the request once it is known which command it asks for.
func (r Request) As(c Command) Request {
	r.command = c
	return r
}

// Example is a line of the request's command that can be pasted.
func (r Request) Example() string { return r.command.Example }

// AsTyped is the request as a line, as it was typed.
func (r Request) AsTyped() string {
	line := "/" + r.Command
	for _, name := range slices.Sorted(maps.Keys(r.Options)) {
		line += " " + name + ":" + QuotedIfSpaced(r.Options[name])
	}
	return line
}

// Takes tells whether the request's command has an option of this name.
func (r Request) Takes(option string) bool { return r.command.Takes(option) }

// Operation is the key under which a change made by this request is made once.
func (r Request) Operation() string {
	if r.Action != nil && r.Action.Op != "" {
		return r.Action.Name + " " + r.Action.Op
	}
	return r.ID
}

// Retype is the request's command as it would be typed, with some options
// changed (an empty value leaves one out) and one left out; where that is not
// enough to run, it is the command's example.
func (r Request) Retype(change map[string]string, without string) string {
	options := map[string]string{}
	for name, value := range r.Options {
		options[name] = value
	}
	delete(options, without)
	for name, value := range change {
		options[name] = value
	}
	var b strings.Builder
	b.WriteString("/" + r.Command)
	for _, o := range r.command.Options {
		if value := options[o.Name]; value != "" {
			fmt.Fprintf(&b, " %s:%s", o.Name, QuotedIfSpaced(value))
		} else if o.Required {
			return r.command.Example
		}
	}
	return b.String()
}
