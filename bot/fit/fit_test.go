package fit

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/sebdah/goldie/v2"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// texts that break things: markup, fences, wide and combining characters, control characters, no UTF-8.
var awkward = []string{
	"", " ", "\n", "plain words", "*bold* _it_ ~~no~~ ||spoiler||", "```", "````\n`", "\\", "<@123> @everyone <#1>", "# head\n> quote\n- list\n1. one",
	"https://example.org :smile:", "絹の紐", "👩‍👩‍👧‍👦", "e\u0301", "\x00\x07\x1b[31m", "\xff\xfe", "\r\n", strings.Repeat("knot ", 300),
	strings.Repeat("x", 5000), strings.Repeat("*", 2500), strings.Repeat("𝓴", 1500), strings.Repeat("line\n", 900),
}

// painted is a picture that needs no drawing.
func painted(name string, png []byte, alt string) reply.Picture {
	return reply.Picture{Name: name, Draw: func() (reply.Image, error) { return reply.Image{PNG: png, Alt: alt}, nil }}
}

// fitted is a reply with all its pictures drawn.
func fitted(answer reply.Reply, fileLimit int) (*Message, []error) {
	drawn := map[int]reply.Image{}
	for i, block := range answer.Blocks {
		if p, ok := block.(reply.Picture); ok {
			drawn[i], _ = p.Draw()
		}
	}
	return Reply(answer, drawn, fileLimit)
}

func anyText() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		parts := rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom(awkward), rapid.String()), 0, 4).Draw(t, "parts")
		return strings.Join(parts, "")
	})
}

func anyAction() *rapid.Generator[reply.Action] {
	return rapid.Custom(func(t *rapid.T) reply.Action {
		return reply.Action{
			Name:    rapid.SampledFrom([]string{"save", "project.edit", "", strings.Repeat("n", 120), "a|b%7C"}).Draw(t, "name"),
			Version: rapid.IntRange(0, 99).Draw(t, "version"),
			Key:     rapid.SampledFrom([]string{"", "k1", "a|b", "%25", strings.Repeat("k", 90)}).Draw(t, "key"),
			Op:      rapid.SampledFrom([]string{"", "op"}).Draw(t, "op"),
		}
	})
}

func anyChoices() *rapid.Generator[[]reply.Choice] {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) reply.Choice {
		return reply.Choice{Name: anyText().Draw(t, "name"), Value: rapid.OneOf(rapid.StringN(0, 8, -1), anyText()).Draw(t, "value")}
	}), 0, 40)
}

func anyBlock() *rapid.Generator[reply.Block] {
	return rapid.Custom(func(t *rapid.T) reply.Block {
		text := func(label string) string { return anyText().Draw(t, label) }
		name := rapid.SampledFrom([]string{"", "a.png", "a.png", "../x y.png", "日本.png", strings.Repeat("n", 300) + ".png", "answer.txt"})
		data := func() []byte { return make([]byte, rapid.SampledFrom([]int{0, 1, 2000, 50_000}).Draw(t, "bytes")) }
		switch rapid.IntRange(0, 8).Draw(t, "kind") {
		case 0:
			return reply.Heading(text("heading"))
		case 1:
			return reply.Text(text("text"))
		case 2:
			return reply.Verbatim(text("verbatim"))
		case 3:
			var facts []reply.Fact
			for range rapid.IntRange(0, 5).Draw(t, "facts") {
				facts = append(facts, reply.Fact{Label: text("label"), Value: text("value")})
			}
			return reply.Facts(facts)
		case 4:
			table := reply.Table{}
			for range rapid.IntRange(0, 4).Draw(t, "columns") {
				table.Columns = append(table.Columns, reply.Column{Title: text("title"), Right: rapid.Bool().Draw(t, "right")})
			}
			for range rapid.IntRange(0, 6).Draw(t, "rows") {
				table.Rows = append(table.Rows, rapid.SliceOfN(anyText(), 0, 5).Draw(t, "row"))
			}
			table.Short = rapid.SliceOfN(anyText(), 0, 3).Draw(t, "short")
			return table
		case 5:
			return painted(name.Draw(t, "name"), data(), text("alt"))
		case 6:
			return reply.File{Name: name.Draw(t, "name"), Data: data(), Alt: text("alt")}
		case 7:
			return reply.Caution(text("caution"))
		}
		var actions reply.Actions
		for range rapid.IntRange(0, 8).Draw(t, "buttons") {
			actions.Buttons = append(actions.Buttons, reply.Button{Label: text("label"), Do: anyAction().Draw(t, "do"), Main: rapid.Bool().Draw(t, "main")})
		}
		for range rapid.IntRange(0, 3).Draw(t, "menus") {
			actions.Menus = append(actions.Menus, reply.Menu{Placeholder: text("placeholder"), Do: anyAction().Draw(t, "do"), Choices: anyChoices().Draw(t, "choices")})
		}
		return actions
	})
}

