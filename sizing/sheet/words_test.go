package sheet_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/vocabulary"
)

// otherwise are words that the reader also understands for one that is explained,
// and signs.
var otherwise = []string{"color", "percent", "deg", "degrees", "x", "ways", "pushed up"}

// Every word that the reader of a sheet looks for is explained: those of the steps'
// descriptions, and those that stand in the source of the others.
func TestEveryWordIsExplained(t *testing.T) {
	explained := map[string]vocabulary.Word{}
	for _, w := range vocabulary.Words() {
		require.Empty(t, explained[w.Name].Name, "%s is explained twice", w.Name)
		explained[w.Name] = w
	}
	looked := map[string]string{}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") || file == "mend.go" {
			continue
		}
		source, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, call := range regexp.MustCompile(`(?:accept|expect|one)\(("[^)]*"|[^)]*firstRod)\b`).FindAllStringSubmatch(string(source), -1) {
			for _, literal := range regexp.MustCompile(`"([a-z][a-z ]*)"`).FindAllStringSubmatch(call[1], -1) {
				looked[literal[1]] = file
			}
		}
		for _, words := range regexp.MustCompile(`(?:Word|After): *"([a-z]+)"|words: +\[\]string\{([^}]*)\}`).FindAllStringSubmatch(string(source), -1) {
			for _, literal := range regexp.MustCompile(`"([a-z]+)"`).FindAllStringSubmatch(`"`+words[1]+`" `+words[2], -1) {
				looked[literal[1]] = file
			}
		}
	}
	require.Greater(t, len(looked), 40)
	for word, file := range looked {
		if !slices.Contains(otherwise, word) && word != "rod" {
			require.NotEmpty(t, explained[word].Name, "%s, a word of %s", word, file)
		}
	}
	for _, way := range []string{"folded", "single", "laid", "middle", "edges", "left", "right", "touching", "relaxed", "spread", "foot", "rod", "all", "both"} {
		require.NotEmpty(t, explained[way].Name, way)
	}
}

func TestExplanationsAreSentencesWithAnExample(t *testing.T) {
	firsts := map[string]bool{}
	for _, w := range vocabulary.Words() {
		if w.Part != vocabulary.Detail {
			firsts[w.Name] = true
		}
	}
	for _, w := range vocabulary.Words() {
		require.Regexp(t, `^[A-Z].*\.$`, w.Means, w.Name)
		require.Regexp(t, `(^|[ \d])`+w.Name+`\b|^end$`, w.Example, w.Name)
		require.Equal(t, w.Part == vocabulary.Detail, len(w.In) > 0, w.Name)
		for _, in := range w.In {
			require.True(t, firsts[in] || in == "on", "%s stands in %s, which no line begins with", w.Name, in)
		}
		s, faults := sheet.Parse(w.Sheet(), knot.Standard())
		require.NoError(t, faults.Err(), "%s\n%s", w.Name, w.Sheet())
		require.Contains(t, w.Sheet(), w.Example)
		require.NotEmpty(t, s.Panels)
	}
}
