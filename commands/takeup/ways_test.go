package takeup_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/takeup"
	"larkfold/sizing"
)

const waysSheet = "cord main 4 mm single-strand\ndowel 60 cm x 20 mm\npanel p\n  mount 12 folded\n  net square rows 6\n  plait 3 for 20 cm\n  tail 15 cm\n"

// What a member says of how they work is what a sheet says of it, and a sheet that says
// it itself has its way.
func TestPrefsDoWhatSheetsSay(t *testing.T) {
	for _, tt := range []struct{ pref, head, plait string }{
		{`tie:"pushed up"`, "tie pushed up\n", ""},
		{"tie:relaxed", "tie relaxed\n", ""},
		{"hang:touching", "hang touching\n", ""},
		{"hang:spread", "hang spread\n", ""},
		{"plait:tight", "", " tight"},
		{"plait:loose", "", " loose"},
	} {
		t.Run(tt.pref, func(t *testing.T) {
			a := commandstest.New(t)
			plain := commandstest.SizedAs(t, a, waysSheet)
			said := commandstest.SizedAs(t, a, tt.head+strings.Replace(waysSheet, "20 cm\n", "20 cm"+tt.plait+"\n", 1))
			commandstest.Answered(t, a, "/prefs "+tt.pref)
			set := commandstest.SizedAs(t, a, waysSheet)
			require.Equal(t, said.Ends, set.Ends)
			require.Equal(t, said.Panels[0].Width, set.Panels[0].Width)
			require.NotEqual(t, plain.Ends, set.Ends)
			require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/cord width:30cm drop:60cm knotwork:plaits")), map[bool]string{true: "(as the sheet says)", false: "(as your /prefs say)"}[tt.pref == "hang:spread"])

			option, _, _ := strings.Cut(tt.pref, ":")
			commandstest.Answered(t, a, "/prefs "+option+":usual")
			require.Equal(t, plain.Ends, commandstest.SizedAs(t, a, waysSheet).Ends)
		})
	}
	a := commandstest.New(t)
	pushed := commandstest.SizedAs(t, a, "tie pushed up\nhang touching\n"+waysSheet)
	commandstest.Answered(t, a, "/prefs tie:relaxed hang:spread plait:loose")
	own := commandstest.SizedAs(t, a, "tie pushed up\nhang touching\n"+strings.Replace(waysSheet, "20 cm\n", "20 cm tight\n", 1))
	require.Equal(t, pushed.Panels[0].Width, own.Panels[0].Width)
	require.Greater(t, own.Ends[0].TakeUp, pushed.Ends[0].TakeUp, "tight")
}

// A squeeze of the preferences changes what one of the sheet changes: needs, widths,
// mounts, mass and pictures, for cords of that construction and no other.
func TestSqueezeOfThePrefs(t *testing.T) {
	a := commandstest.New(t)
	plain := commandstest.SizedAs(t, a, waysSheet)
	said := commandstest.SizedAs(t, a, strings.Replace(waysSheet, "single-strand", "single-strand squeeze 0.8", 1))
	commandstest.Answered(t, a, "/prefs squeeze:0,8")
	set := commandstest.SizedAs(t, a, waysSheet)
	require.Equal(t, said.Ends, set.Ends)
	require.Equal(t, said.Panels[0].Width, set.Panels[0].Width)
	require.Equal(t, said.List.Totals, set.List.Totals)
	require.Equal(t, said.Placed[0].Width, set.Placed[0].Width)
	require.Greater(t, set.Mounted, plain.Mounted)
	require.Greater(t, set.List.Totals[0].Mass, plain.List.Totals[0].Mass)
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/cord width:30cm drop:60cm")), "0.8 of its label (as your /prefs say)")
	require.Contains(t, commandstest.FactOf(commandstest.Answered(t, a, "/cord width:30cm drop:60cm"), "mass"), "(as your /prefs say), not to the usual 0.7, it counts as 31 % heavier")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/knots show name:sk")), "3.2 mm when knotted")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/cord width:30cm drop:60cm construction:plied")), "0.82 of its label (common practice")
	commandstest.Answered(t, a, "/prefs squeeze:usual")
	require.Equal(t, plain.Ends, commandstest.SizedAs(t, a, waysSheet).Ends)
}

