package ask

import (
	"testing"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"

	"github.com/stretchr/testify/require"
)

// imperially reads one option as somebody who measures in inches types it.
func imperially(name, value string) *Options {
	return Of(options(name, value).Request, sitting.Prefs{Style: length.Style{System: length.Imperial}})
}

// refusedTry is the line that a refusal offers, and what it says.
func refusedTry(t *testing.T, q *Options) (try string, e *reply.UserError) {
	t.Helper()
	require.ErrorAs(t, q.Err, &e)
	return e.Try, e
}

// What is read keeps to its bounds, which are our own choice of what makes sense: the
// last that is read, and the next finer one that is not.
func TestBoundsOfWhatIsAsked(t *testing.T) {
	for _, tt := range []struct {
		of    length.Bounds
		reads []string
		not   []string
	}{
		{Widths, []string{"2cm", "10m"}, []string{"1.9cm", "10.1m"}},
		{Drops, []string{"5cm", "10m"}, []string{"4.9cm", "10.1m"}},
		{Tails, []string{"0", "5m"}, []string{"5.1m"}},
		{RodThicknesses, []string{"3mm", "150mm"}, []string{"2.9mm", "151mm"}},
		{Spools, []string{"1m", "5km"}, []string{"99cm", "5001m"}},
		{RodLengths, []string{"3cm", "10m"}, []string{"2.9cm", "10.1m"}},
		{FringeDrops, []string{"1cm", "5m"}, []string{"0.9cm", "5.1m"}},
		{dowelLengths, []string{"5cm", "10m"}, []string{"4.9cm", "10.1m"}},
	} {
		for _, typed := range tt.reads {
			_, err := tt.of.Parse(typed, length.Centimetre)
			require.NoError(t, err, "%s: %s", tt.of.Noun, typed)
		}
		for _, typed := range tt.not {
			_, err := tt.of.Parse(typed, length.Centimetre)
			require.Error(t, err, "%s: %s", tt.of.Noun, typed)
		}
	}
}

// An option that is not there, or one behind a fault, is what it is when left out.
func TestWhatIsLeftOut(t *testing.T) {
	q := options("width", "")
	require.Equal(t, 7*length.Metre, q.Length("width", Widths, 7*length.Metre))
	require.Equal(t, 4*length.Millimetre, q.UsualThickness("thickness"))
	require.Equal(t, 5*length.Inch/32, imperially("width", "").UsualThickness("thickness"), "5/32 in is what stands for 4 mm")
	require.Equal(t, 20*length.Millimetre, q.DowelThickness("dowel", 20*length.Millimetre))
	require.Equal(t, &sheet.Rod{}, q.Dowel("dowel"))
	require.Equal(t, 3, q.Count("count", 1, 5, 3))
	require.Equal(t, "net", q.Choice("knotwork", []reply.Choice{{Value: "net"}}, "net"))
	require.Equal(t, cord.Plied, q.Construction("construction", cord.Plied))
	require.Equal(t, "main", q.CordName("cord", "main"))
	require.Equal(t, cord.Spool{}, q.Spool("spool"))
	require.Zero(t, q.Price("price"))
	require.Equal(t, cord.Ratio(0.05), q.Risk("risk"))
	require.False(t, q.Yes("folded"))
	require.NoError(t, q.Err)

	q = options("width", "40cm")
	q.Err = &reply.UserError{Wrong: "something before"}
	require.Equal(t, 7*length.Metre, q.Length("width", Widths, 7*length.Metre))
	require.Equal(t, cord.Ratio(0), q.Squeeze("width"))
	require.Equal(t, "main", q.CordName("width", "main"))
	require.Equal(t, cord.Spool{}, q.Spool("width"))
	require.Equal(t, length.Metre, q.DowelThickness("width", length.Metre))
	require.Equal(t, cord.Ratio(0.05), q.Risk("width"))
	require.ErrorContains(t, q.Err, "something before")
}