// platformTakes asks the stand-in's own check of the documented limits, which
// shares no code with the fitting.
func platformTakes(t require.TestingT, m *Message, fileLimit int) {
	raw, err := json.Marshal(m)
	require.NoError(t, err)
	var payload map[string]any
	require.NoError(t, json.Unmarshal(raw, &payload))
	files := make([]platformtest.File, len(m.Files))
	for i, f := range m.Files {
		files[i] = platformtest.File{Name: f.Name, Data: f.Data}
	}
	require.Empty(t, platformtest.CheckMessage(payload, files, fileLimit))
}

// squeeze takes blanks and line ends out, where a text may have been broken.
func squeeze(text string) string { return strings.Join(strings.Fields(text), "") }

func TestAnyReplyIsFitted(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		answer := reply.Reply{
			Blocks:  rapid.SliceOfN(anyBlock(), 0, 14).Draw(t, "blocks"),
			Refused: rapid.Bool().Draw(t, "refused"),
		}
		limit := rapid.SampledFrom([]int{FileBytes, 40_000}).Draw(t, "file limit")
		m, _ := fitted(answer, limit)
		platformTakes(t, m, limit)

		shown := m.Content
		for _, e := range m.Embeds {
			shown += "\n" + e.Title + "\n" + e.Description
		}
		attached := ""
		for i, f := range m.Files {
			if m.Attachments[i].Filename == overflowFile {
				attached = string(f.Data)
				require.Contains(t, shown, overflowFile, "the message says where the rest is")
			}
		}
		cautions := 0
		for _, block := range answer.Blocks {
			if c, ok := block.(reply.Caution); ok {
				cautions += len("Caution: \n\n") + len(clean(string(c)))
			}
		}
		if cautions > limit-100 {
			return // more warnings than one file holds
		}
		for _, block := range answer.Blocks {
			if c, ok := block.(reply.Caution); ok {
				for _, line := range strings.Split(clean(string(c)), "\n") {
					whole := strings.Contains(squeeze(shown), squeeze(Escape(line)))
					require.True(t, whole || strings.Contains(squeeze(attached), squeeze(line)), "caution %.80q is nowhere", line)
				}
			}
		}
		for i, a := range m.Attachments {
			require.NotEmpty(t, a.Description, "file %d has no alternative text", i)
		}
	})
}

func TestAnyFormIsFittedOrRefused(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := reply.Form{Title: anyText().Draw(t, "title"), Do: anyAction().Draw(t, "do")}
		for range rapid.IntRange(0, 7).Draw(t, "fields") {
			f.Fields = append(f.Fields, reply.Field{
				Name: rapid.SampledFrom([]string{"", "name", "sheet", "notes", strings.Repeat("f", 101)}).Draw(t, "name"), Label: anyText().Draw(t, "label"),
				Placeholder: anyText().Draw(t, "placeholder"), Value: anyText().Draw(t, "value"), Long: rapid.Bool().Draw(t, "long"),
				MaxLength: rapid.SampledFrom([]int{0, 10, 4000, 9999}).Draw(t, "longest"), Required: rapid.Bool().Draw(t, "required"),
			})
			for range rapid.SampledFrom([]int{0, 0, 1, 3, 25, 26}).Draw(t, "choices") {
				last := &f.Fields[len(f.Fields)-1]
				last.Choices = append(last.Choices, reply.Choice{Name: anyText().Draw(t, "choice"), Value: anyText().Draw(t, "chosen"), Note: anyText().Draw(t, "note")})
			}
		}
		m, err := Form(f)
		if err != nil {
			rest := Sentence("It cannot be shown here.")
			FormAsFiles(rest, f, FileBytes)
			platformTakes(t, rest, FileBytes)
			return
		}
		raw, err := json.Marshal(map[string]any{"type": 9, "data": m})
		require.NoError(t, err)
		var payload map[string]any
		require.NoError(t, json.Unmarshal(raw, &payload))
		require.Empty(t, platformtest.CheckAnswer(2, payload))
		for i, field := range f.Fields {
			in := m.Components[i].Component
			if len(field.Choices) > 0 {
				require.Len(t, in.Options, len(field.Choices), "no choice is lost")
				continue
			}
			require.Equal(t, clean(field.Value), in.Value, "what a form starts with is never cut")
		}
	})
}

