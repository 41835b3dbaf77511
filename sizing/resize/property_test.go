package resize_test

import (
	"context"
	"errors"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/length"
	"larkfold/sizing/resize"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

func try(t *rapid.T, s sheet.Sheet, c resize.Change) (resize.Resized, bool) {
	r, err := resize.Resize(context.Background(), s, byTheBook(), c)
	if err == nil {
		return r, true
	}
	var refused *resize.Error
	var faults sheet.Faults
	switch {
	case errors.As(err, &refused):
		require.NotEmpty(t, refused.Right)
	case errors.As(err, &faults): // such as a hanger for a rod grown beyond all rods
		require.NotEmpty(t, faults.Shown[0].Text)
	default:
		t.Fatalf("%v\n%s", err, sheet.Format(s))
	}
	return r, false
}

// A design made to the size it has does not change.
func TestItsOwnSizeChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheettest.Valid(t)
		r := traced(t, s)
		same := resize.Change{Thickness: s.Cords[0].Thickness, Width: resize.Width(r), Drop: resize.Drop(r), Rod: s.Rod}
		out, ok := try(t, s, same)
		require.True(t, ok)
		require.Equal(t, sheet.Format(s), sheet.Format(out.Sheet))
		require.Empty(t, out.Notes)
	})
}

// A resized design is read back as it is written, keeps its symmetry and its
// even counts, and is asked for in vain only with a reason.
func TestResizedDesignsStayThemselves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheettest.Valid(t)
		before := traced(t, s)
		c := resize.Change{Thickness: length.Length(rapid.IntRange(2, 12).Draw(t, "thickness")) * mm}
		if rapid.Bool().Draw(t, "wider") {
			c.Width = resize.Width(before) * length.Length(rapid.IntRange(40, 300).Draw(t, "width")) / 100
		}
		if rapid.Bool().Draw(t, "longer") {
			c.Drop = resize.Drop(before) * length.Length(rapid.IntRange(70, 300).Draw(t, "drop")) / 100
		}
		r, ok := try(t, s, c)
		if !ok {
			return
		}
		again, faults := sheet.Parse(sheet.Format(r.Sheet), byTheBook().Book)
		require.NoError(t, faults.Err())
		require.Equal(t, again, r.Sheet, "its places too")
		require.Equal(t, len(s.Panels), len(r.Sheet.Panels))
		for i, p := range s.Panels {
			was, is := mounts(p), mounts(r.Sheet.Panels[i])
			require.Len(t, is, len(was))
			require.Equal(t, palindrome(was), palindrome(was) && palindrome(is), "%v became %v", was, is)
			for j := range was {
				require.Equal(t, was[j].Count%2, is[j].Count%2)
			}
			if c.Width == 0 {
				require.Equal(t, was, is)
			}
		}
	})
}

// mounts are the cords that a panel hangs by.
func mounts(p sheet.Panel) []sheet.Hung { return p.HungBy() }

func palindrome(all []sheet.Hung) bool {
	back := slices.Clone(all)
	slices.Reverse(back)
	return slices.Equal(all, back)
}

// A width is met to within half a repeat of groups, a drop to within a pair of rows.
func TestSizesAreMetToWithinARepeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cords := 2 * rapid.IntRange(2, 20).Draw(t, "cords")
		rows := rapid.IntRange(1, 20).Draw(t, "rows")
		s := sheet.Sheet{Cords: []sheet.Cord{{Name: "main", Thickness: 4 * mm}}, Panels: []sheet.Panel{{Name: "net", Steps: []sheet.Step{
			sheet.Mount{Hung: []sheet.Hung{{Count: cords}}}, sheet.Net{Knot: "square knot", Rows: sheet.Count{N: rows}}, sheet.Tail{Length: 20 * cm},
		}}}}
		width := length.Length(rapid.IntRange(50, 2000).Draw(t, "width")) * mm
		drop := length.Length(rapid.IntRange(200, 3000).Draw(t, "drop")) * mm
		r, err := resize.Resize(context.Background(), s, byTheBook(), resize.Change{Width: width, Drop: drop})
		require.NoError(t, err)
		// Two folded cords of 3 mm working diameter, 4 diameters each, are one group.
		require.InDelta(t, width.Millimetres(), resize.Width(r.After).Millimetres(), 12+0.01)
		// Two rows are 2 x 3.7 diameters; a tail is rounded to a centimetre.
		pair := 2 * 3.7 * 3.0
		require.InDelta(t, drop.Millimetres(), resize.Drop(r.After).Millimetres(), (pair+10)/2+0.01)
		if rows > 1 {
			require.Equal(t, rows%2, r.Sheet.Panels[0].Steps[1].(sheet.Net).Rows.N%2)
		}
	})
}

