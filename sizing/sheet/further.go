package sheet

import (
	"maps"
	"slices"
	"strings"

	"larkfold/sizing/length"
)

// Further reads lines that could come next in one panel of a sheet, each as if none
// of the others were there, without reading the whole sheet again.
type Further struct {
	read  *reader
	panel Panel
	next  int // the line that they would stand on
	lines int // that the sheet has
	bytes int
}

// NewFurther reads a sheet, to read further steps of the panel that has this index.
// The faults are the sheet's own; there is none further then.
func NewFurther(text string, panel int, knots Knots) (Sheet, *Further, Faults) {
	r, faults := parse(text, knots, length.Metric)
	if faults.Any() {
		return r.sheet, nil, faults
	}
	f := &Further{read: r, panel: r.sheet.Panels[panel], bytes: len(text)}
	f.panel.Steps = slices.Clip(f.panel.Steps)
	f.next = f.panel.Line + 1
	if n := len(f.panel.Steps); n > 0 {
		f.next = f.panel.Steps[n-1].At().Line + 1
	}
	for i, l := range Lines(text) {
		if strings.TrimSpace(l) != "" {
			f.lines = i + 1
		}
	}
	return r.sheet, f, faults
}

// Step reads one line as the panel's next step; not what mounts cords or leaves rod
// bare, which comes before the others.
func (f *Further) Step(text string) (Step, bool) {
	if f.lines >= MostLines || f.bytes+len(text)+len("\n") > MostBytes {
		return nil, false
	}
	r, panel := *f.read, f.panel
	r.panel, r.book.panel, r.faults, r.panelEnds = &panel, panel.Name, nil, maps.Clone(r.panelEnds)
	for _, l := range r.lines(text) {
		l.number = f.next
		r.line(l)
	}
	if len(r.faults) > 0 || len(panel.Steps) != len(f.panel.Steps)+1 {
		return nil, false
	}
	return panel.Steps[len(panel.Steps)-1], true
}
