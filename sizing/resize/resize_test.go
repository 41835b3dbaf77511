package resize_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/dowel"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/resize"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

const (
	mm = length.Millimetre
	cm = length.Centimetre
)

func byTheBook() trace.Maker { return trace.Maker{Book: knot.Standard()} }

func parsed(t testing.TB, text string) sheet.Sheet {
	t.Helper()
	s, faults := sheet.Parse(text, knot.Standard())
	require.NoError(t, faults.Err())
	return s
}

// traced is a sheet as it is, before any change.
func traced(t require.TestingT, s sheet.Sheet) trace.Result {
	r, faults, err := trace.Trace(context.Background(), s, byTheBook())
	require.NoError(t, err)
	require.Empty(t, faults)
	return r
}

func resized(t testing.TB, text string, c resize.Change) resize.Resized {
	t.Helper()
	r, err := resize.Resize(context.Background(), parsed(t, text), byTheBook(), c)
	require.NoError(t, err)
	return r
}

// TestResizingMeasuresInLittleMemory counts what resizing large sheets allocates: next
// to nothing for a knot, though each is traced dozens of times.
func TestResizingMeasuresInLittleMemory(t *testing.T) {
	allocated := func(rows int) uint64 {
		s := parsed(t, fmt.Sprintf("cord main 2 mm\npanel a\n  mount 100 folded\n  net square rows %d\n", rows))
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := resize.Resize(context.Background(), s, byTheBook(), resize.Change{Width: 50 * cm})
		require.NoError(t, err)
		runtime.ReadMemStats(&after)
		return after.TotalAlloc - before.TotalAlloc
	}
	few, many := allocated(100), allocated(1000) // 5,000 and 50,000 knots
	t.Logf("%d bytes for 5,000 knots, %d for 50,000", few, many)
	require.Less(t, many, few+45_000*4, "bytes")
}

// A missed size is said only where it reads otherwise.
func TestMissedSizeIsToldWhereItShows(t *testing.T) {
	large := "cord main 2 mm\npanel a\n  mount 500 folded\n  net square rows 8\n"
	require.NotContains(t, strings.Join(resized(t, large, resize.Change{Width: 230 * cm}).Notes, "\n"), "whole repeats")
	require.Contains(t, strings.Join(resized(t, plain, resize.Change{Width: 30 * cm}).Notes, "\n"), "whole repeats make it")
}

// steps are the lines of the changed sheet, without head and blanks.
func steps(r resize.Resized) []string {
	var out []string
	for _, line := range strings.Split(sheet.Format(r.Sheet), "\n") {
		if strings.HasPrefix(line, "  ") {
			out = append(out, strings.TrimSpace(line))
		}
	}
	return out
}

const plain = `piece Plain
cord main 4 mm single-strand, spool 100 m 640 g 24.00
dowel 40 cm x 20 mm

panel front
  mount 12 folded
  row square
  net square rows 8 apart 1 cm
  space 3 cm
  plait of 6 for 20 cm
  tail 22 cm
`

func TestInThinnerCord(t *testing.T) {
	r := resized(t, plain, resize.Change{Thickness: 3 * mm})
	require.Equal(t, []string{
		"mount 12 folded", "row square knot", "net square knot rows 8 apart 8 mm", "space 2.2 cm", "plait of 6 for 15 cm", "tail 16.5 cm",
	}, steps(r)[:6])
	before := traced(t, parsed(t, plain))
	require.Equal(t, before.Panels[0].Knots, r.After.Panels[0].Knots)
	require.InEpsilon(t, 0.75*float64(resize.Width(before)), float64(resize.Width(r.After)), 1e-6)
	require.Equal(t, 30*cm, r.Sheet.Rod.Length)
	require.Equal(t, 20*mm, r.Sheet.Rod.Thickness)
	require.Zero(t, r.Sheet.Cords[0].SpoolLength)
	require.Contains(t, strings.Join(r.Notes, "\n"), "the spool of main was that of the old cord")
	require.Contains(t, strings.Join(r.Notes, "\n"), "front: tail 22 cm, now tail 16.5 cm")
}

