package cutlist_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
	"larkfold/sizing/stock"
	"larkfold/sizing/trace"
)

const (
	mm = length.Millimetre
	cm = length.Centimetre
)

// tester is a test or a property.
type tester interface {
	require.TestingT
	Helper()
}

func traced(t tester, text string) trace.Result {
	t.Helper()
	s, faults := sheet.Parse(text, knot.Standard())
	require.NoError(t, faults.Err())
	r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	require.Empty(t, found)
	return r
}

func made(t tester, r trace.Result, terms cutlist.Terms) cutlist.List {
	t.Helper()
	list, err := cutlist.Make(r, terms)
	require.NoError(t, err)
	return list
}

// drawn draws a traced sheet, perhaps with fringe, swags and spools, and terms.
func drawn(t *rapid.T) (trace.Result, cutlist.Terms) {
	s := sheettest.Valid(t)
	if rapid.Bool().Draw(t, "swag") {
		s.Swags = []sheet.Swag{{Count: rapid.IntRange(1, 5).Draw(t, "arcs"), Over: 40 * cm, Drop: 12 * cm}}
	}
	for i := range s.Cords {
		s.Cords[i].SpoolLength = length.Length(rapid.IntRange(1, 200).Draw(t, "spool")) * length.Metre
		s.Cords[i].SpoolPrice = 1900
	}
	r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	require.Empty(t, found)
	if len(r.Panels) > 0 && r.Panels[0].LeftLoops > 0 && rapid.Bool().Draw(t, "fringe") {
		s.Fringes = []sheet.Fringe{{Drop: 15 * cm, Pieces: 2, Side: sheet.LeftEdge, Panel: s.Panels[0].Name}}
		r, found, err = trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		require.Empty(t, found)
	}
	return r, cutlist.Terms{
		Margin:  cutlist.Fraction(rapid.IntRange(0, 30).Draw(t, "margin")) / 100,
		Tying:   length.Length(rapid.IntRange(0, 20).Draw(t, "hands")) * cm,
		Step:    rapid.SampledFrom([]length.Length{0, mm, cm, 5 * cm, length.Inch, 10 * cm}).Draw(t, "step"),
		Economy: rapid.Bool().Draw(t, "economy"),
	}
}

// least is what an end must get: its need, the margin on all but the tail, and a
// tail that hands can tie with. It is worked out here a second time.
func least(e trace.End, terms cutlist.Terms) length.Length {
	tied := e.Mount + e.Run + e.TakeUp
	tail := e.Tail
	if e.Knots > 0 {
		tail = max(tail, terms.Tying)
	}
	return tied + length.Length(float64(tied)*float64(terms.Margin)) + tail
}

// No cord is cut shorter than its ends need, every hung cord is cut once, and
// what is folded off centre has a leg for each end.
func TestNoCutIsShort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, terms := drawn(t)
		list := made(t, r, terms)
		cut := make([]int, len(r.Strands))
		for _, c := range list.Cuts {
			require.Positive(t, c.Length)
			if terms.Step > 0 {
				require.Zero(t, c.Length%terms.Step)
			}
			if c.Why.End >= 0 {
				require.Len(t, c.Strands, c.Count)
				require.Equal(t, r.Ends[c.Why.End].Parts, c.Why.Need)
			}
			for _, i := range c.Strands {
				cut[i]++
				s := r.Strands[i]
				require.Equal(t, s.Cord, c.Cord)
				require.Equal(t, len(s.Ends) == 2, c.Folded)
				legs := []length.Length{c.Length}
				switch {
				case c.Fold > 0 && c.Short == trace.Left:
					legs = []length.Length{c.Fold, c.Length - c.Fold}
				case c.Fold > 0:
					legs = []length.Length{c.Length - c.Fold, c.Fold}
				case c.Folded:
					legs = []length.Length{c.Length / 2, c.Length / 2}
				}
				for side, end := range s.Ends {
					require.GreaterOrEqual(t, legs[side], least(r.Ends[end], terms), "%s, %s leg", c.Label, trace.Side(side))
				}
			}
		}
		for i, times := range cut {
			require.Equal(t, 1, times, "strand %d", i)
		}
	})
}

