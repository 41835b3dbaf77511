package reply

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// harbour is a list of commands for tests.
var harbour = []Command{
	{Name: "cord", Example: "/cord width:40cm", Options: []Option{{Name: "width", Required: true}, {Name: "drop"}}},
	{Name: "shelf", Sub: []Command{
		{Name: "add", Example: "/shelf add pieces:45cm", Options: []Option{{Name: "pieces", Required: true}}},
		{Name: "list", Example: "/shelf list"},
	}},
	{Name: "size this sheet", MessageMenu: true},
}

// A command is found by its path, one of a message's menu by all of its words.
func TestFind(t *testing.T) {
	for path, want := range map[string]string{"cord": "cord", "shelf": "shelf", "shelf add": "add", "shelf list": "list", "size this sheet": "size this sheet"} {
		words, wrong := ParseLine("/" + path)
		require.Nil(t, wrong)
		found, ok := Find(harbour, words.Words)
		require.True(t, ok, path)
		require.Equal(t, want, found.Name)
	}
	for _, path := range [][]string{nil, {"cords"}, {"shelf", "lists"}, {"cord", "add"}, {"size"}, {"size", "this"}} {
		_, ok := Find(harbour, path)
		require.False(t, ok, path)
	}
}

// The examples of a group are those of the commands under it.
func TestExamples(t *testing.T) {
	require.Equal(t, []string{"/cord width:40cm"}, harbour[0].Examples())
	require.Equal(t, []string{"/shelf add pieces:45cm", "/shelf list"}, harbour[1].Examples())
}

// A request is written as it was typed, its options in one order whoever asks.
func TestAsTyped(t *testing.T) {
	r := Request{Command: "shelf add", Options: map[string]string{"pieces": "45cm x12", "cord": "4mm", "note": ""}}
	require.Equal(t, `/shelf add cord:4mm note: pieces:"45cm x12"`, r.AsTyped())
	require.Equal(t, "/shelf list", Request{Command: "shelf list"}.AsTyped())
}

// A change is made once for each request, or for each operation of a control.
func TestOperation(t *testing.T) {
	require.Equal(t, "7", Request{ID: "7"}.Operation())
	require.Equal(t, "7", Request{ID: "7", Action: &Action{Name: "sheet.save"}}.Operation())
	require.Equal(t, "sheet.save x", Request{ID: "7", Action: &Action{Name: "sheet.save", Op: "x"}}.Operation())
}

// What stands right behind a closing quote is no option of its own: a blank must
// part them.
func TestOptionsAreParted(t *testing.T) {
	l, wrong := ParseLine(`/project show name:"Tide Line" why:A`)
	require.Nil(t, wrong)
	require.Equal(t, map[string]string{"name": "Tide Line", "why": "A"}, l.Options)
	_, wrong = ParseLine(`/project show name:"Tide Line"why:A`)
	require.NotNil(t, wrong)
	require.Contains(t, wrong.Wrong, "why:A")
}
