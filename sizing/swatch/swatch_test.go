package swatch

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

const (
	mm = length.Millimetre
	cm = length.Centimetre
)

// sound is a sample of ten square knots: the book says 68 mm and 16 mm a knot.
func sound() Swatch {
	return Swatch{Family: knot.Square, Cord: "main", Count: 10, Used: 68 * cm, SampleLength: 16 * cm, BookUsed: 68 * mm, BookLength: 16 * mm}
}

func TestRatios(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(*Swatch)
		want   Ratios
	}{
		{"as the book says", func(s *Swatch) {}, Ratios{1, 1}},
		{"before and after", func(s *Swatch) { s.Used, s.Before, s.After = 0, 120*cm, 38400*length.Micrometre }, Ratios{1161.6 / 680, 1}},
		{"nothing left", func(s *Swatch) { s.Used, s.Before = 0, 68*cm }, Ratios{1, 1}},
		{"two workers together", func(s *Swatch) { s.Used, s.Ends = 2*748*mm, 2 }, Ratios{1.1, 1}},
		{"loose and tall", func(s *Swatch) { s.SampleLength = 20 * cm }, Ratios{1, 1.25}},
		{"height not measured", func(s *Swatch) { s.SampleLength = 0 }, Ratios{1, 0}},
		{"no height in the book, none measured", func(s *Swatch) { s.SampleLength, s.BookLength = 0, 0 }, Ratios{1, 0}},
	} {
		s := sound()
		tt.change(&s)
		got, err := s.Ratios()
		require.NoError(t, err, tt.name)
		require.InDelta(t, float64(tt.want.TakeUp), float64(got.TakeUp), 1e-12, tt.name)
		require.InDelta(t, float64(tt.want.Height), float64(got.Height), 1e-12, tt.name)
	}
}

func TestRefusedSwatches(t *testing.T) {
	for _, tt := range []struct {
		change func(*Swatch)
		want   string
	}{
		{func(s *Swatch) { s.Used = 0 }, "cannot use this swatch: cord before tying: nothing says how much cord the knots took; give the cord used, or the cord before and after"},
		{func(s *Swatch) { s.Before = 90 * cm }, "cannot use this swatch: cord used “68 cm”: the cord before or after tying is given as well; give the cord used, or the cord before and after"},
		{func(s *Swatch) { s.After = 9 * cm }, "cannot use this swatch: cord used “68 cm”: the cord before or after tying is given as well; give the cord used, or the cord before and after"},
		{func(s *Swatch) { s.Used, s.Before, s.After = 0, 50*cm, 60*cm }, "cannot use this swatch: cord after tying “60 cm”: as much is left as there was before, 50 cm; give what hangs free below the last knot"},
		{func(s *Swatch) { s.Used, s.After = 0, 60*cm }, "cannot use this swatch: cord before tying: nothing says how much cord the knots took; give the cord used, or the cord before and after"},
		{func(s *Swatch) { s.Used = -1 * cm }, "cannot use this swatch: cord used “-1 cm”: no sample has that; give a length above zero"},
		{func(s *Swatch) { s.Used = 1000 * length.Kilometre }, "cannot use this swatch: cord used “1000 km”: no sample has that; give a length above zero"},
		{func(s *Swatch) { s.SampleLength = -1 * cm }, "cannot use this swatch: sample's length “-1 cm”: no sample has that; give a length above zero"},
		{func(s *Swatch) { s.Count = 0 }, "cannot use this swatch: number of knots “0”: that is no sample; tie at least one knot and at most 10000; ten or more measure best"},
		{func(s *Swatch) { s.Count = 1 << 60 }, "cannot use this swatch: number of knots “1152921504606846976”: that is no sample; tie at least one knot and at most 10000; ten or more measure best"},
		{func(s *Swatch) { s.Ends = -2 }, "cannot use this swatch: number of ends “-2”: that many were not measured; give how many ends the lengths add up, or none for one"},
		{func(s *Swatch) { s.BookUsed = 0 }, "cannot use this swatch: book's take-up “0 cm”: there is nothing to compare the sample with; choose an end that the knot uses up"},
		{func(s *Swatch) { s.BookLength = 0 }, "cannot use this swatch: book's height “0 cm”: there is nothing to compare the sample's length with; leave the sample's length out"},
		{func(s *Swatch) { s.Count = 1 }, "cannot use this swatch: take-up “68 cm”: that is 10 times what the book says; expect 0.4 to 2.5 times: check the number of knots, the ends that were measured and the cord's thickness"},
		{func(s *Swatch) { s.SampleLength = 1 * cm }, "cannot use this swatch: height “1 cm”: that is 0.0625 times what the book says; expect 0.4 to 2.5 times: check the number of knots, the ends that were measured and the cord's thickness"},
	} {
		s := sound()
		tt.change(&s)
		_, err := s.Ratios()
		var wrong *Error
		require.ErrorAs(t, err, &wrong)
		require.EqualError(t, err, tt.want)
		_, err = HandsOf([]Swatch{sound(), s})
		require.EqualError(t, err, tt.want)
	}
}

func TestCordsAreNotMixed(t *testing.T) {
	other := sound()
	other.Cord = "jute"
	_, err := HandsOf([]Swatch{sound(), other})
	require.EqualError(t, err, "cannot use this swatch: cord “jute”: the first swatch is of “main”; gather the swatches of each cord by themselves")

	same := sound()
	same.Cord = " Main "
	_, err = HandsOf([]Swatch{sound(), same})
	require.NoError(t, err, "letters' case does not make another cord")
}

