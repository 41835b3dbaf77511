package swatch

import (
	"math"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// Beside sets a sample beside the book, of which size is one knot as the maker ties
// it. What a sample is differs with the shape of the knot:
//
//   - of a group, so many knots one below the other; its length is their height
//   - of hitches, so many by one end side by side on one core; its length, along the
//     core, is the end's straight way, which the book does not count
//   - of mounts, so many cords hung alike: the cord is that of one end of one of them,
//     from the fold to the axis of the rod, and the length is what all take of the rod
//   - of a plait, its length; crossings are not counted
//
// The error is an *Error.
func (s Swatch) Beside(k *knot.Knot, size knot.Size) (Swatch, error) {
	s.Family, s.BookUsed, s.BookLength = k.Kin(), worker(k, size), size.Height
	if k.Shape == knot.Group {
		return s, nil
	}
	used, err := s.TakenUp()
	if err != nil {
		return s, err
	}
	along := s.SampleLength
	s.Before, s.After, s.SampleLength = 0, 0, 0
	s.Used, s.BookLength = used, 0
	switch k.Shape {
	case knot.Hitch:
		if along == 0 {
			along = size.Pitch * length.Length(s.Count)
		}
		s.Used -= along * length.Length(max(s.Ends, 1))
		if s.Used <= 0 {
			return s, &Error{"cord used", used.String(), "the core alone is longer", "measure what one end used over the core, and the row along it"}
		}
	case knot.Mount:
		s.Used *= length.Length(s.Count)
	case knot.Plait:
		if along == 0 {
			return s, &Error{"length of the plait", "", "nothing says how long a piece was plaited", "measure it"}
		}
		s.Count = 1
		s.BookUsed = length.Length(math.Round(float64(s.BookUsed) * float64(along) / float64(size.Pitch)))
	}
	return s, nil
}

// worker is what one end that ties the knot uses in one.
func worker(k *knot.Knot, size knot.Size) length.Length {
	for i, role := range k.Roles {
		if role.Works {
			return size.Takes[i]
		}
	}
	return 0
}

// Squeezed is how thick the cord of a sample is when knotted, over its label. It is
// told from two measurements together, the cord used and the length of the sample, so
// that a thick cord and a loose hand are kept apart; gauge is the cord in hand at a
// squeeze. It is zero where the sample does not tell: no length was measured, the knot
// is a plait, or no cord would give these measurements.
func (s Swatch) Squeezed(k *knot.Knot, gauge func(squeeze cord.Ratio) knot.Gauge) cord.Ratio {
	if s.SampleLength == 0 || s.Count == 0 || k.Shape != knot.Group && k.Shape != knot.Hitch && k.Shape != knot.Mount {
		return 0
	}
	pitch := s.SampleLength / length.Length(s.Count)
	used, err := s.TakenUp()
	if err != nil {
		return 0
	}
	each := used / length.Length(s.Count*max(s.Ends, 1))
	if k.Shape == knot.Mount {
		each = pitch
	}
	squeeze, err := Squeeze(each, func(squeeze cord.Ratio) length.Length {
		g := gauge(squeeze)
		g.Pitch = pitch
		size, err := k.Size(g)
		switch {
		case err != nil:
			return 0
		case k.Shape == knot.Mount:
			return size.Closer
		case k.Shape == knot.Hitch:
			return worker(k, size) + pitch
		}
		return worker(k, size)
	})
	if err != nil {
		return 0
	}
	return squeeze
}
