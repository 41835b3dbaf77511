package bot

import (
	"context"
	"fmt"
	"time"

	"larkfold/bot/fit"
	"larkfold/commands/reply"
)

// perform works on a request and answers at the acknowledgement clock at the
// latest, if only with a deferral that an edit fills in. Words go out as soon as
// they are there; pictures with them if they are there as well, else after them.
func (d *dispatcher) perform(ctx context.Context, in *interaction, req reply.Request, via responder) (end outcome, deferred bool) {
	ctx, cancel := context.WithTimeout(ctx, d.timing.Work)
	defer cancel()
	sending := context.WithoutCancel(ctx)
	acknowledge := in.acknowledgeBy(d.timing)
	late := !time.Now().Before(acknowledge)
	if late && d.putOff(sending, in, via) == outcomeTooLate {
		return outcomeTooLate, true
	}
	results := make(chan result, 1)
	go func() { results <- d.work(ctx, in, req, via.takesFiles()) }()
	if !late {
		clock := time.NewTimer(time.Until(acknowledge))
		defer clock.Stop()
		select {
		case r := <-results:
			d.await(&r, min(grace, time.Until(acknowledge)))
			if r.fitsFirstAnswer(via) {
				return d.answer(sending, in, r, via), false
			}
			results <- r
		case <-clock.C:
		}
		if d.putOff(sending, in, via) == outcomeTooLate {
			return outcomeTooLate, true
		}
	}
	select {
	case r := <-results:
		r.wordsOnly = false
		d.await(&r, grace)
		return d.fill(sending, in, r), true
	case <-ctx.Done():
		return d.fill(sending, in, d.gaveUp(in, results)), true
	}
}

// fitsFirstAnswer tells whether a result can go into the first answer in time.
func (r *result) fitsFirstAnswer(via responder) bool {
	const quickUpload = 1 << 20 // bytes; more might not be there in time
	switch {
	case r.message == nil:
		return true
	case via.takesFiles():
		return r.message.Size() <= quickUpload
	}
	return len(r.message.Files) == 0
}

// putOff acknowledges an interaction whose answer comes later.
func (d *dispatcher) putOff(ctx context.Context, in *interaction, via responder) outcome {
	flags := map[string]int{}
	if in.public() {
		flags["flags"] = fit.Ephemeral
	}
	if err := via.answer(ctx, in, response{Type: answerDeferred, Data: flags}); err != nil {
		return d.unsent(in, err)
	}
	return outcomeAnswered
}

// gaveUp waits a moment for a request that ran out of time to notice it.
func (d *dispatcher) gaveUp(in *interaction, results <-chan result) result {
	select {
	case r := <-results:
		return r
	case <-time.After(100 * time.Millisecond):
		d.log.Error("request ran out of time and goes on", "id", in.ID, "reference", in.reference())
		return result{message: fit.Sentence(fmt.Sprintf(saySlow, in.reference())), outcome: outcomeFault}
	}
}

// answer sends a result as the first answer, and edits in the pictures that were
// not there yet.
func (d *dispatcher) answer(ctx context.Context, in *interaction, r result, via responder) outcome {
	var resp response
	if r.modal != nil {
		resp = response{Type: answerModal, Data: r.modal}
	} else {
		resp = response{Type: answerMessage, Data: r.message.Private(in.public() && !r.public), files: r.message.Files}
	}
	err := via.answer(ctx, in, resp)
	if errorCode(err) == codeInvalidBody {
		d.log.Error("the platform refused the answer's form", d.redact.attr(err), "id", in.ID)
		apology := fit.Sentence(fmt.Sprintf(sayFault, in.reference()))
		if err := via.answer(ctx, in, response{Type: answerMessage, Data: apology.Private(in.public())}); err != nil {
			return d.unsent(in, err)
		}
		return outcomeFault
	}
	if err != nil {
		return d.unsent(in, err)
	}
	return d.editIn(ctx, in, r, theAnswer)
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
	follows := r.public && in.public()
	first, shown := m, theAnswer
	if follows {
		first = fit.Sentence(sayPosted)
	}
	err := d.rest.edit(ctx, in, theAnswer, first)
	if err == nil && follows {
		shown = ""
		if d.mayPost(ctx, in) {
			if shown, err = d.rest.followUp(ctx, in, m); err != nil {
				if undone := d.rest.edit(ctx, in, theAnswer, fit.Sentence(sayUnposted)); undone != nil {
					d.log.Error("answer not delivered", d.redact.attr(undone), "id", in.ID)
				}
			}
		}
	}
	if errorCode(err) == codeInvalidBody {
		d.log.Error("the platform refused the answer's form", d.redact.attr(err), "id", in.ID)
		err = d.rest.edit(ctx, in, theAnswer, fit.Sentence(fmt.Sprintf(sayFault, in.reference())))
		if err == nil {
			return outcomeFault
		}
	}
	if err != nil {
		return d.unsent(in, err)
	}
	return d.editIn(ctx, in, r, shown)
}
