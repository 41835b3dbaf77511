package picturetest

import (
	"strings"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/paint"
)

// Parts are the parts of a kind, in the order in which they were drawn.
func Parts(d *paint.Drawing, kind paint.Kind) []paint.Part {
	var found []paint.Part
	for _, p := range d.Parts {
		if p.Kind == kind {
			found = append(found, p)
		}
	}
	return found
}

// WordsOf are all words of some drawings, in order.
func WordsOf(drawings ...*paint.Drawing) string {
	var all []string
	for _, d := range drawings {
		for _, s := range d.Shapes {
			if s.Words.Text != "" {
				all = append(all, s.Words.Text)
			}
		}
	}
	return strings.Join(all, " ")
}

// RequireClear fails when anything leaves the page or one line of words lies over
// another.
func RequireClear(t require.TestingT, d *paint.Drawing) {
	for _, p := range d.Parts {
		if !p.Box.Within(d.Page()) {
			require.Failf(t, "it leaves the page", "%s %d (%s) leaves the page %v: %v", p.Kind, p.Index, p.Name, d.Page(), p.Box)
		}
	}
	var boxes []paint.Box
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
