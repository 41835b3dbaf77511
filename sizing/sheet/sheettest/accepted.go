package sheettest

import (
	"slices"
	"strings"

	"larkfold/sizing/sheet"
)

// Accepted tells whether the right line of a fault is accepted in the text that
// the fault was found in: put in the place of the wrong line, or where a line is
// missing, above or below it. Other lines may still be wrong.
func Accepted(text string, f sheet.Fault, knots sheet.Knots) bool {
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n")
	at := f.Place.Line - 1
	with := func(from, to, right int) bool {
		all := slices.Concat(lines[:from], []string{f.Right}, lines[to:])
		_, faults := sheet.Parse(strings.Join(all, "\n"), knots)
		return !slices.ContainsFunc(faults.Shown, func(again sheet.Fault) bool {
			return again.Place.Line == right && !again.Whole || f.Whole && again.Text == f.Text && again.Word == f.Word
		})
	}
	if !f.Whole {
		return with(at, at+1, at+1)
	}
	return with(at, at, at+1) || with(at+1, at+1, at+2) || with(len(lines), len(lines), len(lines)+1)
}
