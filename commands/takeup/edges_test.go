package takeup_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/sizing/length"
)

// A hand that takes from 0.75 to 1.4 of the book's is usual (common practice, no source);
// a nanometre beyond is asked to be measured again.
func TestEdgesOfAUsualHand(t *testing.T) {
	a := commandstest.New(t)
	k, _ := a.Room.Book.Knot("square knot")
	book := commandstest.WorkerOf(t, k)
	for _, tt := range []struct {
		used, count length.Length
		more        length.Length
		far         bool
	}{
		{3, 4, 0, false}, {3, 4, -length.Nanometre, true},
		{7, 5, 0, false}, {7, 5, length.Nanometre, true},
	} {
		line := fmt.Sprintf("/swatch add knot:sk count:%d used:%.6fmm", tt.count, (tt.used*book + tt.more).Millimetres())
		said := commandstest.Render(commandstest.Answered(t, a, line))
		require.Equal(t, tt.far, strings.Contains(said, "far from the book"), line)
	}
}

// What is measured is from 1 cm to 100 m, what hangs free down to nothing; half a
// nonsense is no sample.
func TestMeasuresOfASample(t *testing.T) {
	a := commandstest.New(t)
	for sample, wrong := range map[string]string{
		"used:9m":                         "read: take-up: 9 m wrong: that is",
		"used:9mm":                        "the least that makes sense",
		"used:101m":                       "the most that makes sense",
		"before:1.01m after:101m":         "the most that makes sense",
		"before:54cm after:0 sample:9mm":  "the least that makes sense",
		"before:46cm after:100cm":         "/swatch add knot:sk count:10 before:100cm after:46cm",
		"used:54cm before:9m after:46cm":  "/swatch add knot:sk count:10 used:54cm",
		"sample:11cm":                     "/swatch add knot:sk count:10 before:100cm after:46cm sample:11cm",
		"before:54cm":                     "it has before: and not after:",
		"after:46cm":                      "it has after: and not before:",
		"used:54cm ends:21":               "from 1 to 20",
		"used:54cm after:46cm ends:wrong": "a whole number is needed",
	} {
		answer := commandstest.Asked(t, a, "/swatch add knot:sk count:10 "+sample)
		require.True(t, answer.Refused, sample)
		require.Contains(t, strings.Join(strings.Fields(commandstest.Render(answer)), " "), wrong, sample)
	}
	for _, sample := range []string{"count:1 used:1cm thickness:1mm", "count:1000 used:100m thickness:7mm"} {
		require.False(t, commandstest.Asked(t, a, "/swatch add knot:sk "+sample).Refused, sample)
	}
}

// How to tie a sample is said for the family of the knot that was named; what is not
// sampled by itself is refused.
func TestHowTheNamedKnotIsSampled(t *testing.T) {
	a := commandstest.New(t)
	for name, want := range map[string]string{"sk": "knots, such as square knots", "dhh": "hitches", "lh": "mounts", "three-strand plait": "plaits"} {
		said := commandstest.Render(commandstest.Answered(t, a, fmt.Sprintf(`/swatch add knot:"%s"`, name)))
		require.Contains(t, said, want+": ", name)
		require.Equal(t, 1, strings.Count(said, "/swatch add knot:"), name)
	}
	for _, name := range []string{"alternating net", "gathering wrap"} {
		require.Contains(t, commandstest.Render(commandstest.Asked(t, a, fmt.Sprintf(`/swatch add knot:"%s"`, name))), "is not sampled by itself", name)
	}
	hitches := commandstest.Answered(t, a, "/swatch add knot:dhh count:10 used:51cm sample:82mm")
	require.Equal(t, "8.2 cm: 8.2 mm each", commandstest.FactOf(hitches, "side by side"))
	plait := commandstest.Answered(t, a, "/swatch add knot:plait used:26cm sample:20cm")
	require.Empty(t, commandstest.FactOf(plait, "side by side"))
	require.Empty(t, commandstest.FactOf(plait, "height"))
}

// What stands for a risk that nobody names is said with the option: one in twenty.
func TestTheUsualRiskIsSaid(t *testing.T) {
	list, ok := reply.Find(commandstest.New(t).Commands(), []string{"swatch", "list"})
	require.True(t, ok)
	require.Contains(t, list.Options[0].Description, "in percent; 5 if left out")
}

// Six cords stand on a page of swatches, and the seventh on the next.
func TestSixCordsOnAPage(t *testing.T) {
	a := commandstest.New(t)
	for i := range 7 {
		commandstest.Answered(t, a, fmt.Sprintf("/swatch add knot:sk count:10 used:54cm cord:c%d", i))
	}
	for page, want := range map[int]int{1: 6, 2: 1} {
		said := commandstest.Render(commandstest.Answered(t, a, fmt.Sprintf("/swatch list page:%d", page)))
		require.Equal(t, want, strings.Count(said, "margin: "), "page %d", page)
	}
}

