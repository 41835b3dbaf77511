package trace_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
	"larkfold/sizing/trace"
)

// follow traces a random sheet; one that cannot be tied is passed over.
func follow(t *rapid.T, s sheet.Sheet) trace.Result {
	r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	if len(found) > 0 {
		t.Fatalf("a sheet that should be right is refused: %v\n%s", found, sheet.Format(s))
	}
	return r
}

func needs(r trace.Result) []length.Length {
	var all []length.Length
	for _, e := range r.Ends {
		all = append(all, e.Total())
	}
	return all
}

func sum(all []length.Length) length.Length {
	var total length.Length
	for _, l := range all {
		total += l
	}
	return total
}

// What an end uses is the sum of its items: nothing is lost and nothing counted twice.
func TestUsedIsTheSumOfTheItems(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := follow(t, sheettest.Valid(t))
		ties := map[int]int{}
		for _, p := range r.Placed {
			for _, e := range p.Ends {
				ties[int(e)]++
			}
		}
		for i, e := range r.Ends {
			var takes length.Length
			for _, u := range e.Uses {
				require.Positive(t, u.Times)
				takes += u.Takes
			}
			require.Equal(t, e.TakeUp, takes, "end %d", i)
			require.GreaterOrEqual(t, e.Run, length.Length(0))
			require.Positive(t, e.Mount)
			require.LessOrEqual(t, e.Knots, ties[i])
			// No end is shorter than the straight way from its mount to where it stands.
			require.GreaterOrEqual(t, e.Total()-e.Tail+length.Millimetre, min(e.Y, e.Total()-e.Tail+length.Millimetre))
		}
		for _, p := range r.Panels {
			require.LessOrEqual(t, p.Worked, p.Drop)
			total := 0
			for _, n := range p.Knots {
				total += n
			}
			placed := 0
			for _, k := range r.Placed {
				if r.Panels[k.Panel].Name == p.Name {
					placed++
				}
			}
			require.Equal(t, placed, total)
		}
	})
}

// symmetric sheets are mirrored end for end.
func mirrored(s sheet.Sheet, ends map[string]int) sheet.Sheet {
	flipPosition := func(p sheet.Position, n int) sheet.Position {
		switch p.Anchor {
		case sheet.Left:
			return sheet.Position{Anchor: sheet.Right}
		case sheet.Right:
			return sheet.Position{Anchor: sheet.Left}
		case sheet.Absolute:
			return sheet.Position{Number: n + 1 - p.Number}
		}
		return p
	}
	flipEnds := func(e sheet.Ends, n int) sheet.Ends {
		var out sheet.Ends
		for _, p := range e.Parts {
			switch p.Kind {
			case sheet.Numbers:
				p.From, p.To = n+1-p.To, n+1-p.From
			case sheet.Leftmost:
				p.Kind = sheet.Rightmost
			case sheet.Rightmost:
				p.Kind = sheet.Leftmost
			}
			out.Parts = append(out.Parts, p)
		}
		return out
	}
	out := s
	out.Panels = nil
	for _, p := range s.Panels {
		n := ends[p.Name]
		q := p
		q.Steps = nil
		var mounts []sheet.Step
		for _, step := range p.Steps {
			switch step := step.(type) {
			case sheet.Mount:
				mounts = append([]sheet.Step{step}, mounts...)
				continue
			case sheet.Row:
				step.On = flipEnds(step.On, n)
				q.Steps = append(q.Steps, step)
			case sheet.Net:
				step.On = flipEnds(step.On, n)
				q.Steps = append(q.Steps, step)
			case sheet.Taper:
				step.On = flipEnds(step.On, n)
				q.Steps = append(q.Steps, step)
			case sheet.Sinnet:
				step.On = flipEnds(step.On, n)
				q.Steps = append(q.Steps, step)
			case sheet.Bar:
				step.From, step.To = flipPosition(step.From, n), flipPosition(step.To, n)
				q.Steps = append(q.Steps, step)
			case sheet.Wrap:
				step.On = flipEnds(step.On, n)
				q.Steps = append(q.Steps, step)
			case sheet.Space:
				step.On = flipEnds(step.On, n)
				q.Steps = append(q.Steps, step)
			case sheet.Tail:
				step.On = flipEnds(step.On, n)
				q.Steps = append(q.Steps, step)
			default:
				q.Steps = append(q.Steps, step)
			}
		}
		q.Steps = append(mounts, q.Steps...)
		out.Panels = append(out.Panels, q)
	}
	return out
}

// meet tells whether two bars come from both sides and end side by side: they are
// refused where nothing else ties the two sides to each other.
func meet(a, b sheet.Bar) bool {
	gap := b.To.Number - a.To.Number
	return gap == 1 && a.From.Number < a.To.Number && b.From.Number > b.To.Number ||
		gap == -1 && a.From.Number > a.To.Number && b.From.Number < b.To.Number
}