const striped = `piece Striped
cord cream 4 mm
cord rust 3 mm

panel front
  mount 4 folded rust
  mount 8 folded cream
  mount 4 folded rust
  net square rows 4
  tail 20 cm
`

// A spool's label is forgotten with the cord that it is for, and with no other.
func TestOnlyTheSpoolOfAChangedCordIsForgotten(t *testing.T) {
	const text = "cord main 4 mm single-strand, spool 100 m 640 g 24.00\ncord reed 3 mm, spool 50 m 200 g 9.00\npanel p\n  mount 4 folded main, 4 folded reed\n  row square\n"
	for _, c := range []struct {
		change     resize.Change
		main, reed length.Length
	}{
		{resize.Change{Cord: "reed", Thickness: 5 * mm}, 100 * length.Metre, 0},
		{resize.Change{Cord: "main", Construction: "braided"}, 0, 50 * length.Metre},
		{resize.Change{Thickness: 5 * mm}, 0, 0},
	} {
		cords := resized(t, text, c.change).Sheet.Cords
		require.Equal(t, []length.Length{c.main, c.reed}, []length.Length{cords[0].SpoolLength, cords[1].SpoolLength}, "%+v", c.change)
	}
}

// What is tied once is no part of a pattern that could be tied more often.
func TestASingleKnotStaysOne(t *testing.T) {
	text := strings.Replace(plain, "  row square\n", "  sinnet square times 1 on left 4\n", 1)
	require.Contains(t, steps(resized(t, text, resize.Change{Drop: 200 * cm})), "sinnet square knot times 1 on left 4")
}

func TestAllCordsGoInProportionToTheFirst(t *testing.T) {
	r := resized(t, striped, resize.Change{Thickness: 6 * mm})
	require.Equal(t, 6*mm, r.Sheet.Cords[0].Thickness)
	require.Equal(t, 4500*length.Micrometre, r.Sheet.Cords[1].Thickness)
	require.Equal(t, "tail 30 cm", steps(r)[4])
}

// One of two cords changed: lengths go with the width of the mounts, which is
// that of both.
func TestOneCordOfTwo(t *testing.T) {
	r := resized(t, striped, resize.Change{Thickness: 6 * mm, Cord: "rust"})
	require.Equal(t, 4*mm, r.Sheet.Cords[0].Thickness)
	require.Equal(t, 6*mm, r.Sheet.Cords[1].Thickness)
	// 8 x 4 + 8 x 3 = 56 becomes 8 x 4 + 8 x 6 = 80
	require.Equal(t, "tail 29 cm", steps(r)[4])
}

// Stripes that were mirror images stay so, down to the narrowest that keeps them.
func TestStripesStayMirrorImages(t *testing.T) {
	for _, one := range []struct {
		mounts string
		wide   int // percent
		want   string
	}{
		{"8 folded a, 4 folded b, 8 folded a", 40, "4 folded a, 2 folded b, 4 folded a"},
		{"8 folded a, 4 folded b, 8 folded a", 30, "2 folded a, 2 folded b, 2 folded a"},
		{"8 folded a, 4 folded b, 8 folded a", 200, "16 folded a, 8 folded b, 16 folded a"},
		{"2 folded a, 8 folded b, 2 folded a", 50, "2 folded a, 2 folded b, 2 folded a"},
		{"4 folded a, 2 folded b, 2 folded b, 4 folded a", 100, "4 folded a, 2 folded b, 2 folded b, 4 folded a"},
		{"8 folded a, 2 folded b, 2 folded b, 8 folded a", 60, "4 folded a, 2 folded b, 2 folded b, 4 folded a"},
	} {
		text := "cord a 4 mm\ncord b 4 mm\npanel front\n mount " + one.mounts + "\n net square rows 4\n tail 20 cm\n"
		before := traced(t, parsed(t, text))
		r := resized(t, text, resize.Change{Width: resize.Width(before) * length.Length(one.wide) / 100})
		require.Equal(t, "mount "+one.want, steps(r)[0], "%s to %d %%", one.mounts, one.wide)
	}
}

