package sitting

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
	"larkfold/store"
)

const mm = length.Millimetre

// tied is a swatch of ten knots for which a cord gives so many times what the book
// says when the cord is squeezed so: by the book's own knot at that squeeze, at its own
// pitch, so that the swatch tells the squeeze again where the factor is 1.
func tied(t *testing.T, of string, name string, thickness length.Length, made cord.Construction, squeeze, times cord.Ratio) store.Swatch {
	t.Helper()
	const count = 10
	k, ok := knot.Standard().Knot(of)
	require.True(t, ok)
	s := Swatch{Sample: Sample{Thickness: thickness}, Making: Making{construction: made}, knot: k}
	g := s.gauge(squeeze)
	size, err := k.Size(g)
	require.NoError(t, err)
	worker := size.Takes[0]
	sample := Sample{Count: count, Thickness: thickness, Construction: made.String()}
	switch k.Shape {
	case knot.Mount:
		sample.Used, sample.Length = length.Length(times*cord.Ratio(worker)), size.Closer*count
	case knot.Hitch:
		sample.Used, sample.Length = length.Length(times*cord.Ratio(worker))*count+size.Pitch*count, size.Pitch*count
	case knot.Plait:
		sample.Count, sample.Used, sample.Length = 1, length.Length(times*cord.Ratio(worker))*count, size.Pitch*count
	default:
		sample.Used, sample.Length = length.Length(times*cord.Ratio(worker))*count, size.Height*count
	}
	return store.Swatch{Knot: of, Cord: name, Data: asJSON(t, sample)}
}

// handsOf is what is known of a member's work in a cord of a sheet.
func handsOf(t *testing.T, p Prefs, c sheet.Cord, swatches ...store.Swatch) Hand {
	t.Helper()
	s := Sitting{Prefs: p, Standard: knot.Standard(), reads: Sheets, troubles: &Troubles{}, swatches: swatches}
	hands, err := s.Hands(s.Standard, []sheet.Cord{c})
	require.NoError(t, err)
	if len(hands) == 0 {
		return Hand{}
	}
	return hands[0]
}

// A cord of a sheet is the one of the member's that has its words, whatever stands
// between them; else the only one of that make; else the one that takes most, so that
// no other runs short, and the others are named.
func TestWhichOfTheMembersCordsIsMeant(t *testing.T) {
	const white, red, bare = "Harbour White", "harbour-red", ""
	swatch := func(name string, times cord.Ratio) store.Swatch {
		return tied(t, "square knot", name, 4*mm, cord.SingleStrand, 0, times)
	}
	for _, one := range []struct {
		swatches []store.Swatch
		sheet    string
		want     string
		takes    cord.Ratio
		others   []string
	}{
		{[]store.Swatch{swatch(white, 1.1), swatch(red, 1.3)}, "red", red, 1.3, nil},
		{[]store.Swatch{swatch(white, 1.1), swatch(red, 1.3)}, "white harbour", white, 1.1, nil},
		{[]store.Swatch{swatch(white, 1.1), swatch(red, 1.3)}, "White-Harbour", white, 1.1, nil},
		{[]store.Swatch{swatch(white, 1.1), swatch(red, 1.3)}, "main", red, 1.3, []string{"harbour white"}},
		{[]store.Swatch{swatch(red, 1.3), swatch(white, 1.1)}, "harbour", red, 1.3, []string{"harbour white"}},
		{[]store.Swatch{swatch(white, 1.4), swatch(red, 1.3)}, "white red", white, 1.4, []string{"harbour red"}},
		{[]store.Swatch{swatch(white, 1.1), swatch("harbour  white", 1.3)}, "main", white, 1.2, nil},
		{[]store.Swatch{swatch(bare, 1.1), swatch(red, 1.3)}, "main", red, 1.3, []string{"the one without a name"}},
		{[]store.Swatch{swatch(white, 1.1)}, "main", white, 1.1, nil},
		{[]store.Swatch{swatch(bare, 1.1)}, "main", bare, 1.1, nil},
	} {
		h := handsOf(t, Prefs{}, sheet.Cord{Name: one.sheet, Thickness: 4 * mm}, one.swatches...)
		require.Equal(t, one.want, h.Name, one.sheet)
		require.Equal(t, one.others, h.Others, one.sheet)
		require.InDelta(t, float64(one.takes), float64(h.Seen[knot.Square].TakeUp.Mean), 0.001, one.sheet)
	}
}