func TestAFieldOfChoicesIsAMenu(t *testing.T) {
	t.Parallel()
	choices := make([]reply.Choice, menuOptions)
	for i := range choices {
		choices[i] = reply.Choice{Name: fmt.Sprint("knot ", i), Value: fmt.Sprint(i), Note: "ties"}
	}
	f := reply.Form{Title: "A row", Do: reply.Do("build.step", "k", ""), Fields: []reply.Field{{Name: "knot", Label: "Knot", Value: "3", Required: true, Choices: choices}}}
	m, err := Form(f)
	require.NoError(t, err)
	in := m.Components[0].Component
	require.Equal(t, componentMenu, in.Type)
	for i, o := range in.Options {
		require.Equal(t, i == 3, o.Default, "the field's value is chosen from the start")
		require.Equal(t, "ties", o.Description)
	}
	f.Fields[0].Choices = append(choices, reply.Choice{Name: "one more", Value: "more"})
	_, err = Form(f)
	require.ErrorContains(t, err, "26 choices, of which the platform takes 25")
}

func TestActionSurvivesItsCustomID(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		do := anyAction().Draw(t, "do")
		id, err := EncodeAction(rapid.IntRange(0, 40).Draw(t, "slot"), do)
		if err != nil {
			return
		}
		require.LessOrEqual(t, Units(id), customIDLength)
		back, err := DecodeAction(id)
		require.NoError(t, err)
		require.Equal(t, do, back)
	})
	for _, id := range []string{"", "x", "lf1", "lf0|0|1|a||", "lf1|0|x|a||", "lf1|0|1|||", "lf1|0|1|a|b", "lf1|0|1|a|b|c|d"} {
		_, err := DecodeAction(id)
		require.ErrorIs(t, err, ErrStale, id)
	}
}

func FuzzDecodeAction(f *testing.F) {
	for _, id := range []string{"lf1|0|1|save|k|op", "lf1|z|12|project.edit|a%7Cb|", "", "lf1|0|1|a|b"} {
		f.Add(id)
	}
	f.Fuzz(func(t *testing.T, id string) {
		do, err := DecodeAction(id)
		if err != nil {
			return
		}
		again, err := EncodeAction(0, do)
		if err != nil {
			return // longer than it came
		}
		back, err := DecodeAction(again)
		if err != nil || back != do {
			t.Fatalf("%q became %+v and then %+v (%v)", id, do, back, err)
		}
	})
}

func TestTableIsNarrow(t *testing.T) {
	t.Parallel()
	columns := []reply.Column{{Title: "Label"}, {Title: "Count", Right: true}, {Title: "Cut"}}
	for name, test := range map[string]struct {
		table reply.Table
		want  string
	}{
		"short lines win": {reply.Table{Columns: columns, Rows: [][]string{{"A", "12", "3.20 m"}}, Short: []string{"A  12 x 3.20 m  fold"}}, "A  12 x 3.20 m  fold"},
		"columns that fit": {reply.Table{Columns: columns, Rows: [][]string{{"A", "12", "3.20 m"}, {"B", "1", "55 cm"}}},
			"Label  Count  Cut\nA         12  3.20 m\nB          1  55 cm"},
		"columns that do not fit": {reply.Table{Columns: columns, Rows: [][]string{{"A", "12", "3.20 m from the second spool"}, {"B", "1", ""}}},
			"Label: A\nCount: 12\nCut: 3.20 m from the\n  second spool\n\nLabel: B\nCount: 1"},
		"short line too long": {reply.Table{Short: []string{"AA  12 x 3.20 m  fold over the dowel"}}, "AA  12 x 3.20 m  fold over\n  the dowel"},
		"one endless word":    {reply.Table{Short: []string{strings.Repeat("x", 30)}}, strings.Repeat("x", 26) + "\n  xxxx"},
		"wide characters":     {reply.Table{Short: []string{strings.Repeat("紐", 14)}}, strings.Repeat("紐", 13) + "\n  紐"},
	} {
		t.Run(name, func(t *testing.T) {
			lines := narrowTable(test.table)
			require.Equal(t, test.want, strings.Join(lines, "\n"))
			require.LessOrEqual(t, widest(lines), narrow)
		})
	}
	rapid.Check(t, func(t *rapid.T) {
		line := clean(anyText().Draw(t, "line"))
		line = strings.ReplaceAll(line, "\n", " ")
		lines := broken(line)
		require.LessOrEqual(t, widest(lines), narrow)
		require.Equal(t, squeeze(line), squeeze(strings.Join(lines, "")), "nothing but blanks is lost")
	})
}

