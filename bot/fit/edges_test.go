package fit

import (
	"fmt"
	"strings"
	"testing"

	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// Both sides of the edges of what the platform takes. The limits are those of its
// public documentation, which limits.go names, written out here once more.

func TestFilesThatFit(t *testing.T) {
	t.Parallel()
	file := func(name string, bytes int) reply.Block {
		return reply.File{Name: name, Data: make([]byte, bytes), Alt: "A file"}
	}
	const mega = 1 << 20
	for _, test := range []struct {
		what  string
		files []reply.Block
		limit int
		left  string // what the message says of those that are not attached
	}{
		{"as large as one may be", []reply.Block{file("a", 1000)}, 1000, ""},
		{"a byte larger", []reply.Block{file("a", 1001)}, 1000, "Too big to attach here: a"},
		// A request takes 25 MiB, of which 2 are kept for the text file and the wrapping.
		{"as large as all may be", []reply.Block{file("a", 10*mega), file("b", 10*mega), file("c", 3*mega)}, 10 * mega, ""},
		{"a byte more in all", []reply.Block{file("a", 10*mega), file("b", 10*mega), file("c", 3*mega+1)}, 10 * mega, "Too big to attach here: c"},
		// A message takes ten, one of which is kept for the text file.
		{"nine", []reply.Block{file("1", 1), file("2", 1), file("3", 1), file("4", 1), file("5", 1), file("6", 1), file("7", 1), file("8", 1), file("9", 1)}, 1, ""},
		{"ten", []reply.Block{file("1", 1), file("2", 1), file("3", 1), file("4", 1), file("5", 1), file("6", 1), file("7", 1), file("8", 1), file("9", 1), file("z", 1)}, 1,
			"Too many files to attach them all; left out: z"},
	} {
		m, faults := fitted(reply.Reply{Blocks: test.files}, test.limit)
		require.Empty(t, faults)
		if test.left == "" {
			require.Len(t, m.Files, len(test.files), test.what)
			require.Empty(t, m.Embeds, test.what)
			continue
		}
		require.Len(t, m.Files, len(test.files)-1, test.what)
		require.Equal(t, test.left, m.Embeds[0].Description, test.what)
	}
}

// What is left out is said even where it is more than a message could list, and
// where the message overflows.
func TestALongListOfFilesLeftOutIsSaid(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		bytes int
		said  string
	}{{3, "Too big to attach here: 1nnn"}, {1, "Too many files to attach them all; left out: 10nnn"}} {
		blocks := []reply.Block{reply.Text(strings.Repeat("A long story about cord.\n", 1000))}
		for i := range 60 {
			blocks = append(blocks, reply.File{Name: fmt.Sprint(i+1, strings.Repeat("n", 70)), Data: make([]byte, test.bytes)})
		}
		m, _ := fitted(reply.Reply{Blocks: blocks}, 2)
		last := m.Embeds[len(m.Embeds)-1].Description
		require.Contains(t, last, test.said)
		require.NotContains(t, last, "goes on in", "the text file does not list them")
	}
}

func TestNamesOfAttachments(t *testing.T) {
	t.Parallel()
	taken := map[string]bool{}
	for _, test := range []struct{ name, want string }{
		{"azAZ09._-z", "azAZ09._-z"},
		{"a`b{c@d[e/f:g", "a-b-c-d-e-f-g"}, // the neighbours of a, z, A, Z, 0 and 9
		{"..plan.png.", "plan.png"},
		{"plan.png", "2-plan.png"},
		{"plan.png", "3-plan.png"},
		{"", "file"},
		{strings.Repeat("n", 76) + ".png", strings.Repeat("n", 76) + ".png"},
		{strings.Repeat("m", 77) + ".png", strings.Repeat("m", 76) + ".png"},
	} {
		require.Equal(t, test.want, attachmentName(test.name, taken))
	}
}

// Six pictures are shown; further ones are attached.
func TestPicturesThatAreShown(t *testing.T) {
	t.Parallel()
	var blocks []reply.Block
	for i := range 7 {
		blocks = append(blocks, painted(fmt.Sprint(i+1, ".png"), []byte("png"), "One of seven"))
	}
	m, _ := fitted(reply.Reply{Blocks: blocks}, FileBytes)
	require.Len(t, m.Files, 7)
	require.Len(t, m.Embeds, 6)
	for i, e := range m.Embeds {
		require.Equal(t, fmt.Sprintf("attachment://%d.png", i+1), e.Image.URL)
	}
}

