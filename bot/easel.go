package bot

import (
	"container/list"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"
	"time"

	"larkfold/commands/reply"
)

// easel draws pictures, each once, and keeps the latest.
type easel struct {
	lane   *lane
	desk   *lane            // where words are made, which go first
	count  func(how string) // a picture that was drawn, kept from before, or failed
	log    *slog.Logger
	redact redactor

	mu    sync.Mutex
	under map[string]*painting     // by key, what is drawn or waits to be
	kept  map[string]*list.Element // by key, of *painting
	order *list.List               // of *painting, the least used last
	bytes int                      // of what is kept
	held  heldBy                   // by what waits to be drawn
}

// heldBy is how many bytes pictures hold until they are drawn: large ones count
// apart, so that nobody's large piece crowds out everybody's small ones.
type heldBy struct{ small, large int }

// of is the count in which a picture of that size goes.
func (h *heldBy) of(size int) *int {
	if size > usualSize*8 {
		return &h.large
	}
	return &h.small
}

var errNotDrawn = errors.New("the picture could not be drawn")

// The most that the easel holds, in bytes.
const (
	mostKept = 8 << 20  // about eighty pictures of usual size
	mostHeld = 16 << 20 // of small ones, and of large ones
)

// painting is a picture on its way. image and err may be read once it is done.
type painting struct {
	key   string
	done  chan struct{}
	image reply.Image
	err   error
}

func newEasel(l, desk *lane, count func(how string), log *slog.Logger, redact redactor) *easel {
	return &easel{lane: l, desk: desk, count: count, log: log, redact: redact, under: map[string]*painting{}, kept: map[string]*list.Element{}, order: list.New()}
}

// begin has a picture drawn for a member. It does not wait: the error is that of a
// lane, when the picture would be a long time coming.
func (e *easel) begin(ctx context.Context, member string, p reply.Picture) (*painting, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if at := e.kept[p.Key]; p.Key != "" && at != nil {
		e.order.MoveToFront(at)
		e.count("kept")
		return at.Value.(*painting), nil
	}
	if other := e.under[p.Key]; p.Key != "" && other != nil {
		e.count("kept")
		return other, nil
	}
	held := e.held.of(p.Size)
	if *held > 0 && *held+p.Size > mostHeld {
		return nil, &busyError{e.lane.expected()}
	}
	k, err := e.lane.join(task{member: member, kind: "picture", amount: float64(p.Size) / usualSize})
	if err != nil {
		return nil, err
	}
	made := &painting{key: p.Key, done: make(chan struct{})}
	*held += p.Size
	if p.Key != "" {
		e.under[p.Key] = made
	}
	go func() {
		defer close(made.done)
		if err := e.lane.await(ctx, k); err != nil {
			made.err = err
		} else {
			e.giveWay()
			e.draw(p, made)
			e.lane.leave(k)
		}
		e.finish(p, made)
	}()
	return made, nil
}

// usualSize is what a picture of the usual size holds until it is drawn, and is
// taken for the unit of what drawing costs.
const usualSize = 256 << 10

// giveWay waits a moment while others wait for words.
func (e *easel) giveWay() {
	for range 25 {
		if waiting, _, _ := e.desk.figures(); waiting == 0 {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// draw draws, and keeps whatever goes wrong from going further.
func (e *easel) draw(p reply.Picture, made *painting) {
	defer func() {
		if fault := recover(); fault != nil {
			e.log.Error("a picture could not be drawn", "panic", e.redact.text(fmt.Sprint(fault)), "stack", string(debug.Stack()))
			made.err = errNotDrawn
		}
	}()
	made.image, made.err = p.Draw()
	if made.err != nil {
		e.log.Error("a picture could not be drawn", e.redact.attr(made.err))
	}
}

// finish keeps a drawn picture and lets go of the longest unused ones.
func (e *easel) finish(p reply.Picture, made *painting) {
	e.mu.Lock()
	defer e.mu.Unlock()
	*e.held.of(p.Size) -= p.Size
	if made.err != nil {
		e.count("failed")
	} else {
		e.count("drawn")
	}
	if p.Key == "" {
		return
	}
	delete(e.under, p.Key)
	if made.err != nil {
		return
	}
	e.kept[p.Key] = e.order.PushFront(made)
	e.bytes += len(made.image.PNG)
	for e.bytes > mostKept {
		oldest := e.order.Remove(e.order.Back()).(*painting)
		delete(e.kept, oldest.key)
		e.bytes -= len(oldest.image.PNG)
	}
}
