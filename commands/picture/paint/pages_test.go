package paint

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

func TestBoxes(t *testing.T) {
	page := Box{0, 0, 100, 50}
	for _, c := range []struct {
		box              Box
		within, overlaps bool
	}{
		{Box{0, 0, 100, 50}, true, true},
		{Box{-0.005, -0.005, 100.005, 50.005}, true, true}, // less than a hundredth
		{Box{-0.02, 0, 100, 50}, false, true},
		{Box{0, -0.02, 100, 50}, false, true},
		{Box{0, 0, 100.02, 50}, false, true},
		{Box{0, 0, 100, 50.02}, false, true},
		{Box{100, 0, 120, 50}, false, false}, // side by side
		{Box{-20, 0, 0, 50}, false, false},
		{Box{0, 50, 100, 60}, false, false},
		{Box{0, -10, 100, 0}, false, false},
		{Box{99, 49, 120, 60}, false, true},
	} {
		require.Equal(t, c.within, c.box.Within(page), "%v", c.box)
		require.Equal(t, c.overlaps, c.box.Overlaps(page), "%v", c.box)
	}
}

func TestTheAlternativeTextIsCutAtAWord(t *testing.T) {
	for _, n := range []int{10, 1024} {
		d := &Drawing{}
		d.Say(strings.Repeat("ä", n))
		require.Equal(t, strings.Repeat("ä", n), d.Alt())
	}
	d := &Drawing{}
	d.Say(strings.Repeat("ä", 1025))
	require.Equal(t, strings.Repeat("ä", 1023)+"…", d.Alt(), "no word ends")
	d = &Drawing{}
	for range 300 {
		d.Say("four")
	}
	require.True(t, strings.HasSuffix(d.Alt(), "four four…"))
	require.LessOrEqual(t, utf8.RuneCountInString(d.Alt()), 1024)
	require.Greater(t, utf8.RuneCountInString(d.Alt()), 1015)
}

func TestBoxesOfShapes(t *testing.T) {
	inset := &Drawing{Width: 30, Height: 12}
	words := Shape{Words: Words{Text: "cord", At: At(10, 50), Size: 10, Face: Plain}}
	d := &Drawing{}
	d.Stamp("square", At(40, 60), func(d *Drawing) { d.Fill(Rectangle(Box{-3, -2, 5, 7}), black) })
	for name, c := range map[string]struct {
		shape Shape
		want  Box
	}{
		"filled":  {Shape{Path: Polyline(At(3, 9), At(-2, 4), At(8, 5)), Fill: black, Width: 4}, Box{-2, 4, 8, 9}},
		"stroked": {Shape{Path: Polyline(At(3, 9), At(-2, 4)), Stroke: black, Width: 4}, Box{-4, 2, 5, 11}},
		"inset":   {Shape{Inset: inset, At: At(5, 7)}, Box{5, 7, 35, 19}},
		"stamp":   {d.Shapes[0], Box{37, 58, 45, 67}},
		"words":   {words, Box{10, 50 - 7.4, 10 + Plain.Measure("cord", 10), 52.2}},
		"empty":   {Shape{Path: Path{{Op: Close}}}, Box{}},
	} {
		require.Equal(t, c.want, c.shape.Box(), name)
	}
	d = &Drawing{}
	part := d.Open(ALabel, 4, At(1, 2))
	d.Fill(Rectangle(Box{10, 20, 30, 40}), black)
	d.Fill(Rectangle(Box{5, 25, 12, 60}), black)
	d.Fill(Path{}, black) // nothing of it
	d.Close(part)
	require.Equal(t, Part{Kind: ALabel, Index: 4, At: At(1, 2), Box: Box{5, 20, 30, 60}, To: 2}, d.Parts[part])
	d.Stamp("nothing", At(1, 1), func(*Drawing) {})
	require.Len(t, d.Shapes, 2)
}

// The house's fonts have the widths of those that printers know: Adobe's core metrics
// of Helvetica, Helvetica Bold and Times Bold, in thousandths (from memory).
func TestWidthsOfSigns(t *testing.T) {
	for face, widths := range map[Face]map[string]Points{
		Plain: {"A": 667, "i": 222, "W": 944, "0": 556, " ": 278, "…": 1000, "Ai": 889, "": 0},
		Bold:  {"A": 722, "i": 278, "0": 556},
		Title: {"A": 722, "W": 1000, "0": 500},
	} {
		for text, want := range widths {
			require.InDelta(t, float64(want)*12/1000, float64(face.Measure(text, 12)), 0.02, "%s of face %d", text, face)
		}
	}
	require.Zero(t, Plain.Measure("灯", 12), "what is not known has no width")
}

