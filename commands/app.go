// Package commands is everything a member can ask of Larkfold: one file per
// slash command, a [Request] in, a [Reply] out.
//
// It knows no platform, no network and no clock of its own: a front end (the
// chat platform in package bot, the terminal in cmd/larkfold) turns its own
// events into Requests and shows the Replies. What will hurt you: a handler may
// be called twice with the same request, so whatever changes records must carry
// the request's id or the action's operation key down to the store.
package commands

import "context"

// App answers requests.
type App struct{}

// Do answers one request. Whatever is wrong with a member's input comes back as
// a Reply with Refused set; an error is a fault of the program.
func (a *App) Do(ctx context.Context, req Request) (Reply, error) {
	return Reply{}, nil
}

// Complete lists at most 25 completions of what has been typed so far for one option.
func (a *App) Complete(ctx context.Context, req Request, option, typed string) ([]Choice, error) {
	return nil, nil
}

// Commands lists every command in the order that help shows them.
func (a *App) Commands() []Command { return nil }
