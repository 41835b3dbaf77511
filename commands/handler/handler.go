// Package handler pairs what members see of a command with what answers it: a
// [Command] is a description with its [Func] and the records that this needs, or a
// group with the commands under it.
//
// What will hurt you: a Func may be called twice with the same request, and once more
// only to try a suggestion; it may read no record that Reads does not name.
package handler

import (
	"context"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
)

// Func answers one request. It never sends anything itself.
type Func func(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error)

// Command is what answers a slash command and what that needs to know, with its
// description; or a group with the commands under it.
type Command struct {
	Run   Func
	Reads sitting.Reads
	reply.Command
	Under []Command
}