// rowsOf says of each row of controls how many it holds, or that it is a menu.
func rowsOf(blocks ...reply.Block) string {
	rows, _, _ := controls(blocks)
	said := make([]string, len(rows))
	for i, row := range rows {
		said[i] = fmt.Sprint(len(row.Components))
		if row.Components[0].Type == componentMenu {
			said[i] = "menu"
		}
	}
	return strings.Join(said, " ")
}

func TestRowsOfControls(t *testing.T) {
	t.Parallel()
	group := func(buttons int) reply.Block {
		var a reply.Actions
		for range buttons {
			a.Buttons = append(a.Buttons, reply.Button{Label: "Again", Do: reply.Do("again", "", "")})
		}
		return a
	}
	menu := reply.Actions{Menus: []reply.Menu{{Do: reply.Do("pick", "", ""), Choices: []reply.Choice{{Name: "one", Value: "1"}}}}}
	faulty := reply.Actions{Buttons: []reply.Button{{Label: "Nameless"}}}
	for want, blocks := range map[string][]reply.Block{
		"5":                   {group(5)},
		"5 1":                 {group(6)},
		"1 2":                 {group(1), group(2)}, // each group starts a row
		"1 1 1 1 1":           {group(1), group(1), group(1), group(1), group(1)},
		"1 1 1 1 2":           {group(1), group(1), group(1), group(1), group(1), group(1)}, // as long as there are rows
		"1 1 1":               {faulty, faulty, faulty, group(1), group(1), group(1)},       // what cannot be shown takes no row
		"2 menu menu menu 1":  {group(2), menu, menu, menu, group(1)},
		"menu 2 menu menu 5":  {menu, group(1), menu, menu, group(6)}, // what is over goes to other buttons, never to a menu
		"menu menu menu menu": {menu, menu, menu, menu},
	} {
		require.Equal(t, want, rowsOf(blocks...))
	}
}

func TestChoicesThatAMenuTakes(t *testing.T) {
	t.Parallel()
	taken := func(value string) bool { return len(Menu([]reply.Choice{{Name: "one", Value: value}})) == 1 }
	require.True(t, taken(strings.Repeat("v", 100)))
	require.False(t, taken(strings.Repeat("v", 101)))
	require.False(t, taken(""))

	id := func(key int) error {
		_, err := EncodeAction(0, reply.Action{Name: "edit", Version: 1, Key: strings.Repeat("k", key)})
		return err
	}
	require.NoError(t, id(100-len("lf1|0|1|edit||")))
	require.ErrorContains(t, id(101-len("lf1|0|1|edit||")), "has 101 characters, the platform allows 100")
}

func TestFormsThatFit(t *testing.T) {
	t.Parallel()
	field := func(i int) reply.Field { return reply.Field{Name: fmt.Sprint("field", i), Label: "Field"} }
	form := func(change func(f *reply.Form)) (*Modal, error) {
		f := reply.Form{Title: "Sheet", Do: reply.Do("sheet", "", ""), Fields: []reply.Field{field(0)}}
		change(&f)
		return Form(f)
	}
	start := func(longest, length int) func(f *reply.Form) {
		return func(f *reply.Form) { f.Fields[0].MaxLength, f.Fields[0].Value = longest, strings.Repeat("v", length) }
	}
	fields := func(n int) func(f *reply.Form) {
		return func(f *reply.Form) {
			f.Fields = nil
			for i := range n {
				f.Fields = append(f.Fields, field(i))
			}
		}
	}
	named := func(n int) func(f *reply.Form) {
		return func(f *reply.Form) { f.Fields[0].Name = strings.Repeat("n", n) }
	}
	for _, test := range []struct {
		change func(f *reply.Form)
		fault  string
	}{
		{fields(5), ""},
		{fields(6), "has 6 fields, the platform takes 1 to 5"},
		{fields(1), ""},
		{fields(0), "has 0 fields"},
		{named(100), ""},
		{named(101), "must have 1 to 100 characters"},
		{start(10, 10), ""},
		{start(10, 11), "starts with 11 characters, it may hold 10"},
		{start(0, 4000), ""}, // as much as a field can hold, where nothing else is said
		{start(0, 4001), "starts with 4001 characters, it may hold 4000"},
	} {
		m, err := form(test.change)
		if test.fault != "" {
			require.ErrorContains(t, err, test.fault)
			continue
		}
		require.NoError(t, err)
		require.Equal(t, componentTextInput, m.Components[0].Component.Type)
	}
	m, err := form(func(f *reply.Form) { f.Fields[0].Label = " " })
	require.NoError(t, err)
	require.Equal(t, "field0", m.Components[0].Label, "the platform takes no input without one")
	for asked, longest := range map[int]int{0: 4000, 1: 1, 10: 10, 4000: 4000, 4001: 4000} {
		m, err := form(start(asked, 0))
		require.NoError(t, err)
		require.Equal(t, longest, m.Components[0].Component.MaxLength, asked)
	}
}

