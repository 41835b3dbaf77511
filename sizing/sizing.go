// Package sizing is the façade of the core: a working sheet and what its maker works
// with go in, a sized sheet to cut from comes out.
//
// A [Sized] holds the traced sheet and its cut list. [Size] reads, traces and cuts
// one text; faults of the text come back all together as sheet.Faults, with the
// text kept. What will hurt you: a cut list is only as good as the maker's hand
// factors; without swatches it says what the book says.
package sizing

import (
	"context"

	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Maker is what a maker works with: the knot book, their hands and their habits.
// Habits give way to what a sheet says itself.
type Maker struct {
	Book   *knot.Book            // nil for knot.Standard()
	Hands  map[string]trace.Hand // by cord name
	Ways   trace.Ways            // how they tie, hang and plait
	Style  length.Style          // how notes and faults write lengths
	Margin cutlist.Fraction      // zero for cutlist.DefaultMargin
	Step   length.Length         // cuts are rounded up to it; zero for DefaultStep
}

func (m Maker) book() *knot.Book {
	if m.Book == nil {
		return knot.Standard()
	}
	return m.Book
}

func (m Maker) trace() trace.Maker {
	return trace.Maker{Book: m.book(), Hands: m.Hands, Ways: m.Ways, Style: m.Style}
}

// DefaultStep is what cuts are rounded up to when nobody says: half the finest
// line that people read off a tape without thinking (common practice, no source).
const DefaultStep = 5 * length.Centimetre

// ImperialStep is DefaultStep for whoever measures in inches (common practice, no
// source).
const ImperialStep = 2 * length.Inch

// StepIn is what cuts are rounded up to in a system when nobody says.
func StepIn(s length.System) length.Length {
	if s == length.Imperial {
		return ImperialStep
	}
	return DefaultStep
}

// Sized is a sheet with the way of every end and the cut list.
type Sized struct {
	trace.Result
	Book *knot.Book // that it was sized with
	List cutlist.List
}

// Size reads a working sheet, follows every end and makes its cut list. The error
// is a sheet.Faults when the sheet is wrong, or the context's.
func Size(ctx context.Context, text string, m Maker) (Sized, error) {
	s, faults := sheet.ParseFor(text, m.book(), m.Style.System)
	if len(faults.Shown) > 0 {
		return Sized{}, faults
	}
	return Sheet(ctx, s, text, m)
}

// Sheet sizes a sheet that has been read already; text is what faults are shown in.
func Sheet(ctx context.Context, s sheet.Sheet, text string, m Maker) (Sized, error) {
	traced, found, err := trace.Trace(ctx, s, m.trace())
	if err != nil {
		return Sized{}, err
	}
	if len(found) > 0 {
		return Sized{}, sheet.NewFaults(text, found)
	}
	if full := traced.TooFull(); len(full) > 0 {
		return Sized{}, sheet.NewFaults(text, full)
	}
	list, err := Cut(traced, m)
	if err != nil {
		return Sized{}, err
	}
	return Sized{Result: traced, Book: m.book(), List: list}, nil
}

// Cut is the cut list of a traced sheet.
func Cut(traced trace.Result, m Maker) (cutlist.List, error) {
	return cutlist.Make(traced, terms(traced.Sheet, m))
}

// terms are the sheet's own, else the maker's, else the defaults.
func terms(s sheet.Sheet, m Maker) cutlist.Terms {
	t := cutlist.Terms{Margin: m.Margin, Tying: trace.TyingTail(), Step: m.Step, Economy: s.Economy}
	if t.Margin == 0 {
		t.Margin = cutlist.DefaultMargin
	}
	if s.Margin != nil {
		t.Margin = cutlist.Fraction(*s.Margin)
	}
	if t.Step == 0 {
		t.Step = StepIn(m.Style.System)
	}
	if s.RoundUp > 0 {
		t.Step = s.RoundUp
	}
	return t
}
