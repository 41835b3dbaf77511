package bot

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"
	"time"

	"larkfold/commands"
)

// What a member reads when there is no reply.
const (
	sayUnreadable = "I could not read that. Please update your app and try again."
	sayStale      = "This control belongs to an older version of me. Please run the command again."
	sayBusy       = "I have too much to do at the moment. Please try again in a minute."
	sayStopping   = "I am being restarted. Please try again in a minute."
	sayPosted     = "It follows in the channel."
	sayUnposted   = "It could not be posted in the channel. Please try again."
	sayFormLate   = "The form took too long to open. Please try again."
	sayFormNested = "A form cannot open another form. Please use the command or a button instead."
	sayFormFaulty = "The form cannot be shown here; what it held is attached."
	sayFormMixed  = "A form belongs here, but it cannot be shown together with this answer."
	sayUnknown    = "I do not know the command /%s. If it was in the list, reload your app: the list has changed."
	sayFault      = "Something went wrong on my side. Nothing is wrong with what you typed. If it happens again, report it with this id: %s"
	saySlow       = "This took too long, so I gave up. If it happens again, report it with this id: %s"
)

// responder sends the first answer: over REST, or in the response to the HTTP
// request that the interaction came with.
type responder interface {
	answer(ctx context.Context, in *interaction, resp response) error
}

// outcome is how an interaction ended, for the log and the metrics.
type outcome string

const (
	outcomeAnswered   outcome = "answered"
	outcomeRefused    outcome = "refused"  // by the command, on the member's input
	outcomeFault      outcome = "fault"    // ours
	outcomeTooLate    outcome = "too late" // the platform no longer takes an answer
	outcomeUnsent     outcome = "unsent"   // the answer could not be delivered
	outcomeUnreadable outcome = "unreadable"
	outcomeReplayed   outcome = "replayed"
	outcomeForeign    outcome = "foreign"     // meant for another application
	outcomeTurnedAway outcome = "turned away" // busy or stopping
	outcomeUnknown    outcome = "unknown command"
	outcomeStale      outcome = "stale"
)

// dispatcher turns what arrives into one answer each, whatever happens.
type dispatcher struct {
	app      App
	rest     *rest
	log      *slog.Logger
	redact   redactor
	timing   Timing
	recent   *recent
	slots    chan struct{} // one for each request being worked on
	pending  int
	running  *tracker
	metrics  *metrics
	commands map[string]bool // by path
	appID    func() string
}

// result is what a request came to.
type result struct {
	message *message
	modal   *modal
	form    *commands.Form // what the modal asks
	public  bool
	outcome outcome
}

// receive answers one interaction and reports how that went. It is called once
// for each, on its own goroutine, with the time of receipt.
func (d *dispatcher) receive(ctx context.Context, raw []byte, received time.Time, via responder) (end outcome) {
	stopping, inFlight := d.running.begin()
	defer d.running.end()
	in := &interaction{}
	deferred := false
	defer func() {
		if fault := recover(); fault != nil {
			d.log.Error("dispatch failed", "panic", fmt.Sprint(fault), "stack", string(debug.Stack()), "interaction", in.ID)
			end = outcomeFault
		}
		d.metrics.done(kindName(in.Type), end, deferred, time.Since(received))
		d.log.Info("interaction", "id", in.ID, "reference", in.reference(), "kind", kindName(in.Type), "what", in.what(),
			"outcome", string(end), "deferred", deferred, "took", time.Since(received))
	}()

	in, err := decode(raw, received)
	if err != nil {
		d.log.Warn("interaction refused", d.redact.attr(err), "bytes", len(raw))
		if !in.answerable() || !d.recent.first(in.ID) {
			return outcomeUnreadable
		}
		return d.say(ctx, in, via, sayUnreadable, outcomeUnreadable)
	}
	if in.Type == kindPing {
		if err := via.answer(ctx, in, response{Type: answerPong}); err != nil {
			return outcomeUnsent
		}
		return outcomeAnswered
	}
	if own := d.appID(); own != "" && in.ApplicationID != own {
		d.log.Warn("interaction for another application", "id", in.ID)
		return outcomeForeign
	}
	if !d.recent.first(in.ID) {
		d.log.Info("interaction delivered again", "id", in.ID)
		return outcomeReplayed
	}
	switch {
	case stopping:
		return d.say(ctx, in, via, sayStopping, outcomeTurnedAway)
	case inFlight > d.pending:
		return d.say(ctx, in, via, sayBusy, outcomeTurnedAway)
	}
	req, err := in.request()
	if errors.Is(err, errStaleCustomID) {
		return d.say(ctx, in, via, sayStale, outcomeStale)
	}
	if err != nil {
		d.log.Warn("interaction refused", d.redact.attr(err), "id", in.ID)
		return d.say(ctx, in, via, sayUnreadable, outcomeUnreadable)
	}
	if (in.Type == kindCommand || in.Type == kindAutocomplete) && !d.commands[req.Command] {
		return d.say(ctx, in, via, fmt.Sprintf(sayUnknown, escape(req.Command)), outcomeUnknown)
	}
	if in.Type == kindAutocomplete {
		return d.complete(ctx, in, req, via)
	}
	end, deferred = d.perform(ctx, in, req, via)
	return end
}