// The samples that the command shows how to tie are taken, lie near the book, and each
// counts for its family.
func TestSamplesOfEveryFamily(t *testing.T) {
	a := commandstest.New(t)
	how := commandstest.Render(commandstest.Answered(t, a, "/swatch add"))
	for _, line := range takeup.SampleLines() {
		require.Contains(t, how, line)
		answer := commandstest.Answered(t, a, line)
		require.NotContains(t, commandstest.Render(answer), "far from the book")
	}
	list := commandstest.Render(commandstest.Answered(t, a, "/swatch list"))
	for _, family := range []string{"# Square and half knots", "# Hitches", "# Mounts", "# Plaits"} {
		require.Contains(t, list, family)
	}
	require.NotContains(t, list, "go by your")
	hands, err := commandstest.Seated(t, a, commandstest.Ana).Hands(a.Room.Book, commandstest.SizedAs(t, a, waysSheet).Sheet.Cords)
	require.NoError(t, err)
	for family, hand := range hands[0].Seen {
		require.Equal(t, family, hand.From)
		require.InDelta(t, 1, float64(hand.TakeUp.Mean), 0.05, "%s", family)
	}
	require.InDelta(t, 0.70, float64(hands[0].Squeeze), 0.01)
}

// Cord that is thicker when knotted, told by the height and the cord used together, is
// so everywhere; knots that only take more are not taken for thick cord.
func TestSwatchedSqueezeIsApplied(t *testing.T) {
	a := commandstest.New(t)
	plain := commandstest.SizedAs(t, a, waysSheet)
	k, _ := a.Room.Book.Knot("square knot")
	const thicker = 1.2
	commandstest.Answered(t, a, fmt.Sprintf("/swatch add knot:sk count:10 used:%.3fmm sample:%.3fmm", 10*thicker*commandstest.WorkerOf(t, k).Millimetres(), 10*thicker*3.5*2.8))
	thick := commandstest.SizedAs(t, a, waysSheet)
	require.InDelta(t, thicker*0.7, float64(thick.Cords[0].Squeeze), 1e-4)
	require.InDelta(t, thicker, float64(thick.Mounted)/float64(plain.Mounted), 1e-3)
	require.InDelta(t, thicker, float64(thick.Placed[0].Width)/float64(plain.Placed[0].Width), 1e-3)
	require.InDelta(t, thicker, float64(thick.Placed[0].Height)/float64(plain.Placed[0].Height), 1e-3)
	require.InDelta(t, 1, float64(thick.Hands[0]["square"].TakeUp.Mean), 1e-3, "compared at its own thickness")
	answer := commandstest.Answered(t, a, "/cord width:30cm drop:60cm")
	require.Contains(t, commandstest.Render(answer), "0.84 of its label (from your swatches)")
	// Of one packing, the mass of a length is as the square of the diameter: 1.2 x 1.2 = 1.44.
	require.InDelta(t, thicker*thicker, perMetre(thick)/perMetre(plain), 1e-3)
	require.Contains(t, commandstest.FactOf(answer, "mass"), "since knots press cord main to 0.84 of its label (from your swatches), not to the usual 0.7, it counts as 44 % heavier")
	spool := commandstest.SizedAs(t, a, strings.Replace(waysSheet, "single-strand", "single-strand, spool 100 m 500 g", 1))
	require.InDelta(t, 5, perMetre(spool), 1e-6, "a label is believed")

	b := commandstest.New(t)
	commandstest.Answered(t, b, fmt.Sprintf("/swatch add knot:sk count:10 used:%.3fmm", 10*thicker*commandstest.WorkerOf(t, k).Millimetres()))
	more := commandstest.SizedAs(t, b, waysSheet)
	require.Equal(t, plain.Mounted, more.Mounted)
	require.InDelta(t, perMetre(plain), perMetre(more), 1e-6, "a loose hand does not make the cord heavier")
	require.NotContains(t, commandstest.FactOf(commandstest.Answered(t, b, "/cord width:30cm drop:60cm"), "mass"), "it counts as")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, b, "/swatch list")), "do not tell how thick")
}

