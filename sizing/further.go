package sizing

import (
	"context"
	"slices"

	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Further tries what could come next in one panel of a sheet, one step at a time and
// without following the whole sheet for each. It is not for several goroutines at once.
type Further struct {
	read   *sheet.Further
	stand  *trace.Stand
	from   int          // the first step that is tied anew
	behind []sheet.Step // the steps from there on
}

// NewFurther follows a sheet up to a step of a panel, both by their index; the step is
// none inside a repeat. The error is as of [Size].
func NewFurther(ctx context.Context, text string, panel, step int, m Maker) (*Further, error) {
	s, read, faults := sheet.NewFurther(text, panel, m.book())
	if faults.Any() {
		return nil, faults
	}
	stand, found, err := trace.NewStand(ctx, s, m.trace(), panel, step)
	if err != nil {
		return nil, err
	}
	if len(found) > 0 {
		return nil, sheet.NewFaults(text, found)
	}
	return &Further{read, stand, step, s.Panels[panel].Steps[step:]}, nil
}

// With is the sheet with one more line before the step of the panel that has this
// index, which is not less than the one it was followed to; false when that cannot be
// tied. The knots are counted and not kept. The error is that of the context given
// at first.
func (f *Further) With(line string, before int) (trace.Result, bool, error) {
	step, ok := f.read.Step(line)
	if !ok {
		return trace.Result{}, false, nil
	}
	traced, found, err := f.stand.With(slices.Insert(slices.Clone(f.behind), before-f.from, step)...)
	return traced, err == nil && len(found) == 0 && len(traced.TooFull()) == 0, err
}