func TestInOtherConstruction(t *testing.T) {
	r := resized(t, plain, resize.Change{Construction: "braid"})
	require.Equal(t, "braided", r.Sheet.Cords[0].Construction)
	// squeezes of 0.70 and 0.90: common practice, no source
	require.Equal(t, "tail 28 cm", steps(r)[5])
}

func TestToAWidth(t *testing.T) {
	for _, c := range []struct {
		name, text string
		width      length.Length
		want       string // the lines that matter, in order
	}{
		{"whole groups of the largest step", plain, 25 * cm, "mount 24 folded"},
		{"stripes stay symmetric", striped, 27 * cm, "mount 8 folded rust|mount 12 folded cream|mount 8 folded rust"},
		{"halves stay halves", strings.ReplaceAll(striped, "  mount 8 folded cream\n", ""), 27 * cm, "mount 16 folded rust|mount 16 folded rust"},
		{"places in numbers go in proportion, from both edges", `cord main 4 mm
panel p
  mount 12 folded
  sinnet square times 4 on 1-4, 21-24
  bar 1 to 12
  bar 24 to 13
  wrap turns 4 on 9-16
  tail 20 cm
`, 27 * cm, "mount 24 folded|sinnet square knot times 4 on 1-8, 41-48|bar 1 to 24|bar 48 to 25|wrap turns 4 on 17-32"},
		{"edge and middle stay as written", `cord main 4 mm
panel p
  mount 12 folded
  sinnet square times 4 on left 4, middle 8, right 4
  bar left to middle
  bar middle to middle+1
  tail 20 cm
`, 205 * mm, "mount 18 folded|sinnet square knot times 4 on left 4, middle 8, right 4|bar left to middle|bar middle to middle+1"},
		{"blocks at the edges are never lost", `cord main 4 mm
panel p
  mount 24 folded
  sinnet square times 4 on 1-4, 45-48
  tail 20 cm
`, 13 * cm, "mount 12 folded|sinnet square knot times 4 on 1-4, 21-24"},
		{"a taper to a point stays one", `cord main 4 mm
panel p
  mount 8 folded
  taper square rows 4
  tail 20 cm
`, 18 * cm, "mount 16 folded|taper square knot rows 8"},
		{"a taper cut short keeps its rows", `cord main 4 mm
panel p
  mount 8 folded
  taper square rows 2
  tail 20 cm
`, 18 * cm, "mount 16 folded|taper square knot rows 2"},
		{"ends after added cords", `cord main 4 mm
panel p
  mount 12 folded
  row square
  add 2 folded left
  sinnet square times 4 on 1-4
  sinnet square times 4 on 25-28
  tail 20 cm
`, 29 * cm, "mount 24 folded|row square knot|add 2 folded left|sinnet square knot times 4 on 1-4|sinnet square knot times 4 on 45-52"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := resized(t, c.text, resize.Change{Width: c.width})
			require.Equal(t, strings.Split(c.want, "|"), steps(r)[:strings.Count(c.want, "|")+1])
		})
	}
}

func TestPanelsGrowAlike(t *testing.T) {
	const arms = `cord sand 4 mm plied
dowel 70 cm x 25 mm ash
panel left
  mount 8 folded
  net square rows 9
panel middle
  gap 3 cm
  mount 12 folded
  net square until under left by 2 cm
panel right
  gap 3 cm
  mount 8 folded
  net square rows 9
hanger rise 25 cm
`
	r := resized(t, arms, resize.Change{Width: 60 * cm})
	p := r.Sheet.Panels
	require.Equal(t, p[0].Steps[0].(sheet.Mount).Hung[0].Count, p[2].Steps[1].(sheet.Mount).Hung[0].Count)
	require.Equal(t, p[1].Steps[0].(sheet.Gap).Length, p[2].Steps[0].(sheet.Gap).Length)
	require.Greater(t, p[1].Steps[0].(sheet.Gap).Length, 3*cm)
	require.Greater(t, r.Sheet.Rod.Length, 70*cm)
	require.Greater(t, r.Sheet.Hanger.Rise, 25*cm)
	require.InDelta(t, 600, resize.Width(r.After).Millimetres(), 30)
}

