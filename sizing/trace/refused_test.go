package trace_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/sebdah/goldie/v2"
	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// refused are sheets that read well and cannot be tied.
var refused = []struct{ name, text string }{
	{"an end that is not there", "panel p\n  mount 4 folded\n  sinnet square times 3 on 7-10\n"},
	{"more ends on the left than there are", "panel p\n  mount 2 folded\n  row square on left 8\n"},
	{"more ends on the right than there are", "panel p\n  mount 2 folded\n  row square on right 8\n"},
	{"no exact middle", "panel p\n  mount 5 single\n  row square on middle 4\n"},
	{"groups that do not divide the ends", "panel p\n  mount 5 folded\n  row square\n"},
	{"groups that do not divide what a skip leaves", "panel p\n  mount 4 folded\n  row square skip 1\n"},
	{"a skip that leaves nothing", "panel p\n  mount 4 folded\n  row square skip 4\n"},
	{"a skip beyond all ends", "panel p\n  mount 4 folded\n  row square skip 900\n"},
	{"groups that do not divide a ring", "panel p round\n  mount 5 folded\n  row square\n"},
	{"a ring with nothing left between two skips", "panel p round\n  mount 4 folded\n  row square skip 20 shift 3\n"},
	{"a knot of too few ends", "panel p\n  mount 4 folded\n  row square of 2\n"},
	{"a knot of too many ends", "panel p\n  mount 40 folded\n  row square of 80\n"},
	{"a knot of one number of ends only", "panel p\n  mount 6 folded\n  row berry of 6\n"},
	{"a mount tied in a row", "panel p\n  mount 4 folded\n  row lark's head\n"},
	{"a bar in a row", "panel p\n  mount 4 folded\n  net double half hitch rows 4\n"},
	{"a net of odd groups", "panel p\n  mount 6 folded\n  net square rows 4 of 3\n"},
	{"a net of one group", "panel p\n  mount 2 folded\n  net square rows 4\n"},
	{"a taper of odd groups", "panel p\n  mount 6 folded\n  taper square of 3\n"},
	{"a taper with too many rows", "panel p\n  mount 4 folded\n  taper square rows 5\n"},
	{"a taper under its point", "panel p\n  mount 4 folded\n  taper square\n  taper square\n"},
	{"a widening over the full width", "panel p\n  mount 4 folded\n  row square\n  widen square\n"},
	{"a plait of four", "panel p\n  mount 4 folded\n  plait of 4 for 20 cm\n"},
	{"plaits that do not divide the ends", "panel p\n  mount 4 folded\n  plait for 20 cm\n"},
	{"a bar beyond the last end", "panel p\n  mount 4 folded\n  bar 1 to 9\n"},
	{"a bar before the first end", "panel p\n  mount 2 folded\n  bar left to middle-5\n"},
	{"a bar that goes nowhere", "panel p\n  mount 1 folded\n  bar left to middle\n"},
	{"cords added beside no end", "panel p\n  mount 2 folded\n  add 2 folded at 9\n"},
	{"a knot after the tail", "panel p\n  mount 4 folded\n  tail 20 cm\n  row square\n"},
	{"a bar over trimmed ends", "panel p\n  mount 4 folded\n  tail 20 cm on left 2\n  bar right to left\n"},
	{"a wrap round trimmed ends", "panel p\n  mount 4 folded\n  tail 20 cm on left 2\n  wrap turns 4\n"},
	{"two tails", "panel p\n  mount 4 folded\n  tail 20 cm on left 2\n  tail 10 cm\n"},
	{"a wrap without end", "panel p\n  mount 4 folded\n  wrap for 1 km\n"},
	{"panels that cannot reach each other", "panel a\n  mount 4 folded\n  space 10 cm\npanel b\n  gap 50 cm\n  mount 4 folded\n  space 10 cm\npanel c from a, b\n  row square\n"},
	{"panels that wait for each other", "panel a\n  mount 4 folded\n  net square until under b\npanel b\n  mount 4 folded\n  net square until under a\n"},
	{"one fault, not one for every panel that waits", "panel a\n  mount 4 folded\n  net square until under b\npanel b\n  mount 5 folded\n  row square\npanel c from a, b\n  row square\n"},
	{"too many knots", "panel p\n  mount 1000 folded\n  sinnet square for 100 m\n"},
	{"fringe on a ring", "panel p round\n  mount 4 folded\n  net square rows 8\nfringe 20 cm by 2 on left of p\n"},
	{"fringe without loops", "panel p\n  mount 4 folded\n  row square\nfringe 20 cm by 2 on both of p\n"},
	{"more fringe than anybody cuts", "panel p\n  mount 2 folded\n  sinnet square times 90000 apart 2 cm\nfringe 1 km by 100 on both of p\n"},
	{"several faults in their order", "panel p\n  mount 5 folded\n  row square\npanel q\n  mount 4 folded\n  bar 1 to 90\npanel r\n  mount 2 folded\n  plait for 10 cm\n"},
}

func TestRefused(t *testing.T) {
	var out strings.Builder
	for _, c := range refused {
		text := "cord main 4 mm\n" + c.text
		s, faults := sheet.Parse(text, knot.Standard())
		require.NoError(t, faults.Err(), "%s: geometry must find it, not the reader", c.name)
		r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		require.NotEmpty(t, found, c.name)
		require.Empty(t, r.Ends, "a sheet with faults has no result")
		for _, f := range found {
			require.Positive(t, f.Place.Line, "%s: %s", c.name, f.Text)
		}
		fmt.Fprintf(&out, "== %s\n%s\n\n", c.name, sheet.NewFaults(text, found).Error())
	}
	goldie.New(t).Assert(t, "refused", []byte(out.String()))
}

// What is wrong with a mount is told once, though it is sized for its rod and again when
// it is hung: a cord that is not in the head of a sheet that nobody has read.
func TestAnUnknownCordIsToldOnce(t *testing.T) {
	hung := func(cords ...string) (told []string) {
		var mount sheet.Mount
		for _, name := range cords {
			mount.Hung = append(mount.Hung, sheet.Hung{Count: 4, Cord: name})
		}
		s, _ := sheet.Sheet{
			Cords:  []sheet.Cord{{Name: "main", Thickness: 4 * mm}},
			Panels: []sheet.Panel{{Name: "p", Steps: []sheet.Step{mount, sheet.Row{Knot: "square knot"}}}},
		}.Placed()
		_, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		for _, f := range found {
			told = append(told, f.Text)
		}
		return told
	}
	require.Empty(t, hung("main"))
	require.Equal(t, []string{`no cord is called "reed"`}, hung("main", "reed"))
	require.Equal(t, []string{`no cord is called "reed"`, `no cord is called "kelp"`}, hung("reed", "kelp"))
}