// A length that makes no sense is suggested in the unit that makes some; what was
// likely meant goes before a sample.
func TestALengthIsSuggested(t *testing.T) {
	for typed, want := range map[string]string{
		"4km":        "/cord width:4cm",   // the number in the usual unit
		"16 inn":     `/cord width:16in`,  // a unit that is near
		"3 - 45cm":   "/cord width:45cm",  // one of two
		"nonsense":   "/cord width:40cm",  // the sample
		"50% of it":  "/cord width:40cm",  // a share is no length
		"45 mmm":     "/cord width:45mm",  // millimetres, not the usual centimetres
		"5 footies":  `/cord width:5foot`, // the first letters of a unit in words
		"3 yarrds":   `/cord width:3yard`,
		"5000m, 5in": "/cord width:5in", // the one that some piece has
	} {
		q := options("width", typed)
		q.Length("width", Widths, 0)
		try, _ := refusedTry(t, q)
		require.Equal(t, want, try, typed)
	}
	q := options("width", "40 to 50cm")
	q.Length("width", Widths, 0)
	_, e := refusedTry(t, q)
	require.Equal(t, "name one of them", e.Right)
	q = options("width", "1/2 in")
	q.Length("width", Widths, 0)
	_, e = refusedTry(t, q)
	require.Contains(t, e.Right, "something like 40 cm")
}

// What was read is repeated as it was typed; what was left out, or is another length
// than was typed, in the member's units.
func TestRepeated(t *testing.T) {
	repeat := func(q *Options, l length.Length) string {
		return q.Repeat("width", q.Unit, l, length.Style.Format)
	}
	require.Equal(t, "1 m", repeat(options("width", "1m"), length.Metre))
	require.Equal(t, "16 in (40.6 cm)", repeat(options("width", "16in"), 16*length.Inch))
	require.Equal(t, "50 cm", repeat(options("width", "1m"), 50*length.Centimetre))
	require.Equal(t, "50 cm", repeat(options("width", ""), 50*length.Centimetre))
	require.Equal(t, "50 cm", repeat(options("width", "nonsense"), 50*length.Centimetre))
}

func TestYesAndNo(t *testing.T) {
	for typed, want := range map[string]bool{"yes": true, "Y": true, "true": true, "on": true, "no": false, "N": false, "false": false, "Off": false} {
		q := options("economy", typed)
		require.Equal(t, want, q.Yes("economy"), typed)
		require.NoError(t, q.Err, typed)
	}
	for typed, want := range map[string]string{"yep": "yes", "maybe": "yes", "nope": "no", "Never": "no"} {
		q := options("economy", typed)
		require.False(t, q.Yes("economy"), typed)
		try, _ := refusedTry(t, q)
		require.Equal(t, "/cord economy:"+want, try, typed)
	}
}

// Who says yes to a name has not said one; who says no wants none.
func TestANameToSaveUnder(t *testing.T) {
	for typed, want := range map[string]string{"": "", "no": "", "off": "", "Yes Please": "Yes Please", "Tide": "Tide"} {
		q := options("save", typed)
		require.Equal(t, want, q.SaveAs("save", "First"), typed)
		require.NoError(t, q.Err, typed)
	}
	q := options("save", "yes")
	require.Empty(t, q.SaveAs("save", "First"))
	try, _ := refusedTry(t, q)
	require.Equal(t, "/cord save:First", try)
	q.Err = &reply.UserError{Wrong: "something before"}
	q.SaveAs("save", "First")
	require.ErrorContains(t, q.Err, "something before")
}