func TestToADrop(t *testing.T) {
	r := resized(t, plain, resize.Change{Drop: 100 * cm})
	require.InDelta(t, 1000, resize.Drop(r.After).Millimetres(), 20)
	require.Zero(t, r.Sheet.Panels[0].Steps[2].(sheet.Net).Rows.N%2, "an even net stays even")
	require.Equal(t, 10*mm, r.Sheet.Panels[0].Steps[2].(sheet.Net).Apart, "its openings stay")
	require.Equal(t, traced(t, parsed(t, plain)).Panels[0].Width, r.After.Panels[0].Width)
}

// Work that its rod holds pushed closer fits it: only what it no longer holds at all gets a longer one.
func TestARodFollowsWhatNoLongerFits(t *testing.T) { // 12 cords of 2.8 mm: 13.4 cm relaxed, 10.1 cm pushed together
	closer := strings.Replace(plain, "dowel 40 cm", "dowel 17 cm", 1)
	require.Equal(t, 17*cm, resized(t, closer, resize.Change{Drop: 100 * cm}).Sheet.Rod.Length)
	// In cord half as thick the rod is half as long, and its bare ends are not.
	fitted := strings.Replace(plain, "dowel 40 cm", "dowel 20 cm", 1)
	longer := resized(t, fitted, resize.Change{Thickness: 2 * mm}) // 6.7 cm relaxed
	require.Equal(t, 13*cm, longer.Sheet.Rod.Length)
	require.Equal(t, longer.After.Relaxed, longer.After.Mounted)
}

func TestOnARod(t *testing.T) {
	t.Run("that is long enough", func(t *testing.T) {
		r := resized(t, plain, resize.Change{Rod: &sheet.Rod{Length: 30 * cm, Thickness: 12 * mm}})
		require.Equal(t, 12, r.Sheet.Panels[0].Steps[0].(sheet.Mount).Hung[0].Count)
		require.Contains(t, r.Notes, "the work fits the rod relaxed, so it keeps its cords")
		before := traced(t, parsed(t, plain))
		require.Equal(t, resize.Width(before), resize.Width(r.After))
		require.Less(t, resize.Drop(r.After), resize.Drop(before), "a thinner rod takes less")
	})
	t.Run("that is too short", func(t *testing.T) {
		r := resized(t, strings.Replace(plain, "mount 12", "mount 36", 1), resize.Change{Rod: &sheet.Rod{Length: 30 * cm}})
		require.Equal(t, 18, r.Sheet.Panels[0].Steps[0].(sheet.Mount).Hung[0].Count)
		require.LessOrEqual(t, r.After.Mounted, 30*cm)
		require.Contains(t, strings.Join(r.Notes, "\n"), "its width follows")
	})
	t.Run("that it fits pushed closer", func(t *testing.T) { // 36 cords of 2.8 mm: 40.3 cm, 30.2 cm pushed together
		wide := strings.Replace(plain, "mount 12", "mount 36", 1)
		for rod, cords := range map[length.Length]int{463 * mm: 36, 363 * mm: 36, 362 * mm: 24} {
			r := resized(t, wide, resize.Change{Rod: &sheet.Rod{Length: rod}})
			require.Equal(t, cords, r.Sheet.Panels[0].Steps[0].(sheet.Mount).Hung[0].Count)
			require.LessOrEqual(t, r.After.Mounted, rod-2*dowel.BareEnd)
			if cords == 36 {
				require.Contains(t, r.Notes, "the work fits the rod with its cords pushed closer, so it keeps them")
				require.Equal(t, rod-2*dowel.BareEnd, r.After.Mounted)
			}
		}
	})
	t.Run("of a ring", func(t *testing.T) {
		text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "sheets", "moss-cradle.sheet"))
		require.NoError(t, err)
		r := resized(t, string(text), resize.Change{Rod: &sheet.Rod{Length: 4 * cm}})
		require.True(t, r.Sheet.Rod.Ring)
		require.Equal(t, 8, r.Sheet.Panels[0].Steps[0].(sheet.Mount).Hung[0].Count, "it fits when pushed together")
	})
}

