package ask

import (
	"regexp"
	"strings"
	"testing"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

// A bound that is shown is within the bounds, in either system, and the next mark of
// the tape beyond it is not.
func TestShownBoundsAreAccepted(t *testing.T) {
	for _, b := range []length.Bounds{Widths, Drops, RodThicknesses, Spools, RodLengths, FringeDrops, dowelLengths, Pieces, length.Thicknesses()} {
		for _, system := range []length.System{length.Metric, length.Imperial} {
			b.System = system
			least, most, found := strings.Cut(b.Between(), " to ")
			require.True(t, found)
			for _, shown := range []string{least, most} {
				l, err := b.Parse(shown, 0)
				require.NoError(t, err, "%s: %s of %s", b.Noun, shown, b.Between())
				if system == length.Metric {
					require.Contains(t, []length.Length{b.Least, b.Most}, l)
				}
			}
			_, err := b.Parse(beyond(t, least, -1), 0)
			require.Error(t, err, "%s: %s", b.Noun, beyond(t, least, -1))
			_, err = b.Parse(beyond(t, most, 1), 0)
			require.Error(t, err, "%s: %s", b.Noun, beyond(t, most, 1))
			// The refusal says the same.
			_, err = b.Parse("1/100 mm", 0)
			require.ErrorContains(t, err, least+" and "+most)
		}
	}
}

// beyond is a bound one step of its own fineness further.
func beyond(t *testing.T, shown string, by length.Length) string {
	r, err := length.Read(shown, 0)
	require.NoError(t, err)
	return (r.Length + by*r.Place).String()
}

// A number without a unit is how thick a dowel is; one that may as well be its length
// is pointed out.
func TestABareDowelIsAThickness(t *testing.T) {
	for typed, want := range map[string]struct{ thick, along length.Length }{
		"20": {thick: 20 * length.Millimetre}, "60": {thick: 60 * length.Millimetre}, "150": {thick: 150 * length.Millimetre},
		"60cm": {along: 60 * length.Centimetre}, "150mm": {thick: 150 * length.Millimetre}, "151mm": {along: 151 * length.Millimetre},
		"60 x 20": {thick: 20 * length.Millimetre, along: 60 * length.Centimetre},
	} {
		q := options("dowel", typed)
		rod := q.Dowel("dowel")
		require.NoError(t, q.Err, typed)
		require.Equal(t, want.thick, rod.Thickness, typed)
		require.Equal(t, want.along, rod.Length, typed)
	}
	for typed, along := range map[string]string{"24": "", "25": "25cm", "60": "60cm", "60mm": "", "60cm": "", "60 x 20": "", "1/2": "", "3/4": "", "2000": ""} {
		require.Equal(t, along, options("dowel", typed).AlongDowel("dowel"), typed)
	}
	inInches := func(typed string) *Options {
		return Of(options("dowel", typed).Request, sitting.Prefs{Style: length.Style{System: length.Imperial}})
	}
	for typed, along := range map[string]string{"9": "", "10": "10in", "24": "24in", "26 1/2": ""} {
		require.Equal(t, along, inInches(typed).AlongDowel("dowel"), typed)
	}
	require.Equal(t, 53*length.Inch/2, inInches("26 1/2").Dowel("dowel").Length)
	q := options("dowel", "151")
	q.Dowel("dowel")
	var refused *reply.UserError
	require.ErrorAs(t, q.Err, &refused)
	require.Regexp(t, regexp.MustCompile(`in millimetres.*151cm`), refused.Right)
	require.Equal(t, "/cord dowel:151cm", refused.Try)
}
