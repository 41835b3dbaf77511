package making_test

import (
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"larkfold/commands/making"
	"larkfold/sizing"
	"larkfold/sizing/cord"

	"github.com/stretchr/testify/require"
)

// head is what the designs of these tests begin with.
const head = "cord main 4 mm\ndowel 90 cm x 20 mm\n"

// begun is a design that begins with a sheet, and has a panel in hand.
func begun(t *testing.T, text, hand string) making.Design {
	t.Helper()
	d, _, err := making.New(text, size)
	require.NoError(t, err)
	d.Use(hand)
	return d
}

// linesOf are the lines of a design behind its head, without the blank ones.
func linesOf(d making.Design) []string {
	var lines []string
	for _, l := range strings.Split(bareText(d.Sheet), "\n") {
		if word, _, _ := strings.Cut(l, " "); word != "cord" && word != "dowel" {
			lines = append(lines, strings.TrimSpace(l))
		}
	}
	return lines
}

// Steps are counted from 1: the first and the last are taken out, written anew, moved and
// repeated like any between, and there is none before or behind. A new step goes where it
// belongs: bare rod first, then what is mounted, the tail last.
func TestEditsOfSteps(t *testing.T) {
	const first, row, space, tail = "mount 4 folded", "row square knot", "space 5 cm", "tail 20 cm"
	for name, one := range map[string]struct {
		edit making.Edit
		want []string // empty where there is no such step
	}{
		"the first of two mounts out":  {making.RemoveStep(1), []string{"mount 2 folded", row, space, tail}},
		"the last out":                 {making.RemoveStep(5), []string{first, "mount 2 folded", row, space}},
		"none before the first":        {making.RemoveStep(0), nil},
		"none behind the last":         {making.RemoveStep(6), nil},
		"the first written anew":       {making.ReplaceStep(1, "mount 6 folded"), []string{"mount 6 folded", "mount 2 folded", row, space, tail}},
		"the last written anew":        {making.ReplaceStep(5, "tail 9 cm"), []string{first, "mount 2 folded", row, space, "tail 9 cm"}},
		"nothing written behind":       {making.ReplaceStep(6, "tail 9 cm"), nil},
		"up":                           {making.MoveStep(4, true), []string{first, "mount 2 folded", space, row, tail}},
		"down":                         {making.MoveStep(3, false), []string{first, "mount 2 folded", space, row, tail}},
		"the second up to the first":   {making.MoveStep(2, true), []string{"mount 2 folded", first, row, space, tail}},
		"the first is the highest":     {making.MoveStep(1, true), nil},
		"the last is the lowest":       {making.MoveStep(5, false), nil},
		"a step that is not there up":  {making.MoveStep(7, true), nil},
		"once more":                    {making.RepeatSteps(3, 3, 2), []string{first, "mount 2 folded", row, row, space, tail}},
		"three times":                  {making.RepeatSteps(3, 3, 3), []string{first, "mount 2 folded", "repeat 3 times", row, "end", space, tail}},
		"two steps twice":              {making.RepeatSteps(3, 4, 2), []string{first, "mount 2 folded", "repeat 2 times", row, space, "end", tail}},
		"repeated from none":           {making.RepeatSteps(0, 3, 2), nil},
		"repeated to none":             {making.RepeatSteps(3, 6, 2), nil},
		"a step before the tail":       {making.AddStep("row half knot"), []string{first, "mount 2 folded", row, space, "row half knot", tail}},
		"a mount behind the mounts":    {making.AddStep("mount 6 folded"), []string{first, "mount 2 folded", "mount 6 folded", row, space, tail}},
		"bare rod before everything":   {making.AddStep(" gap 3 cm "), []string{"gap 3 cm", first, "mount 2 folded", row, space, tail}},
		"the sheet written as a whole": {making.Rewrite(head + "panel front\nmount 2 folded\n\n"), []string{"mount 2 folded"}},
	} {
		t.Run(name, func(t *testing.T) {
			d := begun(t, head+"panel front\nmount 4 folded\nmount 2 folded\nrow square\nspace 5 cm\ntail 20 cm\n", "front")
			before := d
			_, err := d.Do(one.edit, size, book)
			if one.want == nil {
				var wrong *making.Wrong
				require.ErrorAs(t, err, &wrong)
				require.Contains(t, wrong.Error(), "panel front has no step ")
				require.Equal(t, before, d)
				return
			}
			require.NoError(t, err)
			require.Equal(t, append([]string{"panel front"}, one.want...), linesOf(d))
		})
	}
}