// A measured length leads back to the squeeze that made it.
func TestSqueeze(t *testing.T) {
	const nominal = 4 * mm
	turns := func(squeeze cord.Ratio) length.Length { // ten square knots round two fillers
		d := length.Length(float64(squeeze) * float64(nominal))
		return 10 * (length.Length((2*math.Pi+float64(cord.Hull(2)))*float64(d)) + 8*d)
	}
	rapid.Check(t, func(t *rapid.T) {
		want := cord.Ratio(rapid.Float64Range(0.3, 1.2).Draw(t, "squeeze"))
		got, err := Squeeze(turns(want), turns)
		require.NoError(t, err)
		require.InDelta(t, float64(want), float64(got), 1e-6)
	})

	_, err := Squeeze(10*mm, turns)
	require.EqualError(t, err, "cannot use this swatch: measurement “1 cm”: no cord of this thickness gives that; squeezed to 0.3 to 1.2 of its thickness it gives 19.539822 cm to 78.159289 cm; check the number of knots and the cord's thickness")
	_, err = Squeeze(20*length.Metre, turns)
	require.ErrorContains(t, err, "no cord of this thickness gives that")
	_, err = Squeeze(10*mm, func(cord.Ratio) length.Length { return 10 * mm })
	require.EqualError(t, err, "cannot use this swatch: squeeze: this measurement does not depend on how much the cord is squeezed; measure the cord used")
}

func FuzzRatios(f *testing.F) {
	f.Add(10, 0, int64(0), int64(0), int64(68*cm), int64(16*cm), int64(68*mm), int64(16*mm))
	f.Add(10, 2, int64(200*cm), int64(64*cm), int64(0), int64(0), int64(68*mm), int64(0))
	f.Add(-1, -1, int64(-1), int64(-1), int64(-1), int64(-1), int64(-1), int64(-1))
	f.Fuzz(func(t *testing.T, count, ends int, before, after, used, sample, bookUsed, bookLength int64) {
		s := Swatch{Count: count, Ends: ends, Before: length.Length(before), After: length.Length(after), Used: length.Length(used),
			SampleLength: length.Length(sample), BookUsed: length.Length(bookUsed), BookLength: length.Length(bookLength)}
		r, err := s.Ratios()
		if err != nil {
			var wrong *Error
			require.ErrorAs(t, err, &wrong)
			require.Zero(t, r)
			return
		}
		require.True(t, r.TakeUp >= LeastRatio && r.TakeUp <= MostRatio)
		require.True(t, r.Height == 0 || r.Height >= LeastRatio && r.Height <= MostRatio)
	})
}

// Samples are believed up to the edge of what anybody ties or measures.
func TestEdgesOfASwatch(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(s *Swatch, beyond length.Length)
	}{
		{"10 km before tying", func(s *Swatch, beyond length.Length) {
			s.Used, s.Before, s.After = 0, longest+beyond, longest-68*cm
		}},
		{"nearly all left", func(s *Swatch, beyond length.Length) {
			s.Used, s.Before, s.After, s.BookUsed, s.Count, s.SampleLength = 0, 68*cm, 68*cm-1+beyond, 1, 1, 0
		}},
		{"one knot", func(s *Swatch, beyond length.Length) { s.Count, s.Used, s.SampleLength = 1-int(beyond), 68*mm, 16*mm }},
		{"10,000 knots", func(s *Swatch, beyond length.Length) {
			s.Count, s.Used, s.SampleLength = 10_000+int(beyond), 680*length.Metre, 160*length.Metre
		}},
		{"no ends named", func(s *Swatch, beyond length.Length) { s.Ends = -int(beyond) }},
		{"10,000 ends", func(s *Swatch, beyond length.Length) { s.Ends, s.Used = 10_000+int(beyond), 6800*length.Metre }},
		{"the least take-up in the book", func(s *Swatch, beyond length.Length) { s.Count, s.Used, s.BookUsed, s.SampleLength = 1, 1, 1-beyond, 0 }},
		{"the least height in the book", func(s *Swatch, beyond length.Length) {
			s.Count, s.Used, s.SampleLength, s.BookLength = 1, 68*mm, 1, 1-beyond
		}},
		{"two fifths of the book", func(s *Swatch, beyond length.Length) { s.Used = 272*mm - beyond }},
		{"two and a half times the book", func(s *Swatch, beyond length.Length) { s.Used = 1700*mm + beyond }},
	} {
		for beyond := range length.Length(2) {
			s := sound()
			tt.change(&s, beyond)
			_, err := s.Ratios()
			require.Equal(t, beyond > 0, err != nil, "%s and %d beyond: %v", tt.name, beyond, err)
		}
	}
}

// A cord may be squeezed as little and as much as any is, to the last nanometre.
func TestEdgesOfASqueeze(t *testing.T) {
	ten := func(squeeze cord.Ratio) length.Length { return length.Length(float64(squeeze) * float64(10*cm)) }
	for measured, want := range map[length.Length]cord.Ratio{3 * cm: cord.LeastSqueeze, 12 * cm: cord.MostSqueeze} {
		got, err := Squeeze(measured, ten)
		require.NoError(t, err)
		require.InDelta(t, float64(want), float64(got), 1e-6)
	}
	for _, measured := range []length.Length{3*cm - 1, 12*cm + 1} {
		_, err := Squeeze(measured, ten)
		require.ErrorContains(t, err, "no cord of this thickness gives that")
	}
}
