package trace_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// faultsOf are the faults of a sheet, also of one that a reader would refuse.
func faultsOf(t *testing.T, s sheet.Sheet, m trace.Maker) (trace.Result, []string) {
	t.Helper()
	m.Book = knot.Standard()
	r, found, err := trace.Trace(context.Background(), s, m)
	require.NoError(t, err)
	var texts []string
	for _, f := range found {
		texts = append(texts, f.Text)
	}
	return r, texts
}

// A folded cord of 3 mm takes 12 mm of its rod, 9 mm pushed together. What hangs on
// another rod is shown 10 cm beside it, and so is what hangs on none.
func TestWhereThingsHang(t *testing.T) {
	r := traced(t, firm+"dowel 50 cm x 20 mm\ndowel low 40 cm x 20 mm\ndowel spare 30 cm x 20 mm\n"+
		"panel a\n  gap 4 cm\n  mount 4 folded\npanel b on low\n  gap 2 cm\n  mount 6 folded\n"+
		"panel strap both ways\n  mount 2 laid\npanel belt both ways\n  mount 3 laid\n")
	require.Len(t, r.Rods, 2, "nothing hangs on the spare one")
	for i, want := range []trace.Loaded{
		{From: 0, Mounted: (40 + 48) * mm},
		{From: (88 + 100) * mm, Mounted: (20 + 72) * mm},
	} {
		got := r.Rods[i]
		require.Equal(t, []length.Length{want.From, want.Mounted}, []length.Length{got.From, got.Mounted})
	}
	require.Equal(t, []length.Length{88 * mm, 76 * mm}, []length.Length{r.Mounted, r.Pushed})
	require.Equal(t, []float64{46, 58, 70, 82}, middles(r, 0))
	require.Equal(t, 188+20+6.0, middles(r, 1)[0])
	// Both ways a cord lies straight, two diameters from the next.
	require.Equal(t, []float64{188 + 92 + 100 + 3, 188 + 92 + 100 + 9}, middles(r, 2))
	require.Equal(t, 380+12+100+3.0, middles(r, 3)[0])
	require.Equal(t, []length.Length{383 * mm, 389 * mm}, r.Panels[2].Columns[:2])
	for _, p := range r.Panels {
		require.Equal(t, -1, p.JoinedBy)
		require.Equal(t, p.Columns[0]-3*mm/2, p.Left, "the cord's own thickness counts")
		require.Equal(t, p.Columns[len(p.Columns)-1]+3*mm/2, p.Right)
		require.Equal(t, p.Right-p.Left, p.Width)
	}
	for i := range 8 {
		require.Equal(t, i+1, r.Ends[i].Number)
	}
}

// A cord that is laid over the rod goes half round it: a quarter of a turn for each end.
func TestLaidOverTheRod(t *testing.T) {
	r := panelOf(t, "  mount 4 laid\n  row square\n")
	require.InDelta(t, math.Pi*(20+3)/4, at(r.Ends[0].Mount), 1e-5)
	require.InDelta(t, 10, at(r.Placed[0].Y), 1e-3, "work begins below the rod")
	require.Equal(t, []length.Length{4 * 12 * mm, 4 * 6 * mm}, []length.Length{r.Mounted, r.Pushed})
}

// middles is where the strands of a panel hang, in millimetres.
func middles(r trace.Result, panel int) (all []float64) {
	for _, s := range r.Panels[panel].Strands {
		all = append(all, at(r.Strands[s].X))
	}
	return all
}

func TestARoundPanelIsAsWideAsItsMount(t *testing.T) {
	r := traced(t, firm+"ring 10 cm x 5 mm\npanel p round\n  gap 4 cm\n  mount 8 folded\n  row square\n")
	require.Equal(t, 8*12*mm, r.Panels[0].Width)
	require.Equal(t, (40+48)*mm, r.Panels[0].Pivot)
	require.Equal(t, r.Panels[0].Left+8*12*mm, r.Panels[0].Right)
}