// A panel that takes up the ends of others begins without a step: the first goes below
// its head, another before the tail, and what is mounted before what is knotted.
func TestStepsOfAPanelThatJoins(t *testing.T) {
	d := begun(t, head+"panel a\nmount 4 folded\npanel b\nmount 4 folded\npanel point from a, b\n", "point")
	for _, step := range []string{"tail 9 cm", "row square", "space 3 cm"} {
		_, err := d.Do(making.AddStep(step), size, book)
		require.NoError(t, err)
	}
	joined := []string{"panel point from a, b", "row square knot", "space 3 cm", "tail 9 cm"}
	require.Equal(t, append([]string{"panel a", "mount 4 folded", "panel b", "mount 4 folded"}, joined...), linesOf(d))
	_, err := d.Do(making.CopyPanel("copy"), size, book)
	require.ErrorContains(t, err, "panel point joins the ends of others")
	page, err := d.Open(book)
	require.NoError(t, err)
	lines, err := making.AddStep("mount 2 folded")(page)
	require.NoError(t, err)
	at := page.Panel().Line // its head is the line before this index
	require.Equal(t, []string{"mount 2 folded", "row square knot"}, []string{strings.TrimSpace(lines[at]), strings.TrimSpace(lines[at+1])})
}

// Panels are copied, moved and taken out whole; on the side where there is none, or of the
// only one, that is refused.
func TestEditsOfPanels(t *testing.T) {
	const a, b, c = "panel a: mount 2 folded", "panel b: mount 4 folded row square knot", "panel c: mount 6 folded"
	panels := func(d making.Design) (out []string) {
		for _, l := range linesOf(d) {
			if strings.HasPrefix(l, "panel ") {
				out = append(out, l+":")
			} else {
				out[len(out)-1] += " " + l
			}
		}
		return out
	}
	for name, one := range map[string]struct {
		hand string
		edit making.Edit
		want []string
	}{
		"copied":           {"b", making.CopyPanel("d"), []string{a, b, "panel d: mount 4 folded row square knot", c}},
		"the last copied":  {"c", making.CopyPanel("d"), []string{a, b, c, "panel d: mount 6 folded"}},
		"another":          {"a", making.AddPanel("panel d", "mount 8 folded"), []string{a, b, c, "panel d: mount 8 folded"}},
		"to the left":      {"b", making.MovePanel(true), []string{b, a, c}},
		"to the right":     {"b", making.MovePanel(false), []string{a, c, b}},
		"the second first": {"a", making.MovePanel(false), []string{b, a, c}},
		"first of all":     {"a", making.MovePanel(true), nil},
		"last of all":      {"c", making.MovePanel(false), nil},
		"the first out":    {"a", making.RemovePanel(), []string{b, c}},
		"the middle out":   {"b", making.RemovePanel(), []string{a, c}},
		"the last out":     {"c", making.RemovePanel(), []string{a, b}},
	} {
		t.Run(name, func(t *testing.T) {
			d := begun(t, head+"panel a\nmount 2 folded\npanel b\nmount 4 folded\nrow square\npanel c\nmount 6 folded\n", one.hand)
			_, err := d.Do(one.edit, size, book)
			if one.want == nil {
				require.ErrorContains(t, err, "panel "+one.hand+" has no other panel on that side")
				return
			}
			require.NoError(t, err)
			require.Equal(t, one.want, panels(d))
		})
	}
	alone := begun(t, head+"panel a\nmount 2 folded\n", "a")
	_, err := alone.Do(making.RemovePanel(), size, book)
	require.ErrorContains(t, err, "panel a is the only one")
}