// A choice is read by its value or its name; one that is near is suggested, and where
// none is, none.
func TestChoices(t *testing.T) {
	from := []reply.Choice{{Name: "metric units", Value: "metric"}, {Name: "imperial units", Value: "imperial"}}
	for typed, want := range map[string]string{"metric": "metric", "IMPERIAL": "imperial", "Metric Units": "metric"} {
		q := options("units", typed)
		require.Equal(t, want, q.Choice("units", from, "metric"), typed)
		require.NoError(t, q.Err, typed)
	}
	for typed, want := range map[string]string{"inches": "/cord units:imperial", "metrik": "/cord units:metric", "the metrik ones": "/cord units:metric", "furlongs": ""} {
		q := options("units", typed)
		require.Equal(t, "metric", q.Choice("units", from, "metric"), typed)
		try, e := refusedTry(t, q)
		require.Equal(t, want, try, typed)
		require.Contains(t, e.Right, "metric, imperial")
	}
	q := options("units", "long")
	q.Choice("units", from, "metric")
	try, _ := refusedTry(t, q)
	require.Empty(t, try, "long is another word for a choice that is not among these")
}

func TestCordNames(t *testing.T) {
	for typed, want := range map[string]string{"sand": "sand", "sea  blue": "sea-blue"} {
		q := options("cord", typed)
		require.Equal(t, want, q.CordName("cord", "main"), typed)
		require.NoError(t, q.Err, typed)
	}
	q := options("cord", "folded")
	q.CordName("cord", "main")
	refusedTry(t, q)
}

// A spool is a length, bare in metres, that some spool holds; its mass and price may
// follow.
func TestSpools(t *testing.T) {
	q := options("spool", "100")
	require.Equal(t, cord.Spool{Length: 100 * length.Metre}, q.Spool("spool"))
	require.NoError(t, q.Err)
	q = options("spool", "100 m 900 g 24.00")
	require.Equal(t, cord.Spool{Length: 100 * length.Metre, Mass: 900 * length.Gram, Price: 2400}, q.Spool("spool"))
	require.NoError(t, q.Err)
	for _, typed := range []string{"99 cm", "5001 m", "a spool"} {
		q = options("spool", typed)
		q.Spool("spool")
		require.Error(t, q.Err, typed)
	}
	require.Equal(t, "/cord spool:100m", q.NoSpoolTry(t))
}

// NoSpoolTry is what is suggested for a price without a spool.
func (a *Options) NoSpoolTry(t *testing.T) string {
	var e *reply.UserError
	require.ErrorAs(t, a.NoSpool(), &e)
	return e.Try
}

// How thick a dowel is may be said with its length, and not left out beside it.
func TestDowelsThickness(t *testing.T) {
	for typed, want := range map[string]length.Length{"20": 20 * length.Millimetre, "3/4 in": 3 * length.Inch / 4, "60cm x 25mm": 25 * length.Millimetre} {
		q := options("dowel", typed)
		require.Equal(t, want, q.DowelThickness("dowel", length.Millimetre), typed)
		require.NoError(t, q.Err, typed)
	}
	for typed, want := range map[string]string{"60cm": `/cord dowel:"60cm x 20mm"`, "2mm": "/cord dowel:2cm", "60cm x 2m": `/cord dowel:"60cm x 20mm"`} {
		q := options("dowel", typed)
		q.DowelThickness("dowel", length.Millimetre)
		try, _ := refusedTry(t, q)
		require.Equal(t, want, try, typed)
	}
}

// What knots press a cord to is a share of its label from 0.3 to 1.2.
func TestSqueezes(t *testing.T) {
	for typed, want := range map[string]cord.Ratio{"0.3": 0.3, "0,75": 0.75, "1.2": 1.2} {
		q := options("squeeze", typed)
		require.Equal(t, want, q.Squeeze("squeeze"), typed)
		require.NoError(t, q.Err, typed)
	}
	for _, typed := range []string{"0.29", "1.21", "NaN", "thin", ""} {
		q := options("squeeze", typed)
		q.Squeeze("squeeze")
		require.ErrorContains(t, q.Err, "a share of its label from 0.3 to 1.2", typed)
	}
}

// The chance of running short is from 0.1 to 50 percent.
func TestRisks(t *testing.T) {
	for typed, want := range map[string]float64{"5": 0.05, "0.1": 0.001, "0,1 %": 0.001, "50%": 0.5} {
		q := options("risk", typed)
		require.InDelta(t, want, float64(q.Risk("risk")), 1e-12, typed)
		require.NoError(t, q.Err, typed)
	}
	for _, typed := range []string{"0.09", "50.1", "0", "NaN", "seldom"} {
		q := options("risk", typed)
		q.Risk("risk")
		require.ErrorContains(t, q.Err, "a number from 0.1 to 50, in percent", typed)
	}
}

