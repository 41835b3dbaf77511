package sheet

import (
	"strconv"

	"larkfold/sizing/caret"
	"larkfold/sizing/length"
)

// Beyond finds what of a sheet that was changed no text of a sheet may say: numbers and
// lengths out of their bounds, more ends and knots than a sheet holds. Which ends there
// are and what they can tie, the trace finds.
func (s Sheet) Beyond() []Fault {
	c := &checker{reader: newReader(nil), measure: measureOf(s)}
	for _, r := range s.rods() {
		c.length(r.Place, "", r.Length, r.long())
		thick := c.measure.thickness(r.Thickness)
		if amiss := rodThickness().outside(r.Thickness, c.measure == inImperial); amiss != "" {
			c.fault(r.Place, "", thick, amiss)
		}
		if amiss := r.amiss(); amiss != "" && r.Length > 0 {
			c.fault(r.Place, "", c.measure.length(r.Length)+" x "+thick, amiss)
		}
	}
	for i := range s.Panels {
		c.panel(&s.Panels[i])
	}
	for _, f := range s.Fringes {
		c.length(f.Place, "fringe", f.Drop, fringeDrop())
		c.lengthIfSaid(f.Place, "fringe", f.Each, fringeEach())
	}
	for _, g := range s.Swags {
		c.length(g.Place, "swag", g.Over, swagOver())
		c.length(g.Place, "swag", g.Drop, swagDrop())
	}
	if h := s.Hanger; h != nil {
		c.lengthIfSaid(h.Place, "hanger", h.Rise, hangerRise())
	}
	return c.faults
}

// rods are all dowels and rings of a sheet.
func (s Sheet) rods() []Rod {
	if s.Rod == nil {
		return nil
	}
	return append([]Rod{*s.Rod}, s.More...)
}

// checker gathers what is beyond the limits.
type checker struct {
	reader  *reader // that counts ends and knots
	measure measure
	faults  []Fault
}

// fault is what is wrong with what a line says: the line's first word and the value.
func (c *checker) fault(at Place, word, said, amiss string) {
	c.faults = append(c.faults, Fault{Place: at, Word: word, Text: caret.Quote(said) + " " + amiss})
}

func (c *checker) length(at Place, word string, l length.Length, b bounds) {
	if amiss := b.outside(l, c.measure == inImperial); amiss != "" {
		c.fault(at, word, c.measure.length(l), amiss)
	}
}

// lengthIfSaid checks a length about which the sheet may be silent.
func (c *checker) lengthIfSaid(at Place, word string, l length.Length, b bounds) {
	if l != 0 {
		c.length(at, word, l, b)
	}
}

// numberIfSaid checks a number about which the sheet may be silent.
func (c *checker) numberIfSaid(at Place, word string, n int, what string, low, high int) {
	if amiss := outside(n, what, low, high); n != 0 && amiss != "" {
		c.fault(at, word, strconv.Itoa(n), amiss)
	}
}

func (c *checker) panel(p *Panel) {
	r := c.reader
	r.panel, r.repeat = p, nil
	r.joins(p)
	for _, s := range p.Steps {
		f := s.lay()
		for _, a := range f.Amounts {
			switch a.Kind {
			case Whole:
				c.numberIfSaid(s.At(), f.Word, *a.Number, a.What, a.Low, a.High)
			case Long:
				c.lengthIfSaid(s.At(), f.Word, *a.Length, boundsOf(a.What))
			case Often:
				c.numberIfSaid(s.At(), f.Word, a.Count.N, a.Word, 1, MostKnots)
				c.lengthIfSaid(s.At(), f.Word, a.Count.For, countFor())
				c.lengthIfSaid(s.At(), f.Word, a.Count.By, countBy())
			}
		}
		switch s := s.(type) {
		case Repeat:
			r.repeat = &s
		case End:
			r.repeat = nil
		}
		l := &line{verb: word{raw: f.Word}}
		if r.limit(l, s, f); l.bad != nil {
			l.bad.Place = s.At()
			c.faults = append(c.faults, *l.bad)
		}
	}
}