// In other cord the knots are the same, whatever lengths are rounded to.
func TestOtherCordTiesTheSameKnots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		reach := length.Length(rapid.IntRange(100, 10000).Draw(t, "reach")) * mm / 10
		if rapid.Bool().Draw(t, "whole rows") {
			reach = reach / (11_100 * length.Micrometre) * 11_100 * length.Micrometre // 3.7 diameters of 3 mm
		}
		s := sheet.Sheet{Cords: []sheet.Cord{{Name: "main", Thickness: 4 * mm}}, Panels: []sheet.Panel{{Name: "net", Steps: []sheet.Step{
			sheet.Mount{Hung: []sheet.Hung{{Count: 6}}}, sheet.Net{Knot: "square knot", Rows: sheet.Count{For: max(reach, mm)}}, sheet.Tail{Length: 20 * cm},
		}}}}
		r, err := resize.Resize(context.Background(), s, byTheBook(), resize.Change{Thickness: length.Length(rapid.IntRange(10, 120).Draw(t, "thickness")) * mm / 10})
		require.NoError(t, err)
		require.Equal(t, traced(t, s).Panels[0].Knots, r.After.Panels[0].Knots)
	})
}

// Places counted in numbers stay mirror images of each other.
func TestNumberedPlacesStaySymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := 8 * rapid.IntRange(2, 10).Draw(t, "eighths") // ends
		first := 4 * rapid.IntRange(0, n/8-1).Draw(t, "first")
		last := first + 4*rapid.IntRange(1, (n/2-first)/4).Draw(t, "wide")
		carrier := rapid.IntRange(1, n/2-1).Draw(t, "carrier")
		number := func(i int) sheet.Position { return sheet.Position{Number: i} }
		s := sheet.Sheet{Cords: []sheet.Cord{{Name: "main", Thickness: 4 * mm}}, Panels: []sheet.Panel{{Name: "p", Steps: []sheet.Step{
			sheet.Mount{Hung: []sheet.Hung{{Count: n / 2}}},
			sheet.Sinnet{Knot: "square knot", Times: sheet.Count{N: 3}, On: sheet.Ends{Parts: []sheet.Span{{From: first + 1, To: last}, {From: n - last + 1, To: n - first}}}},
			sheet.Bar{From: number(carrier), To: number(n / 2)},
			sheet.Bar{From: number(n + 1 - carrier), To: number(n/2 + 1)},
			sheet.Tail{Length: 20 * cm},
		}}}}
		r, ok := try(t, s, resize.Change{Width: length.Length(rapid.IntRange(40, 1500).Draw(t, "width")) * mm})
		if !ok {
			return
		}
		steps := r.Sheet.Panels[0].Steps
		is := 2 * steps[0].(sheet.Mount).Hung[0].Count
		on := steps[1].(sheet.Sinnet).On.Parts
		require.Equal(t, on[0].From, is+1-on[1].To)
		require.Equal(t, on[0].To, is+1-on[1].From)
		require.Zero(t, (on[0].To-on[0].From+1)%4)
		if first == 0 {
			require.Equal(t, 1, on[0].From, "what stood at the edge stays there")
		}
		left, right := steps[2].(sheet.Bar), steps[3].(sheet.Bar)
		require.Equal(t, is/2, left.To.Number)
		require.Equal(t, is/2+1, right.To.Number)
		require.Equal(t, left.From.Number, is+1-right.From.Number)
		require.Equal(t, len(traced(t, s).Strands) == len(r.After.Strands), sheet.Format(s) == sheet.Format(r.Sheet))
	})
}
