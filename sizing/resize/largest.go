package resize

import (
	"context"
	"fmt"
	"strings"

	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Most is the largest of a design that there is enough for.
type Most struct {
	Resized
	Next *trace.Result // one repeat more, for which there is not enough; nil where the design goes no further
	Why  string        // then why it does not, where something tells
}

// TooLittleError is that there is not enough for any size of a design.
type TooLittleError struct{ Smallest trace.Result }

// Error is one sentence.
func (*TooLittleError) Error() string {
	return "there is not enough for the smallest that keeps its pattern"
}

// Largest makes a design as large as there is enough for, by whole repeats: wider and
// longer in proportion, and only longer where the change names a width. Enough is
// asked about sizes up and down, and has to say no to whatever is larger than what
// it has said no to. The error is a [TooLittleError] or one of [Resize].
func Largest(ctx context.Context, s sheet.Sheet, maker trace.Maker, c Change, enough func(trace.Result) (bool, error)) (Most, error) {
	z, s, before, err := begin(ctx, s, maker, c)
	if err != nil {
		return Most{}, err
	}
	if c.Drop > 0 {
		return Most{}, &Error{Wrong: "the drop follows from the cord there is", Right: "name a width, or neither", Of: OfDrop}
	}
	z.fills = c.Rod != nil && c.Width == 0
	changed := s
	if !c.Nothing() {
		if changed, err = z.change(s, before, c); err != nil {
			return Most{}, err
		}
	}
	z.maker.Loose = false
	at, err := z.whole(changed, c)
	if err != nil {
		return Most{}, err
	}
	found, err := z.fill(at, enough)
	if err != nil {
		return Most{}, err
	}
	z.noteNumbers(changed, c.Width == 0)
	done, err := z.done(s, found.sheet)
	return Most{Resized: done, Next: found.next, Why: found.fault.Text}, err
}

// whole is the design at every factor, as wide and long as it makes it.
func (z *sizer) whole(s sheet.Sheet, c Change) (func(factor) (sheet.Sheet, bool), error) {
	if c.Width > 0 {
		return func(f factor) (sheet.Sheet, bool) { return longer(s, f), true }, nil
	}
	g, err := z.grow(s, c.Rod == nil)
	return func(f factor) (sheet.Sheet, bool) {
		wider, ok := g.to(f)
		return longer(wider, f), ok
	}, err
}

// filled is the largest that there is enough for.
type filled struct {
	sheet sheet.Sheet
	next  *trace.Result
	fault sheet.Fault // why it goes no further, where that is not for want of cord
}

// fill halves the way between what there is enough for and what there is not.
func (z *sizer) fill(at func(factor) (sheet.Sheet, bool), enough func(trace.Result) (bool, error)) (filled, error) {
	var best filled
	some := false
	low, high := leastFactor, mostFactor
	for x := factor(1); high-low > fineness*low; x = between(low, high) {
		s, r, fault, err := z.held(at, x)
		switch {
		case err != nil:
			return best, err
		case fault != nil && x < 1 && !some:
			low = x
			continue
		case fault != nil:
			if high = x; best.next == nil {
				best.fault = *fault
			}
			continue
		}
		ok, err := enough(r)
		if err != nil {
			return best, err
		}
		if ok {
			low, best.sheet, some = x, s, true
		} else {
			high, best.next, best.fault = x, &r, sheet.Fault{}
		}
	}
	if some {
		return best, nil
	}
	if best.next == nil {
		return best, &Error{Wrong: strings.TrimSuffix("it cannot be made in another size: "+best.fault.Text, ": "), Right: "change its rows yourself"}
	}
	return best, &TooLittleError{Smallest: *best.next}
}

// held is what traced says of a factor, where a sheet can hold so much and the rods too.
func (z *sizer) held(at func(factor) (sheet.Sheet, bool), x factor) (sheet.Sheet, trace.Result, *sheet.Fault, error) {
	if s, ok := at(x); ok {
		if beyond := s.Beyond(); len(beyond) > 0 {
			return s, trace.Result{}, &beyond[0], nil
		}
	}
	s, r, fault, err := z.traced(at, x)
	if full := r.TooFull(); fault == nil && len(full) > 0 {
		fault = &full[0]
	}
	if fault == nil && z.fills && r.Pushed > r.Room {
		fault = &sheet.Fault{Text: fmt.Sprintf("one repeat more would need %s even when pushed together, more than the rod of %s has room for", z.say(r.Pushed), z.say(s.Rod.Length))}
	}
	return s, r, fault, err
}
