package commands

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/store"
)

// met is the key and the kind of the draft that says that a member was greeted.
const met = "met"

// metFor is how long it is remembered.
const metFor = 10 * 365 * 24 * time.Hour

// greeted ends the first answer that a member is given with three things to try.
// Whether it was said is kept; where that cannot be, it is not said.
func (a *App) greeted(ctx context.Context, req reply.Request, answer reply.Reply) reply.Reply {
	if !a.greets || req.Action != nil || answer.Refused || answer.Public || strings.HasPrefix(req.Command, "help") || slices.ContainsFunc(answer.Blocks, isForm) {
		return answer
	}
	if _, err := a.room.Store.Draft(ctx, req.Member, req.Now, met); !errors.Is(err, store.ErrNotFound) {
		return answer
	}
	if _, err := (sitting.Remembered{Kind: met, Key: met, For: metFor}).KeepAlone(ctx, a.room.Store, req); err != nil {
		return answer
	}
	answer.Blocks = append(slices.Clone(answer.Blocks), reply.Text("New here? Three things to try: /build makes a design by pressing, /help shows what else there is, /prefs units:imperial answers in feet and inches."))
	return answer
}
