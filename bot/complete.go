package bot

import (
	"context"
	"fmt"
	"runtime/debug"

	"larkfold/commands/reply"
)

// complete answers an autocompletion, with an empty list when the clock strikes.
func (d *dispatcher) complete(ctx context.Context, in *interaction, req reply.Request, via responder) outcome {
	ctx, cancel := context.WithDeadline(ctx, in.received.Add(d.timing.Acknowledge))
	defer cancel()
	name, typed := in.Data.focused()
	results := work(ctx, d.slots, func() []completionChoice { return d.choices(ctx, in, req, name, typed) })
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

func (d *dispatcher) choices(ctx context.Context, in *interaction, req reply.Request, name, typed string) (out []completionChoice) {
	out = []completionChoice{}
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
	for _, o := range menu(found) {
		if seen[o.Label] {
			continue // the platform tells completions apart by name
		}
		seen[o.Label] = true
		out = append(out, completionChoice{Name: o.Label, Value: o.Value})
	}
	return out
}