func TestWhatTheFontsDoNotKnowIsBoxed(t *testing.T) {
	for text, want := range map[string]string{
		"Knoten": "Knoten", "a\tb\nc": "a b c", " a  b ": "a b", "e\u0301": "é",
		"a\u200bb": "ab", "a\ufe00": "a", "a\ufe0f": "a", // joiners and variants show nothing
		"灯": "□", "👩‍🎨 art": "□ art", "x\ufe10": "x□", "\ufdfd": "□", "波帯": "□□", "ok 𝒜": "ok □",
		"x\u0302": "x\u0302",
	} {
		shown, boxed := Plain.Known(text)
		require.Equal(t, want, shown, "%q", text)
		require.Equal(t, strings.Contains(want, "□"), boxed, "%q", text)
	}
}

func TestWordsFromRightToLeftAreSetAsTheyAreSeen(t *testing.T) {
	for text, want := range map[string]string{"cord 4": "cord 4", "שלום": "םולש", "cord שלום": "cord םולש", "سلام": "مالس"} {
		require.Equal(t, want, visual(text), text)
	}
}

func TestWordsAreShortenedToTheirRoom(t *testing.T) {
	const text = "cords, folded"
	whole := Plain.Measure(text, 10)
	require.Equal(t, text, Plain.fit(text, 10, whole))
	require.Equal(t, "cords, fold…", Plain.fit(text, 10, whole-0.01), "the dots take more room than one sign")
	require.Equal(t, "cords, fold…", Plain.fit(text, 10, Plain.Measure("cords, fold…", 10)+1e-9))
	require.Equal(t, "cords, fol…", Plain.fit(text, 10, Plain.Measure("cords, fold…", 10)-0.01))
	require.Equal(t, "cords…", Plain.fit(text, 10, Plain.Measure("cords, …", 10)), "no comma before the dots")
	for most := whole - 1; most > Plain.Measure("…", 10); most -= 3 {
		require.LessOrEqual(t, Plain.Measure(Plain.fit(text, 10, most), 10), most)
		require.True(t, strings.HasSuffix(Plain.fit(text, 10, most), "…"))
	}
	require.Equal(t, []string{"a bb", "ccc"}, Plain.Wrap(" a  bb ccc ", 10, Plain.Measure("a bb", 10)))
	require.Empty(t, Plain.Wrap("  ", 10, 100))
}

func TestWordsStandLeftRightOrInTheMiddle(t *testing.T) {
	wide := Bold.Measure("knot", 12)
	for align, left := range map[Align]Points{Leftward: 50, Centred: 50 - wide/2, Rightward: 50 - wide} {
		d := &Drawing{Width: 100, Height: 100}
		require.Equal(t, wide, d.Write("knot", At(50, 20), Style{Bold, 12, black}, align, 0))
		require.Equal(t, Words{"knot", At(left, 20), 12, Bold, black}, d.Shapes[0].Words)
		require.False(t, d.Boxed)
	}
	d := &Drawing{}
	require.Zero(t, d.Write(" ", At(50, 20), Style{Bold, 12, black}, Leftward, 0))
	require.Empty(t, d.Shapes)
	require.LessOrEqual(t, d.Write("灯 and a long name", At(50, 20), Style{Bold, 12, black}, Leftward, 40), Points(40))
	require.True(t, d.Boxed)
}

// A heading stands within the margins above its rule, and what follows below.
func TestHeadings(t *testing.T) {
	for _, below := range []string{"", "twelve cords of main, 4 mm, and many more words than the page is wide, which are therefore cut short"} {
		d := &Drawing{Width: 400, Height: 100}
		y := d.Heading("A title that is much too long for the page that it is to stand on", below)
		lines := 1
		if below != "" {
			lines = 2
		}
		require.Len(t, d.Parts, lines)
		require.Len(t, d.Shapes, lines+1)
		inside := Box{PageMargin, PageMargin - 1, 400 - PageMargin, y}
		rule := d.Shapes[lines].Path.box()
		for i := range lines {
			words := d.Shapes[i].Box()
			require.True(t, words.Within(inside), "%v", words)
			require.Greater(t, words.Right, 400-PageMargin-30, "it fills its line")
			require.Less(t, words.Bottom, rule.Top)
			if i > 0 {
				require.Greater(t, words.Top, d.Shapes[i-1].Box().Bottom-2)
			}
		}
		require.Equal(t, PageMargin, rule.Left)
		require.Equal(t, 400-PageMargin, rule.Right)
		require.Greater(t, y, rule.Bottom+5)
	}
}