// Economy never cuts more than plain cutting, and the list says the difference.
func TestEconomyNeverCutsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, terms := drawn(t)
		terms.Economy = false
		plain := made(t, r, terms)
		terms.Economy = true
		thrifty := made(t, r, terms)
		require.Equal(t, total(plain)-total(thrifty), plain.Saves)
		require.Equal(t, plain.Saves, thrifty.Saves)
		require.GreaterOrEqual(t, plain.Saves, length.Length(0))
		lines := map[string]int{} // one length for each panel, cord and folding
		for _, c := range plain.Cuts {
			if c.Why.End >= 0 {
				lines[fmt.Sprint(c.For, c.Cord, c.Folded)]++
			}
		}
		for line, n := range lines {
			require.Equal(t, 1, n, line)
		}
	})
}

func total(l cutlist.List) (sum length.Length) {
	for _, c := range l.Cuts {
		sum += c.Length * length.Length(c.Count)
	}
	return sum
}

// Totals are the sum of the cuts; spools hold them piece by piece, and a piece
// longer than a spool buys none.
func TestTotals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, terms := drawn(t)
		list := made(t, r, terms)
		var sum length.Length
		for _, of := range list.Totals {
			sum += of.Length
			spool := r.Cords[of.Cord].Spool.Length
			p := stock.Problem{Stock: []stock.Stock{{Length: spool}}}
			pieces, longest := 0, length.Length(0)
			for _, c := range list.Cuts {
				if c.Cord == of.Cord {
					p.Pieces = append(p.Pieces, stock.Piece{Length: c.Length, Count: c.Count})
					pieces += c.Count
					longest = max(longest, c.Length)
				}
			}
			require.Positive(t, pieces)
			require.Positive(t, of.Mass)
			if longest > spool {
				require.Zero(t, of.Spools)
				require.Zero(t, of.Cost)
				continue
			}
			require.GreaterOrEqual(t, spool*length.Length(of.Spools), of.Length)
			require.EqualValues(t, 1900*of.Spools, of.Cost)
			ctx, cancel := context.WithTimeout(context.Background(), time.Second)
			best, err := stock.Solve(ctx, p)
			cancel()
			require.NoError(t, err)
			require.Empty(t, best.Unplaced)
			if best.Proved {
				require.GreaterOrEqual(t, of.Spools, best.Spools, "fewer spools than hold the pieces")
				require.LessOrEqual(t, of.Spools, best.Spools*11/9+1, "first fit decreasing (D. S. Johnson, 1973, from memory)")
				require.True(t, !of.Fewest || of.Spools == best.Spools, "the fewest is what the plan buys")
			}
		}
		require.Equal(t, total(list), sum)
	})
}

func TestLabels(t *testing.T) {
	text := "cord main 4 mm\nmargin 0%\n"
	for i := range 60 {
		text += fmt.Sprintf("panel p%d\nmount 1 folded\ntail %d cm\n", i, i+10)
	}
	list := made(t, traced(t, text), cutlist.Terms{Step: cm})
	labels := map[string]bool{}
	for _, c := range list.Cuts {
		labels[c.Label] = true
	}
	require.Len(t, labels, 60)
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 51: "AZ", 52: "BA"} {
		require.Equal(t, want, list.Cuts[i].Label)
	}
}

