// Package length holds the exact quantities of the workshop: lengths in whole
// nanometres, masses in whole nanograms, and mass per length.
//
// A [Length] is to space what time.Duration is to time: an integer count of the
// smallest unit, so that an inch (25.4 mm by the 1959 yard and pound agreement)
// and even 1/64 in are exact and sums never drift. Values are read as people
// type them ("2m30", "4ft 11 1/2in", "1,5 m") and printed in metric, imperial or
// both. What will hurt you: a bare number has no unit, so the caller names the
// unit it takes; and a cut length must only ever be rounded up, with
// [Length.RoundUp] and [Style.Cut], never with the informative rounding of [Style.Format].
package length

// Length is a distance in nanometres. It reaches about 9.2 million kilometres.
type Length int64

// The units a maker meets. All are exact: inch, foot and yard by the
// International Yard and Pound Agreement of 1959 (24 FR 5348).
const (
	Nanometre  Length = 1
	Micrometre        = 1000 * Nanometre
	Millimetre        = 1000 * Micrometre
	Centimetre        = 10 * Millimetre
	Metre             = 100 * Centimetre
	Kilometre         = 1000 * Metre
	Inch              = 25_400_000 * Nanometre
	Foot              = 12 * Inch
	Yard              = 3 * Foot
	Fathom            = 2 * Yard
)

// Millimetres returns the length in millimetres as a floating point number.
func (l Length) Millimetres() float64 { return float64(l) / float64(Millimetre) }