func TestParagraphsAndTheFootOfAPage(t *testing.T) {
	d := &Drawing{Width: 400}
	y := d.Paragraph("one two three four five six seven", At(30, 50), TextStyle(), 60, 14)
	require.Len(t, d.Parts, len(d.Shapes))
	require.Greater(t, len(d.Shapes), 1)
	for i, s := range d.Shapes {
		require.Equal(t, At(30, 50+14*Points(i)), s.Words.At)
		require.LessOrEqual(t, s.Box().Right, Points(90))
	}
	require.Equal(t, 50+14*Points(len(d.Shapes)), y)
	require.Equal(t, y+16, d.Section("Below", y))
	require.Equal(t, At(PageMargin, y), d.Shapes[len(d.Shapes)-1].Words.At)
	words := len(d.Shapes)
	d.Finish(y)
	require.Len(t, d.Shapes, words, "nothing that is not known")
	require.Equal(t, y+12, d.Height, "a small margin below")

	d = &Drawing{Width: 400}
	y = d.Paragraph("灯", At(30, 50), TextStyle(), 60, 14)
	d.Finish(y)
	last := d.Shapes[len(d.Shapes)-1]
	require.Equal(t, "□ stands for a sign that this picture cannot show.", last.Words.Text)
	require.Greater(t, last.Box().Top, d.Shapes[0].Box().Bottom)
	require.Less(t, last.Box().Bottom, d.Height)
}

// A size stands in the middle of its line where it has room there, or below; beside an
// upright one; both systems one above the other; never beyond the page.
func TestDimensionLines(t *testing.T) {
	const text = "40 cm"
	wide := Plain.Measure(text, 10)
	measured := func(a, b Point, text string) (*Drawing, []Shape) {
		d := &Drawing{Width: 400, Height: 300}
		d.Measure(a, b, text)
		require.Equal(t, ADimension, d.Parts[0].Kind)
		require.Equal(t, len(d.Shapes), d.Parts[0].To)
		line := d.Shapes[0].Path
		require.Equal(t, []Point{a, b}, []Point{line[0].P, line[1].P})
		for i, at := range []Point{a, b} { // a stroke across each end, half to either side
			end := d.Shapes[i+1].Path
			require.Equal(t, at, Point{(end[0].P.X + end[1].P.X) / 2, (end[0].P.Y + end[1].P.Y) / 2})
			if a.Y == b.Y {
				require.Equal(t, Points(7), end[1].P.Y-end[0].P.Y)
			} else {
				require.Equal(t, Points(7), end[1].P.X-end[0].P.X)
			}
		}
		return d, d.Shapes[3:]
	}
	_, rest := measured(At(100, 50), At(100+wide+12.1, 50), text) // just enough room
	require.Len(t, rest, 2)
	ground, words := rest[0].Box(), rest[1].Box()
	require.Equal(t, PaperInk(), rest[0].Fill)
	require.InDelta(t, 100+float64(wide+12.1)/2, float64(words.Left+words.Right)/2, 0.001)
	require.InDelta(t, 50, float64(words.Top+words.Bottom)/2, 1.2)
	require.InDelta(t, float64(wide)+8, float64(ground.Right-ground.Left), 0.001)
	require.InDelta(t, 50, float64(ground.Top+ground.Bottom)/2, 0.001)
	require.InDelta(t, float64(words.Left)-4, float64(ground.Left), 0.001)

	_, rest = measured(At(100, 50), At(100+wide+12, 50), text)
	require.Len(t, rest, 1, "no room in the line")
	require.Greater(t, rest[0].Box().Top, Points(50+3.5))
	require.InDelta(t, 100+float64(wide+12)/2, float64(rest[0].Box().Left+rest[0].Box().Right)/2, 0.001)
	for _, x := range []Points{1, 390} {
		_, rest = measured(At(x, 50), At(x+5, 50), text)
		require.True(t, rest[0].Box().Within(Box{PageMargin, 50, 400 - PageMargin, 70}))
	}

	_, rest = measured(At(100, 50), At(100, 150), text)
	require.Len(t, rest, 1)
	require.Greater(t, rest[0].Box().Left, Points(100+3.5))
	require.InDelta(t, 100, float64(rest[0].Box().Top+rest[0].Box().Bottom)/2, 1.2)
	_, rest = measured(At(100, 50), At(100, 150), "40 cm (15 3/4 in)")
	require.Len(t, rest, 2)
	low, high := rest[0], rest[1]
	require.Equal(t, "40 cm", high.Words.Text)
	require.Equal(t, "(15 3/4 in)", low.Words.Text)
	require.False(t, high.Box().Overlaps(low.Box()), "%v %v", high.Box(), low.Box())
	require.Less(t, high.Words.At.Y, low.Words.At.Y)
	require.InDelta(t, 103.6, float64(high.Words.At.Y+low.Words.At.Y)/2, 0.001)
	_, rest = measured(At(370, 50), At(370, 150), "40 cm and a lot more")
	require.LessOrEqual(t, rest[0].Box().Right, Points(400))
}

