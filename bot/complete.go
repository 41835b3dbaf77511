package bot

import (
	"context"
	"fmt"
	"runtime/debug"

	"larkfold/bot/fit"
	"larkfold/commands/reply"
)

// complete answers an autocompletion, with an empty list when the clock strikes.
func (d *dispatcher) complete(ctx context.Context, in *interaction, req reply.Request, via responder) outcome {
	ctx, cancel := context.WithDeadline(ctx, in.acknowledgeBy(d.timing))
	defer cancel()
	results := make(chan []completionChoice, 1)
	go func() { results <- d.choices(ctx, in, req) }()
	choices := []completionChoice{}
	select {
	case choices = <-results:
	case <-ctx.Done():
	}
	resp := response{Type: answerCompletion, Data: completion{Choices: choices}}
	if err := via.answer(context.WithoutCancel(ctx), in, resp); err != nil {
		return d.unsent(in, err)
	}
	return outcomeAnswered
}

func (d *dispatcher) choices(ctx context.Context, in *interaction, req reply.Request) (out []completionChoice) {
	out = []completionChoice{}
	in.doneIn.Store(d.counter)
	leave, err := d.counter.enter(ctx, task{member: in.who().ID, kind: "completion"})
	if err != nil {
		return out
	}
	defer leave()
	name, typed := in.Data.focused()
	defer func() {
		if fault := recover(); fault != nil {
			d.log.Error("completion failed", "panic", d.redact.text(fmt.Sprint(fault)), "stack", string(debug.Stack()), "id", in.ID, "command", req.Command)
			out = []completionChoice{}
		}
	}()
	if name == "" || ctx.Err() != nil {
		return out
	}
	found, err := d.app.Complete(ctx, req, name, typed)
	if err != nil {
		d.log.Error("completion failed", d.redact.attr(err), "id", in.ID, "command", req.Command)
		return out
	}
	seen := map[string]bool{}
	for _, o := range fit.Menu(found) {
		if seen[o.Label] {
			continue // the platform tells completions apart by name
		}
		seen[o.Label] = true
		out = append(out, completionChoice{Name: o.Label, Value: o.Value})
	}
	return out
}