// A panel's new name stands wherever the sheet spoke of it, and nowhere else: a cord may
// have the name of a panel.
func TestAPanelNamedAnew(t *testing.T) {
	d := begun(t, "cord bow 4 mm\ndowel 90 cm x 20 mm\npanel bow\nmount 4 folded bow\nnet square rows 4\npanel stern\nmount 4 folded bow\nsinnet square until under bow by 2 cm on left 4\npanel point from bow, stern\nrow square\ntail 9 cm\nfringe 12 cm by 1 on left of bow with bow\n", "bow")
	_, err := d.Do(making.RenamePanel("  panel   prow "), size, book)
	require.NoError(t, err)
	said := d.Sheet
	for _, line := range []string{"cord bow 4 mm", "panel prow\n", "mount 4 folded bow", "until under prow by 2 cm", "panel point from prow, stern\n", "left of prow with bow"} {
		require.Contains(t, said, line)
	}
	d.Use("stern")
	_, err = d.Do(making.RenamePanel("panel aft"), size, book)
	require.NoError(t, err)
	require.Contains(t, d.Sheet, "panel point from prow, aft\n")
	before := d.Sheet
	_, err = d.Do(making.RenamePanel("panel aft"), size, book)
	require.NoError(t, err)
	require.Equal(t, before, d.Sheet)
	_, err = d.Do(making.RenamePanel("panel"), size, book)
	require.ErrorContains(t, err, "the panel has no name")
	require.Equal(t, "kelp-wall", making.NameOf(" kelp  wall "))
}

// A mirrored panel has at the right what it had at the left: of 12 ends the 1st is the
// 12th, 2 to 5 are 8 to 11. Its cords are hung the other way round. Twice mirrored it is
// as it was.
func TestAPanelMirrored(t *testing.T) {
	for there, mirrored := range map[string]string{
		"mount 4 folded, 4 single":    "mount 4 single, 4 folded",
		"row square knot on left 4":   "row square knot on right 4",
		"row square knot on 2-5":      "row square knot on 8-11",
		"row square knot on middle 4": "row square knot on middle 4",
		"bar left to right":           "bar right to left",
		"bar left to middle":          "bar right to middle",
		"bar 2 to 9":                  "bar 11 to 4",
		"space 3 cm on 1":             "space 3 cm on 12",
	} {
		text := head + "panel front\nmount 4 folded, 4 single\n" + there + "\n"
		if strings.HasPrefix(there, "mount") {
			text = head + "panel front\n" + there + "\n"
		}
		d := begun(t, text, "front")
		before := d.Sheet
		_, err := d.Do(making.MirrorPanel(), size, book)
		require.NoError(t, err, there)
		require.Contains(t, d.Sheet, "  "+mirrored+"\n", there)
		require.Contains(t, d.Sheet, "  mount 4 single, 4 folded\n")
		_, err = d.Do(making.MirrorPanel(), size, book)
		require.NoError(t, err, there)
		require.Equal(t, before, d.Sheet, there)
	}

	// The middle of 12 ends is the 6th for who comes from the left half, and the 7th for
	// who comes from the right one.
	for there, mirrored := range map[string]string{
		"bar left to middle+1": "bar right to 6", "bar right to middle+1": "bar left to 5", "bar right to middle-1": "bar left to 7",
		"bar 6 to middle+2": "bar 7 to 5", "bar 7 to middle-2": "bar 6 to 8", "bar middle to left": "bar 7 to right",
	} {
		d := begun(t, head+"panel front\nmount 6 folded\n"+there+"\n", "front")
		_, err := d.Do(making.MirrorPanel(), size, book)
		require.NoError(t, err, there)
		require.Contains(t, d.Sheet, "  "+mirrored+"\n", there)
	}

	// The ends of a panel that joins others are theirs: 8 and 4 with what was added.
	d := begun(t, head+"panel a\nmount 4 folded\npanel b\nmount 2 folded\npanel point from a, b\nrow square on 1-4\nadd 2 folded left\nrow square on 1-4\n", "point")
	_, err := d.Do(making.MirrorPanel(), size, book)
	require.NoError(t, err)
	require.Contains(t, d.Sheet, "  row square knot on 9-12\n  add 2 folded right\n  row square knot on 13-16\n")
	d = begun(t, head+"panel a\nmount 4 folded\nrepeat 2\nrow square on left 4\nend\nadd 2 folded left\n", "a")
	_, err = d.Do(making.MirrorPanel(), size, book)
	require.NoError(t, err)
	require.Contains(t, d.Sheet, "  row square knot on right 4\n")
	d = begun(t, head+"panel a\nmount 4 folded\nrepeat 2\nadd 2 folded left\nend\nrow square on left 4\n", "a")
	_, err = d.Do(making.MirrorPanel(), size, book)
	require.ErrorContains(t, err, "is given cords again and again")
}