func TestChips(t *testing.T) {
	require.Equal(t, Points(13), ChipWidth("I"), "a disc")
	require.Equal(t, Bold.Measure("AAA", 9)+7, ChipWidth("AAA"))
	d := &Drawing{Width: 100, Height: 100, Paper: true}
	d.Chip("I", At(50, 40))
	disc, words := d.Shapes[0].Path.box(), d.Shapes[1].Box()
	require.Equal(t, Box{43.5, 33.5, 56.5, 46.5}, disc)
	require.Equal(t, WhiteInk(), d.Shapes[0].Fill)
	require.True(t, words.Within(disc), "%v", words)
	require.InDelta(t, 50, float64(words.Left+words.Right)/2, 0.001)
}

// Textures are told apart by their strokes, which stay within the box.
func TestTextures(t *testing.T) {
	for _, b := range []Box{{10, 20, 90, 38}, {10, 20, 30, 120}, {10, 20, 40, 50}} {
		wide, high := float64(b.Right-b.Left), float64(b.Bottom-b.Top)
		strokes := map[Texture][]Segment{}
		for look := Bare; look <= Dotted; look++ {
			d := &Drawing{}
			d.Textured(b, look, PanelInk(), black)
			require.Equal(t, b, d.Shapes[0].Box())
			require.Equal(t, map[bool]Ink{true: black, false: PanelInk()}[look == Solid], d.Shapes[0].Fill)
			if look == Bare || look == Solid {
				require.Len(t, d.Shapes, 1)
				continue
			}
			require.Len(t, d.Shapes, 2)
			require.Equal(t, black, d.Shapes[1].Stroke)
			require.True(t, d.Shapes[1].Path.box().Within(b), "%v in %v", d.Shapes[1].Path.box(), b)
			strokes[look] = d.Shapes[1].Path
			require.Zero(t, len(strokes[look])%2)
		}
		for i := 0; i < len(strokes[Upward]); i += 2 {
			from, to := strokes[Upward][i].P, strokes[Upward][i+1].P
			require.Equal(t, []Point{At(from.X, b.Top), At(from.X, b.Bottom)}, []Point{from, to})
			require.InDelta(t, 2.1+4.2*float64(i/2), float64(from.X-b.Left), 1e-9, "4.2 apart")
		}
		require.InDelta(t, wide/4.2, float64(len(strokes[Upward])/2), 0.51, "all over the box")
		slants := func(path []Segment, rises bool) int {
			n := 0
			for i := 0; i < len(path); i += 2 {
				from, to := path[i].P, path[i+1].P
				require.InDelta(t, math.Abs(float64(to.X-from.X)), float64(from.Y-to.Y), 1e-9, "at half a right angle")
				if to.X > from.X == rises {
					n++
				}
				for _, end := range []Point{from, to} { // from edge to edge
					require.True(t, end.X == b.Left || end.X == b.Right || end.Y == b.Top || end.Y == b.Bottom, "%v", end)
				}
			}
			return n
		}
		all := slants(strokes[Slanted], true)
		require.InDelta(t, (wide+high)/4.2, float64(all), 0.51)
		require.Equal(t, len(strokes[Slanted])/2, all, "to the right alone")
		require.Equal(t, []int{all, all}, []int{slants(strokes[Crossed], true), slants(strokes[Crossed], false)})
		rows := map[Points][]Points{}
		for i := 0; i < len(strokes[Dotted]); i += 2 {
			from, to := strokes[Dotted][i].P, strokes[Dotted][i+1].P
			require.Equal(t, from.Y, to.Y)
			require.InDelta(t, 1.1, float64(to.X-from.X), 1e-9, "as long as they are thick")
			rows[from.Y] = append(rows[from.Y], from.X)
		}
		require.InDelta(t, high/3.4, float64(len(rows)), 1)
		for _, row := range rows {
			require.InDelta(t, wide/3.6, float64(len(row)), 1)
		}
	}
	d := &Drawing{}
	d.Textured(Box{0, 0, 2.1, 20}, Upward, PanelInk(), black)
	require.Len(t, d.Shapes, 1, "no room for a stroke")
	d.Textured(Box{0, 0, 2.2, 20}, Upward, PanelInk(), black)
	require.Len(t, d.Shapes, 3)
}

