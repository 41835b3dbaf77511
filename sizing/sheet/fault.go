package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"larkfold/sizing/caret"
	"larkfold/sizing/noun"
)

// Fault is one thing wrong with a sheet, with all that is needed to show it.
type Fault struct {
	Place
	Word  string // the words that are wrong as they were typed; empty when something is missing
	Text  string // what is wrong and what was expected
	Right string // the line put right; empty when none keeps what was typed
	Like  string // a line of its kind, where there is no Right
	Line  string // the whole line it stands on
	Whole bool   // it is what the sheet lacks, not what a line says: Right is a line to be added

	mended bool // Right is what is meant, if it is accepted
}

// Error returns the picture of the fault: its place, what is wrong, the line
// with carets under the wrong words, and a right example.
func (f Fault) Error() string {
	shown, indent, width := caret.Window(f.Line, f.Column, f.Word)
	gutter := fmt.Sprintf("%3d | ", f.Place.Line)
	var b strings.Builder
	fmt.Fprintf(&b, "line %d, column %d: %s\n", f.Place.Line, f.Column, f.Text)
	fmt.Fprintf(&b, "%s%s\n", gutter, shown)
	fmt.Fprintf(&b, "%s| %s%s", strings.Repeat(" ", len(gutter)-2), strings.Repeat(" ", indent), strings.Repeat("^", width))
	if f.Right != "" {
		fmt.Fprintf(&b, "\nright: %s", f.Right)
	} else if f.Like != "" {
		fmt.Fprintf(&b, "\nsuch as: %s", f.Like)
	}
	return b.String()
}

// MostFaults is how many faults are shown together; the rest are counted.
const MostFaults = 5

// Faults is everything found wrong with one text. It is an error when it holds
// any; use [Faults.Err] to pass it on as one.
type Faults struct {
	Shown []Fault // the first faults in the order of the text, at most MostFaults
	More  int     // how many more there are
}

// NewFaults sorts the faults by place, fills in the lines they stand on from the
// text, and keeps the first MostFaults. It serves whoever finds faults in a sheet
// after it was read.
func NewFaults(text string, found []Fault) Faults {
	if len(found) == 0 {
		return Faults{}
	}
	sorted := slices.Clone(found)
	slices.SortStableFunc(sorted, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.Column, b.Column))
	})
	shown := sorted[:min(len(sorted), MostFaults)]
	lines := Lines(text)
	for i, f := range shown {
		if f.Line == "" && f.Place.Line >= 1 && f.Place.Line <= len(lines) {
			shown[i].Line = lines[f.Place.Line-1]
		}
	}
	return Faults{Shown: shown, More: len(found) - len(shown)}
}

// Any tells whether there is any fault.
func (f Faults) Any() bool { return len(f.Shown) > 0 }

// Err returns the faults as an error, or nil when there are none.
func (f Faults) Err() error {
	if !f.Any() {
		return nil
	}
	return f
}

// Error returns the pictures of the faults shown, one under the other, and how
// many more there are.
func (f Faults) Error() string {
	var pictures []string
	for _, fault := range f.Shown {
		pictures = append(pictures, fault.Error())
	}
	if f.More > 0 {
		pictures = append(pictures, "and "+noun.Count(f.More, "more fault")+" after these")
	}
	return strings.Join(pictures, "\n\n")
}

// Lines splits a text at line feeds, carriage returns and pairs of both.
func Lines(text string) []string {
	text = strings.TrimPrefix(text, "\uFEFF")
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	return strings.Split(text, "\n")
}