// A line of the head takes the place of the one that begins with the same words, or goes
// before the panels; emptied it is taken out. Lines behind the panels are counted from 1;
// of hangers there is one.
func TestHeadAndFinish(t *testing.T) {
	const text = "cord main 4 mm\ncord main-2 3 mm\ndowel 90 cm x 20 mm\neconomy\n\npanel front\nmount 4 folded\nnet square rows 4\nfringe 12 cm by 1 on left of front\nfringe 9 cm by 1 on right of front\nhanger rise 20 cm\n"
	for name, one := range map[string]struct {
		edit         making.Edit
		head, finish []string // what is there then, beside what stays
		gone         string
	}{
		"a cord":            {making.SetHead("cord main", "cord main 5 mm"), []string{"cord main 5 mm", "cord main-2 3 mm", "economy"}, nil, "cord main 4 mm"},
		"its namesake":      {making.SetHead("cord main-2", " cord main-2 5 mm "), []string{"cord main 4 mm", "cord main-2 5 mm"}, nil, "3 mm"},
		"one more":          {making.SetHead("", "cord third 5 mm"), []string{"cord main 4 mm", "cord main-2 3 mm", "cord third 5 mm"}, nil, "none"},
		"a word by itself":  {making.SetHead("economy", ""), []string{"cord main 4 mm"}, nil, "economy"},
		"what is not there": {making.SetHead("copies", "copies 3"), []string{"copies 3", "economy"}, nil, "none"},
		"a colour":          {making.ColourCord(1, cord.Colour("teal")), []string{"cord main 4 mm", "cord main-2 3 mm colour teal"}, nil, "none"},
		"another hanger":    {making.AddFinish("hanger rise 25 cm"), nil, []string{"hanger rise 25 cm"}, "rise 20 cm"},
		"one more fringe":   {making.AddFinish(" fringe 5 cm by 1 on left of front "), nil, []string{"fringe 12 cm", "fringe 9 cm", "fringe 5 cm", "hanger"}, "none"},
		"the first out":     {making.RemoveFinish(1), nil, []string{"fringe 9 cm", "hanger"}, "fringe 12 cm"},
		"the last out":      {making.RemoveFinish(3), nil, []string{"fringe 12 cm", "fringe 9 cm"}, "hanger"},
		"none before":       {making.RemoveFinish(0), nil, []string{"fringe 12 cm", "fringe 9 cm", "hanger"}, "none"},
		"none behind":       {making.RemoveFinish(4), nil, []string{"fringe 12 cm", "fringe 9 cm", "hanger"}, "none"},
	} {
		t.Run(name, func(t *testing.T) {
			d := begun(t, text, "front")
			_, err := d.Do(one.edit, size, book)
			require.NoError(t, err)
			page, err := d.Open(book)
			require.NoError(t, err)
			said, finish := strings.Join(page.Head(), "\n"), strings.Join(page.Finish(), "\n")
			for _, line := range one.head {
				require.Contains(t, said, line)
			}
			for _, line := range one.finish {
				require.Contains(t, finish, line)
			}
			require.NotContains(t, said+finish, one.gone)
			require.NotContains(t, page.Head(), "")
		})
	}
	d := begun(t, head+"panel front\nmount 4 folded\nnet square rows 4\n", "front")
	_, err := d.Do(making.AddFinish("hanger rise 20 cm"), size, book)
	require.NoError(t, err)
	_, err = d.Do(making.AddFinish("fringe 12 cm by 1 on left of front"), size, book)
	require.NoError(t, err)
	page, err := d.Open(book)
	require.NoError(t, err)
	require.Len(t, page.Finish(), 2)
}