// Swatches go by the thickness to a quarter of a millimetre, ties to even, and by how
// the cord is made.
func TestSwatchesOfOneMake(t *testing.T) {
	of := tied(t, "square knot", "", 4*mm, cord.SingleStrand, 0, 1.2)
	for _, one := range []struct {
		thickness length.Length
		made      string
		counts    int
	}{
		{4 * mm, "", 1}, {4*mm + mm/8, "", 1}, {4*mm + mm/8 + 1, "", 0}, {4*mm - mm/8, "single-strand", 1}, {4*mm - mm/8 - 1, "", 0}, {4 * mm, "plied", 0},
	} {
		require.Equal(t, one.counts, handsOf(t, Prefs{}, sheet.Cord{Name: "main", Thickness: one.thickness, Construction: one.made}, of).Count, one)
	}
}

// How thick a cord is when knotted: what the sheet says, else what the member's mounts
// tell, or sinnets, or hitches, each the mean of its samples; else what they set; else
// nothing of theirs.
func TestWhatTellsHowThickACordIsWhenKnotted(t *testing.T) {
	in := func(of string, squeeze cord.Ratio) store.Swatch {
		return tied(t, of, "", 4*mm, cord.SingleStrand, squeeze, 1)
	}
	mount, square, wide, hitch, plait := in("lark's head", 0.8), in("square knot", 0.7), in("square knot", 0.9), in("double half hitch", 0.6), in("three-strand plait", 0.5)
	untold := store.Swatch{Knot: "square knot", Data: asJSON(t, Sample{Count: 10, Used: 60 * length.Centimetre, Thickness: 4 * mm, Construction: "single-strand"})}
	set := Prefs{Squeezes: map[string]cord.Ratio{cord.SingleStrand.String(): 0.65}}
	for _, one := range []struct {
		sheet    cord.Ratio
		prefs    Prefs
		swatches []store.Swatch
		want     cord.Ratio
	}{
		{0.95, set, []store.Swatch{mount, square}, 0.95},
		{0, set, []store.Swatch{hitch, square, mount}, 0.8},
		{0, set, []store.Swatch{plait, hitch, square}, 0.7},
		{0, set, []store.Swatch{square, wide, hitch}, 0.8},
		{0, set, []store.Swatch{square, untold, hitch}, 0.7},
		{0, set, []store.Swatch{hitch, plait}, 0.6},
		{0, set, []store.Swatch{plait}, 0.65},
		{0, set, nil, 0.65},
		{0, Prefs{}, []store.Swatch{plait}, 0},
		{0, Prefs{}, nil, 0},
	} {
		h := handsOf(t, one.prefs, sheet.Cord{Name: "main", Thickness: 4 * mm, Squeeze: one.sheet}, one.swatches...)
		require.InDelta(t, float64(one.want), float64(h.Squeeze), 0.001, one.want)
		require.Len(t, one.swatches, h.Count)
	}
}

// What a member's knots take is compared at the squeeze that they are sized with, so
// that neither counts twice: who ties as the book does, in cord that is squeezed more,
// is the book's hand at that squeeze. What is too far from the book then is left out.
func TestHandsAreComparedAtTheirSqueeze(t *testing.T) {
	square := tied(t, "square knot", "", 4*mm, cord.SingleStrand, 0.6, 1)
	c := sheet.Cord{Name: "main", Thickness: 4 * mm}
	h := handsOf(t, Prefs{}, c, square)
	require.InDelta(t, 1, float64(h.Hands[knot.Square].TakeUp.Mean), 0.001)
	require.Less(t, h.Seen[knot.Square].TakeUp.Mean, cord.Ratio(0.95), "thinner than usual, it takes less than the book's")
	require.Equal(t, 1, h.Count)

	double := tied(t, "square knot", "", 4*mm, cord.SingleStrand, 0.6, 2)
	c.Squeeze = cord.LeastSqueeze // at half that thickness it would be four times the book's, which nobody ties
	h = handsOf(t, Prefs{}, c, double)
	require.Nil(t, h.Hands)
	require.NotNil(t, h.Seen)
	require.Equal(t, cord.LeastSqueeze, h.Squeeze)
	require.Nil(t, Traced(nil))
	require.Equal(t, map[string]trace.Hand{"main": {Squeeze: cord.LeastSqueeze}}, Traced([]Hand{h}))

	// A hitch whose core alone would be longer than the cord is no sample of anything.
	core := tied(t, "double half hitch", "", 4*mm, cord.SingleStrand, 0, 1)
	core.Data = asJSON(t, Sample{Count: 10, Used: 9 * length.Centimetre, Length: 9 * length.Centimetre, Thickness: 4 * mm, Construction: "single-strand"})
	require.Zero(t, handsOf(t, Prefs{}, sheet.Cord{Name: "main", Thickness: 4 * mm}, core).Count)
}