func TestSeveralThingsAtOnce(t *testing.T) {
	r := resized(t, plain, resize.Change{Thickness: 6 * mm, Width: 22 * cm, Drop: 80 * cm})
	require.Equal(t, 12, r.Sheet.Panels[0].Steps[0].(sheet.Mount).Hung[0].Count)
	require.InDelta(t, 800, resize.Drop(r.After).Millimetres(), 23)
}

func TestRefused(t *testing.T) {
	const bare = "cord main 4 mm\npanel p\n  mount 4 folded\n  row square\n"
	for _, c := range []struct {
		name, text string
		change     resize.Change
		want       string
	}{
		{"nothing", plain, resize.Change{Cord: "main"}, "nothing is to be changed: give a thickness, a construction, a width, a drop or a dowel"},
		{"no such cord", striped, resize.Change{Cord: "moss", Thickness: 3 * mm}, `the sheet has no cord “moss”: it has cream and rust`},
		{"no such construction", plain, resize.Change{Construction: "felted"}, `"felted" is no construction: single-strand, plied or braided`},
		{"no such thickness", plain, resize.Change{Thickness: 3 * cm * 10}, "a thickness of 30 cm is more than 60 mm, the most that makes sense; give one between 0.3 mm and 60 mm"},
		{"width of nothing", plain, resize.Change{Width: mm}, "a width of 1 mm: from 1 cm to 50 m can be made"},
		{"a drop below nothing", plain, resize.Change{Drop: -cm}, "a drop of -1 cm: from 1 cm to 50 m can be made"},
		{"a rod below nothing", plain, resize.Change{Rod: &sheet.Rod{Length: -cm}}, "a dowel of less than nothing: give its length and its thickness"},
		{"nothing can get longer", bare, resize.Change{Drop: 50 * cm}, "it cannot be made 50 cm long: it stays 2.3 cm: nothing but nets, sinnets, repeated bars, plaits, spaces and tails can be made longer or shorter, so change the rows yourself"},
		{"cannot get so short", plain, resize.Change{Drop: 4 * cm}, "it cannot be made 4 cm long: the shortest that nets, sinnets, bars, plaits, spaces and tails can make it is 5.5 cm"},
		{"cannot get so narrow", plain, resize.Change{Width: 3 * cm}, "it cannot be made 3 cm wide: the narrowest that keeps its pattern is 6.4 cm"},
		{"too many ends", plain, resize.Change{Width: 30 * length.Metre}, "it cannot be made 30.00 m wide (the sheet has more than 2000 ends): the widest that keeps its pattern is 11.15 m"},
		{"a rod that nothing fits", plain, resize.Change{Rod: &sheet.Rod{Length: 5 * cm}}, "the design cannot be made so narrow that it fits a rod of 5 cm: take a longer rod, or thinner cord"},
		{"no rod to change", bare, resize.Change{Rod: &sheet.Rod{Thickness: cm}}, "the sheet names no dowel: give the dowel's length too"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := resize.Resize(context.Background(), parsed(t, c.text), byTheBook(), c.change)
			require.EqualError(t, err, c.want)
		})
	}
	t.Run("a sheet that cannot be tied", func(t *testing.T) {
		_, err := resize.Resize(context.Background(), parsed(t, "cord main 4 mm\npanel p\n  mount 5 folded\n  row square\n"), byTheBook(), resize.Change{Width: 20 * cm})
		var faults sheet.Faults
		require.ErrorAs(t, err, &faults)
		require.Contains(t, err.Error(), "leave 2 over")
	})
	t.Run("a context that has ended", func(t *testing.T) {
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		_, err := resize.Resize(ctx, parsed(t, plain), byTheBook(), resize.Change{Width: 20 * cm})
		require.ErrorIs(t, err, context.Canceled)
	})
}