// say answers with one sentence of ours; an autocompletion gets an empty list.
func (d *dispatcher) say(ctx context.Context, in *interaction, via responder, text string, end outcome) outcome {
	resp := response{Type: answerMessage, Data: sentence(text).private(in.shared())}
	if in.Type == kindAutocomplete {
		resp = response{Type: answerCompletion, Data: completion{Choices: []completionChoice{}}}
	}
	if err := via.answer(ctx, in, resp); err != nil {
		return d.unsent(in, err)
	}
	return end
}

// perform works on a request and answers at the acknowledgement clock at the
// latest, if only with a deferral that an edit fills in.
func (d *dispatcher) perform(ctx context.Context, in *interaction, req commands.Request, via responder) (end outcome, deferred bool) {
	ctx, cancel := context.WithTimeout(ctx, d.timing.Work)
	defer cancel()
	results := work(ctx, d.slots, func() result { return d.do(ctx, in, req) })
	clock := time.NewTimer(time.Until(in.received.Add(d.timing.Acknowledge)))
	defer clock.Stop()

	var ready *result
	select {
	case r := <-results:
		ready = &r
		const quickUpload = 1 << 20 // bytes; more might not be there in time
		if r.message == nil || r.message.size() <= quickUpload {
			return d.answer(context.WithoutCancel(ctx), in, r, via), false
		}
	case <-clock.C:
	}

	flags := map[string]int{}
	if in.shared() {
		flags["flags"] = flagEphemeral
	}
	if err := via.answer(context.WithoutCancel(ctx), in, response{Type: answerDeferred, Data: flags}); err != nil {
		end := d.unsent(in, err)
		if end == outcomeTooLate {
			return end, true
		}
	}
	if ready == nil {
		select {
		case r := <-results:
			ready = &r
		case <-ctx.Done():
			r := d.gaveUp(in, results)
			ready = &r
		}
	}
	return d.fill(context.WithoutCancel(ctx), in, *ready), true
}

// gaveUp waits a moment for a request that ran out of time to notice it.
func (d *dispatcher) gaveUp(in *interaction, results <-chan result) result {
	select {
	case r := <-results:
		return r
	case <-time.After(100 * time.Millisecond):
		d.log.Error("request ran out of time and goes on", "id", in.ID, "reference", in.reference())
		return result{message: sentence(fmt.Sprintf(saySlow, in.reference())), outcome: outcomeFault}
	}
}