// More cords than fit: what is said, and the rod that would take them.
func TestTooFull(t *testing.T) {
	for _, c := range []struct{ rod, steps, says, right string }{
		{"dowel 25 cm x 20 mm", "  gap 4 cm\n  mount 24 folded\n", // 25.6 cm: 25 - 4 - 3 cm of rod for 9 mm each
			"the cords need 25.6 cm even when pushed together and do not fit the dowel of 25 cm: there is room for 20 cords with 3 cm bare at its right end; take fewer cords, thinner cord or a longer rod", "dowel 29 cm x 20 mm"},
		{"dowel 1 cm x 5 mm", "  mount 2 folded\n",
			"the cords need 1.8 cm even when pushed together and do not fit the dowel of 1 cm: there is room for none of them with bare ends of 3 cm; take fewer cords, thinner cord or a longer rod", "dowel 8 cm x 5 mm"},
		{"dowel 8 mm x 5 mm", "  mount 1 folded\n",
			"the cords need 9 mm even when pushed together and do not fit the dowel of 8 mm: there is room for none of them with bare ends of 3 cm; take fewer cords, thinner cord or a longer rod", "dowel 7 cm x 5 mm"},
		{"ring 10 cm x 5 mm", "  mount 34 folded\n", // 9.5 π = 29.8 cm
			"the cords need 30.6 cm even when pushed together and do not fit the ring of 10 cm (29.8 cm round): there is room for 33 cords; take fewer cords, thinner cord or a longer rod", "ring 11 cm x 5 mm"},
	} {
		r := traced(t, firm+c.rod+"\npanel p\n"+c.steps)
		require.Len(t, r.TooFull(), 1, c.rod)
		require.Equal(t, []string{c.says, c.right}, []string{r.TooFull()[0].Text, r.TooFull()[0].Right})
		again := traced(t, firm+c.right+"\npanel p\n"+c.steps)
		require.Empty(t, again.TooFull(), c.right)
		for _, n := range again.Notes {
			require.NotContains(t, n.Text, "too wide", "what is advised has room for bare ends too")
		}
	}
	s, faults := sheet.Parse(head+"panel p\n  mount 4 folded\n", knot.Standard())
	require.NoError(t, faults.Err())
	rod := *s.Rod
	rod.Length = 0
	s.Rod = &rod
	unknown, found := faultsOf(t, s, trace.Maker{})
	require.Empty(t, found)
	require.Empty(t, unknown.TooFull(), "nobody knows how long the rod is")
}

func TestSpreadingNeedsARod(t *testing.T) {
	const bare = firm + "panel p\n  mount 4 folded\n"
	said, faults := sheet.Parse("hang spread\n"+bare, knot.Standard())
	require.NoError(t, faults.Err())
	_, found := faultsOf(t, said, trace.Maker{})
	require.Equal(t, []string{"cords can be spread only over a dowel or ring whose length the sheet names"}, found)
	silent, faults := sheet.Parse(bare, knot.Standard())
	require.NoError(t, faults.Err())
	r, found := faultsOf(t, silent, trace.Maker{Ways: trace.Ways{Hang: sheet.Spread}})
	require.Empty(t, found, "a maker's way is let be where there is nothing to spread over")
	require.Equal(t, 48*mm, r.Mounted)
}

// Sheets that are built and not read are checked all the same.
func TestBuiltSheetsAreChecked(t *testing.T) {
	main := sheet.Cord{Name: "main", Thickness: 4 * mm}
	of := func(steps ...sheet.Step) sheet.Sheet {
		return sheet.Sheet{Cords: []sheet.Cord{main}, Panels: []sheet.Panel{{Name: "p", Steps: steps}}}
	}
	mount := func(n int) sheet.Step { return sheet.Mount{Hung: []sheet.Hung{{Count: n}}} }
	for _, c := range []struct {
		sheet sheet.Sheet
		says  []string
	}{
		{of(mount(4)), nil},
		{sheet.Sheet{}, []string{"the sheet names no cord"}},
		{sheet.Sheet{Cords: []sheet.Cord{{Name: "main", Thickness: 4 * mm, Construction: "felt"}}}, []string{"cannot read “felt” as a construction: no cord is made that way here; use single-strand, plied or braided"}},
		{of(sheet.Row{Knot: "square knot"}), []string{"panel p has no cords: it needs a mount, or \"from\" and the panels it joins"}},
		{of(mount(sheet.MostEnds / 2)), nil},
		{of(mount(sheet.MostEnds/2 + 1)), []string{"the sheet has more than 2000 ends"}},
		{of(mount(sheet.MostEnds/2-1), sheet.Add{Count: 1, Where: sheet.Position{Anchor: sheet.Right}}), nil},
		{of(mount(sheet.MostEnds/2), sheet.Add{Count: 1, Where: sheet.Position{Anchor: sheet.Right}}), []string{"the sheet has more than 2000 ends"}},
		{of(mount(4), sheet.Row{Knot: "turtle knot"}), []string{"the knot book has no \"turtle knot\""}},
		{sheet.Sheet{Cords: []sheet.Cord{main}, Panels: []sheet.Panel{{Name: "p", Round: true}}}, []string{"panel p has no cords: it needs a mount, or \"from\" and the panels it joins"}},
		{sheet.Sheet{Cords: []sheet.Cord{main}, Panels: []sheet.Panel{{Name: "p", From: []string{"ghost"}}}}, []string{"no panel is called \"ghost\""}},
		{sheet.Sheet{Cords: []sheet.Cord{main}, Panels: []sheet.Panel{{Name: "one", From: []string{"p"}}, {Name: "two", From: []string{"p"}}, {Name: "p", Steps: []sheet.Step{mount(4)}}}}, []string{"panel p is joined already, by one"}},
		{of(mount(4), sheet.Onto{Rod: "foot"}), []string{"no dowel or ring is called \"foot\""}},
	} {
		_, found := faultsOf(t, c.sheet, trace.Maker{})
		require.Equal(t, c.says, found)
	}
}
