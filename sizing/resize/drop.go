package resize

import (
	"fmt"
	"math"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Drop is the finished drop of the longest panel, from the axis of the rod.
func Drop(r trace.Result) length.Length {
	var drop length.Length
	for _, p := range r.Panels {
		drop = max(drop, p.Drop)
	}
	return drop
}

// toDrop meets a drop.
func (z *sizer) toDrop(s sheet.Sheet, target length.Length) (sheet.Sheet, error) {
	r, err := z.trace(s)
	if err != nil {
		return s, err
	}
	f, err := z.search(s, aim{target: target, now: Drop(r), measure: Drop, at: func(f factor) (sheet.Sheet, bool) { return longer(s, f), true }})
	if err != nil {
		return s, err
	}
	if f.blocked {
		limit := "longest"
		if f.measured > target {
			limit = "shortest"
		}
		right := fmt.Sprintf("the %s that nets, sinnets, bars, plaits, spaces and tails can make it is %s", limit, z.say(f.measured))
		if f.measured == Drop(r) {
			right = fmt.Sprintf("it stays %s: nothing but nets, sinnets, repeated bars, plaits, spaces and tails can be made longer or shorter, so change the rows yourself", z.say(f.measured))
		}
		e := &Error{Wrong: fmt.Sprintf("it cannot be made %s long%s", z.say(target), f.why()), Right: right, Of: OfDrop}
		if f.measured != Drop(r) {
			e.Nearest = f.measured
		}
		return s, e
	}
	z.noteOff(f, target, "long")
	return f.sheet, nil
}

// longer is the sheet with lengths down the work in proportion and counts by
// whole repeats. Single rows, tapers and wraps stay, and so does what a block of
// repeated steps holds: the block comes more often.
func longer(s sheet.Sheet, f factor) sheet.Sheet {
	s = s.Copy()
	for i := range s.Panels {
		steps := s.Panels[i].Steps
		inside := false
		for j, step := range steps {
			switch facts := sheet.FactsOf(step); {
			case facts.Opens != nil:
				*facts.Opens = min(max(times(*facts.Opens, 1, f), sheet.LeastRepeats), sheet.MostRepeats)
				steps[j], inside = facts.Step(), true
			case facts.Closes:
				inside = false
			case !inside:
				steps[j] = repeated(reaching(scaled(step, f, sheet.Down), f.of), f)
			}
		}
	}
	for i := range s.Fringes {
		s.Fringes[i].Drop = f.of(s.Fringes[i].Drop)
	}
	for i := range s.Swags {
		s.Swags[i].Drop = f.of(s.Swags[i].Drop)
	}
	return s
}

// repeated changes how often a step repeats: a net by two rows, so that its last
// row stays of the same kind.
func repeated(step sheet.Step, f factor) sheet.Step {
	facts := sheet.FactsOf(step)
	count, lot := facts.Count(), facts.Lot()
	if count == nil || lot == 0 {
		return step
	}
	count.N = times(count.N, lot, f)
	return facts.Step()
}

// times is a count in proportion, changed by so many at a time; one that stands
// alone stays.
func times(n, by int, f factor) int {
	if n <= 1 {
		return n
	}
	return max(n+by*int(math.Round(float64(n)*(float64(f)-1)/float64(by))), least(n, by))
}
