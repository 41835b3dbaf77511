package sheet_test

import (
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// roundTrip fails unless the sheet prints to a text that is read back as the same
// sheet and printed as the same text.
func roundTrip(t require.TestingT, s sheet.Sheet) {
	printed := sheet.Format(s)
	read, faults := sheet.Parse(printed, sheettest.Book{})
	require.NoError(t, faults.Err(), printed)
	require.Equal(t, sheettest.WithoutPlaces(s), sheettest.WithoutPlaces(read), printed)
	require.Equal(t, printed, sheet.Format(read))
}

func TestRoundTripOfAnySheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheettest.Written(t)
		require.Equal(t, s, sheettest.WithoutPlaces(s), "no places were drawn")
		roundTrip(t, s)
	})
}

func TestRoundTripOfValidSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { roundTrip(t, sheettest.Valid(t)) })
}

// TestPrintingSettles strews comments, blank lines and blanks over a sheet.
func TestPrintingSettles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := strings.Split(sheet.Format(sheettest.Written(t)), "\n")
		comments := 0
		for i, line := range lines {
			switch rapid.IntRange(0, 5).Draw(t, "how") {
			case 0:
				lines[i] = line + " # behind"
				comments++
			case 1:
				lines[i] = "\t#before\n\n" + line
				comments++
			case 2:
				lines[i] = "\t" + line + "  \n \n"
			}
		}
		if len(lines) > 60 {
			t.Skip("near the limit of lines")
		}
		read, faults := sheet.Parse(strings.Join(lines, "\n"), sheettest.Book{})
		require.NoError(t, faults.Err())
		require.Len(t, read.Remarks, comments)
		printed := sheet.Format(read)
		again, faults := sheet.Parse(printed, sheettest.Book{})
		require.NoError(t, faults.Err(), printed)
		require.Equal(t, sheettest.WithoutPlaces(read), sheettest.WithoutPlaces(again))
		require.Equal(t, printed, sheet.Format(again))
		placed, text := read.Placed()
		require.Equal(t, printed, text)
		require.Equal(t, again, placed, "in the places that are read")
	})
}

// TestSlipsAreSurvived spoils a few characters of a sheet.
func TestSlipsAreSurvived(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := sheet.Format(sheettest.Written(t))
		runes := []rune(text)
		from := rapid.IntRange(0, len(runes)-1).Draw(t, "from")
		to := rapid.IntRange(from, min(from+8, len(runes))).Draw(t, "to")
		spoiled := string(runes[:from]) + rapid.StringN(0, 6, -1).Draw(t, "instead") + string(runes[to:])
		checkFaults(t, spoiled)
	})
}

// checkFaults parses any text and checks what holds for every set of faults.
func checkFaults(t require.TestingT, text string) {
	s, faults := sheet.Parse(text, sheettest.Book{})
	require.LessOrEqual(t, len(faults.Shown), sheet.MostFaults)
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(text, "\uFEFF")), "\n")
	for _, f := range faults.Shown {
		require.NotEmpty(t, f.Text)
		require.True(t, f.Place.Line >= 1 && f.Place.Line <= len(lines), "line %d of %d", f.Place.Line, len(lines))
		line := lines[f.Place.Line-1]
		require.Equal(t, line, f.Line)
		require.True(t, f.Column >= 1 && f.Column <= uniseg.GraphemeClusterCount(line)+1, "column %d of %q", f.Column, line)
		require.Contains(t, line, f.Word)
		require.Contains(t, f.Error(), "^")
	}
	printed := sheet.Format(s)
	if faults.Any() {
		return
	}
	again, faults := sheet.Parse(printed, sheettest.Book{})
	require.NoError(t, faults.Err(), printed)
	require.Equal(t, sheettest.WithoutPlaces(s), sheettest.WithoutPlaces(again), printed)
}

func FuzzParse(f *testing.F) {
	f.Add(tideLine)
	for _, c := range accepted {
		f.Add(around(c.typed))
	}
	for _, c := range refused {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) { checkFaults(t, text) })
}