func TestInks(t *testing.T) {
	require.Equal(t, Ink{0x12, 0x34, 0x56, 255}, RGB(0x123456))
	require.Equal(t, Ink{100, 50, 3, 255}, Ink{200, 100, 5, 255}.Darker(0.5))
	require.Equal(t, Ink{178, 255, 128, 255}, Ink{100, 255, 0, 255}.Lighter(0.5))
	require.Equal(t, Ink{168, 212, 255, 255}, Ink{0, 128, 255, 255}.faded(WhiteInk()), "a third of the ink")
	require.True(t, Ink{}.faded(WhiteInk()).Clear())
	require.False(t, black.Clear())
	// Contrast on white as WCAG's readers know it (from memory): #777777 just fails at
	// 4.48, red 4.0, green 1.37, blue 8.59; either way round.
	for hex, want := range map[uint32]float64{0x777777: 4.48, 0xFF0000: 4.0, 0x00FF00: 1.37, 0x0000FF: 8.59} {
		require.InDelta(t, want, Contrast(RGB(hex), WhiteInk()), 0.005, "%x", hex)
		require.InDelta(t, want, Contrast(WhiteInk(), RGB(hex)), 0.005, "%x", hex)
	}
	require.InDelta(t, 5.06, Lightness(RGB(0x111111)), 0.01)                   // from memory
	require.InDelta(t, 5.0/255/12.92*24389/27, Lightness(RGB(0x050505)), 1e-6) // where both are straight lines
}

// A spline goes through its points; where they lie evenly on a line its handles lie at
// thirds of it, and at its ends it goes out half as far.
func TestSmoothPaths(t *testing.T) {
	p := Smooth(At(0, 0), At(3, 6), At(6, 12), At(9, 18))
	require.Equal(t, Path{
		{Op: Move},
		{Op: Curve, P: At(3, 6), A: At(0.5, 1), B: At(2, 4)},
		{Op: Curve, P: At(6, 12), A: At(4, 8), B: At(5, 10)},
		{Op: Curve, P: At(9, 18), A: At(7, 14), B: At(8.5, 17)},
	}, p)
	require.Equal(t, Polyline(At(0, 0), At(3, 6)), Smooth(At(0, 0), At(3, 6)))
	bend := Smooth(At(0, 0), At(10, 0), At(10, 10))
	require.Equal(t, At(10-10.0/6, -10.0/6), bend[1].B, "along from neighbour to neighbour")
	require.Equal(t, At(10+10.0/6, 10.0/6), bend[2].A)
	require.Equal(t, Box{0, -10.0 / 6, 10 + 10.0/6, 10}, bend.box(), "with the handles")

	f := Turned(At(10, 20), math.Pi/2) // clockwise: along it runs down, down it runs left
	for i, at := range f.All(3, 0, 0, 2) {
		want := []Point{At(10, 23), At(8, 20)}[i]
		require.InDelta(t, float64(want.X), float64(at.X), 1e-9)
		require.InDelta(t, float64(want.Y), float64(at.Y), 1e-9)
	}
	require.Equal(t, At(13, 22), Upright(At(10, 20)).To(3, 2))
}

func TestLayersOfDrawings(t *testing.T) {
	named := func(names ...string) *Drawing {
		d := &Drawing{Width: 10, Height: 10}
		for _, n := range names {
			part := d.Open(ALabel, -1, Point{})
			d.Write(n, Point{}, TextStyle(), Leftward, 0)
			d.Write(n, Point{}, TextStyle(), Leftward, 0)
			d.Close(part)
			d.Parts[part].Name = n
		}
		return d
	}
	shows := func(d *Drawing) string { // every part shows its own name twice
		order := ""
		for _, p := range d.Parts {
			require.Equal(t, 2, p.To-p.From)
			for _, s := range d.Shapes[p.From:p.To] {
				require.Equal(t, p.Name, s.Words.Text)
			}
		}
		for _, s := range d.Shapes {
			order += s.Words.Text
		}
		return order
	}
	d := named("a", "b")
	d.Over(named("p", "q"))
	require.Equal(t, "ppqqaabb", shows(d))
	d = named("a", "b", "c")
	d.Behind(4)
	require.Equal(t, "ccaabb", shows(d))
	pale := named("p")
	pale.Stamp("s", Point{}, func(d *Drawing) { d.Line(Polyline(At(0, 0), At(1, 1)), black, 1) })
	pale.Fill(Rectangle(Box{0, 0, 1, 1}), black)
	pale.Fade()
	grey := black.faded(PaperInk())
	require.Equal(t, TextStyle().Ink.faded(PaperInk()), pale.Shapes[0].Words.Ink)
	require.Equal(t, grey, pale.Shapes[2].Stamp.Shapes[0].Stroke)
	require.True(t, pale.Shapes[2].Stamp.Shapes[0].Fill.Clear())
	require.Equal(t, grey, pale.Shapes[3].Fill)
	d = named("a") // a stamp of the same look is not the pale one
	d.Over(pale)
	d.Stamp("s", Point{}, func(d *Drawing) { d.Line(Polyline(At(0, 0), At(1, 1)), black, 1) })
	require.Equal(t, black, d.Shapes[len(d.Shapes)-1].Stamp.Shapes[0].Stroke)
}

