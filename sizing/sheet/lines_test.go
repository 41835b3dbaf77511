package sheet_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
	"larkfold/sizing/vocabulary"
)

// slips are lines as people get them wrong, beside those that are spoiled below.
var slips = []string{
	"net square 5", "rows square 3", "bar right", "bar left", "bar right middle", "plait of 2", "plait 20 cm", "plait 5 for 20 cm",
	"fringe 15 cm", "fringe 15 cm by 2", "fringe 15 cm by 2 on left", "fringe 15 cm by 2 left of wave", "swag 6 over 40 cm", "swag over 40 cm drop 20 cm",
	"hanger 15 cm", "hanger", "hanger rise 15", "tail 18", "tail", "tail 18 cm to 30 cm", "tail 18 cm at middle", "space", "space 3",
	"mount 12", "mount folded", "mount 12 main", "mount 12 foldd", "mount 0 folded", "add 2 folded", "add 2 left", "add folded left", "wrap 6", "wrap", "wrap length 3 cm",
	"wrap turns", "wrap turns 0", "wrap turns 2000", "tassel 10 cm", "tassel with 12 strands", "tassel 10 cm 12 strands", "leaf 10", "leaf 10 from 8 cm", "leaf 10 8 cm to 3 cm",
	"bead", "bead 15", "bead 15 mm hole 900 mm", "onto", "onto shelf", "repeat", "repeat 1", "repeat 500", "row", "row sqare", "row square of", "row square on", "row square on 8-5",
	"row square skip", "row square shift 2", "sinnet half", "sinnet half 12", "sinnet 12 half", "taper", "taper square 3", "widen square of 4 4", "gather left middle", "gather left to left",
	"cord 4 mm", "cord soft cotton 4 mm", "cord a", "cord a 4 m", "cord a 4 mm teal", "cord a 4 mm colour", "cord a 4 mm color tael", "cord a 4 mm squeeze", "cord a 4 mm squeeze 7",
	"cord a 4 mm spool", "cord a 4 mm, spool 100", "cord a 4 mm, spool 100 m 9 stone", "dowel 60 cm", "dowel 60 x 20", "dowel 60 cm 20 mm", "dowel 20 mm x 60 cm", "ring 20 cm", "margin 8", "margin", "margin 900%",
	"round up", "round up to", "round to 5 cm", "tie tight", "tie pushed", "tie", "hang loose", "hang", "copies", "copies 0", "copies two", "piece", "economy please", "panel", "panel left wave", "panel strap both",
	"net square rows 3 rows 4", "bar left to middle slope 95", "bar left to middle level slope 5", "knots square", "times half 12", "gap", "gap 4", "crochet a flower",
}

// spoiled are the examples of all words with a slip: a word left out, a letter
// lost, two words the wrong way round.
func spoiled() []string {
	var all []string
	for _, w := range vocabulary.Words() {
		if strings.Contains(w.Example, "sand") { // of cords that the sheet round the line has not
			continue
		}
		words := strings.Fields(strings.NewReplacer("cord main", "cord sea", "reed", "other").Replace(w.Example))
		for i := range words {
			if len(words) > 1 {
				all = append(all, strings.Join(slices.Delete(slices.Clone(words), i, i+1), " "))
			}
			if len(words[i]) > 3 {
				lost := slices.Clone(words)
				lost[i] = lost[i][:len(lost[i])-2] + lost[i][len(lost[i])-1:]
				all = append(all, strings.Join(lost, " "))
			}
			if i > 0 {
				turned := slices.Clone(words)
				turned[i-1], turned[i] = turned[i], turned[i-1]
				all = append(all, strings.Join(turned, " "))
			}
		}
	}
	return all
}

var (
	figures   = regexp.MustCompile(`\d+(?:[.,]\d+)?`)
	oneNumber = regexp.MustCompile(`^-?\d[\d.,]*\s*[a-z%]*$`)
)

// Every line that a fault proposes is accepted in the place of the faulty one, and
// keeps every number: only one that is all that is wrong may give way to another.
func TestProposedLinesAreAcceptedAndKeepTheNumbers(t *testing.T) {
	if testing.Short() {
		t.Skip("many lines, one after the other")
	}
	tried, kept, numbered := 0, 0, 0
	for _, line := range append(slices.Clone(slips), spoiled()...) {
		text := around(line)
		_, faults := sheet.Parse(text, sheettest.Book{})
		for _, f := range faults.Shown {
			if f.Line != line || f.Right == "" {
				continue
			}
			tried++
			require.True(t, sheettest.Accepted(text, f, sheettest.Book{}), "%s\n%s", line, f.Right)
			var wrong []string
			if oneNumber.MatchString(f.Word) {
				wrong = figures.FindAllString(f.Word, -1)
			}
			right := figures.FindAllString(f.Right, -1)
			all := true
			for _, n := range figures.FindAllString(line, -1) {
				all = all && (slices.Contains(wrong, n) || slices.Contains(right, n))
			}
			if len(figures.FindAllString(line, -1)) > 0 {
				numbered++
				if all {
					kept++
				} else {
					t.Logf("%q became %q", line, f.Right)
				}
			}
		}
	}
	require.Greater(t, tried, 250)
	require.Equal(t, numbered, kept, "lines that keep their numbers")
}

// Whoever measures in inches is told examples and bounds in them, what was typed stays
// as it is, and the line put right is accepted. Whoever does not is told none of it.
func TestFaultsAreToldInTheReadersUnits(t *testing.T) {
	metric := regexp.MustCompile(`(\d+) ?(mm|cm|m|g|kg)\b`)
	quoted := regexp.MustCompile(`“[^”]*”`)
	told, inInches := 0, 0
	texts := map[string]string{} // by the line at fault; empty where it is any
	for _, c := range refused {
		texts[c.text] = ""
	}
	for i, line := range append(slices.Clone(slips), spoiled()...) {
		if i < len(slips) || i%5 == 0 {
			texts[around(line)] = line
		}
	}
	for text, line := range texts {
		_, faults := sheet.ParseFor(text, sheettest.Book{}, length.Imperial)
		_, plain := sheet.Parse(text, sheettest.Book{})
		require.Equal(t, len(plain.Shown), len(faults.Shown), text)
		for i, f := range faults.Shown {
			if line != "" && f.Line != line {
				continue
			}
			told++
			require.NotRegexp(t, metric, quoted.ReplaceAllString(f.Text, ""), f.Line)
			for _, said := range metric.FindAllStringSubmatch(f.Right, -1) {
				require.True(t, strings.Contains(f.Line, said[1]) || strings.Contains(f.Line, said[2]), "neither number nor unit was typed: %s\n%s", f.Line, f.Right)
			}
			if f.Right != plain.Shown[i].Right {
				inInches++
			}
			if f.Right != "" && f.Place.Line > 0 && line != "" {
				require.True(t, sheettest.Accepted(text, f, sheettest.Book{}), "%s\n%s", f.Line, f.Right)
			}
		}
	}
	require.Greater(t, told, 200)
	require.Greater(t, inInches, 30)
}
