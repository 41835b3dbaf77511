package vocabulary_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/vocabulary"
)

// Every word's sheet holds its example and is a sheet without faults of which
// every panel, cord and rod that it names is there; so is the sample.
func TestSheetsOfTheWordsCanBeSized(t *testing.T) {
	sheets := map[string]string{"the sample": vocabulary.Sample}
	for _, w := range vocabulary.Words() {
		text := w.Sheet()
		sheets[w.Name] = text
		lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
		holds := 0
		for _, line := range lines {
			if strings.TrimSpace(line) == w.Example {
				holds++
			}
		}
		require.Positive(t, holds, "%s\n%s", w.Name, text)
		panels := 0
		for _, line := range lines {
			first, _, _ := strings.Cut(strings.TrimSpace(line), " ")
			stands := vocabulary.PartOf(first)
			require.NotEqual(t, vocabulary.Detail, stands, "%s: %q", w.Name, line)
			require.Equal(t, stands == vocabulary.InPanel, strings.HasPrefix(line, "  "), "%s: %q", w.Name, line)
			if stands == vocabulary.PanelHead {
				panels++
			}
		}
		// Panels beside its own only where the example needs them.
		others := strings.Contains(w.Example, " wave,") || strings.Contains(w.Example, "reed") && !strings.Contains(w.Example, "sand")
		require.Equal(t, others, panels > 1, "%s\n%s", w.Name, text)
		needsRod := !strings.Contains(w.Example, "both ways")
		require.Equal(t, needsRod, slices.ContainsFunc(lines, func(l string) bool { return strings.HasPrefix(l, "dowel ") || strings.HasPrefix(l, "ring ") }), "%s\n%s", w.Name, text)
	}
	for name, text := range sheets {
		_, faults := sheet.Parse(text, knot.Standard())
		require.NoError(t, faults.Err(), "%s\n%s", name, text)
	}
}

func TestPartOf(t *testing.T) {
	for first, want := range map[string]vocabulary.Part{
		"piece": vocabulary.Head, "cord": vocabulary.Head, "panel": vocabulary.PanelHead, "mount": vocabulary.InPanel, "tail": vocabulary.InPanel,
		"hanger": vocabulary.AfterPanel, "fringe": vocabulary.AfterPanel, "folded": vocabulary.Detail, "": vocabulary.Detail, "stick": vocabulary.Detail, "owl": vocabulary.Detail,
	} {
		require.Equal(t, want, vocabulary.PartOf(first), first)
	}
}

// Words of the trade stand for words of the sheet; the sheet's own words for none.
func TestLine(t *testing.T) {
	for trade, want := range map[string]string{"stick": "dowel", "rod": "dowel", "hoop": "ring", "sennit": "sinnet", "decrease": "taper", "feather": "leaf", "dowel": "", "": "", "owl": ""} {
		require.Equal(t, want, vocabulary.Line(trade), trade)
	}
}

func TestBehind(t *testing.T) {
	for _, row := range []struct {
		word, first string
		want        bool
	}{
		{"folded", "mount", true}, {"folded", "add", true}, {"folded", "row", false}, {"rows", "net", true}, {"rows", "row", false},
		{"row", "net", false}, {"mount", "mount", false}, {"owl", "mount", false}, {"folded", "", false}, {"round", "panel", false},
	} {
		require.Equal(t, row.want, vocabulary.Behind(row.word, row.first), "%s behind %s", row.word, row.first)
	}
}