// work runs f on its own goroutine once a slot is free.
func work[T any](ctx context.Context, slots chan struct{}, f func() T) <-chan T {
	results := make(chan T, 1)
	go func() {
		select {
		case slots <- struct{}{}:
		case <-ctx.Done():
			// f notices the end of its context and says so.
			results <- f()
			return
		}
		defer func() { <-slots }()
		results <- f()
	}()
	return results
}

// do asks the app and fits its reply. Nothing that goes wrong leaves it.
func (d *dispatcher) do(ctx context.Context, in *interaction, req commands.Request) (r result) {
	defer func() {
		if fault := recover(); fault != nil {
			d.log.Error("request failed", "panic", fmt.Sprint(fault), "stack", string(debug.Stack()),
				"id", in.ID, "reference", in.reference(), "command", req.Command)
			r = d.fault(in)
		}
	}()
	if ctx.Err() != nil {
		return result{message: sentence(fmt.Sprintf(saySlow, in.reference())), outcome: outcomeFault}
	}
	reply, err := d.app.Do(ctx, req)
	if err != nil {
		d.log.Error("request failed", d.redact.attr(err), "id", in.ID, "reference", in.reference(), "command", req.Command)
		if ctx.Err() != nil {
			return result{message: sentence(fmt.Sprintf(saySlow, in.reference())), outcome: outcomeFault}
		}
		return d.fault(in)
	}
	return d.compose(in, reply)
}

func (d *dispatcher) fault(in *interaction) result {
	return result{message: sentence(fmt.Sprintf(sayFault, in.reference())), outcome: outcomeFault}
}

// compose fits a reply: a form that stands alone becomes a modal, all else a message.
func (d *dispatcher) compose(in *interaction, reply commands.Reply) result {
	r := result{public: reply.Public, outcome: outcomeAnswered}
	if reply.Refused {
		r.outcome = outcomeRefused
	}
	asked, others := splitForm(reply.Blocks)
	if asked != nil && len(others) == 0 {
		r.form = asked
		modal, err := form(*asked)
		switch {
		case err != nil:
			d.log.Error("form refused", d.redact.attr(err), "id", in.ID)
			r.message, r.public, r.outcome = d.formAsMessage(in, asked, sayFormFaulty), false, outcomeFault
		case in.Type == kindForm:
			d.log.Error("a form answered a form", "id", in.ID, "action", asked.Do.Name)
			r.message, r.public, r.outcome = d.formAsMessage(in, asked, sayFormNested), false, outcomeFault
		default:
			r.modal = modal
		}
		return r
	}
	if asked != nil {
		d.log.Error("a form did not stand alone", "id", in.ID, "action", asked.Do.Name)
		others = append(others, commands.Text{Text: sayFormMixed})
	}
	m, faults := fit(commands.Reply{Blocks: others, Refused: reply.Refused}, in.fileLimit())
	for _, err := range faults {
		d.log.Error("reply does not fit the contract", d.redact.attr(err), "id", in.ID)
	}
	r.message = m
	return r
}

func splitForm(blocks []commands.Block) (asked *commands.Form, others []commands.Block) {
	for _, block := range blocks {
		if f, ok := block.(commands.Form); ok {
			asked = &f
			continue
		}
		others = append(others, block)
	}
	return asked, others
}

func (d *dispatcher) formAsMessage(in *interaction, f *commands.Form, text string) *message {
	m := sentence(text)
	formAsFiles(m, *f, in.fileLimit())
	return m
}

// answer sends a result as the first answer.
func (d *dispatcher) answer(ctx context.Context, in *interaction, r result, via responder) outcome {
	var resp response
	if r.modal != nil {
		resp = response{Type: answerModal, Data: r.modal}
	} else {
		resp = response{Type: answerMessage, Data: r.message.private(in.shared() && !r.public), files: r.message.files}
	}
	err := via.answer(ctx, in, resp)
	if errorCode(err) == codeInvalidBody {
		d.log.Error("the platform refused the answer's form", d.redact.attr(err), "id", in.ID)
		apology := sentence(fmt.Sprintf(sayFault, in.reference()))
		if err := via.answer(ctx, in, response{Type: answerMessage, Data: apology.private(in.shared())}); err != nil {
			return d.unsent(in, err)
		}
		return outcomeFault
	}
	if err != nil {
		return d.unsent(in, err)
	}
	return r.outcome
}

