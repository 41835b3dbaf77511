package question

import (
	"context"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// Knotworks and MadeOf are what /cord can fill a panel with, Bars its bars, CutOfWrap is
// the cut of a sheet's wrap, SagWords a sag in words, for the tests beside them.
var (
	Bars      = bars
	SagWords  = sagWords
	Knotworks = knotworks
	MadeOf    = madeOf
	CutOfWrap = cutOfWrap
)

// Panel is what /cord makes of a question: its sheet, and what it was taken to be.
func Panel(sit sitting.Sitting, req reply.Request) (s sheet.Sheet, drop length.Length, understood func(sizing.Sized) []reply.Fact, err error) {
	w, err := wantPanel(sit, req)
	if err != nil {
		return s, 0, nil, err
	}
	s, err = buildPanel(sit, w)
	return s, w.drop, func(sized sizing.Sized) []reply.Fact { return w.understood(sized, sit.Prefs) }, err
}

// Doubled is what /cut makes of a question: its sheet and the knotwork below the mounts.
func Doubled(sit sitting.Sitting, req reply.Request) (s sheet.Sheet, worked length.Length, err error) {
	d, err := wantDoubling(sit, req)
	if err != nil {
		return s, 0, err
	}
	return d.sheet(false), d.worked(), nil
}

// HangerOf is the hanger that /dowel measures for a sized sheet, and its angle.
func HangerOf(sit sitting.Sitting, sized sizing.Sized) (dowel.Hanger, dowel.Degrees, error) {
	h, err := hungSized(sit, "work", sized, 0)
	return h.hanger(), h.angle, err
}

// SureTurns are the turns that /wrap promises of a cord, and the sheet of so many.
func SureTurns(ctx context.Context, sit sitting.Sitting, req reply.Request) (sure int, of func(turns int) sheet.Sheet, err error) {
	g, err := readGathered(sit, req)
	if err != nil {
		return 0, nil, err
	}
	sure, err = g.sure(ctx, sit)
	return sure, func(turns int) sheet.Sheet {
		g.wrap = sheet.Wrap{Turns: turns}
		return g.sheet()
	}, err
}