func TestEscape(t *testing.T) {
	t.Parallel()
	for line, want := range map[string]string{
		"plain, 3.20 m":          "plain, 3.20 m",
		"*a* _b_ ~~c~~ `d`":      "\\*a\\* \\_b\\_ \\~\\~c\\~\\~ \\`d\\`",
		"# head":                 `\# head`,
		"- item":                 `\- item`,
		"  - item":               `  \- item`,
		"2.5 m - 3 m":            "2.5 m - 3 m",
		"1. first":               `1\. first`,
		"> quote":                `\> quote`,
		"<@42> @here":            `\<\@42\> \@here`,
		"[a](https://b.example)": `\[a\](https\://b.example)`,
		`back\slash`:             `back\\slash`,
		":knot: at 12:30":        `\:knot: at 12:30`,
	} {
		require.Equal(t, want, Escape(line))
	}
}

func TestOverflowGoesIntoATextFile(t *testing.T) {
	t.Parallel()
	var blocks []reply.Block
	for range 300 {
		blocks = append(blocks, reply.Text("Row of square knots, eight cords wide, four knots"))
	}
	blocks = append(blocks, reply.Caution("Never hang this over a bed."), reply.Table{
		Columns: []reply.Column{{Title: "Label"}, {Title: "What it is for"}}, Rows: [][]string{{"A", "the longest cords of the middle panel"}}})
	m, faults := fitted(reply.Reply{Blocks: blocks}, FileBytes)
	require.Empty(t, faults)
	last := m.Embeds[len(m.Embeds)-1].Description
	require.Contains(t, last, "Never hang this over a bed.")
	require.True(t, strings.HasSuffix(last, overflowNote))
	require.Equal(t, overflowFile, m.Files[0].Name)
	text := string(m.Files[0].Data)
	require.Equal(t, 300, strings.Count(text, "Row of square knots"))
	require.Contains(t, text, "A      the longest cords of the middle panel")
	require.Contains(t, text, "Caution: Never hang this over a bed.")
	platformTakes(t, m, FileBytes)
}

// Cautions are kept in an answer that overflows as long as they fit into the room
// that is kept for them; the first that does not is left to the file, which the
// message says.
func TestRoomKeptForCautions(t *testing.T) {
	t.Parallel()
	const before = len("⚠ **Caution:** ") - len("⚠") + 1 // in UTF-16 units
	long := reply.Text(strings.Repeat("A long story about cord.\n", 1000))
	caution := func(n int) reply.Caution { return reply.Caution(strings.Repeat("y", n-before-3)) } // costs n
	for _, test := range []struct {
		cautions []reply.Block
		all      bool
	}{
		{[]reply.Block{caution(900), caution(900), caution(900), caution(900), caution(900), caution(500)}, true},
		{[]reply.Block{caution(900), caution(900), caution(900), caution(900), caution(900), caution(501)}, false},
	} {
		cost := 0
		for _, p := range pieces(test.cautions, nil) {
			cost += p.cost()
		}
		require.Equal(t, test.all, cost <= cautionReserve, "%d", cost)
		m, _ := fitted(reply.Reply{Blocks: append([]reply.Block{long}, test.cautions...)}, FileBytes)
		var shown strings.Builder
		for _, e := range m.Embeds {
			shown.WriteString(e.Description + "\n")
		}
		kept := 6
		if !test.all {
			kept = 5
		}
		require.Equal(t, kept, strings.Count(shown.String(), "Caution:"))
		require.Equal(t, !test.all, strings.Contains(shown.String(), cautionNote))
	}
}

// One caution is shown whole up to its limit; beyond, it says where it goes on.
func TestLongestCaution(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{"12345", "789"}, cutLines([]string{"12345", "789"}, 10))
	require.Equal(t, []string{"12345", "… (goes on in " + overflowFile + ")"}, cutLines([]string{"12345", "789"}, 9))
}

func TestTextFileThatMustBeCutKeepsTheCautions(t *testing.T) {
	t.Parallel()
	m, _ := fitted(reply.Reply{Blocks: []reply.Block{
		reply.Text(strings.Repeat("A long story about cord.\n", 4000)), reply.Caution("Mind the hook."),
	}}, 20_000)
	text := string(m.Files[0].Data)
	require.LessOrEqual(t, len(text), 20_000)
	require.True(t, strings.HasPrefix(text, "Caution: Mind the hook."))
	require.True(t, strings.HasSuffix(text, "(cut here: too long to attach)\n"))
	platformTakes(t, m, 20_000)
}

