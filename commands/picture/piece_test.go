package picture_test

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/commands/picture"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
	"larkfold/sizing/trace"
)

// demo are the sheets that every test of a whole picture goes through.
func demo(t testing.TB) map[string]sizing.Sized {
	plans := map[string]sizing.Sized{"net of 4": netOf(t, 4), "net of 40": netOf(t, 40), "net of 200": netOf(t, 200)}
	for _, text := range []string{tideLine, everyKnot, twoArms, lantern, keyRing, cradle, shade} {
		sized := size(t, text)
		plans[sized.Sheet.Piece] = sized
	}
	return plans
}

func parts(d *picture.Drawing, kind picture.Kind) []picture.Part {
	var found []picture.Part
	for _, p := range d.Parts {
		if p.Kind == kind {
			found = append(found, p)
		}
	}
	return found
}

// laidOpen is a drawing without the view of a ring, if it has one beside its chart.
func laidOpen(d *picture.Drawing) *picture.Drawing {
	open := *d
	open.Parts = nil
	for _, p := range d.Parts {
		if p.Unrolled {
			open.Parts = append(open.Parts, p)
		}
	}
	if len(open.Parts) == 0 {
		return d
	}
	return &open
}

// girth is how far it is round what hangs, before any ring below.
func girth(sized sizing.Sized) float64 {
	round := 0.0
	for _, s := range sized.Strands {
		round += float64(s.Width)
	}
	return round
}

// leant turns a place of a panel about the middle of its mount, as the trace says.
func leant(p trace.Panel, x, y length.Length) (float64, float64) {
	sin, cos := math.Sincos(float64(p.Lean))
	u := float64(x - p.Pivot)
	return float64(p.Pivot) + u*cos + float64(y)*sin, float64(y)*cos - u*sin
}

func TestEveryKnotIsDrawnOnceInItsPlace(t *testing.T) {
	for name, sized := range demo(t) {
		t.Run(name, func(t *testing.T) {
			d := picture.Piece(sized, length.Style{})
			require.False(t, d.Outline)
			d = laidOpen(d)
			// The mounts on the rod tell the scale and where the rod is.
			mounts := map[int]picture.Part{}
			for _, m := range parts(d, picture.AMount) {
				mounts[m.Index] = m
			}
			require.Len(t, mounts, len(sized.Strands))
			last := 0
			for i, s := range sized.Strands {
				if !s.Added && s.X > sized.Strands[last].X {
					last = i
				}
			}
			a, b := mounts[0].At, mounts[last].At
			scale := float64(b.X-a.X) / float64(sized.Strands[last].X-sized.Strands[0].X)
			left := float64(a.X) - float64(sized.Strands[0].X)*scale

			drawn := map[int]int{}
			for _, k := range parts(d, picture.AKnot) {
				drawn[k.Index]++
				p := sized.Placed[k.Index]
				require.Equal(t, p.Knot.Name, k.Name)
				x, y := leant(sized.Panels[p.Panel], p.X, p.Y)
				for _, l := range sized.Lowers { // a ring of another width stands in the middle
					if l.Rod.Ring && p.Y >= l.Y-l.Rod.Thickness {
						x += girth(sized)/2 - float64(l.Width)/2
					}
				}
				require.InDelta(t, left+x*scale, float64(k.At.X), 0.01)
				require.InDelta(t, float64(a.Y)+y*scale, float64(k.At.Y), 0.01)
				require.True(t, k.Box.Within(d.Page()), "knot %d leaves the page: %v", k.Index, k.Box)
				require.Greater(t, k.To, k.From, "knot %d has no shapes", k.Index)
			}
			require.Len(t, drawn, len(sized.Placed))
			for i, n := range drawn {
				require.Equal(t, 1, n, "knot %d", i)
			}
			require.Len(t, parts(d, picture.AnEnd), len(sized.Ends))
		})
	}
}

// requireClear fails when anything leaves the page or one line of words lies over
// another.
func requireClear(t require.TestingT, d *picture.Drawing) {
	for _, p := range d.Parts {
		if !p.Box.Within(d.Page()) {
			require.Failf(t, "it leaves the page", "%s %d (%s) leaves the page %v: %v", p.Kind, p.Index, p.Name, d.Page(), p.Box)
		}
	}
	var boxes []picture.Box
	var words []string
	for _, s := range d.Shapes {
		if s.Words.Text == "" || s.Words.Size < 7 { // short names inside knots shrink with them
			continue
		}
		box := s.Box()
		for i, o := range boxes {
			if o.Overlaps(box) {
				require.Failf(t, "words overlap", "%q lies over %q", s.Words.Text, words[i])
			}
		}
		boxes, words = append(boxes, box), append(words, s.Words.Text)
	}
}

func TestNothingOverlapsOrLeavesThePage(t *testing.T) {
	for name, sized := range demo(t) {
		for _, system := range []length.System{length.Metric, length.Imperial, length.Both} {
			t.Run(fmt.Sprint(name, system), func(t *testing.T) {
				units := length.Style{System: system}
				requireClear(t, picture.Piece(sized, units))
				requireClear(t, picture.Use(sized, units))
				for _, paper := range []picture.Paper{picture.A4, picture.Letter} {
					for _, page := range picture.Sheets(sized, picture.Options{Paper: paper, Units: units, Cutting: []picture.Cutting{{Title: "main", Plan: cutting(t)}}}) {
						requireClear(t, page)
					}
				}
			})
		}
	}
	for _, k := range knot.Standard().Knots() {
		requireClear(t, picture.Knot(k))
	}
}

