package sheet

import "slices"

// Copy is a sheet that equals s and shares nothing with it that can be changed.
func (s Sheet) Copy() Sheet {
	s.Cords, s.More, s.Fringes = slices.Clone(s.Cords), slices.Clone(s.More), slices.Clone(s.Fringes)
	s.Swags, s.Remarks, s.Panels = slices.Clone(s.Swags), slices.Clone(s.Remarks), slices.Clone(s.Panels)
	s.Rod, s.Margin, s.Hanger = pointed(s.Rod), pointed(s.Margin), pointed(s.Hanger)
	for i := range s.Panels {
		p := &s.Panels[i]
		p.From, p.Steps = slices.Clone(p.From), slices.Clone(p.Steps)
		for j, step := range p.Steps {
			p.Steps[j] = copyOf(step)
		}
	}
	return s
}

// copyOf is a step that shares nothing with another.
func copyOf(step Step) Step {
	f := step.lay()
	for _, a := range f.Amounts {
		switch a.Kind {
		case Some:
			a.Ends.Parts = slices.Clone(a.Ends.Parts)
		case Lots:
			*a.Hung = slices.Clone(*a.Hung)
		case Incline:
			*a.Slope = pointed(*a.Slope)
		}
	}
	return f.Step()
}

// pointed is a pointer to a copy of what another points to; nil for nil.
func pointed[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

// Placed is a sheet as [Format] writes it, with its text and the places of its lines and
// comments there: what [Parse] reads of the text, if it is within the limits of a sheet.
func (s Sheet) Placed() (placed Sheet, text string) {
	s = s.Copy()
	w := &writer{measure: measureOf(s)}
	w.sheet(&s)
	text, lines, remarks := w.text(s.Remarks)
	s.Remarks = remarks
	next := 0
	for i := range s.Panels {
		for j, step := range s.Panels[i].Steps {
			for !w.statements[next].indent {
				next++
			}
			f := step.lay()
			*f.Place = Place{lines[next], 1 + len(margin)}
			s.Panels[i].Steps[j] = f.Step()
			next++
		}
	}
	for i, said := range w.statements {
		if !said.indent {
			*said.at = Place{lines[i], 1}
		}
	}
	return s, text
}