// What is read: the words of every part, and what was marked; of a part within another
// the outer one; lines between them adorn.
func TestWhatIsReadOfAPage(t *testing.T) {
	d := &Drawing{Width: 100, Height: 100}
	line := func() { d.Rule(At(0, 0), At(10, 0), black, 1) }
	words := func() { d.Write("words", At(0, 0), TextStyle(), Leftward, 0) }
	line() // 0: adorns
	outer := d.Open(ALine, -1, Point{})
	line() // 1 to 3: one paragraph, its line too
	inner := d.Open(ALine, -1, Point{})
	words()
	d.Close(inner)
	line()
	d.Close(outer)
	mute := d.Open(ABox, -1, Point{})
	line() // 4: no words in it
	d.Close(mute)
	from := len(d.Shapes)
	line() // 5 to 6: a figure
	words()
	d.Reads("Figure", "a knot", from)
	words() // 7: in no part
	require.Equal(t, []passage{
		{from: 0, to: 1}, {role: "P", from: 1, to: 4}, {from: 4, to: 5}, {"Figure", "a knot", 5, 7}, {from: 7, to: 8},
	}, d.reading())
	require.Empty(t, (&Drawing{}).reading())
}

const ABox Kind = "box"

func TestNumbersOfAnSVG(t *testing.T) {
	for x, want := range map[Points]string{0: "0", 12: "12", 1.234: "1.23", 1.236: "1.24", -1.234: "-1.23", -1.236: "-1.24", -0.004: "0", 0.1: "0.1"} {
		require.Equal(t, want, short(x))
	}
}

// An SVG says in plain numbers what the drawing holds.
func TestWhatAnSVGHolds(t *testing.T) {
	d := &Drawing{Title: "A & B", Width: 100, Height: 50, Paper: true}
	d.Say("Two < three.")
	d.Fill(Rectangle(Box{1, 2, 3.5, 4.25}), RGB(0x102030))
	d.Add(Shape{Path: Polyline(At(5, 6), At(-7, 8)), Stroke: RGB(0xABCDEF), Width: 1.5, Round: true, Dash: []Points{2, 1.5}})
	bow := Polyline(At(0, 0))
	bow.Curve(At(1, 2), At(3, 4), At(5, 6))
	d.Line(bow, black, 2)
	for _, at := range []Point{{10, 20}, {30, 40}} {
		d.Stamp("dot", at, func(d *Drawing) { d.Fill(Rectangle(Box{-1, -1, 1, 1}), black) })
	}
	inner := &Drawing{Width: 20, Height: 10}
	inner.Fill(Rectangle(Box{0, 0, 5, 5}), black)
	d.Inset(inner, At(60, 30))
	d.Write("I I", At(70, 45), Style{Plain, 12.8, black}, Leftward, 0)
	data, err := d.SVG()
	require.NoError(t, err)
	got := string(data)
	for _, want := range []string{
		`width="100pt" height="50pt" viewBox="0 0 100 50" role="img"`, "<title>A &amp; B</title>", "<desc>Two &lt; three.</desc>",
		`<path d="M1 2L3.5 2L3.5 4.25L1 4.25Z" fill="#102030"/>`,
		`<path d="M5 6L-7 8" fill="none" stroke="#abcdef" stroke-width="1.5" stroke-linejoin="round" stroke-linecap="round" stroke-dasharray="2 1.5"/>`,
		`<path d="M0 0C1 2 3 4 5 6" fill="none" stroke="#000000" stroke-width="2" stroke-linejoin="round"/>`,
		`<g id="s1">` + "\n" + `<path d="M-1 -1L1 -1L1 1L-1 1Z" fill="#000000"/>`,
		`<use href="#s1" x="10" y="20"/>`, `<use href="#s1" x="30" y="40"/>`,
		`<svg x="60" y="30" width="20" height="10">` + "\n" + `<path d="M0 0L5 0L5 5L0 5Z" fill="#000000"/>` + "\n</svg>",
		// a size of 12.8 is a twentieth of the outlines'; the second I stands 278 + 278
		// thousandths of 256 on, the blank between them has no outline
		`<g fill="#000000" transform="translate(70 45) scale(0.05000)"><use href="#g1" x="0"/><use href="#g1" x="142.`,
	} {
		require.Contains(t, got, want)
	}
	require.Equal(t, 1, strings.Count(got, `id="s1"`))
	require.Equal(t, 2, strings.Count(got, `href="#g1"`))
	require.NotContains(t, got, "g2")
	stem := regexp.MustCompile(`id="g1" d="([^"]*)"`).FindStringSubmatch(got)[1]
	left, right, top, bottom := 999.0, -999.0, 999.0, -999.0
	for _, at := range regexp.MustCompile(`[ML](-?[\d.]+) (-?[\d.]+)`).FindAllStringSubmatch(stem, -1) {
		x, _ := strconv.ParseFloat(at[1], 64)
		y, _ := strconv.ParseFloat(at[2], 64)
		left, right, top, bottom = min(left, x), max(right, x), min(top, y), max(bottom, y)
	}
	require.InDelta(t, 256*0.278/2, (left+right)/2, 1, "an I stands in the middle of its width")
	require.InDelta(t, -256*0.716, top, 10, "Helvetica's capitals are 718 thousandths high (from memory)")
	require.Zero(t, bottom)
	tinted, err := (&Drawing{Width: 10, Height: 10}).SVG()
	require.NoError(t, err)
	require.Contains(t, string(tinted), `<path d="M0 0L10 0L10 10L0 10Z" fill="#faf4e8"/>`)
}