func TestPictureFitsAChat(t *testing.T) {
	for name, sized := range demo(t) {
		for _, d := range []*picture.Drawing{picture.Piece(sized, length.Style{}), picture.Use(sized, length.Style{})} {
			data, err := d.PNG()
			require.NoError(t, err)
			require.Less(t, len(data), 1<<20, name)
			config, err := png.DecodeConfig(bytes.NewReader(data))
			require.NoError(t, err)
			require.LessOrEqual(t, config.Width, 1600, name)
			require.NotEmpty(t, d.Alt())
			require.LessOrEqual(t, utf8.RuneCountInString(d.Alt()), 1024, name)
		}
	}
}

func TestAltSaysWhatIsShown(t *testing.T) {
	sized := size(t, tideLine)
	alt := picture.Piece(sized, length.Style{}).Alt()
	first := fmt.Sprintf("A: 12 × %s, fold in the middle", length.Style{}.Cut(sized.List.Cuts[0].Length))
	for _, want := range []string{"Tide Line", "12 cords of main, 4 mm", "Panel wave", fmt.Sprintf("%d knots", len(sized.Placed)), "a net of square knots", "a bar of double half hitches falling to the right", "ends hanging free", first} {
		require.Contains(t, alt, want)
	}
	alt = picture.Piece(size(t, everyKnot), length.Style{}).Alt()
	for _, want := range []string{"sinnets of square knots, sinnets of half knots, ends hanging free", "plaits 12 cm long, a gathering wrap", "falling to the right, a bar of double half hitches falling to the left", "3 cords in an arc below the rod"} {
		require.Contains(t, alt, want)
	}
	var many strings.Builder
	many.WriteString("piece Many\ncord main 4 mm\n")
	for i := range 45 {
		fmt.Fprintf(&many, "panel p%d\n  mount 2 folded\n  row square\n  tail 20 cm\n", i)
	}
	alt = picture.Piece(size(t, many.String()), length.Style{}).Alt()
	require.LessOrEqual(t, utf8.RuneCountInString(alt), 1024)
	require.True(t, strings.HasSuffix(alt, "…"))
}

func TestTooLargeIsOutlinedWithANote(t *testing.T) {
	d := picture.Piece(netOf(t, 400), length.Style{})
	require.True(t, d.Outline)
	require.Empty(t, parts(d, picture.AKnot))
	require.Len(t, parts(d, picture.APanel), 1)
	require.Contains(t, d.Alt(), "in outline")
	requireClear(t, d)
}

func TestRandomSheetsAreDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheettest.Valid(t)
		if rapid.Bool().Draw(t, "odd sizes") {
			s.Rod.Thickness = rapid.SampledFrom([]length.Length{length.Millimetre, 20 * length.Millimetre, 30 * length.Centimetre}).Draw(t, "rod thickness")
			s.Rod.Length = rapid.SampledFrom([]length.Length{61 * length.Centimetre, 100 * length.Metre}).Draw(t, "rod length")
			s.Cords[0].Thickness = rapid.SampledFrom([]length.Length{length.Millimetre / 2, 4 * length.Millimetre, 40 * length.Millimetre}).Draw(t, "cord thickness")
			s.Hanger = rapid.SampledFrom([]*sheet.Hanger{nil, {Rise: 5 * length.Metre}, {Rise: length.Millimetre}, {Angle: 88}}).Draw(t, "odd hanger")
			s.Swags = []sheet.Swag{{Count: rapid.IntRange(1, 60).Draw(t, "swags"), Over: length.Metre, Drop: 3 * length.Metre}}
			for _, p := range s.Panels {
				s.Fringes = append(s.Fringes, sheet.Fringe{Drop: 20 * length.Centimetre, Pieces: 3, Side: sheet.BothEdges, Panel: p.Name})
			}
		}
		sized, err := sizing.Sheet(t.Context(), s, "", sizing.Maker{Book: knot.Standard()})
		if err != nil {
			t.Skip("cannot be sized")
		}
		units := length.Style{System: length.System(rapid.IntRange(0, 2).Draw(t, "units"))}
		d := picture.Piece(sized, units)
		requireClear(t, d)
		requireClear(t, picture.Use(sized, units))
		for _, page := range picture.Sheets(sized, picture.Options{Units: units}) {
			requireClear(t, page)
		}
		if rapid.IntRange(0, 9).Draw(t, "rendered") == 0 {
			_, err = d.PNG()
			require.NoError(t, err)
			_, err = picture.Print(sized, picture.Options{Units: units})
			require.NoError(t, err)
		}
	})
}

// On a phone a picture is about 400 pixels wide: nothing in it is smaller than ten.
func TestWordsAreReadOnAPhone(t *testing.T) {
	metric := length.Style{}
	drawings := []*picture.Drawing{picture.Strips(cutting(t), "Plan", metric), picture.Piece(netOf(t, 400), metric)}
	for _, sized := range demo(t) {
		drawings = append(drawings, picture.Piece(sized, metric), picture.Use(sized, metric))
	}
	for _, k := range knot.Standard().Knots() {
		drawings = append(drawings, picture.Knot(k))
	}
	for _, d := range drawings {
		shapes := d.Shapes
		for _, s := range d.Shapes {
			if s.Stamp != nil {
				shapes = append(shapes, s.Stamp.Shapes...)
			}
		}
		for _, s := range shapes {
			if s.Words.Text != "" {
				require.GreaterOrEqual(t, float64(s.Words.Size)*400/float64(d.Width), 10.0, "%s: %q", d.Title, s.Words.Text)
			}
		}
	}
}

// The longest bar says so in full.
func TestTheLongestEndIsNamed(t *testing.T) {
	for _, system := range []length.System{length.Metric, length.Imperial} {
		named := false
		for _, s := range picture.Use(size(t, tideLine), length.Style{System: system}).Shapes {
			named = named || strings.HasSuffix(s.Words.Text, "longest")
		}
		require.True(t, named, system)
	}
}
