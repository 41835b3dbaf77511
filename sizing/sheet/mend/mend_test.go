package mend

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// few is a reader that accepts some lines and knows where others go wrong.
type few struct {
	accepted []string
	tried    int
}

func (f *few) Read(line string) *Fault {
	f.tried++
	common := 0
	for _, a := range f.accepted {
		if a == line {
			return nil
		}
		if rest, more := strings.CutPrefix(line, a+" "); more {
			return &Fault{Column: len(a) + 2, Word: rest}
		}
		n := 0
		for n < len(a) && n < len(line) && a[n] == line[n] {
			n++
		}
		common = max(common, n)
	}
	at := strings.LastIndex(line[:common], " ") + 1
	word, _, _ := strings.Cut(line[at:], " ")
	return &Fault{Column: at + 1, Word: word}
}

func (f *few) First(line string) string { return strings.Fields(line)[0] }
func (f *few) Firsts() []string         { return []string{"piece", "net", "tail"} }
func (f *few) Plain(text string) string { return strings.ToLower(text) }
func (f *few) Measures(text string) bool {
	return text != "" && strings.Contains("0123456789", text[:1])
}
func (f *few) Unseen(line string) int { return strings.Index(line, "\u200b") }
func (f *few) Units(string) []string  { return []string{"cm", "in"} }
func (f *few) Words(string) []string  { return []string{"rows", "to"} }
func (f *few) Knows(word string) bool { return word == "rows" || word == "to" }
func (f *few) Samples(first, said string, bounds bool) []string {
	return []string{"rows 6", "to 30 cm"}
}

func TestTheNearestLineIsFound(t *testing.T) {
	for _, test := range []struct{ typed, want string }{
		{"nett square rows 6", "net square rows 6"},        // the first word misspelt
		{"net square 6", "net square rows 6"},              // a word left out
		{"net rows square 6", "net square rows 6"},         // the wrong way round
		{"square net rows 6", "net square rows 6"},         // the first two
		{"tail 15 cm 30 cm", "tail 15 cm to 30 cm"},        // what stands between two lengths
		{"net square rows 6 please", "net square rows 6"},  // too much
		{"net square\u200b rows 6", "net square rows 6"},   // what cannot be seen
		{"crochet a flower " + strings.Repeat("x", 9), ""}, // nothing like it
	} {
		r := &few{accepted: []string{"net square rows 6", "tail 15 cm to 30 cm"}}
		require.Equal(t, test.want, Line(test.typed, *r.Read(test.typed), r), test.typed)
	}
}

// What is meant is taken if it is accepted; the reader's own proposal is the last resort.
func TestTheReadersOwnProposal(t *testing.T) {
	r := &few{accepted: []string{"net square rows 6", "tail 3 cm", "tail 6 cm"}}
	require.Equal(t, "tail 6 cm", Line("net square 6", Fault{Column: 12, Word: "6", Right: "tail 6 cm", Meant: true}, r))
	require.Equal(t, "net square rows 6", Line("net square 6", Fault{Column: 12, Word: "6", Right: "tail 3 cm", Meant: true}, r), "not when it loses a number")
	require.Equal(t, "net square rows 6", Line("net square 6", Fault{Column: 12, Word: "6", Right: "tail 3 cm"}, r))
	require.Equal(t, "tail 3 cm", Line("tail", Fault{Column: 5, Right: "tail 3 cm"}, r))
	require.Empty(t, Line("crochet", Fault{Column: 1, Word: "crochet", Right: "tail 3 cm"}, r), "nothing of it is left")
	require.Empty(t, Line("net", Fault{Column: 4, Meant: true}, r), "what is known to have no right line is not searched for")
}

// The search ends: a long line is not tried at all, and of a short one so many changes.
func TestTheSearchIsBounded(t *testing.T) {
	r := &few{accepted: []string{"none like it"}}
	for length, most := range map[int]int{longestMended - 1: mostTried + 1, longestMended: 1} {
		r.tried = 0
		line := "net " + strings.Repeat("a 1 ", length)[:length-4]
		require.Len(t, line, length)
		Line(line, *r.Read(line), r)
		require.LessOrEqual(t, r.tried, most, length)
		require.Equal(t, length < longestMended, r.tried > 1, length)
	}
}
