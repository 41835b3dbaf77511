package bot

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"

	"larkfold/bot/fit"
	"larkfold/commands/reply"
)

// result is what a request came to.
type result struct {
	message *fit.Message
	modal   *fit.Modal
	form    *reply.Form // what the modal asks
	public  bool
	outcome outcome

	answer    reply.Reply       // what the message shows
	misplaced *reply.Form       // a form that did not stand alone
	limit     int               // bytes of one file
	paintings map[int]*painting // pictures that are not in the message yet, by the places of their blocks
	drawn     map[int]reply.Image
	wordsOnly bool // the message can carry no pictures
}

// work does a request in its turn and has the pictures of its reply begun. Nothing
// that goes wrong leaves it.
func (d *dispatcher) work(ctx context.Context, in *interaction, req reply.Request, files bool) (r result) {
	defer func() {
		if fault := recover(); fault != nil {
			d.log.Error("request failed", "panic", d.redact.text(fmt.Sprint(fault)), "stack", string(debug.Stack()),
				"id", in.ID, "reference", in.reference(), "command", req.Command)
			r = d.fault(in)
		}
	}()
	drawing := req.Action != nil && req.Action.Name == drawAction
	if drawing {
		var ok bool
		if req, ok = d.asked.find(req); !ok {
			return result{message: fit.Sentence(sayNotKept), outcome: outcomeStale}
		}
	}
	r = d.do(ctx, in, req)
	if drawing {
		return d.picturesOnly(ctx, in, r)
	}
	r.wordsOnly = !files
	if d.begin(ctx, in, &r) != nil {
		r.answer.Blocks = append(r.answer.Blocks, d.asked.offer(in, req, r.public))
		d.show(&r)
	}
	return r
}

// do asks the app, in a turn at the desk, or at the counter for what is pressed and
// filled in. Work that takes long asks for a turn at the bench and gives up that one.
func (d *dispatcher) do(ctx context.Context, in *interaction, req reply.Request) result {
	place := d.desk
	if in.Type != kindCommand {
		place = d.counter
	}
	at := task{member: in.who().ID, kind: in.what()}
	in.doneIn.Store(place)
	leave, err := place.enter(ctx, at)
	if err != nil {
		return d.turnedAway(in, err)
	}
	defer func() { leave() }()
	moved := false
	answer, err := d.app.Do(reply.WithTurns(ctx, func(ctx context.Context, w reply.Work) error {
		if moved && w.Bytes <= at.bytes && w.Amount <= at.amount {
			return nil
		}
		leave()
		at.amount, at.bytes = max(at.amount, w.Amount), max(at.bytes, w.Bytes)
		in.doneIn.Store(d.bench)
		next, err := d.bench.enter(ctx, at)
		if err == nil {
			leave, moved = next, true
		}
		return err
	}), req)
	if isTurnedAway(err) {
		return d.turnedAway(in, err)
	}
	if err != nil {
		d.log.Error("request failed", d.redact.attr(err), "id", in.ID, "reference", in.reference(), "command", req.Command)
		if ctx.Err() != nil {
			return result{message: fit.Sentence(fmt.Sprintf(saySlow, in.reference())), outcome: outcomeFault}
		}
		return d.fault(in)
	}
	for _, err := range answer.Faults {
		d.log.Error("the store failed a request", d.redact.attr(err), "id", in.ID, "reference", in.reference(), "command", req.Command)
	}
	return d.compose(in, answer)
}

func isTurnedAway(err error) bool {
	return errors.As(err, new(*busyError)) || errors.Is(err, errMemberBusy) || errors.Is(err, errClosing)
}

// turnedAway is what somebody reads who does not get a turn.
func (d *dispatcher) turnedAway(in *interaction, err error) result {
	var busy *busyError
	switch {
	case errors.As(err, &busy):
		return result{message: fit.Sentence(fmt.Sprintf(sayBusy, inSeconds(busy.wait))), outcome: outcomeTurnedAway}
	case errors.Is(err, errMemberBusy):
		return result{message: fit.Sentence(sayInHand), outcome: outcomeTurnedAway}
	case errors.Is(err, errClosing):
		return result{message: fit.Sentence(sayStopping), outcome: outcomeTurnedAway}
	}
	d.log.Error("request ran out of time before its turn", d.redact.attr(err), "id", in.ID, "reference", in.reference())
	return result{message: fit.Sentence(fmt.Sprintf(saySlow, in.reference())), outcome: outcomeFault}
}

func (d *dispatcher) fault(in *interaction) result {
	return result{message: fit.Sentence(fmt.Sprintf(sayFault, in.reference())), outcome: outcomeFault}
}

// compose fits a reply: a form that stands alone becomes a modal, all else a
// message, at first without its pictures.
func (d *dispatcher) compose(in *interaction, answer reply.Reply) result {
	r := result{public: answer.Public, outcome: outcomeAnswered, limit: in.fileLimit()}
	if answer.Refused {
		r.outcome = outcomeRefused
	}
	asked, others := splitForm(answer.Blocks)
	if asked != nil && len(others) == 0 {
		r.form = asked
		modal, err := fit.Form(*asked)
		switch {
		case errors.Is(err, fit.ErrTooLong) && len(asked.Otherwise) > 0:
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
		r.misplaced, r.outcome = asked, outcomeFault
	}
	r.answer = reply.Reply{Blocks: others, Refused: answer.Refused}
	for _, err := range d.show(&r) {
		d.log.Error("reply does not fit the contract", d.redact.attr(err), "id", in.ID)
	}
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

func (d *dispatcher) formAsMessage(in *interaction, f *reply.Form, text string) *fit.Message {
	m := fit.Sentence(text)
	fit.FormAsFiles(m, *f, in.fileLimit())
	return m
}
