package say

import (
	"fmt"
	"slices"

	"larkfold/commands/picture/drawn"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Telling is a step of the sheet in the words of the instructions, and what is done in
// it; nothing for the ends of what repeats.
type Telling struct {
	Sentence string
	Does     drawn.Span
}

// Told are the steps of one panel in words, one for each step that the sheet has.
func Told(r trace.Result, panel int, units length.Style) []Telling {
	in := Instructions(r, units)[panel]
	steps := r.Sheet.Panels[panel].Steps
	told := make([]Telling, len(steps))
	for i, s := range steps {
		switch s := s.(type) {
		case sheet.Repeat:
			end := i + slices.IndexFunc(steps[i:], func(s sheet.Step) bool { _, ends := s.(sheet.End); return ends })
			told[i].Sentence = fmt.Sprintf("Do what stands up to %d %s.", end+1, noun.Count(s.Times, "time"))
		case sheet.End:
			told[i].Sentence = "End of what is repeated."
		default:
			j := slices.IndexFunc(in.Tells, func(t sheet.Step) bool { return t != nil && t.At() == s.At() })
			if j >= 0 {
				told[i] = Telling{in.Steps[j], in.Spans[j]}
			}
		}
	}
	return told
}
