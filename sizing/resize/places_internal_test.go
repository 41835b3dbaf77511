package resize

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// The ends that the parts of a step name, of twelve and of seven.
func TestBoundsOfParts(t *testing.T) {
	for _, c := range []struct {
		part     sheet.Span
		of       int
		from, to int
	}{
		{sheet.Span{Kind: sheet.Leftmost, To: 4}, 12, 1, 4},
		{sheet.Span{Kind: sheet.Rightmost, To: 4}, 12, 9, 12},
		{sheet.Span{Kind: sheet.Middlemost, To: 4}, 12, 5, 8},
		{sheet.Span{Kind: sheet.Middlemost, To: 3}, 7, 3, 5},
		{sheet.Span{Kind: sheet.Numbers, From: 2, To: 6}, 12, 2, 6},
	} {
		from, to := bounds(c.part, c.of)
		require.Equal(t, []int{c.from, c.to}, []int{from, to}, "%v of %d", c.part, c.of)
	}
}

// Lengths that were written in inches go up to the next step of a tape, others to that
// of a rule: 1 1/2 in by 1.1 is 1.65 in, in sixteenths 1 11/16 in.
func TestLengthsGoUpToWhatPeopleMeasure(t *testing.T) {
	const in = length.Inch
	for _, c := range []struct {
		was  length.Length
		by   factor
		want length.Length
	}{
		{in * 3 / 2, 1.1, in * 27 / 16},
		{in * 15 / 8, 1.1, in * 9 / 4}, // 2 1/16 in, in quarters from 2 in on
		{9 * in, 1.01, in * 37 / 4},    // 9.09 in
		{9 * in, 1.12, in * 21 / 2},    // 10.08 in, in halves from 10 in on
		{25 * length.Millimetre, 1.03, 26 * length.Millimetre},
		{29 * length.Millimetre, 1.06, 35 * length.Millimetre}, // 30.74 mm, in half centimetres from 3 cm on
		{7 * length.Millimetre, 1, 7 * length.Millimetre},
	} {
		require.Equal(t, c.want, c.by.up(c.was), "%v by %v", c.was, c.by)
	}
}
