package bot

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"time"

	"larkfold/commands/reply"
)

// result is what a request came to.
type result struct {
	message *message
	modal   *modal
	form    *reply.Form // what the modal asks
	public  bool
	outcome outcome
}

// perform works on a request and answers at the acknowledgement clock at the
// latest, if only with a deferral that an edit fills in.
func (d *dispatcher) perform(ctx context.Context, in *interaction, req reply.Request, via responder) (end outcome, deferred bool) {
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
func (d *dispatcher) do(ctx context.Context, in *interaction, req reply.Request) (r result) {
	defer func() {
		if fault := recover(); fault != nil {
			d.log.Error("request failed", "panic", d.redact.text(fmt.Sprint(fault)), "stack", string(debug.Stack()),
				"id", in.ID, "reference", in.reference(), "command", req.Command)
			r = d.fault(in)
		}
	}()
	if ctx.Err() != nil {
		return result{message: sentence(fmt.Sprintf(saySlow, in.reference())), outcome: outcomeFault}
	}
	answer, err := d.app.Do(ctx, req)
	if err != nil {
		d.log.Error("request failed", d.redact.attr(err), "id", in.ID, "reference", in.reference(), "command", req.Command)
		if ctx.Err() != nil {
			return result{message: sentence(fmt.Sprintf(saySlow, in.reference())), outcome: outcomeFault}
		}
		return d.fault(in)
	}
	for _, err := range answer.Faults {
		d.log.Error("the store failed a request", d.redact.attr(err), "id", in.ID, "reference", in.reference(), "command", req.Command)
	}
	return d.compose(in, answer)
}

func (d *dispatcher) fault(in *interaction) result {
	return result{message: sentence(fmt.Sprintf(sayFault, in.reference())), outcome: outcomeFault}
}

// compose fits a reply: a form that stands alone becomes a modal, all else a message.
func (d *dispatcher) compose(in *interaction, answer reply.Reply) result {
	r := result{public: answer.Public, outcome: outcomeAnswered}
	if answer.Refused {
		r.outcome = outcomeRefused
	}
	asked, others := splitForm(answer.Blocks)
	if asked != nil && len(others) == 0 {
		r.form = asked
		modal, err := form(*asked)
		switch {
		case errors.Is(err, errTooLong) && len(asked.Otherwise) > 0:
			return d.compose(in, reply.Reply{Blocks: asked.Otherwise, Refused: answer.Refused})
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
		others = append(others, reply.Text(sayFormMixed))
		r.outcome = outcomeFault
	}
	drawn := map[int]reply.Image{}
	for i, block := range others {
		if p, ok := block.(reply.Picture); ok {
			image, err := p.Draw()
			if err != nil {
				d.log.Error("a picture could not be drawn", d.redact.attr(err), "id", in.ID)
				others[i] = reply.Text("The picture could not be drawn. It would show: " + image.Alt)
				continue
			}
			drawn[i] = image
		}
	}
	m, faults := fit(reply.Reply{Blocks: others, Refused: answer.Refused}, drawn, in.fileLimit())
	for _, err := range faults {
		d.log.Error("reply does not fit the contract", d.redact.attr(err), "id", in.ID)
	}
	if asked != nil {
		formAsFiles(m, *asked, in.fileLimit())
	}
	r.message = m
	return r
}

func splitForm(blocks []reply.Block) (asked *reply.Form, others []reply.Block) {
	for _, block := range blocks {
		if f, ok := block.(reply.Form); ok {
			asked = &f
			continue
		}
		others = append(others, block)
	}
	return asked, others
}

func (d *dispatcher) formAsMessage(in *interaction, f *reply.Form, text string) *message {
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
	if err == nil && follows && d.mayPost(ctx, in) {
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
