package sizing_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// tried are lines that may come next, or may not.
var tried = []string{
	"row square", "net square rows 3", "net square", "row square on middle 4", "sinnet half square times 5 on left 4", "bar from left to right", "bar from right to middle",
	"plait for 10 cm", "plait for 10 cm on left 3", "space 4 cm", "add 2 folded left", "gather from left to middle", "wrap for 2 cm", "tassel 10 cm on middle 2",
	"leaf 8 cm on middle 2", "bead 1 on 1", "tail 10 cm", "tail 10 cm on left 2", "onto rod", "row", "mount", "row square # so", "net square until under wave",
}

// sameAhead insists that what is tried from a place of a panel comes to what the whole
// sheet with that line comes to.
func sameAhead(t require.TestingT, text string, panel, step int, lines ...string) (fits int) {
	s, faults := sheet.Parse(text, knot.Standard())
	require.False(t, faults.Any())
	further, err := sizing.NewFurther(context.Background(), text, panel, step, sizing.Maker{})
	require.NoError(t, err)
	p := s.Panels[panel]
	typed := strings.Split(strings.TrimRight(text, "\n"), "\n")
	for _, line := range lines {
		for before := step; before <= len(p.Steps); before++ {
			at := p.Line
			if before > 0 {
				at = p.Steps[before-1].At().Line
			}
			all := slices.Insert(slices.Clone(typed), at, "  "+line)
			want, err := sizing.Size(context.Background(), strings.Join(all, "\n")+"\n", sizing.Maker{})
			got, ok, failed := further.With("  "+line, before)
			require.NoError(t, failed)
			require.Equal(t, err == nil, ok, "%s before step %d of %s: %v\n%s", line, before+1, p.Name, err, text)
			if err != nil {
				continue
			}
			fits++
			require.Equal(t, want.Tied(), got.Tied(), "%s\n%s", line, text)
			for i := range want.Panels {
				require.Equal(t, want.Panels[i].Drop, got.Panels[i].Drop, "%s\n%s", line, text)
				require.Equal(t, want.Panels[i].Width, got.Panels[i].Width, "%s\n%s", line, text)
				require.Equal(t, want.Panels[i].Knots, got.Panels[i].Knots, "%s\n%s", line, text)
			}
			require.Len(t, got.Extras, len(want.Extras))
			require.Len(t, got.Notes, len(want.Notes))
		}
	}
	return fits
}

// lastFree is the last place of a panel that is not inside a repeat, so many steps
// before its end.
func lastFree(p sheet.Panel, back int) int {
	at := max(len(p.Steps)-back, 0)
	for i, s := range p.Steps {
		if _, ends := s.(sheet.End); ends && at <= i {
			return len(p.Steps)
		}
		switch s.(type) {
		case sheet.Mount, sheet.Gap:
			at = max(at, i+1)
		}
	}
	return at
}

func TestFurtherIsAsTheWholeSheet(t *testing.T) {
	fits := 0
	for _, text := range demos(t) {
		s, faults := sheet.Parse(text, knot.Standard())
		require.False(t, faults.Any())
		for i, p := range s.Panels {
			for _, back := range []int{0, 1, 3} {
				fits += sameAhead(t, text, i, lastFree(p, back), tried...)
			}
		}
	}
	require.Greater(t, fits, 500)
}

func TestFurtherIsAsTheWholeSheetAtRandom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := sheet.Format(sheettest.Valid(t))
		s, faults := sheet.Parse(text, knot.Standard())
		require.False(t, faults.Any())
		panel := rapid.IntRange(0, len(s.Panels)-1).Draw(t, "panel")
		step := lastFree(s.Panels[panel], rapid.IntRange(0, 4).Draw(t, "steps before the end"))
		sameAhead(t, text, panel, step, rapid.SampledFrom(tried).Draw(t, "line"), rapid.SampledFrom(tried).Draw(t, "and another"))
	})
}

// A sheet takes as many lines as it may have.
func TestFurtherKnowsTheLimits(t *testing.T) {
	const head = "cord main 4 mm\ndowel 50 cm x 20 mm\npanel wave\n  mount 12 folded\n"
	lines := func(n int) string { return head + strings.Repeat("  row square\n", n-4) }
	require.Equal(t, 1, sameAhead(t, lines(sheet.MostLines-1), 0, sheet.MostLines-4, "row square"))
	require.Zero(t, sameAhead(t, lines(sheet.MostLines), 0, sheet.MostLines-3, "row square"))
	said := func(n int) string { return head + "# " + strings.Repeat("o", n-len(head)-3) + "\n" }
	const added = len("  row square\n")
	require.Equal(t, 1, sameAhead(t, said(sheet.MostBytes-added), 0, 1, "row square"))
	require.Zero(t, sameAhead(t, said(sheet.MostBytes-added+1), 0, 1, "row square"))
}
