package making_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"larkfold/commands/making"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var book = knot.Standard()

func ahead(text string, panel, step int) (*sizing.Further, error) {
	return sizing.NewFurther(context.Background(), text, panel, step, sizing.Maker{})
}

func size(text string) (sizing.Sized, string, error) {
	sized, err := sizing.Size(context.Background(), text, sizing.Maker{Book: book})
	return sized, sheet.Format(sized.Sheet), err
}

func demos(t *testing.T) map[string]string {
	files, err := filepath.Glob("../../testdata/sheets/*.sheet")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	all := map[string]string{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		all[filepath.Base(f)] = string(text)
	}
	return all
}

var lists = making.Lists{Knots: []string{"square knot", "half knot"}, Cords: nil, Rods: nil}

// A form that is opened for a step and sent as it is leaves the step as it was.
func TestAFormSentAsItIsChangesNothing(t *testing.T) {
	check := func(t require.TestingT, s sheet.Sheet) {
		for _, p := range s.Panels {
			for _, step := range p.Steps {
				f := sheet.FactsOf(step)
				blanks := making.BlanksOf(f, s.Says, lists, false)
				require.LessOrEqual(t, len(blanks), 5)
				filled := map[string]string{}
				for _, b := range blanks {
					require.NotContains(t, filled, b.Name)
					filled[b.Name] = b.Value
				}
				var want []string
				for _, a := range f.Amounts {
					if said := s.Says(a); said != "" {
						want = append(want, said)
					}
				}
				words := func(line string) []string { return strings.Fields(strings.ReplaceAll(line, ",", " , ")) }
				require.ElementsMatch(t, words(f.Word+" "+strings.Join(want, " ")), words(making.Line(f.Word, blanks, filled)))
			}
		}
	}
	for name, text := range demos(t) {
		t.Run(name, func(t *testing.T) {
			s, faults := sheet.Parse(text, book)
			require.False(t, faults.Any(), faults.Error())
			check(t, s)
		})
	}
	t.Run("random", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			s, faults := sheet.Parse(sheet.Format(sheettest.Written(t)), book)
			if !faults.Any() {
				check(t, s)
			}
		})
	})
}

// Every demo design comes about step by step from its head and its first cords.
func TestDemosAreBuiltStepByStep(t *testing.T) {
	for name, text := range demos(t) {
		t.Run(name, func(t *testing.T) {
			sized, want, err := size(text)
			require.NoError(t, err)
			d := rebuilt(t, sized.Sheet, want)
			require.Equal(t, bareText(want), bareText(d.Sheet))

			// Undo leads back through the same sheets, redo forward again.
			var back []string
			for d.Undo() {
				back = append(back, d.Sheet)
			}
			require.Len(t, back, d.Ahead())
			for d.Redo() {
			}
			require.Equal(t, bareText(want), bareText(d.Sheet))
			require.Equal(t, len(back), d.Behind())
		})
	}
}

// bareText is a sheet without its remarks.
func bareText(text string) string {
	var out []string
	for _, l := range strings.Split(text, "\n") {
		if l, _, _ = strings.Cut(l, " #"); !strings.HasPrefix(strings.TrimSpace(l), "#") && strings.TrimSpace(l) != "" {
			out = append(out, strings.TrimRight(l, " "))
		}
	}
	return strings.Join(out, "\n")
}

// rebuilt makes a sheet anew by edits alone: the panels that hang, their steps, then
// the panels that join them, then what stands behind the panels.
func rebuilt(t *testing.T, s sheet.Sheet, printed string) making.Design {
	lines := strings.Split(bareText(printed), "\n")
	var head, after []string
	panels := map[string][]string{}
	name := ""
	for _, l := range lines {
		switch {
		case strings.HasPrefix(l, "panel "):
			name = strings.Fields(l)[1]
			panels[name] = append(panels[name], l)
		case strings.HasPrefix(l, "  "):
			panels[name] = append(panels[name], l)
		case name == "":
			head = append(head, l)
		default:
			after = append(after, l)
		}
	}
	var d making.Design
	do := func(e making.Edit) {
		t.Helper()
		_, err := d.Do(e, size, book)
		require.NoError(t, err)
	}
	steps := func(lines []string) {
		from, times := 0, 0
		for _, l := range lines {
			at := func() int {
				page, err := d.Open(book)
				require.NoError(t, err)
				return len(page.Panel().Steps)
			}
			if n, err := fmt.Sscanf(l, "  repeat %d", &times); n == 1 && err == nil {
				from = at() + 1
				continue
			}
			if l == "  end" {
				do(making.RepeatSteps(from, at(), times))
				continue
			}
			do(making.AddStep(l))
		}
	}
	for _, p := range s.Panels {
		rows := panels[p.Name]
		switch {
		case len(p.From) > 0:
		case d.Sheet == "":
			first := append(append([]string{}, head...), rows[:1+mounted(rows)]...)
			var err error
			d, _, err = making.New(strings.Join(first, "\n")+"\n", size)
			require.NoError(t, err)
		default:
			do(making.AddPanel(rows[:1+mounted(rows)]...))
		}
	}
	for _, p := range s.Panels {
		rows := panels[p.Name]
		if len(p.From) > 0 {
			do(making.AddPanel(rows[0]))
			d.Use(p.Name)
			steps(rows[1:])
			continue
		}
		d.Use(p.Name)
		steps(rows[1+mounted(rows):])
	}
	for _, l := range after {
		do(making.AddFinish(l))
	}
	return d
}

