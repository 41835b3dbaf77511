package bot

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"time"

	"larkfold/bot/fit"
)

// What a member reads when there is no reply.
const (
	sayUnreadable = "I could not read that. Please update your app and try again."
	sayStale      = "This control belongs to an older version of me. Please run the command again."
	sayBusy       = "Many are asking just now. Please try again in %s."
	sayInHand     = "One thing after the other, please: I am still at what you asked before."
	sayNotKept    = "I no longer know what this picture was of. Please ask again with the command."
	sayNotDrawn   = "The picture could not be drawn."
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
	takesFiles() bool
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
	clock    *clock
	counter  *lane // completions, presses and forms
	desk     *lane // commands
	bench    *lane // what takes long
	easel    *easel
	asked    *asked
	running  *tracker
	metrics  *metrics
	commands map[string]bool // by path
	appID    func() string
	first    func(ctx context.Context, member, interaction string) (bool, error) // among replicas; nil alone
}

// receive answers one interaction and reports how that went. It is called once
// for each, on its own goroutine, with the time of receipt.
func (d *dispatcher) receive(ctx context.Context, raw []byte, received time.Time, via responder) (end outcome) {
	stopping := d.running.begin()
	defer d.running.end()
	in := &interaction{}
	deferred := false
	first := &firstAnswer{responder: via}
	via = first
	defer func() {
		if fault := recover(); fault != nil {
			d.log.Error("dispatch failed", "panic", d.redact.text(fmt.Sprint(fault)), "stack", string(debug.Stack()), "interaction", in.ID)
			end = outcomeFault
		}
		d.metrics.done(kindName(in.Type), d.commandOf(in), in.lane(), end, deferred, first.after(received), time.Since(received))
		level := slog.LevelInfo
		if in.Type == kindAutocomplete && end == outcomeAnswered {
			level = slog.LevelDebug // one for every key that is pressed
		}
		if !d.log.Enabled(ctx, level) {
			return
		}
		d.log.Log(ctx, level, "interaction", "id", in.ID, "reference", in.reference(), "kind", kindName(in.Type), "what", in.what(),
			"outcome", string(end), "deferred", deferred, "age", in.age, "took", time.Since(received))
	}()

	in, err := decode(raw, received)
	in.age = d.clock.age(in.ID, received)
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
	if stopping {
		return d.say(ctx, in, via, sayStopping, outcomeTurnedAway)
	}
	req, err := in.request()
	if errors.Is(err, fit.ErrStale) {
		return d.say(ctx, in, via, sayStale, outcomeStale)
	}
	if err != nil {
		d.log.Warn("interaction refused", d.redact.attr(err), "id", in.ID)
		return d.say(ctx, in, via, sayUnreadable, outcomeUnreadable)
	}
	if (in.Type == kindCommand || in.Type == kindAutocomplete) && !d.commands[req.Command] {
		return d.say(ctx, in, via, fmt.Sprintf(sayUnknown, fit.Escape(req.Command)), outcomeUnknown)
	}
	if in.Type == kindAutocomplete {
		return d.complete(ctx, in, req, via)
	}
	end, deferred = d.perform(ctx, in, req, via)
	return end
}

// firstAnswer notes when the first answer was out.
type firstAnswer struct {
	responder
	at time.Time
}

func (f *firstAnswer) answer(ctx context.Context, in *interaction, resp response) error {
	err := f.responder.answer(ctx, in, resp)
	if err == nil && f.at.IsZero() {
		f.at = time.Now()
	}
	return err
}

// after is how long after a moment the first answer was out, or 0 for never.
func (f *firstAnswer) after(received time.Time) time.Duration {
	if f.at.IsZero() {
		return 0
	}
	return f.at.Sub(received)
}

// commandOf is the path of the command that an interaction asks for, if there is such a command.
func (d *dispatcher) commandOf(in *interaction) string {
	if path := in.what(); in.Type == kindCommand && d.commands[path] {
		return path
	}
	return ""
}

// say answers with one sentence of ours; an autocompletion gets an empty list.
func (d *dispatcher) say(ctx context.Context, in *interaction, via responder, text string, end outcome) outcome {
	resp := response{Type: answerMessage, Data: fit.Sentence(text).Private(in.public())}
	if in.Type == kindAutocomplete {
		resp = response{Type: answerCompletion, Data: completion{Choices: []completionChoice{}}}
	}
	if err := via.answer(ctx, in, resp); err != nil {
		return d.unsent(in, err)
	}
	return end
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
