package takeup_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// pebbleSheet is a design that uses it.
const pebbleSheet = `cord main 4 mm
dowel 40 cm x 20 mm
panel front
mount 4 folded
sinnet pebble knot times 5 of 4
tail 20 cm`

func TestKnotsAnswers(t *testing.T) {
	a := commandstest.New(t)
	commandstest.AddPebble(t, a)
	commandstest.Golden(t, "knots", commandstest.Conversation(t, a,
		"/knots list",
		`/knots show name:"square knot"`,
		"/knots show name:sk ends:6 thickness:1/8in",
		"/knots show name:LH dowel:25mm construction:braided",
		"/knots show name:gw ends:12",
		"/knots show name:plait",
		"/knots show name:an",
		`/knots show name:"pebble knot"`,
	))
}

// What is shown is the book's own figure, for every knot and several cords.
func TestShownTakeUpIsTheBooks(t *testing.T) {
	commandstest.UnlessRaced(t)
	a := commandstest.New(t)
	for _, k := range a.Room.Book.Knots() {
		if k.Shape == knot.Pattern {
			continue
		}
		for _, thickness := range []length.Length{2, 5, 9} {
			c := cord.Cord{Nominal: thickness * length.Millimetre}
			size, err := k.Size(knot.Gauge{Diameter: c.Diameter(), Soft: c.Construction.Softness(), Ends: k.Ends, Rod: 20 * length.Millimetre})
			require.NoError(t, err)
			text := commandstest.Render(commandstest.Answered(t, a, fmt.Sprintf(`/knots show name:"%s" thickness:%dmm`, k.Name, thickness)))
			for i, role := range k.Roles {
				require.Contains(t, text, role.Name+": "+sitting.Prefs{}.Style.Format(size.Takes[i]), "%s, %d mm", k.Name, thickness)
			}
			for _, step := range k.HowTo {
				require.Contains(t, text, step)
			}
			require.Contains(t, text, "source: "+k.Source)
		}
	}
}

func TestKnotForm(t *testing.T) {
	a := commandstest.New(t)
	form := commandstest.AskedBy(t, a, commandstest.Mara, `/knots add name:"Pebble Knot"`)
	added := commandstest.Fill(t, a, commandstest.Mara, form, nil)
	require.False(t, added.Refused, commandstest.Render(added))
	faulty := commandstest.Fill(t, a, commandstest.Mara, commandstest.AskedBy(t, a, commandstest.Mara, `/knots add name:"Shell Knot"`), map[string]string{"roles": "worker ties: 2*turn(q)\nfiller runs: pitch"})
	require.True(t, faulty.Refused)
	var mend reply.Button
	for _, block := range faulty.Blocks {
		if actions, ok := block.(reply.Actions); ok {
			mend = actions.Buttons[0]
		}
	}
	again := commandstest.Act(t, a, commandstest.Mara, mend.Do, nil, nil)
	mended := commandstest.Fill(t, a, commandstest.Mara, again, map[string]string{"roles": "worker ties: 2*turn(k) + 12*d\nfiller runs: pitch"})
	require.False(t, mended.Refused, commandstest.Render(mended))
	commandstest.Golden(t, "knot-form", strings.Join([]string{commandstest.Render(form), commandstest.Render(added), commandstest.Render(faulty), commandstest.Render(again), commandstest.Render(mended)}, "\n"))
}

// Only who may manage the community changes its book, in the form as well.
func TestOnlyManagersChangeTheBook(t *testing.T) {
	a := commandstest.New(t)
	require.True(t, commandstest.Asked(t, a, commandstest.Pebble).Refused)
	form := commandstest.AskedBy(t, a, commandstest.Mara, `/knots add name:"Pebble Knot"`)
	demoted := commandstest.Mara
	demoted.CanManage = false
	require.True(t, commandstest.Fill(t, a, demoted, form, nil).Refused)
	outside := commandstest.Mara
	outside.Community = ""
	require.True(t, commandstest.AskedBy(t, a, outside, commandstest.Pebble).Refused)
	require.NotContains(t, commandstest.Render(commandstest.Answered(t, a, "/knots list")), "Pebble")

	commandstest.AddPebble(t, a)
	require.True(t, commandstest.Asked(t, a, `/knots remove name:"pebble knot"`).Refused)
	elsewhere := commandstest.Mara
	elsewhere.Community = "other"
	require.True(t, commandstest.AskedBy(t, a, elsewhere, `/knots remove name:"pebble knot"`).Refused)
	require.True(t, commandstest.AskedBy(t, a, elsewhere, `/knots show name:"pebble knot"`).Refused, "it belongs to its community")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/knots list")), "Pebble")
}