// mounted is how many of a panel's first lines hang its cords.
func mounted(rows []string) int {
	n := 0
	for i, l := range rows {
		if strings.HasPrefix(l, "  mount") {
			n = i
		}
	}
	return n
}

func TestHistoryIsKeptWhole(t *testing.T) {
	d, _, err := making.New("cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\n mount 12 folded\n", size)
	require.NoError(t, err)
	_, err = d.Do(making.AddStep("net square rows 6"), size, book)
	require.NoError(t, err)
	before := d
	_, err = d.Do(making.AddStep("net square rows 99 on 400"), size, book)
	require.Error(t, err)
	require.Equal(t, before, d, "what does not size changes nothing")
	for i := range 2 * making.MostUndone {
		_, err = d.Do(making.ReplaceStep(2, "net square rows "+string(rune('1'+i%9))), size, book)
		require.NoError(t, err)
	}
	require.Equal(t, making.MostUndone, d.Behind())
	d.Undo()
	d.Undo()
	raw, err := json.Marshal(d)
	require.NoError(t, err)
	require.Less(t, len(raw), 64<<10)
	var back making.Design
	require.NoError(t, json.Unmarshal(raw, &back))
	require.Equal(t, d, back)
	require.Equal(t, 2, back.Ahead())
}

// A panel is hitched onto another rod than its own: the step is offered when there is
// one. What goes before the steps that are there is offered last.
func TestWhatComesNext(t *testing.T) {
	offered := func(head string, rods ...string) (words []string) {
		plan, printed, err := size(head + "panel front\nmount 4 folded\nrow square\n")
		require.NoError(t, err)
		d := making.Design{Sheet: printed, Panel: "front"}
		page, err := d.Open(book)
		require.NoError(t, err)
		for _, o := range page.Next(plan, making.Lists{Knots: lists.Knots, Rods: rods}, size, ahead, book) {
			words = append(words, o.Word)
		}
		return words
	}
	one := offered("cord main 4 mm\ndowel 50 cm x 20 mm\n", "rod")
	require.NotContains(t, one, "onto")
	require.Contains(t, one, "net")
	require.Equal(t, []string{"mount", "gap"}, one[len(one)-2:])
	require.Contains(t, offered("cord main 4 mm\ndowel 50 cm x 20 mm\ndowel foot 40 cm x 10 mm\n", "rod", "foot"), "onto")
}

// What is taken back, and made again, is the sheet with the panel that was in hand.
func TestUndoPutsThePanelInHandAgain(t *testing.T) {
	for _, one := range []struct {
		name, hand string
		edit       making.Edit
		then       string // the panel in hand after the edit
	}{
		{"copied", "middle", making.CopyPanel("copy"), "copy"},
		{"another", "front", making.AddPanel("panel other", "mount 2 folded"), "other"},
		{"taken out", "middle", making.RemovePanel(), "back"},
		{"the last taken out", "back", making.RemovePanel(), "middle"},
		{"named", "front", making.RenamePanel("panel bow"), "bow"},
		{"moved", "middle", making.MovePanel(true), "middle"},
		{"a step", "front", making.AddStep("tail 9 cm"), "front"},
	} {
		t.Run(one.name, func(t *testing.T) {
			d, _, err := making.New("cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 4 folded\npanel middle\nmount 6 folded\npanel back\nmount 8 folded\n", size)
			require.NoError(t, err)
			require.Equal(t, "back", d.Panel)
			d.Use(one.hand)
			before := d
			_, err = d.Do(one.edit, size, book)
			require.NoError(t, err)
			if one.name == "copied" || one.name == "another" { // as their forms do
				d.Use(one.then)
			}
			require.Equal(t, one.then, d.Panel)
			after := d
			raw, err := json.Marshal(d)
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(raw, &d))

			d.Use("back") // looking at another panel between is no change
			require.True(t, d.Undo())
			require.Equal(t, []string{before.Sheet, before.Panel}, []string{d.Sheet, d.Panel})
			require.True(t, d.Redo())
			require.Equal(t, after.Sheet, d.Sheet)
			d.Use(one.then)
			require.True(t, d.Undo())
			require.True(t, d.Redo())
			require.Equal(t, []string{after.Sheet, after.Panel}, []string{d.Sheet, d.Panel})
		})
	}
}

