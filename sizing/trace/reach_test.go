package trace_test

import (
	"context"
	"fmt"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// A knot does not reach across open space: its ends come together no flatter than at 45
// degrees (common practice, no source), for which they need bare cord above it. Ends
// that stand within fourteen working diameters are drawn together by the knot itself.
func TestKnotsDoNotReachAcrossOpenSpace(t *testing.T) {
	for _, test := range []struct {
		rod, step string
		refused   bool
	}{
		{"80 cm", "row square", false},
		{"3 m", "row square", true},
		{"3 m", "space 6 cm\n  row square", false},
		{"3 m", "space 3 cm\n  row square", true},
		{"3 m", "sinnet half times 3 on 1-4", true},
		{"3 m", "wrap turns 5", false}, // it comes down until its ends meet
		{"3 m", "bar left to right", false},
	} {
		text := fmt.Sprintf("cord main 4 mm\ndowel %s x 20 mm\nhang spread\npanel a\n  mount 12 folded\n  %s\n", test.rod, test.step)
		s, faults := sheet.Parse(text, knot.Standard())
		require.NoError(t, faults.Err())
		_, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		if !test.refused {
			require.Empty(t, found, text)
			continue
		}
		require.Len(t, found, 1, text)
		require.Contains(t, found[0].Text, "across open space")
		require.Contains(t, found[0].Text, "leave a space of")
	}
}

// By hand: single-strand cord of 4 mm is 2.8 mm thick in knots (0.70 of its label), and
// ends of mounts that hang relaxed stand two such diameters apart, 5.6 mm. Ends 1 and 9
// stand eight of them apart, 44.8 mm, which is more than fourteen diameters, 39.2 mm:
// those of 1 and 8. Each of two ends that meet halfway, side by side, goes 44.8/2 - 2.8 =
// 19.6 mm aside, and at 45 degrees needs as much bare cord, counted from the axis of the rod:
// the mount hangs 10 + 2.8 mm below it, so 6.8 mm more are needed. So it is of a plait.
func TestPlaitsDoNotReachAcrossOpenSpace(t *testing.T) {
	for step, refused := range map[string]bool{
		"plait for 10 cm on 1, 8, 9":                              false,
		"plait for 10 cm on 1, 9, 10":                             true,
		"space 6.7 mm on 1, 9, 10\n  plait for 10 cm on 1, 9, 10": true,
		"space 6.9 mm on 1, 9, 10\n  plait for 10 cm on 1, 9, 10": false,
		"plait 4 for 10 cm on 1, 2, 9, 10":                        false,
		"plait 4 for 10 cm on 1, 2, 10, 11":                       true,
	} {
		found := spreadFaults(t, "dowel 40 cm x 20 mm", step)
		if !refused {
			require.Empty(t, found, step)
			continue
		}
		require.Len(t, found, 1, step)
		require.Contains(t, found[0].Text, "-strand plait takes ends")
		require.Contains(t, found[0].Text, "leave a space of")
	}
}

// A gather's ends run on along its core, so a core that crosses open space comes down at
// 45 degrees where the ends stand more than fourteen diameters, 39.2 mm, apart: over 24
// ends spread along 3 m they do, the 12 cords standing some 25 cm apart.
func TestGathersDoNotReachAcrossOpenSpace(t *testing.T) {
	for _, test := range []struct {
		rod, step string
		refused   bool
	}{
		{"dowel 40 cm x 20 mm", "gather left to middle", false},
		{"dowel 3 m x 20 mm\nhang spread", "gather left to middle", true},
		{"dowel 3 m x 20 mm\nhang spread", "gather left to middle level", true},
		{"dowel 3 m x 20 mm\nhang spread", "gather left to middle slope 44.9", true},
		{"dowel 3 m x 20 mm\nhang spread", "gather left to middle slope 45", false},
		{"dowel 3 m x 20 mm\nhang spread", "gather right to middle slope 45", false},
		{"dowel 3 m x 20 mm\nhang spread", "bar left to middle", false}, // its ends hang on below it
	} {
		found := spreadFaults(t, test.rod, test.step)
		if !test.refused {
			require.Empty(t, found, test.step)
			continue
		}
		require.Len(t, found, 1, test.step)
		require.Contains(t, found[0].Text, "the gather takes ends")
		require.Contains(t, found[0].Text, "leave a space of")
		require.Empty(t, spreadFaults(t, test.rod, found[0].Right), "the line put right is accepted")
	}
}

// With bare cord above, the ends come together as those of a row do: the space that the
// refusal asks for is enough, and a centimetre less is not.
func TestGathersComeTogetherBelowASpace(t *testing.T) {
	for _, step := range []string{"gather left to middle level", "gather right to middle level", "gather left to middle slope 20"} {
		found := spreadFaults(t, "dowel 3 m x 20 mm\nhang spread", step)
		require.Len(t, found, 1)
		asked := regexp.MustCompile(`leave a space of (\d+) cm or more`).FindStringSubmatch(found[0].Text)
		require.NotNil(t, asked, found[0].Text)
		enough, err := strconv.Atoi(asked[1])
		require.NoError(t, err)
		below := func(space int) []sheet.Fault {
			return spreadFaults(t, "dowel 3 m x 20 mm\nhang spread", fmt.Sprintf("space %d cm\n  %s", space, step))
		}
		require.Empty(t, below(enough), step)
		require.Len(t, below(enough-1), 1, step)
	}
}

// spreadFaults are the faults of a panel of twelve folded cords with a step.
func spreadFaults(t *testing.T, rod, step string) []sheet.Fault {
	text := fmt.Sprintf("cord main 4 mm\n%s\npanel a\n  mount 12 folded\n  %s\n", rod, step)
	s, faults := sheet.Parse(text, knot.Standard())
	require.NoError(t, faults.Err(), text)
	_, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	return found
}