func TestEmptyReplyIsStillAnAnswer(t *testing.T) {
	t.Parallel()
	m, _ := fitted(reply.Reply{}, FileBytes)
	require.Equal(t, "Done.", m.Content)
	platformTakes(t, m, FileBytes)
}

func TestControlsThatDoNotFitAreSaidSo(t *testing.T) {
	t.Parallel()
	var buttons []reply.Button
	for range 27 {
		buttons = append(buttons, reply.Button{Label: "Again", Do: reply.Action{Name: "again"}})
	}
	buttons = append(buttons, reply.Button{Label: "Long", Do: reply.Action{Name: "long", Key: strings.Repeat("k", 100)}})
	m, faults := fitted(reply.Reply{Blocks: []reply.Block{reply.Actions{Buttons: buttons}}}, FileBytes)
	require.Len(t, m.Components, 5)
	require.Len(t, faults, 3)
	require.Error(t, errors.Join(faults...))
	require.Contains(t, m.Embeds[0].Description, "3 of the choices could not be shown")
	platformTakes(t, m, FileBytes)
}

// The whole message of a typical answer, as it goes out; read it in testdata/answer.golden.
func TestTypicalAnswerIsGolden(t *testing.T) {
	t.Parallel()
	m, faults := fitted(reply.Reply{Blocks: []reply.Block{
		reply.Heading("Wall hanging, 40 cm by 70 cm"),
		reply.Table{
			Columns: []reply.Column{{Title: "Label"}, {Title: "Count", Right: true}, {Title: "Cut"}, {Title: "For"}},
			Rows:    [][]string{{"A", "12", "3.20 m", "fold over the dowel"}, {"B", "1", "55 cm", "wrap"}, {"C", "40", "50 cm", "fringe"}},
			Short:   []string{"A  12 x 3.20 m  fold", "B   1 x 55 cm   wrap", "C  40 x 50 cm   fringe", "total 58.95 m"},
		},
		reply.Facts{{Label: "Cord", Value: "3 mm cotton, 3-ply"}, {Label: "Margin", Value: "10 % (my_swatches)"}},
		painted("hanging.png", []byte("png"), "Twelve folded cords on a dowel, four rows of square knots"),
		reply.Heading("Where the cord goes"),
		reply.Text("Each cord is folded in half over the dowel.\n- 24 ends of 1.60 m\n- see https://example.org"),
		reply.Verbatim("rows 4: square\n        ^^^^^^"),
		reply.Caution("Keep long ends away from small children."),
		reply.Actions{
			Buttons: []reply.Button{{Label: "Save", Do: reply.Action{Name: "project.save", Version: 1, Key: "k3f9", Op: "o1"}, Main: true},
				{Label: "Forget", Do: reply.Action{Name: "project.forget", Version: 1, Key: "k3f9", Op: "o2"}, Danger: true}},
			Menus: []reply.Menu{{Placeholder: "In my cord", Do: reply.Action{Name: "project.cord", Version: 2, Key: "k3f9"},
				Choices: []reply.Choice{{Name: "4 mm jute", Value: "jute4"}, {Name: "5 mm cotton", Value: "cotton5"}}}},
		},
	}}, FileBytes)
	require.Empty(t, faults)
	platformTakes(t, m, FileBytes)
	raw, err := json.MarshalIndent(m, "", "  ")
	require.NoError(t, err)
	goldie.New(t).Assert(t, "answer", append(raw, '\n'))
}

func TestChannelsAreNamedByThePlatform(t *testing.T) {
	t.Parallel()
	m, faults := fitted(reply.Reply{Blocks: []reply.Block{reply.Facts{
		{Label: "channel", Channel: "123456789012345678", Value: "this one"}, {Label: "channel", Channel: "123"}, {Label: "channel", Channel: "<@1>", Value: "<#2>"},
	}}}, FileBytes)
	require.Empty(t, faults)
	require.Equal(t, "**channel:** <#123456789012345678> this one\n**channel:** <#123> \n**channel:** \\<#2\\>", m.Embeds[0].Description)
}

// A deferred answer cannot become one of components v2 through the library, and
// a flag once set stays. Nothing here uses them.
func TestP20NoComponentsV2(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		m, _ := fitted(reply.Reply{Blocks: rapid.SliceOfN(anyBlock(), 0, 6).Draw(t, "blocks")}, FileBytes)
		require.Zero(t, m.Flags)
		require.Equal(t, Ephemeral, m.Private(true).Flags)
		for _, row := range m.Components {
			require.Equal(t, componentRow, row.Type)
		}
	})
}