// A dowel's line takes the place of the one of its name, the first of all without one.
func TestWhichRodALineIs(t *testing.T) {
	page := func(text string) making.Page {
		d := begun(t, text+"panel front\nmount 4 folded\n", "front")
		page, err := d.Open(book)
		require.NoError(t, err)
		return page
	}
	two := page("cord main 4 mm\ndowel 90 cm x 20 mm\ndowel foot 40 cm x 10 mm\n")
	for line, takes := range map[string]string{
		"dowel 1 m x 20 mm": "dowel", "dowel ½ m x 20 mm": "dowel", "dowel foot 50 cm x 10 mm": "dowel foot", "ring foot 30 cm x 5 mm": "dowel foot", "dowel head 50 cm x 10 mm": "", "dowel": "",
	} {
		require.Equal(t, takes, two.RodLine(line), line)
	}
	require.Empty(t, page("cord main 4 mm\n").RodLine("dowel 1 m x 20 mm"))
	require.Equal(t, "ring", page("cord main 4 mm\nring 20 cm x 5 mm\n").RodLine("dowel 1 m x 20 mm"))
	require.Equal(t, "dowel foot", two.RodLine("dowel foot"))
}

// Every change, whether made, taken back or made again, is a turn; what changes nothing
// is none.
func TestTurns(t *testing.T) {
	d := begun(t, head+"panel a\nmount 2 folded\npanel b\nmount 4 folded\n", "b")
	require.Zero(t, d.Turn, "it is in hand already")
	step := func(want int, do func()) {
		t.Helper()
		do()
		require.Equal(t, want, d.Turn)
	}
	add := func(line string) func() {
		return func() { _, err := d.Do(making.AddStep(line), size, book); require.NoError(t, err) }
	}
	step(1, func() { d.Use("a") })
	step(1, func() { d.Use("a") })
	step(2, add("tail 9 cm"))
	require.True(t, d.Unsaved())
	d.Saved = d.Sheet
	require.False(t, d.Unsaved())
	step(3, func() { require.True(t, d.Undo()) })
	step(3, func() { require.False(t, d.Undo()) })
	step(4, func() { require.True(t, d.Redo()) })
	step(4, func() { require.False(t, d.Redo()) })
	step(4, func() { _, err := d.Do(making.ReplaceStep(2, "tail 9 cm"), size, book); require.NoError(t, err) })
	require.Equal(t, 1, d.Behind())

	_, _, err := making.New("nonsense", size)
	require.Error(t, err)
}