// A design that was kept when only today's panel in hand was written down opens; what
// cannot be read does not.
func TestADesignKeptBeforePanelsWere(t *testing.T) {
	d, _, err := making.New("cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 4 folded\n", size)
	require.NoError(t, err)
	first := d.Sheet
	_, err = d.Do(making.CopyPanel("right"), size, book)
	require.NoError(t, err)
	d.Use("right")
	raw, err := json.Marshal(d)
	require.NoError(t, err)
	var fields map[string]any
	require.NoError(t, json.Unmarshal(raw, &fields))
	panels := fields["panels"]
	fields["panels"] = fields["sheets"] // three, where there are two
	raw, err = json.Marshal(fields)
	require.NoError(t, err)
	require.Error(t, json.Unmarshal(raw, &making.Design{}))
	require.NotNil(t, panels)

	delete(fields, "panels")
	raw, err = json.Marshal(fields)
	require.NoError(t, err)
	var back making.Design
	require.NoError(t, json.Unmarshal(raw, &back))
	require.Equal(t, []string{d.Sheet, "right"}, []string{back.Sheet, back.Panel})
	require.True(t, back.Undo())
	require.Equal(t, first, back.Sheet)
	page, err := back.Open(book)
	require.NoError(t, err)
	require.Equal(t, "front", page.Panel().Name)
}

// Bare rod stays between the panels when they change places, and moving back leads to
// the same sheet.
func TestBareRodStaysBetweenPanels(t *testing.T) {
	const (
		front  = "panel front\n  mount 4 folded\n  row square\n"
		middle = "panel middle\n  gap 3 cm\n  mount 6 folded\n"
		back   = "panel back\n  gap 5 cm\n  mount 8 folded\n  row square\n"
	)
	// edged are the panels from left to right, each behind how many whole centimetres of
	// bare rod: the work is a little narrower than its cords hang.
	edged := func(s sizing.Sized) (out []string) {
		at := s.Panels[0].Left
		for i, p := range s.Panels {
			out = append(out, fmt.Sprintf("%d %s", (p.Left-at)/length.Centimetre, s.Sheet.Panels[i].Name))
			at = p.Right
		}
		return out
	}
	for _, one := range []struct {
		name, sheet, hand string
		edit, back        making.Edit
		want              []string
	}{
		{"the second to the left", front + middle + back, "middle", making.MovePanel(true), making.MovePanel(false), []string{"0 middle", "3 front", "5 back"}},
		{"the first to the right", front + middle + back, "front", making.MovePanel(false), making.MovePanel(true), []string{"0 middle", "3 front", "5 back"}},
		{"the last to the left", front + middle + back, "back", making.MovePanel(true), making.MovePanel(false), []string{"0 front", "3 back", "5 middle"}},
		{"the first out", front + middle + back, "front", making.RemovePanel(), nil, []string{"0 middle", "5 back"}},
		{"the second out", front + middle + back, "middle", making.RemovePanel(), nil, []string{"0 front", "5 back"}},
		{"the last out", front + middle + back, "back", making.RemovePanel(), nil, []string{"0 front", "3 middle"}},
	} {
		t.Run(one.name, func(t *testing.T) {
			d, sized, err := making.New("cord main 4 mm\ndowel 90 cm x 20 mm\n"+one.sheet, size)
			require.NoError(t, err)
			require.Equal(t, []string{"0 front", "3 middle", "5 back"}, edged(sized))
			begins := sized.Panels[0].Left
			before := d.Sheet
			d.Use(one.hand)
			sized, err = d.Do(one.edit, size, book)
			require.NoError(t, err)
			require.Equal(t, one.want, edged(sized))
			require.Equal(t, begins, sized.Panels[0].Left, "it leads with as little bare rod as before")
			if one.back != nil {
				_, err = d.Do(one.back, size, book)
				require.NoError(t, err)
				require.Equal(t, before, d.Sheet)
			}
		})
	}

	// On another rod a panel keeps what it has before it; the name of the first rod is
	// the same rod.
	for on, want := range map[string]string{" on foot": "panel middle on foot\n  gap 3 cm\n", " on top": "panel middle on top\n  mount", " on rod": "panel middle\n  mount"} {
		for _, edit := range []making.Edit{making.MovePanel(false), making.RemovePanel()} {
			d, _, err := making.New("cord main 4 mm\ndowel top 90 cm x 20 mm\ndowel foot 40 cm x 10 mm\n"+front+strings.Replace(middle, "middle", "middle"+on, 1), size)
			require.NoError(t, err)
			d.Use("front")
			_, err = d.Do(edit, size, book)
			require.NoError(t, err)
			require.Contains(t, d.Sheet, want, on)
		}
	}
}

// Of an odd number of ends the middle one stays where it is when its panel is turned, of
// an even number the one beside it takes its place.
func TestTheMiddleOfAMirroredPanel(t *testing.T) {
	for steps, want := range map[string]string{
		"mount 7 single\nbar middle to right\n":   "bar 4 to left",
		"mount 8 single\nbar middle to right\n":   "bar 5 to left",
		"mount 7 single\nbar left to middle+1\n":  "bar right to 3",
		"mount 8 single\nbar right to middle-1\n": "bar left to 5",
		"mount 8 single\nbar right to middle\n":   "bar left to middle",
	} {
		d, _, err := making.New("cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\n"+steps, size)
		require.NoError(t, err)
		_, err = d.Do(making.MirrorPanel(), size, book)
		require.NoError(t, err)
		require.Contains(t, d.Sheet, want+"\n", steps)
	}
}