// A community's knot works wherever a knot is named.
func TestCommunityKnotIsUsedEverywhere(t *testing.T) {
	a := commandstest.New(t)
	require.True(t, commandstest.Asked(t, a, `/project new name:Early sheet:"`+pebbleSheet+`"`).Refused)
	commandstest.AddPebble(t, a)
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/project new name:Shore sheet:"`+pebbleSheet+`"`)), "10 Pebble Knots")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/cord width:30cm drop:60cm knotwork:sinnets knot:"pebble knot"`)), "Pebble Knots")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/cut finished:60cm knot:"pebble knot"`)), "Pebble Knots")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/swatch add knot:"pebble knot" count:10 used:90cm`)), "10 Pebble Knots")
	for _, command := range []string{"knots show", "cut"} {
		option := map[string]string{"knots show": "name", "cut": "knot"}[command]
		req := commandstest.Ana
		req.Command = command
		choices, err := a.Complete(context.Background(), req, option, "pebb")
		require.NoError(t, err)
		require.Equal(t, []reply.Choice{{Name: "Pebble Knot", Value: "Pebble Knot"}}, choices)
	}
}

// A saved design keeps the formula that it was sized with: after the knot is taken
// out or changed, in another community, in a private chat, when it is edited,
// copied, resized, and through its buttons.
func TestSavedDesignsKeepTheirKnots(t *testing.T) {
	a := commandstest.New(t)
	commandstest.AddPebble(t, a)
	saved := commandstest.Answered(t, a, `/project new name:Shore sheet:"`+pebbleSheet+`"`)
	before := totalOf(t, commandstest.Answered(t, a, "/project show name:Shore"))

	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, `/knots remove name:"Pebble Knot"`).Refused)
	require.True(t, commandstest.Asked(t, a, `/project new name:Late sheet:"`+pebbleSheet+`"`).Refused, "new sheets do without it")
	private := commandstest.Ana
	private.Community = ""
	require.Equal(t, before, totalOf(t, commandstest.Answered(t, a, "/project show name:Shore")))
	require.Equal(t, before, totalOf(t, commandstest.AskedBy(t, a, private, "/project show name:Shore")))
	require.Contains(t, commandstest.Render(commandstest.Choose(t, a, saved, "A")), "Pebble Knot")
	require.False(t, commandstest.Press(t, a, saved, "see the sheet").Refused)

	commandstest.Answered(t, a, "/project copy name:Shore to:Shore2")
	require.Equal(t, before, totalOf(t, commandstest.Answered(t, a, "/project show name:Shore2")))
	edited := commandstest.Answered(t, a, `/project edit name:Shore sheet:"`+pebbleSheet+` # the last one"`)
	require.Equal(t, before, totalOf(t, edited))
	commandstest.Answered(t, a, `/project edit name:Shore2 sheet:"`+strings.Replace(pebbleSheet, "times 5", "times 9", 1)+`"`)
	commandstest.Answered(t, a, "/project undo name:Shore2")
	require.Equal(t, before, totalOf(t, commandstest.Answered(t, a, "/project show name:Shore2")))

	other := strings.Replace(commandstest.Pebble, "+ 2*d;", "+ 20*d;", 1)
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, other).Refused)
	require.Equal(t, before, totalOf(t, commandstest.Answered(t, a, "/project show name:Shore")), "its own formula goes before the community's new one")
	require.NotEqual(t, before, totalOf(t, commandstest.Answered(t, a, `/project new name:Late sheet:"`+pebbleSheet+`"`)), "a new design takes the new one")
}

func totalOf(t *testing.T, r reply.Reply) string {
	t.Helper()
	require.False(t, r.Refused, commandstest.Render(r))
	total := commandstest.FactOf(r, "to buy")
	require.NotEmpty(t, total)
	return total
}