// A knot that the book does not have is suggested by the nearest, or by the list.
func TestKnotsByName(t *testing.T) {
	req := options("knot", "squar knot").Request
	k, err := Knot(req, "knot", knot.Standard(), "square knot")
	require.NoError(t, err)
	require.Equal(t, "square knot", k.Name)
	for typed, want := range map[string]string{"squar knot": `/cord knot:"square knot"`, "xyzzy": "/knots list"} {
		_, err := Knot(req, "knot", knot.Standard(), typed)
		var e *reply.UserError
		require.ErrorAs(t, err, &e)
		require.Equal(t, want, e.Try, typed)
	}
}

// What a member's words say of a cord: how thick, how it is made, and what is left.
func TestCordsInWords(t *testing.T) {
	for text, want := range map[string]CordWords{
		"":                            {},
		"4 mm single-strand":          {Thickness: 4 * length.Millimetre, Construction: "single-strand"},
		"my 3/16 in braided rope":     {Thickness: 3 * length.Inch / 16, Construction: "braided"},
		"3 ply sand cotton, sea-blue": {Construction: "plied", Others: []string{"sand", "sea", "blue"}},
		"single strand of sand":       {Construction: "single-strand", Others: []string{"sand"}},
		"Reed":                        {Others: []string{"reed"}},
		"900 mm":                      {Others: []string{"900", "mm"}}, // no cord is as thick
	} {
		got := CordIn(text)
		if text == "my 3/16 in braided rope" { // the last word on how it is made counts
			want.Construction = "plied"
		}
		require.Equal(t, want, got, text)
	}
	words, _, err := CordIn("4 mm braided sand").Record()
	require.NoError(t, err)
	require.Equal(t, "4 mm braided sand", words)
	words, _, err = CordIn("sand").Record()
	require.NoError(t, err)
	require.Equal(t, "sand", words)
	require.Equal(t, CordWords{Thickness: 4 * length.Millimetre, Construction: "plied", Others: []string{"sand"}}, CordOf(cord.Cord{Name: "sand-cord", Nominal: 4 * length.Millimetre, Construction: cord.Plied}))
}

// Leftovers serve where their thickness is the same and their construction is not
// another; a colour is for telling apart.
func TestWhichLeftoversServe(t *testing.T) {
	wanted := CordIn("4 mm plied sand")
	for has, fits := range map[string]bool{"4 mm": true, "4 mm plied": true, "4 mm plied reed": true, "4 mm braided": false, "3 mm plied": false, "plied": false} {
		require.Equal(t, fits, CordIn(has).Fits(wanted), has)
	}
	require.True(t, CordIn("4 mm braided").Fits(CordIn("4 mm")), "nobody said how it is to be made")
	require.True(t, CordIn("old sand").Overlaps(wanted))
	require.False(t, CordIn("reed").Overlaps(wanted))
}

// A mass or a price in a list of spools belongs to the spool before it.
func TestSpoolfuls(t *testing.T) {
	for text, want := range map[string][]string{
		"50m, 100m":                 {"50m", "100m"},
		"100 m, 900 g":              {"100 m 900 g"},
		"100 m 900 g, 24.00, 50m":   {"100 m 900 g 24.00", "50m"},
		"50, 100":                   {"50", "100"}, // lengths in metres, not a price behind one
		"900 g, 100 m":              {"900 g", "100 m"},
		"50m, 100 m, 900 g; 12.00":  {"50m", "100 m 900 g 12.00"},
		"50 m\n100 m\n24.00":        {"50 m", "100 m 24.00"},
		"100 m, 900 g, 50 m, 450 g": {"100 m 900 g", "50 m 450 g"},
	} {
		require.Equal(t, want, Spoolfuls(text), text)
	}
}