// A swatch that was measured in fractions of an inch comes back in them; 127 mm, which are
// 5 in, do not.
func TestAnInchSwatchComesBackInInches(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/swatch add knot:sk count:10 used:"21 1/64 in" sample:127mm thickness:3/16in`)
	line := lastVerbatim(commandstest.Answered(t, a, "/swatch remove number:1"))
	require.Equal(t, `/swatch add knot:"square knot" count:10 used:"1 ft 9 1/64 in" sample:12.7cm thickness:3/16in`, strings.ReplaceAll(line, `"3/16 in"`, "3/16in"))
}

// A name of the book, one that the community has given, and one that no sheet can hold
// are refused, each with why.
func TestNamesOfNewKnots(t *testing.T) {
	a := commandstest.New(t)
	commandstest.AddPebble(t, a)
	for name, wrong := range map[string]string{
		"square knot": "that is a name of the square knot in the book",
		"reef knot":   "that is a name of the square knot in the book",
		"pebble knot": "this community has a knot of that name",
		"Knot, long":  "choose a name that a sheet can hold",
		"Shell Knot":  "",
	} {
		said := commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, fmt.Sprintf(`/knots add name:"%s"`, name)))
		if wrong == "" {
			require.Contains(t, said, "New knot: "+name)
			continue
		}
		require.Contains(t, said, wrong, name)
	}
	require.Contains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, `/knots remove name:"peble knot"`)), "did you mean Pebble Knot?")
	require.Contains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, `/knots remove name:"zebra"`)), "/knots list shows which are whose")
	require.Contains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, `/knots remove name:"square knot"`)), "is built in and stays")
}

// What an end takes includes its way down: as much as the knot is tall, and no less; one
// place may fill the group, and no two.
func TestWhatAKnotMayBe(t *testing.T) {
	a := commandstest.New(t)
	for _, tt := range []struct{ places, roles, wrong string }{
		{"worker, filler, worker", "worker ties: 9*d; filler runs: 4*d", ""},
		{"worker, filler, worker", "worker ties: 9*d; filler runs: 3.9*d", "less than the knot is tall"},
		{"worker, filler..., worker", "worker ties: 9*d; filler runs: 4*d", ""},
		{"worker..., filler..., worker", "worker ties: 9*d; filler runs: 4*d", "two places fill the group"},
		{"worker, worker", "worker ties: 9*d; filler runs: 4*d", "no end is the filler"},
		{"worker, filer", "worker ties: 9*d; filler runs: 4*d", "that is not a role of this knot"},
		{"worker", "worker runs: 9*d", "no role ties the knot"},
	} {
		line := fmt.Sprintf(`/knots add name:Shell places:"%s" roles:"%s" height:4*d across:6*d`, tt.places, tt.roles)
		answer := commandstest.AskedBy(t, a, commandstest.Mara, line)
		require.Equal(t, tt.wrong != "", answer.Refused, commandstest.Render(answer))
		require.Contains(t, commandstest.Render(answer), tt.wrong, line)
		if tt.wrong == "" {
			require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, "/knots remove name:Shell").Refused)
		}
	}
	require.Equal(t, "1 carrier", commandstest.FactOf(commandstest.Answered(t, a, "/knots show name:dhh"), "tied over"))
}

// What a rule gives, worked out by hand: of 1 m, 4 x 1 m + 60 x 3 mm is 4.18 m; of 1 yd
// of which 8 in are fringe, 4 x 28 in + 8 in is 120 in.
func TestWhatARuleGives(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/rule add name:"By Cord" formula:"4*finished + 60*d"`)
	require.Equal(t, "4.18 m single, 8.36 m folded", commandstest.FactOf(commandstest.Answered(t, a, `/rule show name:"by cord"`), "for 1.00 m"))
	commandstest.Answered(t, a, "/prefs units:imperial")
	require.Equal(t, "10 ft single, 20 ft folded, when 8 in of it is fringe", commandstest.FactOf(commandstest.Answered(t, a, "/rule show name:medium"), "with fringe"))
}

// A formula that lacks a unit or a bracket is put right in the member's units.
func TestAFormulaPutRight(t *testing.T) {
	for units, want := range map[string][]string{
		"metric":   {"4.5*finished + 20 cm", "4*(finished + 2 cm)", "4*(finished + 2 cm)"},
		"imperial": {"4.5*finished + 20 in", "4*(finished + 2 cm)", "4*(finished + 2 in)"},
	} {
		a := commandstest.New(t)
		commandstest.Answered(t, a, "/prefs units:"+units)
		for i, typed := range []string{"4.5*finished + 20", "4*(finished + 2 cm", "4*(finished + 2"} {
			answer := commandstest.Asked(t, a, fmt.Sprintf(`/rule add name:Reef formula:"%s"`, typed))
			require.True(t, answer.Refused, typed)
			require.Equal(t, fmt.Sprintf(`/rule add name:Reef formula:"%s"`, want[i]), lastVerbatim(answer), typed)
		}
	}
}

// Which rule cannot be removed, and why.
func TestRulesThatStay(t *testing.T) {
	a := commandstest.New(t)
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, `/rule add name:Ours formula:"4.2*finished" whose:community`).Refused)
	for line, want := range map[string]string{
		"/rule remove name:medium":                "that rule is built in",
		"/rule remove name:Ours":                  "the rule of that name is this community's",
		"/rule remove name:Zebra":                 "you have no rule of that name",
		"/rule remove name:Zebra whose:community": "this community has no rule of that name",
		"/cut finished:1m rule:medum":             "did you mean “medium”?",
		"/cut finished:1m rule:zebra":             "there are light, medium, dense, doubled, Ours",
		"/rule add name:Medium formula:finished":  "a built-in rule has that name",
	} {
		answer := commandstest.AskedBy(t, a, commandstest.Mara, line)
		require.True(t, answer.Refused, line)
		require.Contains(t, commandstest.Render(answer), want, line)
	}
	own := commandstest.AskedBy(t, a, commandstest.Mara, "/rule remove name:Ours")
	require.Equal(t, "/rule list", lastVerbatim(own), "what is the community's is not removed by a slip")
}
