package commands

import "time"

// Request is one thing a member did, free of any platform: a typed command, a
// press on a button, a menu choice, a filled form, or a message picked from a menu.
type Request struct {
	ID         string // the platform's id of the event; a replay carries the same one
	Member     string // opaque id of the member
	MemberName string // shown name, only for display
	Community  string // opaque id of the server; empty in a direct message
	Channel    string // opaque id of the channel
	CanManage  bool   // holds the manage-server permission here
	Now        time.Time

	Command string            // path joined by blanks: "project resize"
	Options map[string]string // what was typed, by option name

	Action *Action           // set for a press, a menu choice or a form
	Values []string          // what was chosen in a menu
	Fields map[string]string // what was typed in a form, by field name

	Text string // the picked message's text, for a message-menu command

	command Command // found by Do
}

// Action names what a button, menu or form does. It travels through the platform
// as a short custom id and never holds a member's text.
type Action struct {
	Name    string // which handler: letters and dots
	Version int    // of the handler's meaning; an old one is answered as stale
	Key     string // short key of the record that the action is about
	Op      string // operation key: a change with the same Op is made once
}

// operation is the key under which a change made by this request is made once.
func (r Request) operation() string {
	if r.Action != nil && r.Action.Op != "" {
		return r.Action.Name + " " + r.Action.Op
	}
	return r.ID
}