// flat draws a panel of one mount whose steps have a mirror image: no knot with a
// first end, no position that is counted from one side of the middle.
func flat(t *rapid.T) (s sheet.Sheet, ends int) {
	cords := 2 * rapid.IntRange(2, 10).Draw(t, "pairs")
	ends = 2 * cords
	s = sheet.Sheet{Piece: "Flat", Cords: []sheet.Cord{{Name: "main", Thickness: length.Length(rapid.IntRange(1, 8).Draw(t, "mm")) * length.Millimetre}}}
	steps := []sheet.Step{sheet.Mount{Hung: []sheet.Hung{{Count: cords}}}}
	square := rapid.SampledFrom([]string{"square knot", "overhand knot"})
	last := sheet.Bar{}
	for i := range rapid.IntRange(1, 5).Draw(t, "steps") {
		first := 0
		if i > 0 {
			first = 2 // a taper goes on from the row above it, so it stands first or not at all
		}
		switch rapid.IntRange(first, 7).Draw(t, "step") {
		case 7:
			steps = append(steps, sheet.Net{Knot: square.Draw(t, "knot"), Of: 4, Rows: sheet.Count{N: rapid.IntRange(1, 6).Draw(t, "rows")}})
		case 0, 1:
			steps = append(steps, sheet.Taper{Knot: "square knot"})
		case 2:
			steps = append(steps, sheet.Sinnet{Knot: square.Draw(t, "knot"), Of: 4, Times: sheet.Count{N: rapid.IntRange(1, 9).Draw(t, "times")}})
		case 3:
			from, to := rapid.IntRange(1, ends).Draw(t, "from"), rapid.IntRange(1, ends).Draw(t, "to")
			bar := sheet.Bar{Gather: rapid.Bool().Draw(t, "gather"), From: sheet.Position{Number: from}, To: sheet.Position{Number: to}}
			if from != to && !meet(last, bar) {
				steps = append(steps, bar)
				last = bar
			}
		case 4:
			steps = append(steps, sheet.Space{Length: length.Length(rapid.IntRange(1, 90).Draw(t, "space")) * length.Millimetre})
		case 5:
			n := 4 * rapid.IntRange(1, ends/4).Draw(t, "of")
			kind := rapid.SampledFrom([]sheet.SpanKind{sheet.Leftmost, sheet.Rightmost}).Draw(t, "side")
			steps = append(steps, sheet.Row{Knot: "square knot", On: sheet.Ends{Parts: []sheet.Span{{Kind: kind, To: n}}}})
		case 6:
			steps = append(steps, sheet.Wrap{Turns: rapid.IntRange(1, 6).Draw(t, "turns")})
		}
	}
	s.Panels = []sheet.Panel{{Name: "flat", Steps: append(steps, sheet.Tail{Length: 15 * length.Centimetre})}}
	return s, ends
}

// A mirror-image sheet has mirror-image needs, to the rounding of a straight run
// (a nanometre each).
func TestMirrorImagesNeedMirrorImages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, ends := flat(t)
		a := needs(follow(t, s))
		b := needs(follow(t, mirrored(s, map[string]int{"flat": ends})))
		slices.Reverse(b)
		for i := range a {
			require.InDelta(t, float64(a[i]), float64(b[i]), float64(length.Micrometre), "end %d", i+1)
		}
	})
}

// More rows never need less.
func TestMoreRowsNeverNeedLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, _ := flat(t)
		rows := rapid.IntRange(1, 8).Draw(t, "rows")
		with := func(rows int) length.Length {
			steps := s.Panels[0].Steps
			longer := s
			longer.Panels = []sheet.Panel{{Name: "flat", Steps: slices.Insert(slices.Clone(steps), len(steps)-1, sheet.Step(sheet.Net{Knot: "square knot", Rows: sheet.Count{N: rows}}))}}
			return sum(needs(follow(t, longer)))
		}
		require.Greater(t, with(rows+1), with(rows))
	})
}

// Thicker cord never needs less, end by end.
func TestThickerCordNeverNeedsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, _ := flat(t)
		thin := needs(follow(t, s))
		thicker := s
		thicker.Cords = slices.Clone(s.Cords)
		thicker.Cords[0].Thickness += length.Length(rapid.IntRange(1, 3000).Draw(t, "more")) * length.Micrometre
		thick := needs(follow(t, thicker))
		for i := range thin {
			require.GreaterOrEqual(t, thick[i], thin[i], "end %d", i+1)
		}
	})
}

// A sheet that is printed and read again is the same sheet and needs the same.
func TestPrintedSheetsNeedTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheettest.Valid(t)
		again, faults := sheet.Parse(sheet.Format(s), knot.Standard())
		require.Empty(t, faults.Shown)
		require.Equal(t, needs(follow(t, s)), needs(follow(t, again)))
	})
}