// fill edits a result into a deferred answer. A deferral is private wherever
// others look on, so a public reply follows it as a message of its own.
func (d *dispatcher) fill(ctx context.Context, in *interaction, r result) outcome {
	m := r.message
	if r.modal != nil {
		d.log.Error("a form came too late to be shown", "id", in.ID, "action", r.form.Do.Name)
		m = d.formAsMessage(in, r.form, sayFormLate)
		r.public, r.outcome = false, outcomeFault
	}
	follows := r.public && in.shared()
	first := m
	if follows {
		first = sentence(sayPosted)
	}
	err := d.rest.edit(ctx, in, first)
	if err == nil && follows {
		if err = d.rest.followUp(ctx, in, m); err != nil {
			if undone := d.rest.edit(ctx, in, sentence(sayUnposted)); undone != nil {
				d.log.Error("answer not delivered", d.redact.attr(undone), "id", in.ID)
			}
		}
	}
	if errorCode(err) == codeInvalidBody {
		d.log.Error("the platform refused the answer's form", d.redact.attr(err), "id", in.ID)
		r.outcome = outcomeFault
		err = d.rest.edit(ctx, in, sentence(fmt.Sprintf(sayFault, in.reference())))
	}
	if err != nil {
		return d.unsent(in, err)
	}
	return r.outcome
}

// complete answers an autocompletion, with an empty list when the clock strikes.
func (d *dispatcher) complete(ctx context.Context, in *interaction, req commands.Request, via responder) outcome {
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

func (d *dispatcher) choices(ctx context.Context, in *interaction, req commands.Request, name, typed string) (out []completionChoice) {
	out = []completionChoice{}
	defer func() {
		if fault := recover(); fault != nil {
			d.log.Error("completion failed", "panic", fmt.Sprint(fault), "stack", string(debug.Stack()), "id", in.ID, "command", req.Command)
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
	for _, o := range menu(commands.Menu{Choices: found}) {
		if seen[o.Label] {
			continue // the platform tells completions apart by name
		}
		seen[o.Label] = true
		out = append(out, completionChoice{Name: o.Label, Value: o.Value})
	}
	return out
}

// unsent logs an answer that the platform did not take. Being late is not a
// fault of the program, but its age is worth knowing.
func (d *dispatcher) unsent(in *interaction, err error) outcome {
	age := time.Since(in.received)
	if errorCode(err) == codeUnknownInteraction {
		d.log.Info("too late to answer", "id", in.ID, "age", age)
		return outcomeTooLate
	}
	d.log.Error("answer not delivered", d.redact.attr(err), "id", in.ID, "age", age)
	return outcomeUnsent
}

// tracker counts what is running, so that a stop can wait for it.
type tracker struct {
	mu       sync.Mutex
	count    int
	stopping bool
	idle     chan struct{} // closed when stopping and nothing runs
}

func newTracker() *tracker { return &tracker{idle: make(chan struct{})} }

func (t *tracker) begin() (stopping bool, inFlight int) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.count++
	return t.stopping, t.count
}

func (t *tracker) end() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.count--
	t.settle()
}

// stop lets nothing new begin and waits until all is done, but not longer than limit.
func (t *tracker) stop(limit time.Duration) (left int) {
	t.mu.Lock()
	t.stopping = true
	t.settle()
	t.mu.Unlock()
	select {
	case <-t.idle:
	case <-time.After(limit):
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.count
}

func (t *tracker) settle() {
	if !t.stopping || t.count > 0 {
		return
	}
	select {
	case <-t.idle:
	default:
		close(t.idle)
	}
}

func (t *tracker) inFlight() float64 {
	t.mu.Lock()
	defer t.mu.Unlock()
	return float64(t.count)
}
