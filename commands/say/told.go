package say

import (
	"fmt"
	"slices"

	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Told are the steps of one panel in the words of the instructions, one for each step
// that the sheet has, the beginning and the end of what repeats among them.
func Told(r trace.Result, panel int, units length.Style) []string {
	in := Instructions(r, units)[panel]
	steps := r.Sheet.Panels[panel].Steps
	told := make([]string, len(steps))
	for i, s := range steps {
		switch s := s.(type) {
		case sheet.Repeat:
			end := i + slices.IndexFunc(steps[i:], func(s sheet.Step) bool { _, ends := s.(sheet.End); return ends })
			told[i] = fmt.Sprintf("Do what stands up to %d %s.", end+1, noun.Count(s.Times, "time"))
		case sheet.End:
			told[i] = "End of what is repeated."
		default:
			j := slices.IndexFunc(in.Tells, func(t sheet.Step) bool { return t != nil && t.At() == s.At() })
			if j >= 0 {
				told[i] = in.Steps[j]
			}
		}
	}
	return told
}