// perMetre is what a metre of the first cord is taken to weigh, in grams.
func perMetre(sized sizing.Sized) float64 {
	total := sized.List.Totals[0]
	return total.Mass.Grams() / (total.Length.Millimetres() / 1000)
}

// Two cords of one make and two hands: each by its name, and where nobody says which,
// the one that takes more, which is said. They are never averaged.
func TestHandsOfNamedCords(t *testing.T) {
	a := commandstest.New(t)
	k, _ := a.Room.Book.Knot("square knot")
	add := func(name string, takeUp float64) {
		commandstest.Answered(t, a, fmt.Sprintf(`/swatch add knot:sk count:10 used:%.3fmm cord:"%s"`, 10*takeUp*commandstest.WorkerOf(t, k).Millimetres(), name))
	}
	add("soft cotton", 1.01)
	add("stiff jute", 1.36)
	for name, want := range map[string]float64{"cotton": 1.01, "stiff-jute": 1.36, "Jute": 1.36, "main": 1.36} {
		hands, err := commandstest.Seated(t, a, commandstest.Ana).Hands(a.Room.Book, commandstest.SizedAs(t, a, strings.Replace(waysSheet, "cord main", "cord "+name, 1)).Sheet.Cords)
		require.NoError(t, err)
		require.InDelta(t, want, float64(hands[0].Hands["square"].TakeUp.Mean), 1e-3, name)
		require.Equal(t, name == "main", len(hands[0].Others) > 0)
	}
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/cord width:30cm drop:60cm")), "takes most and is used to be safe, not soft cotton")
	require.NotContains(t, commandstest.Render(commandstest.Answered(t, a, `/cord width:30cm drop:60cm cord:"soft cotton"`)), "to be safe")
	require.NotContains(t, commandstest.Render(commandstest.Answered(t, a, "/swatch list")), "disagree")

	b := commandstest.New(t)
	for _, takeUp := range []float64{1.01, 1.36} {
		commandstest.Answered(t, b, fmt.Sprintf(`/swatch add knot:sk count:10 used:%.3fmm`, 10*takeUp*commandstest.WorkerOf(t, k).Millimetres()))
	}
	require.Contains(t, commandstest.Render(commandstest.Answered(t, b, "/swatch list")), "numbers 1 and 2 disagree: 1.01 and 1.36")
	hands, err := commandstest.Seated(t, b, commandstest.Ana).Hands(b.Room.Book, commandstest.SizedAs(t, b, waysSheet).Sheet.Cords)
	require.NoError(t, err)
	low, high, err := hands[0].Hands["square"].TakeUp.Interval(0.05)
	require.NoError(t, err)
	require.Less(t, float64(low), 1.01)
	require.Greater(t, float64(high), 1.36)
}

// The least certain part of a need is named, with a maker's swatches by theirs.
func TestWhyNamesTheLeastCertain(t *testing.T) {
	a := commandstest.New(t)
	before := commandstest.FactOf(commandstest.Answered(t, a, "/cord width:30cm drop:60cm why:A"), "least certain")
	require.Contains(t, before, "square knot as worker")
	require.Contains(t, before, "10 % of")
	for _, used := range []string{"46cm", "46.2cm", "46.4cm"} {
		commandstest.Answered(t, a, "/swatch add knot:sk count:10 used:"+used)
	}
	after := commandstest.FactOf(commandstest.Answered(t, a, "/cord width:30cm drop:60cm why:A"), "least certain")
	require.Contains(t, after, "square knot as worker, by 1.3 cm either way (1 % of", "three swatches that agree leave what a tape does")
	require.Contains(t, after, "as your swatches of square and half knots leave it")
}