// Every removed knot comes back by the line that its removal shows.
func TestRemovedKnotComesBack(t *testing.T) {
	a := commandstest.New(t)
	commandstest.AddPebble(t, a)
	was := commandstest.Render(commandstest.Answered(t, a, `/knots show name:"pebble knot"`))
	removed := commandstest.AskedBy(t, a, commandstest.Mara, `/knots remove name:"pebble knot"`)
	line := lastVerbatim(removed)
	require.Equal(t, commandstest.Pebble, line)
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, line).Refused)
	require.Equal(t, was, commandstest.Render(commandstest.Answered(t, a, `/knots show name:"pebble knot"`)))
}

// lastVerbatim is the last text of a reply that can be pasted.
func lastVerbatim(r reply.Reply) string {
	text := ""
	for _, block := range r.Blocks {
		if v, ok := block.(reply.Verbatim); ok {
			text = string(v)
		}
	}
	return text
}

// A request that arrives twice changes things once and is answered alike.
func TestChangesDeliveredTwice(t *testing.T) {
	a := commandstest.New(t)
	for _, line := range []string{
		commandstest.Pebble, `/rule add name:"Jar Cover" formula:"4.5*finished"`, `/rule add name:"Ours" formula:"5*finished" whose:community`,
		"/swatch add knot:sk count:10 used:54cm", "/swatch remove number:1",
		`/rule remove name:"Jar Cover"`, `/rule remove name:"Ours" whose:community`, `/knots remove name:"Pebble Knot"`,
	} {
		req := commandstest.Typed(t, commandstest.Mara, line)
		first, err := a.Do(context.Background(), req)
		require.NoError(t, err)
		require.False(t, first.Refused, "%s\n%s", line, commandstest.Render(first))
		second, err := a.Do(context.Background(), req)
		require.NoError(t, err)
		require.Equal(t, commandstest.Render(first), commandstest.Render(second), line)
	}
}

// With a whole community's knots a book is still made in no time that anybody
// notices.
func BenchmarkBookFor(b *testing.B) {
	for _, n := range []int{0, 20, 200} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			a := commandstest.New(b)
			for i := range n {
				line := strings.Replace(commandstest.Pebble, "Pebble Knot", fmt.Sprintf("Pebble %c%c", 'A'+i/20, 'A'+i%20), 1)
				answer := commandstest.AskedBy(b, a, commandstest.Mara, line)
				require.False(b, answer.Refused, commandstest.Render(answer))
			}
			b.ResetTimer()
			for b.Loop() {
				_, err := commandstest.Seated(b, a, commandstest.Ana).Book()
				require.NoError(b, err)
			}
		})
	}
}

// The rows that travel are JSON that stays readable.
func TestProjectDataIsReadable(t *testing.T) {
	a := commandstest.New(t)
	commandstest.AddPebble(t, a)
	commandstest.Answered(t, a, `/project new name:Shore sheet:"`+pebbleSheet+`"`)
	p, err := a.Room.Store.Project(context.Background(), commandstest.Ana.Member, "Shore")
	require.NoError(t, err)
	knots, err := sitting.KnotsOf(p)
	require.NoError(t, err)
	require.Len(t, knots, 1)
	require.Equal(t, "Pebble Knot", knots[0].Name)
	require.Contains(t, string(p.Data), `"name":"Pebble Knot"`)
}

// A book is made once for the same knots, and anew when they change.
func TestBooksAreKept(t *testing.T) {
	a := commandstest.New(t)
	book := func() *knot.Book {
		b, err := commandstest.Seated(t, a, commandstest.Ana).Book()
		require.NoError(t, err)
		return b
	}
	require.Same(t, a.Room.Book, book())
	commandstest.AddPebble(t, a)
	first := book()
	require.Same(t, first, book())
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, `/knots remove name:"Pebble Knot"`).Refused)
	require.Same(t, a.Room.Book, book())
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, strings.Replace(commandstest.Pebble, "+ 2*d;", "+ 3*d;", 1)).Refused)
	require.NotSame(t, first, book())
	var group errgroup.Group
	for range 8 {
		group.Go(func() error {
			_, err := commandstest.Seated(t, a, commandstest.Ana).Book()
			return err
		})
	}
	require.NoError(t, group.Wait())
}
