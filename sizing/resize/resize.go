// Package resize makes the same design in other cord, on another rod, or to
// another width or drop.
//
// A [Change] says what shall be different; [Resize] gives the new sheet with both
// traced results. What keeps a design itself: groups still divide the ends, so
// cords come and go by whole repeats; what was symmetric stays so; nets grow by
// pairs of rows, so that the last one stays of its kind; lengths go in proportion.
// Places counted from an edge or the middle stay as they are written, places
// counted in numbers move in proportion and are reported.
//
// What will hurt you: a width or a drop is met to within a repeat, not exactly;
// and the sheets must be sized with the same maker, or before and after differ by
// more than the change.
package resize

import (
	"context"
	"fmt"
	"slices"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/near"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Change is what shall be different. What is zero stays as it is.
type Change struct {
	Thickness    length.Length // nominal, of the cord
	Construction string        // as in a sheet: "single-strand", "plied", "braided"
	Cord         string        // which cord; empty for all, in proportion to the first
	Width        length.Length // of all panels that hang side by side
	Drop         length.Length // of the longest panel, tails included
	Rod          *sheet.Rod    // a length or a thickness of zero stays as it is

	// Hands are the maker's factors in the changed cords (see [Change.Cords]), by
	// cord name; nil for those of the maker.
	Hands map[string]trace.Hand
}

// Resized is a design after a change.
type Resized struct {
	Sheet sheet.Sheet  // the changed one, with the places of its canonical text
	After trace.Result // it traced bare, see [trace.Maker]
	Notes []string     // what changed, line by line, and what to know about it
}

// Error says what cannot be done and what could be.
type Error struct {
	Wrong, Right string
	Of           Asked         // what was asked for that cannot be; empty for nothing of it
	Nearest      length.Length // that can be, of a width, a drop or a rod; zero where none is known
	Words        string        // that can be, of a cord's name
}

// Asked is a part of a change.
type Asked string

// The parts of a change that can be refused.
const (
	OfWidth Asked = "width"
	OfDrop  Asked = "drop"
	OfRod   Asked = "rod"
	OfCord  Asked = "cord"
)

// Error is one sentence.
func (e *Error) Error() string { return e.Wrong + ": " + e.Right }

// Resize changes a sheet. The error is an [Error], a sheet.Faults when the sheet
// given or the sheet wanted is beyond the limits of a sheet or cannot be tied, or the context's.
func Resize(ctx context.Context, s sheet.Sheet, maker trace.Maker, c Change) (Resized, error) {
	if c.Nothing() {
		return Resized{}, &Error{Wrong: "nothing is to be changed", Right: "give a thickness, a construction, a width, a drop or a dowel"}
	}
	z, s, before, err := begin(ctx, s, maker, c)
	if err != nil {
		return Resized{}, err
	}
	after, err := z.change(s, before, c)
	if err != nil {
		return Resized{}, err
	}
	return z.done(s, after)
}

// begin places a sheet that is to be changed and says how it is sized as it is.
func begin(ctx context.Context, s sheet.Sheet, maker trace.Maker, c Change) (*sizer, sheet.Sheet, trace.Result, error) {
	maker.Bare = true
	z := &sizer{ctx: ctx, maker: maker}
	s, before, err := z.placed(s)
	if err == nil {
		err = c.check(s)
	}
	if c.Hands != nil {
		z.maker.Hands = c.Hands
	}
	z.maker.Loose = true
	return z, s, before, err
}

// done is the changed sheet as it is written and hangs.
func (z *sizer) done(s, after sheet.Sheet) (Resized, error) {
	z.maker.Loose = false
	after, traced, err := z.placed(after)
	if err != nil {
		return Resized{}, err
	}
	if full := traced.TooFull(); len(full) > 0 {
		return Resized{}, sheet.NewFaults(sheet.Format(after), full)
	}
	return Resized{Sheet: after, After: traced, Notes: append(z.notes, lines(s, after)...)}, nil
}

// sizer is one run of Resize.
type sizer struct {
	ctx   context.Context
	maker trace.Maker
	notes []string
	fills bool // as much as fits is made on the rod that is asked for
}

func (z *sizer) say(l length.Length) string { return z.maker.Style.Format(l) }

func (z *sizer) note(format string, args ...any) {
	z.notes = append(z.notes, fmt.Sprintf(format, args...))
}

// noteOff says, where a size was not met, what it is and what the next repeat would make it.
func (z *sizer) noteOff(f found, target length.Length, how string) {
	const worthSaying = 5 * length.Millimetre
	tidy := func(l length.Length) string { return z.say(l.Tidy()) }
	if off := f.measured - target; off <= worthSaying && off >= -worthSaying || tidy(f.measured) == z.say(target) {
		return
	}
	next := ""
	switch other := f.other(target); {
	case other > target:
		next = ", and one repeat more " + tidy(other)
	case other > 0:
		next = ", and one repeat less " + tidy(other)
	}
	z.note("whole repeats make it %s %s%s, not %s", tidy(f.measured), how, next, z.say(target))
}

// placed puts a sheet in the places of its canonical text, so that faults and notes
// point there, and traces it.
func (z *sizer) placed(s sheet.Sheet) (sheet.Sheet, trace.Result, error) {
	s, text := s.Placed()
	if beyond := s.Beyond(); len(beyond) > 0 {
		return s, trace.Result{}, sheet.NewFaults(text, beyond)
	}
	r, found, err := trace.Trace(z.ctx, s, z.maker)
	if err == nil && len(found) > 0 {
		err = sheet.NewFaults(text, found)
	}
	return s, r, err
}

// change makes one change after the other: cord, rod, width, drop.
func (z *sizer) change(s sheet.Sheet, before trace.Result, c Change) (sheet.Sheet, error) {
	var err error
	if c.Thickness > 0 || c.Construction != "" {
		if s, err = z.inCord(s, before, c); err != nil {
			return s, err
		}
	}
	if c.Rod != nil {
		s = onRod(s, *c.Rod, before.Rod)
	}
	switch {
	case c.Width > 0:
		s, err = z.toWidth(s, c)
	case c.Rod != nil:
		s, err = z.toRod(s)
	}
	if err != nil {
		return s, err
	}
	if c.Rod == nil {
		if s, err = z.rodFollows(s, before); err != nil {
			return s, err
		}
	}
	if c.Drop > 0 {
		return z.toDrop(s, c.Drop)
	}
	return s, nil
}

// The sizes a design can be asked for (common practice, no source).
const (
	leastSize = length.Centimetre
	mostSize  = 50 * length.Metre
)

// Nothing tells whether nothing shall be different.
func (c Change) Nothing() bool {
	return c.Thickness == 0 && c.Construction == "" && c.Width == 0 && c.Drop == 0 && c.Rod == nil
}

func (c Change) check(s sheet.Sheet) error {
	if c.Thickness != 0 {
		if err := length.Thicknesses().Check(c.Thickness); err != nil {
			return err
		}
	}
	if c.Construction != "" {
		if _, err := cord.ParseConstruction(c.Construction); err != nil {
			return &Error{Wrong: fmt.Sprintf("%q is no construction", c.Construction), Right: "single-strand, plied or braided"}
		}
	}
	if c.Cord != "" && !slices.ContainsFunc(s.Cords, func(have sheet.Cord) bool { return have.Name == c.Cord }) {
		names := make([]string, len(s.Cords))
		for i, have := range s.Cords {
			names[i] = have.Name
		}
		e := &Error{Wrong: fmt.Sprintf("the sheet has no cord “%s”", c.Cord), Right: "it has " + noun.List(names), Of: OfCord, Words: near.Word(c.Cord, names)}
		if e.Words == "" {
			e.Words = names[0]
		}
		return e
	}
	for _, size := range []struct {
		of Asked
		l  length.Length
	}{{OfWidth, c.Width}, {OfDrop, c.Drop}} {
		if size.l != 0 && (size.l < leastSize || size.l > mostSize) {
			return &Error{Wrong: fmt.Sprintf("a %s of %s", size.of, size.l), Right: fmt.Sprintf("from %s to %s can be made", leastSize, mostSize), Of: size.of, Nearest: min(max(size.l, leastSize), mostSize)}
		}
	}
	if r := c.Rod; r != nil && (r.Length < 0 || r.Thickness < 0) {
		return &Error{Wrong: "a dowel of less than nothing", Right: "give its length and its thickness", Of: OfRod}
	}
	return nil
}