// What a form that cannot be shown started with is attached, as far as the platform takes files.
func TestFormAsFiles(t *testing.T) {
	t.Parallel()
	texts := func(files, bytes, limit int) []File {
		m := Sentence("It cannot be shown here.")
		f := reply.Form{Fields: []reply.Field{{Name: "empty"}}}
		for i := range files {
			f.Fields = append(f.Fields, reply.Field{Name: fmt.Sprint("field", i), Value: strings.Repeat("v", bytes)})
		}
		FormAsFiles(m, f, limit)
		return m.Files
	}
	require.Equal(t, []File{{"field0.txt", []byte("vvv")}}, texts(1, 3, 3))
	require.Empty(t, texts(1, 4, 3))
	require.Len(t, texts(10, 1, 1), 10)
	require.Len(t, texts(11, 1, 1), 10)
}

func TestTextsAreCutBetweenCharacters(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		text       string
		limit      int
		head, rest string
	}{
		{"abc", 3, "abc", ""},
		{"abc", 2, "ab", "c"},
		{"\uffffb", 1, "\uffff", "b"},           // the last character that is one unit
		{"a\U00010000b", 2, "a", "\U00010000b"}, // the first that is two
		{"a\U00010000b", 3, "a\U00010000", "b"},
		{`a\*b`, 2, "a", `\*b`}, // what escapes stays with what it escapes
		{`a\*b`, 3, `a\*`, "b"},
		{`\\b`, 2, `\\`, "b"}, // an escaped backslash escapes nothing
		{`\\\*b`, 3, `\\`, `\*b`},
	} {
		head, rest := split(test.text, test.limit)
		require.Equal(t, [2]string{test.head, test.rest}, [2]string{head, rest}, "%q after %d", test.text, test.limit)
	}
	require.Equal(t, "abc", cut("abc", 3))
	require.Equal(t, "ab…", cut("abcd", 3))
	require.Equal(t, "ab", clean("a\x07b"))
	require.Equal(t, "3.", Escape("3."), "no list begins here")
	require.Equal(t, ". x", Escape(". x"))
	whole, broken := strings.Repeat("x", 1000), strings.Repeat("x", 1001)
	require.Equal(t, []string{whole}, breakLines([]string{whole}))
	require.Equal(t, []string{whole, "x"}, breakLines([]string{broken}))
}

// shown is a message's embeds as a reader sees them.
func shown(pieces ...reply.Block) string {
	m, _ := fitted(reply.Reply{Blocks: pieces}, FileBytes)
	var embeds []string
	for _, e := range m.Embeds {
		said := e.Description
		if e.Title != "" {
			said = "[" + e.Title + "]" + said
		}
		if e.Image != nil {
			said += "(picture)"
		}
		embeds = append(embeds, said)
	}
	return strings.Join(embeds, " / ")
}

func TestHowBlocksStandTogether(t *testing.T) {
	t.Parallel()
	heading, text, fixed, picture := reply.Heading("H"), reply.Text("words"), reply.Verbatim("row"), painted("a.png", []byte("png"), "A")
	for want, blocks := range map[string][]reply.Block{
		"[H]":                                 {heading},
		"(picture)":                           {picture},
		"[H]words":                            {heading, text},
		"words\n\nwords":                      {text, text},
		"words\n\n**H**\nwords":               {text, heading, text}, // no heading climbs over what stands before it
		"[H]**H**\nwords":                     {heading, heading, text},
		"[H]**H**\nwords\n\nwords":            {heading, heading, reply.Text(""), text, text}, // nothing changes nothing
		"[H]words(picture) / [H]words":        {heading, text, picture, heading, text},
		"words\n```\nrow\n```\nwords":         {text, fixed, text},
		"```\nrow\nrow\n```":                  {fixed, fixed},
		"```\nrow\n```\n**H**\n```\nrow\n```": {fixed, heading, fixed},
	} {
		require.Equal(t, want, shown(blocks...))
	}
}

