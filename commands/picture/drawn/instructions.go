package drawn

import (
	"fmt"

	"larkfold/sizing/sheet"
)

// Span is what one sentence of the instructions is about: the steps From up to To, as
// they were done, of a panel; with Panel -1 what is cut besides, From up to To of what
// the trace lists. Where both are alike the ends of other panels are taken up.
type Span struct{ Panel, From, To int }

// when tells whether a step of a panel comes before what the span is about, -1, is
// what it is about, 0, or comes later, 1.
func (s Span) when(panel, step int) int {
	switch {
	case s.Panel < 0, panel < s.Panel, panel == s.Panel && step < s.From:
		return -1
	case panel == s.Panel && step < s.To:
		return 0
	}
	return 1
}

// Instructions are the steps of one panel, or of what comes after the panels, as
// sentences.
type Instructions struct {
	Name  string
	Steps []string
	Tells []sheet.Step // the step that each of the first ones is about; nil for one that is about several
	Spans []Span       // what is done in each of them
}

// Number is what sentence i is numbered: what finishes the piece has numbers of its
// own, so that no two beside the work are alike but of different panels.
func (in Instructions) Number(i int) string {
	if i < len(in.Spans) && in.Spans[i].Panel < 0 {
		return fmt.Sprintf("F%d", i+1)
	}
	return fmt.Sprint(i + 1)
}
