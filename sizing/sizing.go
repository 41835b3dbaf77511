// Package sizing is the façade of the core: a working sheet and a bench go in, a
// plan to cut from comes out.
//
// A [Plan] holds the traced sheet and its cut list. [Size] reads, traces and cuts
// one text; faults of the text come back all together as sheet.Faults, with the
// text kept. What will hurt you: a plan is only as good as the hand factors on
// the bench; without swatches it says what the book says.
package sizing

import (
	"context"

	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Bench is what a maker works with: the knot book, their hands and their habits.
// Habits give way to what a sheet says itself.
type Bench struct {
	Book   *knot.Book            // nil for knot.Standard()
	Hands  map[string]trace.Hand // by cord name
	Style  length.Style          // how notes and faults write lengths
	Margin cutlist.Share         // zero for cutlist.DefaultMargin
	Step   length.Length         // cuts are rounded up to it; zero for DefaultStep
}

func (b Bench) book() *knot.Book {
	if b.Book == nil {
		return knot.Standard()
	}
	return b.Book
}

// DefaultStep is what cuts are rounded up to when nobody says: half the finest
// line that people read off a tape without thinking (common practice, no source).
const DefaultStep = 5 * length.Centimetre

// Plan is a sized sheet.
type Plan struct {
	trace.Result
	Text string     // the sheet as it was given
	Book *knot.Book // that it was sized with
	List cutlist.List
}

// Size reads a working sheet, follows every end and makes its cut list. The error
// is a sheet.Faults when the sheet is wrong, or the context's.
func Size(ctx context.Context, text string, b Bench) (Plan, error) {
	s, faults := sheet.Parse(text, b.book())
	if len(faults.Shown) > 0 {
		return Plan{}, faults
	}
	return Sheet(ctx, s, text, b)
}

// Sheet sizes a sheet that has been read already; text is what faults are shown in.
func Sheet(ctx context.Context, s sheet.Sheet, text string, b Bench) (Plan, error) {
	traced, found, err := trace.Trace(ctx, s, trace.Bench{Book: b.book(), Hands: b.Hands, Style: b.Style})
	if err != nil {
		return Plan{}, err
	}
	if len(found) > 0 {
		return Plan{}, sheet.NewFaults(text, found)
	}
	if full := traced.TooFull(); len(full) > 0 {
		return Plan{}, sheet.NewFaults(text, full)
	}
	list, err := cutlist.Make(traced, terms(s, b))
	if err != nil {
		return Plan{}, err
	}
	return Plan{Result: traced, Text: text, Book: b.book(), List: list}, nil
}

// terms are the sheet's own, else the bench's, else the defaults.
func terms(s sheet.Sheet, b Bench) cutlist.Terms {
	t := cutlist.Terms{Margin: b.Margin, Hands: trace.HandTail(), Step: b.Step, Economy: s.Economy}
	if t.Margin == 0 {
		t.Margin = cutlist.DefaultMargin
	}
	if s.Margin != nil {
		t.Margin = cutlist.Share(*s.Margin)
	}
	if t.Step == 0 {
		t.Step = DefaultStep
	}
	if s.RoundUp > 0 {
		t.Step = s.RoundUp
	}
	return t
}