// An embed holds 4096 units, a message 6000 in all; line ends count.
func TestRoomOfEmbeds(t *testing.T) {
	t.Parallel()
	line := func(units int) string { return strings.Repeat("x", units-1) } // and its end
	text := func(lines ...string) piece { return piece{lines: lines} }
	heading := func(units int) piece { return piece{lines: []string{strings.Repeat("h", units)}, title: true} }
	picture := piece{image: "a.png"}
	full := text(line(1000), line(1000), line(1000), line(1000))
	for _, test := range []struct {
		what   string
		pieces []piece
		embeds int // 0: it does not fit
	}{
		{"a full embed", []piece{full, text(line(95))}, 1}, // with a blank line between the two
		{"a line too long for it", []piece{full, text(line(96))}, 2},
		{"a full embed of one text", []piece{text(append(full.lines, line(96))...)}, 1},
		{"a line of it too long", []piece{text(append(full.lines, line(97))...)}, 2},
		{"a full message", []piece{full, picture, text(line(1000), line(1000))}, 2},
		{"a unit too much", []piece{full, picture, text(line(1000), line(1001))}, 0},
		{"a full message with a heading", []piece{full, picture, text(line(1000), line(900)), picture, heading(100)}, 3},
		{"a heading too long for it", []piece{full, picture, text(line(1000), line(900)), picture, heading(101)}, 0},
		{"as many embeds as there are", []piece{picture, picture, picture, picture, picture, picture, picture, picture, picture, heading(1)}, 10},
		{"one more", []piece{picture, picture, picture, picture, picture, picture, picture, picture, picture, picture, heading(1)}, 0},
	} {
		embeds, whole := packAll(test.pieces, 0)
		require.Equal(t, test.embeds > 0, whole, test.what)
		require.Len(t, embeds, test.embeds, test.what)
	}
	for units, whole := range map[int]bool{996: true, 997: false} { // in bold it fills a line of 1000
		embeds, _ := packAll([]piece{text("words"), heading(units)}, 0)
		require.Equal(t, whole, !strings.Contains(embeds[0].Description, "…"))
	}
}

// Of an answer that overflows, all is shown up to where the room ends, after which
// there are only pictures and cautions: what is read is never a text with holes.
func TestWhatIsShownOfAnAnswerThatOverflows(t *testing.T) {
	t.Parallel()
	said := shown(reply.Text("first"), reply.Text("second"), reply.Text("third\n"+strings.Repeat("A long story about cord.\n", 1000)),
		painted("a.png", []byte("png"), "A"), reply.Text("fourth"), reply.Caution("Mind the hook."))
	require.True(t, strings.HasPrefix(said, "first\n\nsecond\n\nthird\nA long story about cord."))
	require.Contains(t, said, "(picture)")
	require.NotContains(t, said, "fourth")
	require.Contains(t, said, "⚠ **Caution:** Mind the hook.")
	require.True(t, strings.HasSuffix(said, overflowNote))
}

func TestTextFileAsLongAsItMayBe(t *testing.T) {
	t.Parallel()
	blocks := []reply.Block{reply.Text("Twelve cords of 3.20 m")}
	whole := "Twelve cords of 3.20 m\n\n"
	require.Equal(t, whole, overflowText(blocks, nil, len(whole)))
	require.Contains(t, overflowText(blocks, nil, len(whole)-1), "(cut here")
}

// A phone shows 26 columns unbroken.
func TestTableAsWideAsAPhone(t *testing.T) {
	t.Parallel()
	table := func(width int) string {
		return strings.Join(narrowTable(reply.Table{Rows: [][]string{{"A", strings.Repeat("x", width-len("A  "))}}}), "\n")
	}
	require.Equal(t, "A  "+strings.Repeat("x", 23), table(26))
	require.Equal(t, "A\n"+strings.Repeat("x", 24), table(27))
}
