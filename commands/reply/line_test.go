package reply

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var acceptedLines = []struct {
	text    string
	words   string
	Options map[string]string
}{
	{"/cord width:40cm drop:70cm", "cord", map[string]string{"width": "40cm", "drop": "70cm"}},
	{"  cord   width:40cm\tdrop:70cm ", "cord", map[string]string{"width": "40cm", "drop": "70cm"}},
	{"/cord\u00a0width:40cm\u00a0drop:70cm", "cord", map[string]string{"width": "40cm", "drop": "70cm"}},
	{"\ufeff/project list", "project list", map[string]string{}},
	{"/cord width: 40 cm drop: 70 cm", "cord", map[string]string{"width": "40 cm", "drop": "70 cm"}},
	{"/Cord Width:40cm", "Cord", map[string]string{"width": "40cm"}},

	// Quotes of every kind.
	{`/project show name:"Tide Line" why:A`, "project show", map[string]string{"name": "Tide Line", "why": "A"}},
	{`/project show name:“Tide Line” why:A`, "project show", map[string]string{"name": "Tide Line", "why": "A"}},
	{`/project show name:„Tide Line“ why:A`, "project show", map[string]string{"name": "Tide Line", "why": "A"}},
	{`/project show name:«Tide Line» why:A`, "project show", map[string]string{"name": "Tide Line", "why": "A"}},
	{`/project show name:'Tide Line' why:A`, "project show", map[string]string{"name": "Tide Line", "why": "A"}},
	{`/project show name:‘Tide Line’ why:A`, "project show", map[string]string{"name": "Tide Line", "why": "A"}},
	{`/project show name:"Tide Line` + "\u201d", "project show", map[string]string{"name": "Tide Line"}},
	{`/project show name:Tide Line why:A`, "project show", map[string]string{"name": "Tide Line", "why": "A"}},
	{`/project show name:"Owl: large" why:A`, "project show", map[string]string{"name": "Owl: large", "why": "A"}},
	{`/project show name:"Owl 2" why:A`, "project show", map[string]string{"name": "Owl 2", "why": "A"}},
	{`/project show name:"say "hello" twice"`, "project show", map[string]string{"name": `say "hello" twice`}},
	{`/project show name:Mara's owl`, "project show", map[string]string{"name": "Mara's owl"}},

	// Inch and foot marks.
	{`/cord width:16" drop:4'11½"`, "cord", map[string]string{"width": `16"`, "drop": `4'11½"`}},
	{`/cord width:16” drop:4’11½”`, "cord", map[string]string{"width": `16”`, "drop": `4’11½”`}},
	{`/cord width:16″ drop:4′11½″`, "cord", map[string]string{"width": `16″`, "drop": `4′11½″`}},
	{`/cord width:"16"" drop:"4' 11 1/2""`, "cord", map[string]string{"width": `16"`, "drop": `4' 11 1/2"`}},
	{`/cord width:1' 4" drop:60"`, "cord", map[string]string{"width": `1' 4"`, "drop": `60"`}},
	{`/project new name:"5" hoop" sheet:x`, "project new", map[string]string{"name": `5" hoop`, "sheet": "x"}},
	{`/cord width:"16 in" drop:"60”"`, "cord", map[string]string{"width": "16 in", "drop": "60”"}},

	// What looks like an option and is none.
	{"/rule add formula:2*drop+3:1", "rule add", map[string]string{"formula": "2*drop+3:1"}},
	{"/cord ratio:4:3", "cord", map[string]string{"ratio": "4:3"}},
	{"/project new name:Owl sheet:piece Owl\ncord main 4 mm\npanel front", "project new", map[string]string{"name": "Owl", "sheet": "piece Owl\ncord main 4 mm\npanel front"}},
}

func TestParseLineAccepts(t *testing.T) {
	for _, test := range acceptedLines {
		l, wrong := ParseLine(test.text)
		require.Nil(t, wrong, test.text)
		require.Equal(t, test.words, strings.Join(l.Words, " "), test.text)
		require.Equal(t, test.Options, l.Options, test.text)
	}
}

var refusedLines = []struct{ text, says string }{
	{"", "it names no command"},
	{"/", "it names no command"},
	{"width:40cm", "“width:40cm”: it names no command: a command stands first"},
	{"/cord width:", "“width:”: nothing stands behind width:: give it a value or leave it out"},
	{"/cord width: drop:70cm", "“width:”: nothing stands behind width:: give it a value or leave it out"},
	{`/cord width:""`, "nothing stands behind width:"},
	{"/cord width:4 drop:5 width:6", "“width:6”: width was given before as “4”: give every option once"},
	{`/project show name:"Tide Line`, "the quote \" is opened and never closed: close it, or leave both away"},
	{`/project show name:“Tide Line`, "the quote “ is opened and never closed"},
	{`/project show name:"Tide" Line`, "“name:\"Tide\" Line”: “Line” follows the closing quote: the whole value stands between the quotes"},
}

func TestParseLineRefuses(t *testing.T) {
	for _, test := range refusedLines {
		_, wrong := ParseLine(test.text)
		require.NotNil(t, wrong, test.text)
		require.Contains(t, wrong.Error(), test.says, test.text)
	}
}

func TestPathNamesTheMissingOption(t *testing.T) {
	all := []Command{{Name: "project", Sub: []Command{
		{Name: "rename", Options: []Option{{Name: "name", Required: true}, {Name: "to", Required: true}}},
		{Name: "list"},
	}}, {Name: "cord", Options: []Option{{Name: "width", Required: true}, {Name: "drop", Required: true}}}}
	for _, test := range []struct{ text, path, missing string }{
		{"/project list", "project list", ""},
		{"/PROJECT List", "project list", ""},
		{"/project", "project", ""},
		{"/owl", "owl", ""},
		{"/project list all", "project list all", ""},
		{"/project rename Tide Line", "", "name:"},
		{"/project rename Ebb name:Tide", "", "to:"},
		{"/cord 40cm 70cm", "", "width:"},
	} {
		l, wrong := ParseLine(test.text)
		require.Nil(t, wrong)
		path, wrong := l.Path(all)
		require.Equal(t, test.path, path, test.text)
		if test.missing != "" {
			require.NotNil(t, wrong, test.text)
			require.Contains(t, wrong.Right, test.missing)
		}
	}
}

// A parsed line that is written in quotes again reads as the same line.
func FuzzParseLine(f *testing.F) {
	for _, test := range acceptedLines {
		f.Add(test.text)
	}
	for _, test := range refusedLines {
		f.Add(test.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, wrong := ParseLine(text)
		if wrong != nil {
			require.NotEmpty(t, wrong.Wrong)
			return
		}
		require.NotEmpty(t, l.Words)
		again := "/" + strings.Join(l.Words, " ")
		for name, value := range l.Options {
			require.NotEmpty(t, value)
			if strings.ContainsAny(value, `"”“`) {
				return // such a value has no one way to be quoted
			}
			again += " " + name + `:"` + value + `"`
		}
		if strings.HasPrefix(l.Words[0], "\ufeff") {
			return
		}
		back, wrong := ParseLine(again)
		require.Nil(t, wrong, again)
		require.Equal(t, l, back, again)
	})
}
