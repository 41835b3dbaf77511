package picture_test

import (
	"bytes"
	"compress/zlib"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/commands/say"
	"larkfold/sizing"
	"larkfold/sizing/dowel"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

// millimetre in points: an inch is 72 points and, by the 1959 agreement, 25.4 mm.
const millimetre = 72 / 25.4

func TestStripsAreProportional(t *testing.T) {
	plan := picturetest.Cutting(t)
	d := picture.Strips(plan, "Plan", length.Style{})
	strips := picturetest.Parts(d, picture.AStrip)
	require.Len(t, strips, len(plan.Patterns))
	scale := map[bool]float64{} // points to a nanometre, of offcuts and of spools
	for _, s := range strips {
		p := plan.Patterns[s.Index]
		each := float64(s.Box.Right-s.Box.Left) / float64(p.Length)
		if scale[p.Offcut] == 0 {
			scale[p.Offcut] = each
		}
		require.InEpsilon(t, scale[p.Offcut], each, 1e-6)
	}
	at := 0
	pieces := picturetest.Parts(d, picture.APiece)
	for _, s := range strips {
		p := plan.Patterns[s.Index]
		for n, c := range p.Cuts {
			piece := pieces[at+n]
			require.Equal(t, c.Label, piece.Name)
			require.InDelta(t, float64(s.At.X)+float64(c.Start)*scale[p.Offcut], float64(piece.At.X), 0.01)
		}
		at += len(p.Cuts)
	}
	require.Len(t, pieces, at)
	require.Contains(t, d.Alt(), "11 × A 2.50 m to 27.60 m, 1 × B 55 cm to 28.16 m, 5 × C 30 cm to 29.71 m, 28 cm left")
}

// Every piece is named in its strip or at a line below it, however many and however
// short: none is told by its colour alone.
func TestEveryPieceOfAPlanIsNamed(t *testing.T) {
	var pieces []stock.Piece
	for i, p := range []struct {
		count int
		cut   length.Length
	}{
		{34, 430 * length.Centimetre}, {12, 45 * length.Centimetre}, {3, 120 * length.Centimetre},
		{7, 88 * length.Centimetre}, {20, 33 * length.Centimetre}, {9, 225 * length.Centimetre},
	} {
		pieces = append(pieces, stock.Piece{Length: p.cut, Count: p.count, Label: string(rune('A' + i))})
	}
	plan, err := stock.Solve(t.Context(), stock.Problem{Pieces: pieces, Stock: []stock.Stock{{Length: 50 * length.Metre, Label: "spool", Count: 10}}, Keep: 30 * length.Centimetre})
	require.NoError(t, err)
	require.Empty(t, plan.Unplaced)
	d := picture.Strips(plan, "Plan", length.Style{})
	picturetest.RequireClear(t, d)
	strips := picturetest.Parts(d, picture.AStrip)
	require.Len(t, strips, len(plan.Patterns))
	for _, strip := range strips {
		named := map[string]bool{}
		for _, s := range d.Shapes {
			text := s.Words.Text
			if text == "" || s.Words.At.Y < strip.Box.Top || s.Words.At.Y > strip.Box.Bottom+14 {
				continue
			}
			_, label, counted := strings.Cut(text, " ")
			if !counted {
				label = text
			}
			named[label] = true
		}
		for _, c := range plan.Patterns[strip.Index].Cuts {
			require.True(t, named[c.Label], "%s in strip %d: %v", c.Label, strip.Index, named)
		}
	}
}

func TestShortagesAreNamed(t *testing.T) {
	p, err := stock.Solve(t.Context(), stock.Problem{
		Pieces: []stock.Piece{{Length: 2 * length.Metre, Count: 3, Label: "A"}},
		Stock:  []stock.Stock{{Length: 3 * length.Metre, Count: 1, Offcut: true}},
	})
	require.NoError(t, err)
	require.Contains(t, picture.Strips(p, "Plan", length.Style{}).Alt(), "Missing: 2 × A 2.00 m")
}

// joinsOf are the places of the marks along the rod that a print shows, read off
// the pages: strips follow one another.
func marksOnPaper(pages []*paint.Drawing) []float64 {
	var marks []float64
	along := 0.0 // rod on the strips before, in points
	for _, page := range pages {
		strips := picturetest.Parts(page, picture.AStrip)
		for _, s := range strips {
			for _, m := range picturetest.Parts(page, picture.AMark) {
				if m.At.X == s.At.X {
					marks = append(marks, along+float64(m.At.Y-s.At.Y))
				}
			}
			along += float64(s.Box.Bottom-s.At.Y) - 0.3 // half the frame's line
		}
	}
	return marks
}

func TestMarksAreLifeSize(t *testing.T) {
	mm := length.Millimetre
	marks := []dowel.Mark{
		{Group: "wave", Cords: 12, PerCord: 12 * mm, Start: 31 * mm, End: 175 * mm},
		{Group: "reed", Cords: 20, PerCord: 12 * mm, Start: 300 * mm, End: 540 * mm},
		{Group: "shore", Cords: 1, PerCord: 10 * mm, Start: 1234 * mm, End: 1244 * mm},
	}
	for _, paper := range []picture.Paper{picture.A4, picture.Letter} {
		pages := picture.Sheets(picturetest.Size(t, picturetest.KeyRing), picture.Options{Paper: paper, Marks: marks})
		got := marksOnPaper(pages)
		want := []float64{31, 175, 300, 540, 1234, 1244}
		require.Len(t, got, len(want))
		for i := range want {
			require.InDelta(t, want[i], got[i]/millimetre, 0.2, "mark %d on paper %d", i, paper)
		}
		checks := picturetest.Parts(pages[len(pages)-1], picture.ACheck)
		require.Len(t, checks, 2)
	}
}

// TestPDFIsLifeSize reads the page itself: the check bars and the paper.
func TestPDFIsLifeSize(t *testing.T) {
	for paper, box := range map[picture.Paper][2]float64{picture.A4: {210, 297}, picture.Letter: {215.9, 279.4}} {
		data, err := picture.Print(t.Context(), picturetest.Size(t, picturetest.TideLine), picture.Options{Paper: paper})
		require.NoError(t, err)
		media := regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`).FindSubmatch(data)
		require.NotNil(t, media)
		for i, want := range box {
			got, err := strconv.ParseFloat(string(media[i+1]), 64)
			require.NoError(t, err)
			require.InDelta(t, want, got/millimetre, 0.1)
		}
		found := map[string]bool{}
		for _, m := range regexp.MustCompile(`(?m)^([0-9.]+) ([0-9.]+) m\s([0-9.]+) ([0-9.]+) l`).FindAllStringSubmatch(content(t, data), -1) {
			var at [4]float64
			for i := range at {
				at[i], err = strconv.ParseFloat(m[i+1], 64)
				require.NoError(t, err)
			}
			if at[1] != at[3] {
				continue
			}
			for name, want := range map[string]float64{"100 mm": 100, "4 in": 101.6} {
				if long := (at[2] - at[0]) / millimetre; long > want-0.2 && long < want+0.2 {
					found[name] = true
				}
			}
		}
		require.Equal(t, map[string]bool{"100 mm": true, "4 in": true}, found)
	}
}

// content is the drawing operators of a PDF's pages.
func content(t *testing.T, data []byte) string {
	var all strings.Builder
	for _, part := range bytes.Split(data, []byte("stream\n"))[1:] {
		r, err := zlib.NewReader(bytes.NewReader(part))
		if err != nil {
			continue
		}
		text, err := io.ReadAll(r)
		if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
			continue
		}
		all.Write(text)
		all.WriteByte('\n')
	}
	require.NotEmpty(t, all.String())
	return all.String()
}

func TestPrintTellsAll(t *testing.T) {
	sized := picturetest.Size(t, picturetest.TideLine)
	pages := picture.Sheets(sized, picture.Options{
		Cutting:     []picture.Cutting{{Title: "main", Plan: picturetest.Cutting(t)}},
		Hanging:     dowel.Hanging{Brushed: true},
		Assumptions: []string{"Cord is taken to flatten to three quarters in the knots."},
		Steps:       say.Instructions(sized.Result, length.Style{}),
	})
	text := picturetest.WordsOf(pages...)
	for _, want := range []string{
		"Tide Line", "Cut list", "12 × 2.35 m", "Cutting plan: main", "proved best", "Steps",
		"Hang 12 cords of main, folded, by lark's heads.",
		"Before you hang it", "catches fire readily", "licensed installer", "What this reckons with", "three quarters",
		"Marks for the rod, in life size", "must measure 100 mm", "must measure 4 in", fmt.Sprintf("page 1 of %d", len(pages)),
	} {
		require.Contains(t, text, want)
	}
}

func TestPrintIsTheSameEveryTime(t *testing.T) {
	sized := picturetest.Size(t, picturetest.TideLine)
	a, err := picture.Print(t.Context(), sized, picture.Options{})
	require.NoError(t, err)
	b, err := picture.Print(t.Context(), sized, picture.Options{})
	require.NoError(t, err)
	require.True(t, bytes.Equal(a, b))
}

func TestNamesInAnyScript(t *testing.T) {
	for name, want := range map[string]struct {
		shown string
		boxed bool
	}{
		"Zażółć gęślą":         {"Zażółć gęślą", false},
		"Κύμα Волна":           {"Κύμα Волна", false},
		"שלום":                 {"םולש", false}, // as seen, left to right
		"波の帯":                  {"□□□", true},
		"👩‍🎨 art":              {"□ art", true}, // one box for one sign
		"bro\x00ken\xff\u200b": {"bro ken", true},
		"e\u0301te\u0301":      {"été", false},
	} {
		sized := picturetest.Size(t, picturetest.KeyRing)
		sized.Sheet.Piece = name
		d := drawn.Piece(sized, length.Style{})
		text := picturetest.WordsOf(d)
		require.Contains(t, text, want.shown, name)
		require.Equal(t, want.boxed, strings.Contains(text, "cannot show"), name)
		_, err := picture.Print(t.Context(), sized, picture.Options{Assumptions: []string{name}})
		require.NoError(t, err)
		_, err = d.PNG()
		require.NoError(t, err)
	}
	sized := picturetest.Size(t, picturetest.KeyRing)
	sized.Sheet.Piece = strings.Repeat("W", 500) + strings.Repeat("🙂", 500)
	sized.Panels[0].Name = strings.Repeat("long", 200)
	sized.List.Cuts[0].For = sized.Panels[0].Name
	picturetest.RequireClear(t, drawn.Piece(sized, length.Style{}))
	for _, page := range picture.Sheets(sized, picture.Options{}) {
		picturetest.RequireClear(t, page)
	}
}

func TestSVGIsWellFormed(t *testing.T) {
	d := drawn.Piece(picturetest.Size(t, picturetest.Lantern), length.Style{})
	data, err := d.SVG()
	require.NoError(t, err)
	decoder := xml.NewDecoder(bytes.NewReader(data))
	elements := 0
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if _, ok := token.(xml.StartElement); ok {
			elements++
		}
	}
	require.Greater(t, elements, len(d.Shapes))
	require.Contains(t, string(data), "<desc>Drawing of Lantern")
}

func TestNothingToShowIsNoCrash(t *testing.T) {
	for _, d := range append(picture.Sheets(sizing.Sized{}, picture.Options{}),
		drawn.Piece(sizing.Sized{}, length.Style{}), picture.Use(sizing.Sized{}, length.Style{}),
		picture.Strips(stock.Plan{}, "", length.Style{}), knots.HowTo(&knot.Knot{})) {
		_, err := d.PNG()
		require.NoError(t, err)
		picturetest.RequireClear(t, d)
	}
}

func TestRoundPiecesWarnOfThePot(t *testing.T) {
	flat := picturetest.Size(t, "piece H\ncord main 4 mm\nring 20 cm x 5 mm\npanel p\n  mount 8 folded\n  net square rows 4\n")
	round := picturetest.Size(t, "piece H\ncord main 4 mm\nring 20 cm x 5 mm\npanel p round\n  mount 8 folded\n  net square rows 4\n")
	require.False(t, picture.HoldsPot(flat))
	require.True(t, picture.HoldsPot(round))
	var words []string
	for _, sheet := range picture.Sheets(round, picture.Options{}) {
		words = append(words, picturetest.WordsOf(sheet))
	}
	require.Contains(t, strings.Join(words, " "), "the pot watered")
}

// The print asks the viewer for full size, names its language and claims no date.
func TestPrintSaysHowItIsToBePrinted(t *testing.T) {
	pdf, err := picture.Print(t.Context(), picturetest.Size(t, picturetest.TideLine), picture.Options{})
	require.NoError(t, err)
	start := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(pdf)
	require.NotNil(t, start, "the file ends with where its last table begins")
	at, err := strconv.Atoi(string(start[1]))
	require.NoError(t, err)
	table := string(pdf[at:])
	require.True(t, strings.HasPrefix(table, "xref\n"))
	revised := ""
	for _, entry := range regexp.MustCompile(`(\d+) 1\n(\d{10}) 00000 n \n`).FindAllStringSubmatch(table, -1) {
		offset, err := strconv.Atoi(entry[2])
		require.NoError(t, err)
		object := string(pdf[offset:at])
		require.True(t, strings.HasPrefix(object, entry[1]+" 0 obj"), "object %s stands where the table says", entry[1])
		revised += object[:strings.Index(object, "endobj")]
	}
	require.Contains(t, revised, "/ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>>")
	require.Contains(t, revised, "/Lang (en)")
	require.Contains(t, revised, "/Title")
	require.NotContains(t, revised, "Date")
	again, err := picture.Print(t.Context(), picturetest.Size(t, picturetest.TideLine), picture.Options{})
	require.NoError(t, err)
	require.Equal(t, pdf, again, "the same plan gives the same bytes")
	checker, err := exec.LookPath("qpdf")
	if err != nil {
		t.Skip("qpdf is not installed: its own check of the file is left out")
	}
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	require.NoError(t, os.WriteFile(file, pdf, 0o600))
	said, err := exec.Command(checker, "--check", file).CombinedOutput()
	require.NoError(t, err, string(said))
}

// Every piece of the cut list has its box.
func TestABoxForEveryCut(t *testing.T) {
	sized := picturetest.Size(t, picturetest.TideLine)
	boxes := 0
	for _, page := range picture.Sheets(sized, picture.Options{}) {
		for _, s := range page.Shapes {
			if b := s.Path; s.Words.Text == "" && s.Fill == (paint.Ink{}) && len(b) == 5 && s.Width == 0.8 {
				if side := s.Box(); side.Right-side.Left < 10 && side.Bottom-side.Top < 10 {
					boxes++
				}
			}
		}
	}
	cuts := 0
	for _, c := range sized.List.Cuts {
		cuts += c.Count
	}
	require.Equal(t, cuts, boxes)
}

// A step stands beside its picture, whole, on one page, and every step has one.
func TestAStepAndItsPictureStandOnOnePage(t *testing.T) {
	for name, sized := range picturetest.Demos(t) {
		steps := say.Instructions(sized.Result, length.Style{})
		for _, paper := range []picture.Paper{picture.A4, picture.Letter} {
			shown := 0
			for _, page := range picture.Sheets(sized, picture.Options{Paper: paper, Steps: steps}) {
				picturetest.RequireClear(t, page)
				lines := picturetest.Parts(page, paint.ALine)
				for _, p := range picturetest.Parts(page, drawn.AStep) {
					shown++
					require.True(t, p.Box.Within(page.Page()), "%s: the picture of step %s", name, p.Name)
					beside := false
					for _, l := range lines {
						beside = beside || page.Shapes[l.From].Words.Text == p.Name && l.At.Y >= p.Box.Top && l.At.Y <= p.Box.Top+12
					}
					require.True(t, beside, "%s: step %s stands beside its picture", name, p.Name)
				}
			}
			want := 0
			for _, in := range steps {
				want += len(in.Steps)
			}
			require.Equal(t, want, shown, name)
		}
	}
}

// Whoever has the print read out hears headings, paragraphs and what each picture
// shows (ISO 32000-1, 14.7 and 14.9.3).
func TestThePrintCanBeReadOut(t *testing.T) {
	sized := picturetest.Size(t, picturetest.TideLine)
	steps := say.Instructions(sized.Result, length.Style{})
	pdf, err := picture.Print(t.Context(), sized, picture.Options{Steps: steps, Cutting: []picture.Cutting{{Title: "main", Plan: picturetest.Cutting(t)}}})
	require.NoError(t, err)
	require.Contains(t, string(pdf), "/MarkInfo <</Marked true>>")
	elements := regexp.MustCompile(`/Type /StructElem /S /(\w+) /P \d+ 0 R /Pg (\d+) 0 R /K (\d+)( /Alt <FEFF([0-9A-F]+)>)?`).FindAllSubmatch(pdf, -1)
	alts := []string{}
	marks := map[string]int{} // by page
	for _, e := range elements {
		require.Equal(t, strconv.Itoa(marks[string(e[2])]), string(e[3]), "marks are counted on each page from 0")
		marks[string(e[2])]++
		require.Equal(t, string(e[1]) == "Figure", len(e[4]) > 0, "figures have a text, and they alone")
		if len(e[4]) > 0 {
			alts = append(alts, utf16Text(t, string(e[5])))
		}
	}
	all := strings.Join(alts, "\n")
	require.Contains(t, all, "Drawing of Tide Line")
	require.Contains(t, all, "12 cords hung now")
	require.Contains(t, all, "End 1 carries")
	require.Contains(t, all, "wave, 12 cords, hangs from")
	require.Contains(t, all, "11 × A 2.50 m")
	require.Len(t, regexp.MustCompile(` BDC`).FindAllString(content(t, pdf), -1), len(elements), "what is marked is listed, and all of it")
}

func utf16Text(t *testing.T, digits string) string {
	var units []uint16
	for i := 0; i+4 <= len(digits); i += 4 {
		u, err := strconv.ParseUint(digits[i:i+4], 16, 16)
		require.NoError(t, err)
		units = append(units, uint16(u))
	}
	return string(utf16.Decode(units))
}