// A cord whose ends need different lengths is folded off centre, and the saving is
// as much as the legs differ.
func TestFoldingOffCentre(t *testing.T) {
	r := traced(t, "cord main 4 mm\npanel p\nmount 1 folded\ntail 100 cm on left 1\ntail 30 cm on right 1\n")
	plain := made(t, r, cutlist.Terms{Step: cm})
	thrifty := made(t, r, cutlist.Terms{Step: cm, Economy: true})
	require.Zero(t, plain.Cuts[0].Fold)
	c := thrifty.Cuts[0]
	require.Equal(t, trace.Right, c.Short)
	// Each end: a lark's head on 20 mm, 5 pi/6 (20 + 3) + 2.16 x 3 = 66.7 mm, from
	// the axis 13 mm down, and its tail: 38.0 and 108.0 cm, rounded up.
	require.Equal(t, 38*cm, c.Fold)
	require.Equal(t, (38+108)*cm, c.Length)
	require.Equal(t, 216*cm, plain.Cuts[0].Length)
	require.Equal(t, 70*cm, thrifty.Saves)
	require.Equal(t, plain.Saves, thrifty.Saves)
	require.Equal(t, c.Length, r.Ends[0].Total()+r.Ends[1].Total()+c.Why.Rounded)
	require.Equal(t, []length.Length{108 * cm, 38 * cm}, []length.Length{c.Leg(trace.Left), c.Leg(trace.Right)}, "the fold lies 38 cm from the right end")
	require.Equal(t, []length.Length{108 * cm, 108 * cm}, []length.Length{plain.Cuts[0].Leg(trace.Left), plain.Cuts[0].Leg(trace.Right)})
}

// A tail shorter than hands can tie with is cut longer; one that nothing is tied
// with is not.
func TestHands(t *testing.T) {
	terms := cutlist.Terms{Tying: 12 * cm}
	knotted := made(t, traced(t, "cord main 4 mm\npanel p\nmount 2 folded\nrow square\ntail 3 cm\n"), terms)
	require.Equal(t, 9*cm, knotted.Cuts[0].Why.Tying)
	loose := made(t, traced(t, "cord main 4 mm\npanel p\nmount 2 folded\ntail 3 cm\n"), terms)
	require.Zero(t, loose.Cuts[0].Why.Tying)
}

// Where a cut's length comes from adds up.
func TestWhyAddsUp(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "sheets", "*.sheet"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		r := traced(t, string(text))
		for _, economy := range []bool{false, true} {
			for _, c := range made(t, r, cutlist.Terms{Margin: 0.1, Tying: 12 * cm, Step: 5 * cm, Economy: economy}).Cuts {
				leg := c.Why.Need.Total() + c.Why.Margin + c.Why.Tying
				switch {
				case c.Why.End < 0:
					require.Equal(t, c.Length, leg+c.Why.Rounded, "%s %s", file, c.Label)
				case c.Fold > 0:
					require.GreaterOrEqual(t, c.Length-c.Fold, leg, "%s %s", file, c.Label)
				case c.Folded:
					require.Equal(t, c.Length, 2*leg+c.Why.Rounded, "%s %s", file, c.Label)
				default:
					require.Equal(t, c.Length, leg+c.Why.Rounded, "%s %s", file, c.Label)
				}
			}
		}
	}
}

func TestMarginsOutOfRange(t *testing.T) {
	r := traced(t, "cord main 4 mm\npanel p\nmount 2 folded\n")
	_, err := cutlist.Make(r, cutlist.Terms{Margin: -0.1})
	require.EqualError(t, err, "a margin of -10 %: it must be from 0 to 200 %")
	_, err = cutlist.Make(r, cutlist.Terms{Margin: 2.5})
	require.EqualError(t, err, "a margin of 250 %: it must be from 0 to 200 %")
	_, err = cutlist.Make(r, cutlist.Terms{Margin: cutlist.Fraction(math.NaN())})
	require.Error(t, err)
	_, err = cutlist.Make(r, cutlist.Terms{Margin: 2})
	require.NoError(t, err, "a sheet may ask for as much")
}

