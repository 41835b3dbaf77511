package resize

import (
	"slices"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// Cords are the cords of a sheet after the change, whose spools are left out: their
// labels were the old cords'.
func (c Change) Cords(all []sheet.Cord) []sheet.Cord {
	all = slices.Clone(all)
	if len(all) == 0 {
		return nil
	}
	lead := max(slices.IndexFunc(all, func(have sheet.Cord) bool { return have.Name == c.Cord }), 0)
	thicker, leading := factor(1), all[lead].Thickness
	if c.Thickness > 0 {
		thicker = factor(float64(c.Thickness) / float64(leading))
	}
	for i, old := range all {
		if c.Cord != "" && i != lead {
			continue
		}
		now := &all[i]
		switch {
		case c.Thickness > 0 && old.Thickness == leading:
			now.Thickness = c.Thickness
		case thicker != 1:
			const step = 50 * length.Micrometre // twentieths of a millimetre
			now.Thickness = max(length.Length(float64(old.Thickness)*float64(thicker)).RoundHalfEven(step), step)
		}
		if made, err := cord.ParseConstruction(c.Construction); err == nil && made != old.Made() {
			now.Construction = made.String()
		}
		if now.Thickness != old.Thickness || now.Construction != old.Construction {
			now.SpoolLength, now.SpoolMass, now.SpoolPrice = 0, 0, 0
		}
	}
	return all
}

// inCord is the same design in other cord: the same counts, and lengths in
// proportion to the working diameter of the cords that their panel hangs by.
func (z *sizer) inCord(s sheet.Sheet, before trace.Result, c Change) (sheet.Sheet, error) {
	old := s
	s = s.Copy()
	s.Cords = c.Cords(s.Cords)
	for i, was := range old.Cords {
		if was.SpoolLength > 0 && s.Cords[i].SpoolLength == 0 {
			z.note("the spool of %s was that of the old cord and is left out: add what the new label says", was.Name)
		}
	}
	z.scale(&s, old)
	if c.Rod == nil {
		grown(&s, z.proportion(s, old, nil))
	}
	r, err := z.trace(s)
	if err == nil && r.Tied() != before.Tied() { // rounding let a row more or less reach
		z.reach(&s, old)
	}
	return s, err
}

// reach makes knots reach as far as before in proportion, without rounding.
func (z *sizer) reach(s *sheet.Sheet, old sheet.Sheet) {
	for i := range s.Panels {
		p := &s.Panels[i]
		f := z.proportion(*s, old, []string{p.Name})
		for j := range p.Steps {
			reach := forOf(old.Panels[i].Steps[j])
			p.Steps[j] = reaching(p.Steps[j], func(length.Length) length.Length { return f.exactly(reach) })
		}
	}
}

// forOf is the length that a step repeats for; zero when it repeats otherwise.
func forOf(step sheet.Step) (l length.Length) {
	reaching(step, func(is length.Length) length.Length { l = is; return is })
	return l
}

// scale changes every length of the sheet in proportion to its panel's cords.
func (z *sizer) scale(s *sheet.Sheet, old sheet.Sheet) {
	whole := z.proportion(*s, old, nil)
	for i := range s.Panels {
		p := &s.Panels[i]
		f := z.proportion(*s, old, []string{p.Name})
		for j, step := range p.Steps {
			p.Steps[j] = inTexture(reaching(scaled(step, f, sheet.Down), f.of), f)
		}
	}
	for i := range s.Fringes {
		fringe := &s.Fringes[i]
		f := z.proportion(*s, old, []string{fringe.Panel})
		if fringe.Panel == "" {
			f = whole
		}
		fringe.Drop, fringe.Each = f.of(fringe.Drop), f.of(fringe.Each)
	}
	for i := range s.Swags {
		swag := &s.Swags[i]
		swag.Over, swag.Drop = whole.of(swag.Over), whole.of(swag.Drop)
	}
	if s.Hanger != nil {
		s.Hanger.Rise = whole.of(s.Hanger.Rise)
	}
}

// proportion is how much wider the mounts of some panels, or of all when none is
// named, have become by the cord alone. A panel that joins others hangs by theirs.
func (z *sizer) proportion(s, old sheet.Sheet, panels []string) factor {
	return factor(z.hung(s, panels) / z.hung(old, panels))
}

// hung adds up the working diameters of the cords that panels hang by.
func (z *sizer) hung(s sheet.Sheet, panels []string) float64 {
	sum := 0.0
	for _, p := range s.Panels {
		if panels != nil && !slices.Contains(panels, p.Name) {
			continue
		}
		if panels != nil && len(p.From) > 0 {
			sum += z.hung(s, p.From)
		}
		for _, h := range p.HungBy() {
			sum += float64(h.Count) * float64(z.diameter(s, h.Cord))
		}
	}
	return sum
}

// diameter is the working diameter of a cord of the sheet; the empty name is the first.
func (z *sizer) diameter(s sheet.Sheet, name string) length.Length {
	for _, c := range s.Cords {
		if name == "" || c.Name == name {
			squeeze := c.Squeeze
			if squeeze == 0 {
				squeeze = z.maker.Hands[c.Name].Squeeze
			}
			return cord.Cord{Nominal: c.Thickness, Construction: c.Made(), Squeeze: squeeze}.Diameter()
		}
	}
	return 0
}
