package terminal

import (
	"bytes"
	"strings"
	"testing"

	"larkfold/commands/reply"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func shownAt(t require.TestingT, width int, blocks ...reply.Block) string {
	var out bytes.Buffer
	s := &screen{out: &out, width: width, keep: func(name string, _ []byte) (string, error) { return "pictures/" + name, nil }}
	require.NoError(t, s.show(blocks))
	return out.String()
}

func TestShow(t *testing.T) {
	got := shownAt(t, 40,
		reply.Heading("Tide Line"),
		reply.Facts{{Label: "asked", Value: "40 cm wide and 70 cm long, all of it knotted"}, {Label: "cord", Value: "4 mm"}},
		reply.Table{
			Columns: []reply.Column{{}, {Title: "count", Right: true}, {Title: "for"}},
			Rows:    [][]string{{"A", "12", "the panel in front, and the one behind it"}, {"B", "1", "wrap"}},
		},
		reply.Verbatim("/project show name:\"a very long name that must stay on its one line\"\n"),
		reply.Actions{Buttons: []reply.Button{{Label: "save"}}},
		reply.Picture{Name: "tide.png", Draw: func() (reply.Image, error) { return reply.Image{PNG: []byte("x"), Alt: "two panels"}, nil }},
		reply.Caution("Hang it from a fixing rated for more than the load."),
	)
	require.Equal(t, `Tide Line

asked  40 cm wide and 70 cm long, all of
       it knotted
cord   4 mm

   count  for
A     12  the panel in front, and the
          one behind it
B      1  wrap

    /project show name:"a very long name that must stay on its one line"

picture: pictures/tide.png
  two panels

Caution: Hang it from a fixing rated
  for more than the load.
`, got)
}

func TestBoldIsOnlyAdded(t *testing.T) {
	var plain, bold bytes.Buffer
	blocks := []reply.Block{reply.Heading("Owl"), reply.Caution("Mind the hook.")}
	require.NoError(t, (&screen{out: &plain, width: 80}).show(blocks))
	require.NoError(t, (&screen{out: &bold, width: 80, bold: true}).show(blocks))
	require.NotEqual(t, plain.String(), bold.String())
	require.Equal(t, plain.String(), strings.NewReplacer("\x1b[1m", "", "\x1b[0m", "").Replace(bold.String()))
}

func TestControlCharactersAreTakenOut(t *testing.T) {
	got := shownAt(t, 80, reply.Heading("O\x1b[31mwl\u202e"), reply.Verbatim("a\tb\x07\nc"), reply.Facts{{Label: "\x9b", Value: "\r"}})
	require.Equal(t, "O�[31mwl�\n\n    a b�\n    c\n\n�  �\n", got)
}

func TestTextIsWrappedToTheWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("aé縄👩🏽·1.\n  "))).Draw(t, "text")
		width := rapid.IntRange(6, 30).Draw(t, "width")
		lines := wrap(text, width)
		for _, l := range lines {
			require.LessOrEqual(t, uniseg.StringWidth(strings.TrimRight(l, " ")), width, "%q in %q", l, lines)
		}
		all := func(s string) string { return strings.NewReplacer(" ", "", "\n", "").Replace(s) }
		require.Equal(t, all(text), all(strings.Join(lines, "")))
	})
}

func TestTablesFitTheWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringMatching(`[a-z縄]{1,6}( [a-z]{1,6}){0,8}`)
		table := reply.Table{Columns: []reply.Column{{Title: "n", Right: true}, {Title: "what"}}}
		for range rapid.IntRange(1, 5).Draw(t, "rows") {
			table.Rows = append(table.Rows, []string{"1", cell.Draw(t, "cell")})
		}
		for l := range strings.Lines(shownAt(t, 30, table)) {
			require.LessOrEqual(t, uniseg.StringWidth(strings.TrimSpace(l)), 30, l)
		}
	})
}