// A history that is too large to be kept loses the oldest quarter of what can be taken
// back, until it fits; the latest stay, and so does the design.
func TestALargeHistoryLosesItsOldest(t *testing.T) {
	noise := rand.NewChaCha8([32]byte{1})
	remark := func(bytes int) string {
		raw := make([]byte, bytes)
		_, _ = noise.Read(raw)
		return "# " + hex.EncodeToString(raw) + "\n"
	}
	kept := func(changes, bytes int) (was, back making.Design) {
		was = begun(t, remark(bytes)+head+"panel a\nmount 2 folded\n", "a")
		sized, _, err := size(was.Sheet)
		require.NoError(t, err)
		for range changes {
			text := remark(bytes) + was.Sheet[strings.Index(was.Sheet, "cord"):]
			_, err := was.Do(making.Rewrite(text), func(string) (sizing.Sized, string, error) { return sized, text, nil }, book)
			require.NoError(t, err)
		}
		raw, err := json.Marshal(was)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(raw, &back))
		require.Equal(t, []any{was.Sheet, was.Panel, was.Turn}, []any{back.Sheet, back.Panel, back.Turn})
		return was, back
	}
	// Some 800 bytes each, which do not pack: 45 of them go into 40 KiB, 60 do not.
	was, back := kept(60, 800)
	require.Equal(t, 60, was.Behind())
	require.Equal(t, 45, back.Behind())
	require.True(t, was.Undo())
	require.True(t, back.Undo())
	require.Equal(t, was.Sheet, back.Sheet)
	was, back = kept(45, 800)
	require.Equal(t, was.Behind(), back.Behind())
	_, back = kept(5, 7900) // six of the longest sheets, too, of which a quarter of five is two
	require.Equal(t, 3, back.Behind())
}

// What was kept and cannot be is not opened: today's sheet is one of those that are there.
func TestAKeptDesignHasASheet(t *testing.T) {
	d := begun(t, head+"panel a\nmount 2 folded\n", "a")
	_, err := d.Do(making.AddStep("tail 9 cm"), size, book)
	require.NoError(t, err)
	raw, err := json.Marshal(d)
	require.NoError(t, err)
	for at, opens := range map[int]bool{-1: false, 0: true, 1: true, 2: false} {
		var back making.Design
		err := json.Unmarshal([]byte(strings.Replace(string(raw), `"at":1`, fmt.Sprintf(`"at":%d`, at), 1)), &back)
		require.Equal(t, opens, err == nil, at)
		if opens {
			require.Equal(t, at, back.Behind())
			require.Equal(t, 1-at, back.Ahead())
		}
	}
}

// A list of up to 25 names is picked from; a longer one is typed.
func TestListsThatCanBePickedFrom(t *testing.T) {
	names := make([]string, 26)
	for i := range names {
		names[i] = fmt.Sprintf("name-%d", i)
	}
	choices := func(word, blank string, lists making.Lists) int {
		for _, b := range making.Asked(word, lists) {
			if b.Name == blank {
				return len(b.Choices)
			}
		}
		require.Fail(t, "no such blank: "+blank)
		return 0
	}
	for n, picked := range map[int]int{25: 25, 26: 0} {
		require.Equal(t, picked, choices("row", "the knot", making.Lists{Knots: names[:n]}))
		require.Equal(t, picked, choices("mount", "cord", making.Lists{Cords: names[:n]}))
	}
}

// In a form stands the amount, without the word that the sheet writes before it.
func TestBlanksHoldAmountsAlone(t *testing.T) {
	d := begun(t, head+"panel a\nmount 4 folded\nnet square rows 6\n", "a")
	page, err := d.Open(book)
	require.NoError(t, err)
	word, blanks, err := page.AskedOf(2, lists)
	require.NoError(t, err)
	require.Equal(t, "net", word)
	require.Equal(t, "6", making.Values(blanks)["rows"])
	require.Equal(t, "net square knot rows 6", making.Line(word, blanks, making.Values(blanks)))
	for _, n := range []int{0, 3} {
		_, _, err = page.AskedOf(n, lists)
		require.ErrorContains(t, err, "panel a has no step")
	}
	require.Nil(t, making.Asked("hitch-hike", lists))
	for _, word := range []string{"net", "sinnet", "bar", "tail"} {
		require.NotEmpty(t, making.Asked(word, lists), word)
		require.LessOrEqual(t, len(making.Asked(word, lists)), 5, word)
	}
}