// Mounts were hung on the rod that they were measured on; where none was said it is the
// usual one of 20 mm.
func TestMountsAreOfTheirRod(t *testing.T) {
	hung := func(rod length.Length) cord.Ratio {
		s := Sample{Count: 10, Used: 8 * length.Centimetre, Thickness: 4 * mm, Construction: "single-strand", Rod: rod}
		h := handsOf(t, Prefs{}, sheet.Cord{Name: "main", Thickness: 4 * mm}, store.Swatch{Knot: "lark's head", Data: asJSON(t, s)})
		return h.Seen[knot.Mounts].TakeUp.Mean
	}
	require.Equal(t, hung(20*mm), hung(0))
	require.Greater(t, hung(0), hung(25*mm), "round a thicker rod the book has more")
}

// A swatch of a knot that the book has no more is compared with what it said then.
func TestASwatchOfAKnotThatIsGone(t *testing.T) {
	s := Sample{Count: 10, Used: 68 * length.Centimetre, Thickness: 4 * mm, Construction: "single-strand", BookUsed: 5 * length.Centimetre}
	of := store.Swatch{Knot: "pebble knot", Data: asJSON(t, s)}
	h := handsOf(t, Prefs{}, sheet.Cord{Name: "main", Thickness: 4 * mm}, of)
	require.InDelta(t, 68.0/50, float64(h.Seen[knot.Square].TakeUp.Mean), 1e-9)
	require.Zero(t, h.Squeeze)
	s.BookUsed = 0
	of.Data = asJSON(t, s)
	require.Zero(t, handsOf(t, Prefs{}, sheet.Cord{Name: "main", Thickness: 4 * mm}, of).Count, "it compares with nothing")
}

// A swatch is named by its cord; what it took is what was measured, or nothing where
// that makes no sense.
func TestASwatchInWords(t *testing.T) {
	s := Sample{Count: 10, Before: length.Metre, After: 46 * length.Centimetre, Thickness: 4 * mm, Construction: "plied"}
	swatchOf := func(name string, s Sample) Swatch {
		t.Helper()
		made, err := Compared(store.Swatch{Knot: "square knot", Cord: name}, s, 1, knot.Standard(), Prefs{})
		var wrong *swatch.Error
		if err != nil {
			require.ErrorAs(t, err, &wrong)
		}
		return made
	}
	require.Equal(t, "4 mm plied harbour red", swatchOf("harbour red", s).Words(Prefs{}))
	require.Equal(t, "4 mm plied", swatchOf("", s).Words(Prefs{}))
	require.Equal(t, 54*length.Centimetre, swatchOf("", s).Taken())
	s.After = s.Before
	require.Zero(t, swatchOf("", s).Taken())
	require.False(t, swatchOf("", s).Counts())

	_, err := Compared(store.Swatch{Knot: "square knot"}, Sample{Construction: "wire"}, 1, knot.Standard(), Prefs{})
	require.ErrorContains(t, err, "a swatch cannot be read")
	for _, damaged := range []string{`{"construction":"wire"}`, `{`} {
		_, err = comparedAll([]store.Swatch{{Knot: "square knot", Data: []byte(damaged)}}, knot.Standard(), Prefs{})
		require.ErrorContains(t, err, "a swatch cannot be read")
	}
}

// A cord that is asked about is as thick as its swatches or preferences say; one of
// which nothing is known is as it was asked.
func TestAKnottedCord(t *testing.T) {
	asked := cord.Cord{Nominal: 4 * mm, Construction: cord.SingleStrand}
	s := Sitting{Standard: knot.Standard(), reads: Sheets, troubles: &Troubles{}, swatches: []store.Swatch{tied(t, "square knot", "", 4*mm, cord.SingleStrand, 0.6, 1)}}
	known, hands, err := s.Knotted(s.Standard, asked)
	require.NoError(t, err)
	require.InDelta(t, 0.6, float64(known.Squeeze), 0.001)
	require.NotNil(t, hands)
	asked.Construction = cord.Braided
	unknown, hands, err := s.Knotted(s.Standard, asked)
	require.NoError(t, err)
	require.Equal(t, asked, unknown)
	require.Nil(t, hands)
	none, err := s.Hands(s.Standard, []sheet.Cord{{Name: "main", Thickness: 4 * mm, Construction: "braided"}})
	require.NoError(t, err)
	require.Empty(t, none)
	list, err := s.Swatches(s.Standard)
	require.NoError(t, err)
	require.Equal(t, 1, list[0].Number, "as the member counts them")
	s.reads = Knots
	_, _, err = s.Knotted(s.Standard, asked)
	require.Error(t, err, "the command did not say that it looks at swatches")
}