// What repeats as a block comes more often, and stays as it is inside; single rows,
// small skips and wraps stay, skips of whole groups move in with the width.
func TestWhatGrowsAndWhatStays(t *testing.T) {
	const text = `cord main 4 mm
dowel 40 cm x 20 mm
dowel foot 40 cm x 10 mm

panel front
  mount 16 folded
  row square skip 2
  row square skip 8
  repeat 4
    sinnet square times 3
    space 1 cm
  end
  wrap turns 5 on left 4
  onto foot
  tail 20 cm

fringe 10 cm by 1 each 1 cm on foot
`
	before := traced(t, parsed(t, text))
	// The single rows stay, so that the block comes more than twice as often.
	longer := resized(t, text, resize.Change{Drop: 2 * resize.Drop(before)})
	require.Equal(t, []string{
		"mount 16 folded", "row square knot skip 2", "row square knot skip 8",
		"repeat 9 times", "sinnet square knot times 3", "space 1 cm", "end",
		"wrap turns 5 on left 4", "onto foot", "tail 43 cm",
	}, steps(longer)[:10])
	wider := resized(t, text, resize.Change{Width: 2 * resize.Width(before)})
	require.Equal(t, []string{"mount 32 folded", "row square knot skip 2", "row square knot skip 16"}, steps(wider)[:3])
	require.Equal(t, 80*cm, wider.Sheet.More[0].Length, "the foot rod goes along")
	thicker := resized(t, text, resize.Change{Thickness: 8 * mm})
	require.Equal(t, 2*cm, thicker.Sheet.Fringes[0].Each)
	require.Equal(t, 80*cm, thicker.Sheet.More[0].Length)
}

// A leaf reaches further aside in a wider piece.
func TestLeavesGrowWithTheWidth(t *testing.T) {
	r := resized(t, "cord main 4 mm\npanel kelp\n mount 2 folded\n leaf 9 from 9 cm to 3 cm\n tail 12 cm\n", resize.Change{Width: 36 * cm})
	require.Equal(t, "leaf 9 from 18 cm to 6 cm", steps(r)[1])
}

// Where whole repeats miss a size, the nearest is taken and the one on the other
// side is named.
func TestTheNextRepeatIsNamed(t *testing.T) {
	const text = "cord main 4 mm\npanel front\n mount 20 folded\n row square\n tail 20 cm\n"
	// A folded cord of 2.8 mm working diameter is 4 of it wide, and two make a group: 2.24 cm.
	below := resized(t, text, resize.Change{Width: 43 * cm})
	require.Contains(t, below.Notes, "whole repeats make it 42.5 cm wide, and one repeat more 44.5 cm, not 43 cm")
	above := resized(t, text, resize.Change{Width: 44 * cm})
	require.Contains(t, above.Notes, "whole repeats make it 44.5 cm wide, and one repeat less 42.5 cm, not 44 cm")
}

// What is written in inches stays so, in fractions of a tape.
func TestInchesStayInches(t *testing.T) {
	const text = "cord main 5/32 in\ndowel 20 in x 3/4 in\nround up to 2 in\n\npanel p\n mount 16 folded\n net square for 10 in\n space 1 1/2 in\n tail 7 1/8 in\n\nhanger rise 5 in\n"
	before := traced(t, parsed(t, text))
	for _, c := range []resize.Change{{Width: 2 * resize.Width(before)}, {Drop: 2 * resize.Drop(before)}, {Thickness: length.Inch / 4}, {Width: 33 * length.Inch, Drop: 41 * length.Inch}} {
		after := sheet.Format(resized(t, text, c).Sheet)
		require.NotRegexp(t, `[0-9] (mm|cm|m)\b`, after)
	}
}
