package bot

import (
	"context"
	"errors"
	"sync"
	"time"

	"larkfold/bot/fit"
	"larkfold/commands/reply"
)

// grace is how long words wait for a picture that is nearly there.
const grace = 100 * time.Millisecond

// begin has the pictures of a result drawn. The error is that of those that would
// be too long in coming.
func (d *dispatcher) begin(ctx context.Context, in *interaction, r *result) (refused error) {
	r.paintings, r.drawn = map[int]*painting{}, map[int]reply.Image{}
	for i, block := range r.answer.Blocks {
		if p, ok := block.(reply.Picture); ok {
			made, err := d.easel.begin(context.WithoutCancel(ctx), in.who().ID, p)
			if err != nil {
				refused = errors.Join(refused, err)
				continue
			}
			r.paintings[i] = made
		}
	}
	return refused
}

// await gives the pictures of a result so long to be drawn, unless that is in vain
// or of no use, and shows those that are.
func (d *dispatcher) await(r *result, patience time.Duration) {
	if len(r.paintings) == 0 || r.wordsOnly {
		return
	}
	if d.easel.lane.expected() <= patience {
		clock := time.NewTimer(patience)
		defer clock.Stop()
		for _, p := range r.paintings {
			select {
			case <-p.done:
				continue
			case <-clock.C:
			}
			break
		}
	}
	d.collect(r)
}

// collect puts the pictures that are drawn by now into a result's message.
func (d *dispatcher) collect(r *result) {
	some := false
	for i, p := range r.paintings {
		select {
		case <-p.done:
		default:
			continue
		}
		delete(r.paintings, i)
		some = true
		if p.err != nil {
			r.answer.Blocks[i] = reply.Text(sayNotDrawn)
			continue
		}
		r.drawn[i] = p.image
	}
	if some {
		d.show(r)
	}
}

// show fits the answer with the pictures that are drawn. The faults are those of fit.
func (d *dispatcher) show(r *result) (faults []error) {
	r.message, faults = fit.Reply(r.answer, r.drawn, r.limit)
	if r.misplaced != nil {
		fit.FormAsFiles(r.message, *r.misplaced, r.limit)
	}
	return faults
}

// editIn waits for the pictures that a message was sent without and edits them in.
func (d *dispatcher) editIn(ctx context.Context, in *interaction, r result, message string) outcome {
	if len(r.paintings) == 0 || message == "" {
		return r.outcome
	}
	for _, p := range r.paintings {
		<-p.done
	}
	d.collect(&r)
	if err := d.rest.edit(ctx, in, message, r.message); err != nil {
		return d.unsent(in, err)
	}
	return r.outcome
}

// drawAction is what the button does that draws a picture later. It is the bot's
// own: the commands know nothing of the easel.
const drawAction = "easel.draw"

// asked remembers which requests had pictures that were left undrawn, so that a
// button can have them drawn. The oldest makes room.
type asked struct {
	mu    sync.Mutex
	known map[string]askedFor
	ring  []string
	next  int
}

type askedFor struct {
	req     reply.Request
	private bool
}

func newAsked(size int) *asked {
	return &asked{known: make(map[string]askedFor), ring: make([]string, size)}
}

// offer remembers a request and returns the button that has its pictures drawn.
func (a *asked) offer(in *interaction, req reply.Request, public bool) reply.Block {
	key := in.reference()
	a.mu.Lock()
	defer a.mu.Unlock()
	delete(a.known, a.ring[a.next])
	a.ring[a.next] = key
	a.next = (a.next + 1) % len(a.ring)
	a.known[key] = askedFor{req, !public}
	return reply.Actions{Buttons: []reply.Button{{Label: "Draw it", Do: reply.Action{Name: drawAction, Version: reply.ActionVersion, Key: key}}}}
}

// find is the request behind a pressed button. It is asked once more, as if it had
// been delivered again, so that it changes nothing.
func (a *asked) find(press reply.Request) (reply.Request, bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	before, ok := a.known[press.Action.Key]
	return before.req, ok && (!before.private || before.req.Member == press.Member)
}

// picturesOnly is a result's pictures without its words.
func (d *dispatcher) picturesOnly(ctx context.Context, in *interaction, r result) result {
	var only []reply.Block
	for _, block := range r.answer.Blocks {
		if _, ok := block.(reply.Picture); ok {
			only = append(only, block)
		}
	}
	if len(only) == 0 {
		return r
	}
	r.answer, r.public = reply.Reply{Blocks: only}, false
	if err := d.begin(ctx, in, &r); err != nil {
		return d.turnedAway(in, err)
	}
	for _, p := range r.paintings {
		select {
		case <-p.done:
		case <-ctx.Done():
			return d.turnedAway(in, ctx.Err())
		}
	}
	d.collect(&r)
	return r
}