func TestCopiesAreCutForAll(t *testing.T) {
	const text = "cord main 4 mm, spool 50 m 400 g 20.00\npanel p\n  mount 8 folded\n  net square rows 6\n  wrap turns 5\n  tail 20 cm\n"
	terms := cutlist.Terms{Margin: cutlist.DefaultMargin, Tying: trace.TyingTail(), Step: 5 * cm}
	one, four := made(t, traced(t, text), terms), made(t, traced(t, "copies 4\n"+text), terms)
	require.Equal(t, 1, one.Copies)
	require.Equal(t, 4, four.Copies)
	require.Len(t, four.Cuts, len(one.Cuts))
	for i, c := range one.Cuts {
		require.Equal(t, 4*c.Count, four.Cuts[i].Count)
		require.Equal(t, c.Length, four.Cuts[i].Length)
		require.Equal(t, c.Why, four.Cuts[i].Why, "the needs are of one piece")
	}
	require.Equal(t, 4*one.Totals[0].Length, four.Totals[0].Length)
	require.Equal(t, 4*one.Saves, four.Saves)
	require.GreaterOrEqual(t, length.Length(four.Totals[0].Spools)*50*length.Metre, four.Totals[0].Length)
	require.Equal(t, one.Chance, four.Chance)
}

func TestACordAtHandIsNotCutLonger(t *testing.T) {
	list := made(t, traced(t, "cord main 4 mm\npanel p\n  mount 4 folded\n  wrap cord 63 cm\n"), cutlist.Terms{Margin: 0.1, Step: 5 * cm})
	require.Equal(t, 63*cm, list.Cuts[1].Length)
}

// Single cords of three tails: whoever cuts them all to one length takes the longest's,
// rounded up once; with economy each length is a line, and cords that need alike share one.
func TestSingleCordsOfSeveralLengths(t *testing.T) {
	r := traced(t, "cord main 4 mm\npanel p\nmount 4 single\ntail 100 cm on 1\ntail 30 cm on 2-3\ntail 60 cm on 4\n")
	plain := made(t, r, cutlist.Terms{Step: 5 * cm})
	require.Len(t, plain.Cuts, 1)
	require.Equal(t, 4, plain.Cuts[0].Count)
	require.Equal(t, 0, plain.Cuts[0].Why.End, "the long one decides")
	thrifty := made(t, r, cutlist.Terms{Step: 5 * cm, Economy: true})
	var counts, ends []int
	var tails []length.Length
	for _, c := range thrifty.Cuts {
		counts, ends, tails = append(counts, c.Count), append(ends, c.Why.End), append(tails, c.Why.Need.Tail)
		require.Equal(t, c.Length, c.Why.Need.Total()+c.Why.Rounded)
		require.Less(t, c.Why.Rounded, 5*cm)
		require.False(t, c.Folded)
	}
	require.Equal(t, []length.Length{100 * cm, 60 * cm, 30 * cm}, tails, "longest first")
	require.Equal(t, []int{1, 1, 2}, counts)
	require.Equal(t, []int{0, 3, 1}, ends, "of cords that need alike the first tells why")
	require.Equal(t, thrifty.Saves, plain.Saves)
}

// The lines of a panel stand in the order of its cords, and those of a cord from the
// longest down; ends that need alike fold in the middle, economy or not.
func TestOrderOfTheLines(t *testing.T) {
	r := traced(t, "cord main 4 mm\ncord sand 4 mm\npanel p\nmount 1 folded sand, 2 folded main, 1 folded sand\n"+
		"tail 40 cm on 3-4\ntail 90 cm on 5-6\ntail 60 cm on 1-2\ntail 60 cm on 7-8\n")
	list := made(t, r, cutlist.Terms{Economy: true})
	var lines []string
	for _, c := range list.Cuts {
		lines = append(lines, fmt.Sprint(r.Cords[c.Cord].Name, " ", c.Count, " ", c.Why.Need.Tail))
		require.Zero(t, c.Fold)
		require.Equal(t, trace.Left, c.Short)
		require.Equal(t, r.Strands[c.Strands[0]].Ends[0], c.Why.End, "of two legs alike the left one tells why")
	}
	require.Equal(t, []string{"main 1 90 cm", "main 1 40 cm", "sand 2 60 cm"}, lines)
}
