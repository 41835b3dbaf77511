// Package swatch turns a maker's own samples into factors on the knot book and
// into a margin.
//
// A [Swatch] is a sample: so many knots tied, the cord they took and their height,
// beside what the book says of one knot. Its [Ratios] are measured over book.
// [HandsOf] gathers the swatches of one cord into [Hands]: for every family of
// knots a [Factor] for take-up and one for height, each with mean and spread.
// [Factor.Margin] is the share of cord to add so that the chosen chance of running
// short remains, [Chance] what the margins of a whole piece are worth, and [Squeeze]
// finds how much the cord is squeezed from one measured length.
//
// What will hurt you: fewer than three swatches show no spread, so
// [DefaultSpread] stands in for it and the factor says so; what is promised then
// holds for hands that vary no more. A factor belongs to one cord and one family;
// swatches of different cords are refused, and a family without a sample borrows
// another's. Outliers are pointed out and never dropped: an odd sample is often the
// honest one.
package swatch

import (
	"fmt"
	"strings"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// Swatch is one sample. Either Used or both Before and After are set. Zero
// SampleLength means that the height was not measured.
type Swatch struct {
	Cord   string
	Family knot.Family   // the knot's
	Count  int           // knots tied, one below the other
	Ends   int           // how many alike ends Before, After and Used add up; zero means one
	Before length.Length // cord before tying
	After  length.Length // what was left free after tying
	Used   length.Length // cord that went into the knots, if measured straight
	// SampleLength is the height of the knots together.
	SampleLength length.Length
	BookUsed     length.Length // what the book says one such end takes up in one knot
	BookLength   length.Length // what the book says is the height of one knot; may be zero without SampleLength
}

// Ratios are measured over book.
type Ratios struct {
	TakeUp cord.Ratio
	Height cord.Ratio // zero when the height was not measured
}

// The bounds of a believable ratio: a sample outside them was measured or typed
// wrongly (common practice, no source).
const (
	LeastRatio cord.Ratio = 0.4
	MostRatio  cord.Ratio = 2.5
)

// mostKnots is more than anybody ties for a sample.
const mostKnots = 10_000

// longest is more cord than anybody measures by hand.
const longest = 10 * length.Kilometre

// TakenUp is the cord that went into the knots, all measured ends together. The
// error is an *Error.
func (s Swatch) TakenUp() (length.Length, error) {
	for _, m := range []struct {
		what   string
		length length.Length
	}{{"cord before tying", s.Before}, {"cord after tying", s.After}, {"cord used", s.Used}, {"sample's length", s.SampleLength}} {
		if m.length < 0 || m.length > longest {
			return 0, &Error{m.what, m.length.String(), "no sample has that", "give a length above zero"}
		}
	}
	measured := s.Before != 0 || s.After != 0
	switch {
	case s.Used != 0 && measured:
		return 0, &Error{"cord used", s.Used.String(), "the cord before or after tying is given as well", "give the cord used, or the cord before and after"}
	case s.Used != 0:
		return s.Used, nil
	case s.Before == 0:
		return 0, &Error{"cord before tying", "", "nothing says how much cord the knots took", "give the cord used, or the cord before and after"}
	case s.After >= s.Before:
		return 0, &Error{"cord after tying", s.After.String(), "as much is left as there was before, " + s.Before.String(), "give what hangs free below the last knot"}
	}
	return s.Before - s.After, nil
}

// Ratios compares the sample with the book. The error is an *Error.
func (s Swatch) Ratios() (Ratios, error) {
	used, err := s.TakenUp()
	if err != nil {
		return Ratios{}, err
	}
	if s.Count < 1 || s.Count > mostKnots {
		return Ratios{}, &Error{"number of knots", fmt.Sprint(s.Count), "that is no sample", fmt.Sprintf("tie at least one knot and at most %d; ten or more measure best", mostKnots)}
	}
	if s.Ends < 0 || s.Ends > mostKnots {
		return Ratios{}, &Error{"number of ends", fmt.Sprint(s.Ends), "that many were not measured", "give how many ends the lengths add up, or none for one"}
	}
	if s.BookUsed <= 0 {
		return Ratios{}, &Error{"book's take-up", s.BookUsed.String(), "there is nothing to compare the sample with", "choose an end that the knot uses up"}
	}
	var r Ratios
	if r.TakeUp, err = ratio("take-up", used, s.BookUsed, s.Count*max(s.Ends, 1)); err != nil {
		return Ratios{}, err
	}
	if s.SampleLength == 0 {
		return r, nil
	}
	if s.BookLength <= 0 {
		return Ratios{}, &Error{"book's height", s.BookLength.String(), "there is nothing to compare the sample's length with", "leave the sample's length out"}
	}
	if r.Height, err = ratio("height", s.SampleLength, s.BookLength, s.Count); err != nil {
		return Ratios{}, err
	}
	return r, nil
}

func ratio(what string, measured, book length.Length, times int) (cord.Ratio, error) {
	r := cord.Ratio(float64(measured) / float64(book) / float64(times))
	if r < LeastRatio || r > MostRatio {
		return 0, &Error{what, measured.String(), fmt.Sprintf("that is %.3g times what the book says", float64(r)),
			fmt.Sprintf("expect %.3g to %.3g times: check the number of knots, the ends that were measured and the cord's thickness", float64(LeastRatio), float64(MostRatio))}
	}
	return r, nil
}

// Error says what of a swatch is wrong and what would be right.
type Error struct {
	What  string // the measurement
	Read  string // as read; empty when it is missing
	Wrong string
	Right string
}

// Error is one sentence.
func (e *Error) Error() string {
	what := e.What
	if e.Read != "" {
		what += " “" + e.Read + "”"
	}
	return "cannot use this swatch: " + what + ": " + e.Wrong + "; " + e.Right
}

func sameCord(a, b string) bool {
	return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b))
}
