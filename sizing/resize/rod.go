package resize

import (
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// onRod hangs the sheet on another rod; what is not said of it is as it was.
func onRod(s sheet.Sheet, rod, was sheet.Rod) sheet.Sheet {
	s = s.Copy()
	if s.Rod == nil {
		was.Ring = rod.Ring
		s.Rod = &was
	}
	if rod.Length > 0 {
		s.Rod.Length = rod.Length
	}
	if rod.Thickness > 0 {
		s.Rod.Thickness = rod.Thickness
	}
	if rod.Wood != "" {
		s.Rod.Wood = rod.Wood
	}
	return s
}

// toRod takes cords away when the work no longer fits the rod, even pushed together.
func (z *sizer) toRod(s sheet.Sheet) (sheet.Sheet, error) {
	r, err := z.trace(s)
	if err != nil {
		return s, err
	}
	if s.Rod.Length == 0 {
		return s, &Error{Wrong: "the sheet names no dowel", Right: "give the dowel's length too", Of: OfRod}
	}
	switch {
	case z.fills && r.Pushed <= r.Room: // what it is on the rod is not settled yet
		return s, nil
	case r.Relaxed <= r.Room:
		z.note("the work fits the rod relaxed, so it keeps its cords")
		return s, nil
	case r.Pushed <= r.Room:
		z.note("the work fits the rod with its cords pushed closer, so it keeps them")
		return s, nil
	}
	bare := ""
	if !s.Rod.Ring {
		bare = ", with bare ends for the hanger"
	}
	z.note("the work needs %s even when pushed together, more than the rod of %s has room for: its width follows%s", z.say(r.Pushed), z.say(s.Rod.Length), bare)
	g, err := z.grow(s, false)
	if err != nil {
		return s, err
	}
	mounted := func(r trace.Result) length.Length { return r.Mounted }
	f, err := z.search(s, aim{target: r.Room, now: r.Mounted, atMost: true, at: g.to, measure: mounted})
	if err != nil {
		return s, err
	}
	if f.blocked {
		return s, &Error{
			Wrong: "the design cannot be made so narrow that it fits a rod of " + z.say(s.Rod.Length) + f.why(),
			Right: "take a longer rod, or thinner cord", Of: OfRod, Nearest: dowel.RodFor(f.measured),
		}
	}
	z.noteNumbers(s, true)
	return f.sheet, nil
}

// rodFollows lengthens the rod when work that fitted before fits no longer.
func (z *sizer) rodFollows(s sheet.Sheet, before trace.Result) (sheet.Sheet, error) {
	if s.Rod == nil || s.Rod.Ring || before.Sheet.Rod == nil {
		return s, nil
	}
	r, err := z.trace(s)
	if err != nil {
		return s, err
	}
	if before.Relaxed <= before.Room && r.Relaxed > r.Room || before.Pushed <= before.Room && r.Pushed > r.Room {
		s = s.Copy()
		s.Rod.Length = (s.Rod.Length + r.Relaxed - r.Room).RoundUp(stepOf(r.Mounted, inInches(before.Rod.Length)))
	}
	return s, nil
}