// streams are the unpacked streams of a PDF.
func streams(t *testing.T, data []byte) string {
	t.Helper()
	var all strings.Builder
	for _, part := range bytes.Split(data, []byte("stream\n"))[1:] {
		if r, err := zlib.NewReader(bytes.NewReader(part)); err == nil {
			text, _ := io.ReadAll(r) // what follows the stream is no part of it
			all.Write(text)
			all.WriteByte('\n')
		}
	}
	require.NotEmpty(t, all.String())
	return all.String()
}

// placesOf are the numbers before an operator of a PDF, wherever it stands.
func placesOf(t *testing.T, text, operator string, numbers int) [][]float64 {
	t.Helper()
	var all [][]float64
	for _, m := range regexp.MustCompile(`((?:-?[\d.]+\s+){`+strconv.Itoa(numbers)+`})`+operator+`\b`).FindAllStringSubmatch(text, -1) {
		var at []float64
		for f := range strings.FieldsSeq(m[1]) {
			x, err := strconv.ParseFloat(f, 64)
			require.NoError(t, err)
			at = append(at, x)
		}
		all = append(all, at)
	}
	return all
}

// A PDF counts up from the foot of its page; what the drawing holds stands there to the
// hundredth of a point, within insets and stamps too.
func TestWhatAPDFHolds(t *testing.T) {
	d := &Drawing{Title: "Test", Width: 200, Height: 100, Paper: true}
	d.Line(Polyline(At(10, 20), At(30, 45)), RGB(0xFF0000), 2.5)
	d.Add(Shape{Path: Polyline(At(11, 21), At(31, 46)), Stroke: RGB(0x00FF00), Width: 0.5, Round: true, Dash: []Points{4, 1.5}})
	bow := Polyline(At(40, 50))
	bow.Curve(At(41, 52), At(43, 54), At(45, 56))
	d.Line(bow, RGB(0x00FF00), 0.5)
	inner := &Drawing{Width: 50, Height: 30}
	inner.Line(Polyline(At(1, 2), At(3, 4)), black, 1)
	d.Inset(inner, At(100, 60))
	for _, at := range []Point{{70, 20}, {90, 30}, {110.5, 40}} {
		d.Stamp("dot", at, func(d *Drawing) { d.Fill(Rectangle(Box{-2, -3, 4, 5}), RGB(0x0000FF)) })
	}
	data, err := Pages("Test", d)
	require.NoError(t, err)
	got := streams(t, data)
	near := func(want [][]float64, got [][]float64, what string) {
		for _, w := range want {
			found := false
			for _, g := range got {
				same := len(g) == len(w)
				for i := range w {
					same = same && math.Abs(g[i]-w[i]) < 0.006
				}
				found = found || same
			}
			require.True(t, found, "%s %v of %v", what, w, got)
		}
	}
	near([][]float64{{10, 80}, {11, 79}, {40, 50}, {101, 38}}, placesOf(t, got, "m", 2), "begins at")
	near([][]float64{{30, 55}, {31, 54}, {103, 36}}, placesOf(t, got, "l", 2), "runs to")
	near([][]float64{{41, 48, 43, 46, 45, 44}}, placesOf(t, got, "c", 6), "bends to")
	near([][]float64{{2.5}, {0.5}}, placesOf(t, got, "w", 1), "is wide")
	near([][]float64{{1, 0, 0}, {0, 1, 0}}, placesOf(t, got, "RG", 3), "is drawn in")
	near([][]float64{{0, 0, 1}}, placesOf(t, got, "rg", 3), "is filled in")
	require.Contains(t, got, "[4.00 1.50] 0.00 d")
	require.Equal(t, 1, strings.Count(got, "0.000 0.000 1.000 rg"), "a stamp is written once")
	near([][]float64{{100, 40, 50, -30}}, placesOf(t, got, "re", 4), "is cut off at")
	shown := regexp.MustCompile(`q 1(?:\.0+)? 0 0 1(?:\.0+)? (-?[\d.]+) (-?[\d.]+) cm`).FindAllStringSubmatch(got, -1)
	require.Len(t, shown, 3, "%s", got)
	for i, at := range []Point{{70, 20}, {90, 30}, {110.5, 40}} {
		x, _ := strconv.ParseFloat(shown[i][1], 64)
		y, _ := strconv.ParseFloat(shown[i][2], 64)
		// the form reaches a point beyond the shape on each side
		require.InDelta(t, float64(at.X)-3, x, 0.006, "stamp %d", i)
		require.InDelta(t, 100-float64(at.Y)-6, y, 0.006, "stamp %d", i)
	}
	require.Equal(t, strings.Count(got, "BDC")+strings.Count(got, "BMC"), strings.Count(got, "EMC"))
}

