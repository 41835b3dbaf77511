package picture_test

import (
	"bytes"
	"fmt"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/commands/picture"
	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

func TestNothingOverlapsOrLeavesThePage(t *testing.T) {
	for name, sized := range picturetest.Demos(t) {
		for _, system := range []length.System{length.Metric, length.Imperial, length.Both} {
			t.Run(fmt.Sprint(name, system), func(t *testing.T) {
				units := length.Style{System: system}
				picturetest.RequireClear(t, drawn.Piece(sized, units))
				picturetest.RequireClear(t, picture.Use(sized, units))
				for _, paper := range []picture.Paper{picture.A4, picture.Letter} {
					for _, page := range picture.Sheets(sized, picture.Options{Paper: paper, Units: units, Cutting: []picture.Cutting{{Title: "main", Plan: picturetest.Cutting(t)}}}) {
						picturetest.RequireClear(t, page)
					}
				}
			})
		}
	}
	for _, k := range knot.Standard().Knots() {
		picturetest.RequireClear(t, knots.HowTo(k))
	}
}

func TestPictureFitsAChat(t *testing.T) {
	for name, sized := range picturetest.Demos(t) {
		for _, d := range []*paint.Drawing{drawn.Piece(sized, length.Style{}), picture.Use(sized, length.Style{})} {
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
		d := drawn.Piece(sized, units)
		picturetest.RequireClear(t, d)
		picturetest.RequireClear(t, picture.Use(sized, units))
		for _, page := range picture.Sheets(sized, picture.Options{Units: units}) {
			picturetest.RequireClear(t, page)
		}
		if rapid.IntRange(0, 9).Draw(t, "rendered") == 0 {
			_, err = d.PNG()
			require.NoError(t, err)
			_, err = picture.Print(t.Context(), sized, picture.Options{Units: units})
			require.NoError(t, err)
		}
	})
}

// On a phone a picture is about 400 pixels wide: nothing in it is smaller than ten.
func TestWordsAreReadOnAPhone(t *testing.T) {
	metric := length.Style{}
	drawings := []*paint.Drawing{picture.Strips(picturetest.Cutting(t), "Plan", metric), drawn.Piece(picturetest.NetOf(t, 400), metric)}
	for _, sized := range picturetest.Demos(t) {
		drawings = append(drawings, drawn.Piece(sized, metric), picture.Use(sized, metric))
	}
	for _, k := range knot.Standard().Knots() {
		drawings = append(drawings, knots.HowTo(k))
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
		for _, s := range picture.Use(picturetest.Size(t, picturetest.TideLine), length.Style{System: system}).Shapes {
			named = named || strings.HasSuffix(s.Words.Text, "longest")
		}
		require.True(t, named, system)
	}
}

// Every demo design can be drawn and printed, and what it is made of beside knots
// is in its picture.
func TestDemosAreDrawnAndPrinted(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "sheets", "*.sheet"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 16)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		sized := picturetest.Size(t, string(text))
		d := drawn.Piece(sized, length.Style{})
		kinds := map[paint.Kind]int{}
		for _, part := range d.Parts {
			kinds[part.Kind]++
			require.LessOrEqual(t, part.Box.Right, d.Width+1, "%s: %s", file, part.Kind)
		}
		require.Equal(t, len(sized.Beads), kinds[drawn.ABead], file)
		require.NotEmpty(t, picture.Sheets(sized, picture.Options{}), file)
	}
}