// longSheet is a sheet of as many lines as are allowed.
func longSheet() string {
	var b strings.Builder
	b.WriteString("piece Long\ncord main 4 mm single-strand, spool 100 m 900 g 24.00\ndowel 2 m x 20 mm birch\nmargin 8%\n")
	for i := range 14 {
		fmt.Fprintf(&b, "panel p%d\n", i)
		b.WriteString("mount 12 folded main\nrow square skip 2 on 1-4, 9-12 # twice\nnet square rows 6 apart 1,5 cm\ntaper square\nbar left to middle slope 30\n" +
			"bar right to middle+1\nspace 3 cm\nsinnet half times 12 on 1-4, 21-24\ngather left to middle\nplait for 2 m 30 on left 3\nadd 2 folded left\nwrap turns 6\ntail 4 ft 11 1/2 in\n")
	}
	return b.String()
}

func BenchmarkParse(b *testing.B) {
	text := longSheet()
	_, faults := sheet.Parse(text, sheettest.Book{})
	require.NoError(b, faults.Err())
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		sheet.Parse(text, sheettest.Book{})
	}
}

func BenchmarkFormat(b *testing.B) {
	s, faults := sheet.Parse(longSheet(), sheettest.Book{})
	require.NoError(b, faults.Err())
	b.ReportAllocs()
	for b.Loop() {
		sheet.Format(s)
	}
}

// hostile are texts that invite work growing with the square of their length.
func hostile(size int) map[string]string {
	texts := map[string]string{}
	for _, c := range []struct{ name, start, more string }{
		{"one long word", "cord a 4 mm\npanel p\nmount 4 folded\nrow square on ", "1,2-3,"},
		{"one word without a comma", "cord a 4 mm\npanel p\nmount 4 folded\nrow ", "square"},
		{"words for a knot", "cord a 4 mm\npanel p\nmount 4 folded\nrow ", "square "},
		{"words for a length", "cord a 4 mm\npanel p\nmount 4 folded\ntail ", "1 ft "},
		{"commas", "cord a 4 mm\npanel p\nmount 4 folded\nnet square rows 2", ","},
		{"joins", "cord a 4 mm\npanel p\nmount 4 folded\npanel q from ", "p,"},
		{"marks", "cord a 4 mm\npanel p", "\u0301"},
		{"comments", "cord a 4 mm\npanel p\nmount 4 folded\n", "#\n"},
		{"tabs and faults", "cord a 4 mm\npanel p\nmount 4 folded\n", "\tróws 綿\n"},
	} {
		texts[c.name] = c.start + strings.Repeat(c.more, (size-len(c.start))/len(c.more))
	}
	return texts
}

// TestHostileTextsAreReadInStep counts what reading them allocates: twice the text
// takes about twice as much, and never more than a few megabytes.
func TestHostileTextsAreReadInStep(t *testing.T) {
	if testing.Short() {
		t.Skip("the race detector throws away what pools keep, and what it allocates is no measure")
	}
	allocated := func(text string) uint64 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, faults := sheet.Parse(text, sheettest.Book{})
		_ = faults.Error()
		runtime.ReadMemStats(&after)
		return after.TotalAlloc - before.TotalAlloc
	}
	half := hostile(sheet.MostBytes / 2)
	for name, text := range hostile(sheet.MostBytes) {
		few, many := allocated(half[name]), allocated(text)
		t.Logf("%s: %d KiB, then %d", name, few>>10, many>>10)
		require.Less(t, many, 3*few+64<<10, name)
		require.Less(t, many, uint64(4<<20), name)
	}
}

// BenchmarkParseHostile reads them at half and at the whole limit of size.
func BenchmarkParseHostile(b *testing.B) {
	for _, size := range []int{sheet.MostBytes / 2, sheet.MostBytes} {
		for name, text := range hostile(size) {
			b.Run(fmt.Sprintf("%s/%d", name, size), func(b *testing.B) {
				for b.Loop() {
					_, faults := sheet.Parse(text, sheettest.Book{})
					_ = faults.Error()
				}
			})
		}
	}
}