func TestNoOtherFileIsRevised(t *testing.T) {
	_, err := revise([]byte("%PDF-1.7\n"), nil)
	require.ErrorContains(t, err, "ends in no trailer")
	const end = "trailer\n<<\n/Size 3\n/Root 2 0 R\n/Info 2 0 R\n>>\nstartxref\n9\n"
	_, err = revise([]byte("\n2 0 obj\nendobj\n"+end), nil)
	require.ErrorContains(t, err, "has no object 1")
	_, err = revise([]byte("\n1 0 obj 2 0 R endobj\n"+end), nil)
	require.ErrorContains(t, err, "1 pages instead of 0")
	_, err = revise([]byte("\n1 0 obj\n"+end), nil)
	require.ErrorContains(t, err, "does not end")
	require.Equal(t, "<FEFF00E9D83DDE42>", pdfText("é🙂"))
}

// A picture is as many pixels wide as it asks for, 1,600 at most, and 4,096 high.
func TestPixelsOfAPicture(t *testing.T) {
	for _, c := range []struct {
		wide, high   Points
		pixels, w, h int
	}{
		{100, 50, 300, 300, 150}, {100, 50.1, 300, 300, 151}, {100, 10, 1600, 1600, 160}, {100, 10, 1601, 1600, 160}, {100, 10, 0, 1600, 160}, {100, 10, -1, 1600, 160}, {100, 10, 1, 1, 1},
		{10, 256, 160, 160, 4096}, {10, 257, 160, 159, 4096}, {10, 1000, 1000, 41, 4096},
	} {
		data, err := (&Drawing{Width: c.wide, Height: c.high, Pixels: c.pixels}).PNG()
		require.NoError(t, err)
		config, err := png.DecodeConfig(bytes.NewReader(data))
		require.NoError(t, err)
		require.Equal(t, []int{c.w, c.h}, []int{config.Width, config.Height}, "%v", c)
	}
}

// The nearest of a palette's inks is that of the least squared distance, as looking at
// each finds it.
func TestNearestInk(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	some := func() Ink { return RGB(random.Uint32N(1 << 24)) }
	c := new(canvas)
	inks := []Ink{WhiteInk(), black}
	for len(inks) < 200 {
		inks = append(inks, some())
	}
	c.blank(2, 2, inks)
	far := func(a, b Ink) int {
		r, g, b2 := int(a.R)-int(b.R), int(a.G)-int(b.G), int(a.B)-int(b.B)
		return r*r + g*g + b2*b2
	}
	for range 300 {
		ink := some()
		least := 1 << 30
		for _, i := range inks {
			least = min(least, far(i, ink))
		}
		require.Equal(t, least, far(c.palette[c.nearest(ink)], ink))
	}
}

// Between two inks lie fifteen shades, each rounded to the nearest.
func TestShadesBetweenInks(t *testing.T) {
	for level := range levels + 1 {
		for _, pair := range [][2]uint8{{0, 255}, {255, 0}, {10, 11}, {200, 37}} {
			under, over := float64(pair[0]), float64(pair[1])
			want := math.Floor(under + (over-under)*float64(level)/levels + 0.5)
			require.Equal(t, uint8(want), blend(pair[0], pair[1], level), "%v %d", pair, level)
		}
	}
	for share, want := range map[float32]int{0: 0, 0.03: 0, 0.032: 1, 0.5: 8, 0.96: 15, 0.97: 16, 1: 16} {
		require.Equal(t, want, sixteenths(share), fmt.Sprint(share))
	}
}
