package commands

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/formula"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"
)

// pebble is a knot of the community's own, in one line.
const pebble = `/knots add name:"Pebble Knot" places:"worker, filler..., worker" roles:"worker ties: 2*(turn(k) + 4*d + 1.5*pi*d) + 2*d; filler runs: pitch" pitch:10*d height:pitch across:"3.35*d + 1.226*bundle(k)" how:"Tie a square knot.; Tie another two cord widths below it." source:"measured by us: ten knots in 4 mm cord"`

// pebbleSheet is a design that uses it.
const pebbleSheet = `cord main 4 mm
dowel 40 cm x 20 mm
panel front
mount 4 folded
sinnet pebble knot times 5 of 4
tail 20 cm`

func addPebble(t *testing.T, a *App) {
	t.Helper()
	answer := askedBy(t, a, mara, pebble)
	require.False(t, answer.Refused, render(answer))
}

func TestKnotsAnswers(t *testing.T) {
	a := newApp(t)
	addPebble(t, a)
	golden(t, "knots", conversation(t, a,
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
	a := newApp(t)
	for _, k := range a.room.Book.Knots() {
		if k.Shape == knot.Pattern {
			continue
		}
		for _, thickness := range []length.Length{2, 5, 9} {
			c := cord.Cord{Nominal: thickness * length.Millimetre}
			size, err := k.Size(knot.Gauge{Diameter: c.Diameter(), Soft: c.Construction.Softness(), Ends: k.Ends, Rod: 20 * length.Millimetre})
			require.NoError(t, err)
			text := render(answered(t, a, fmt.Sprintf(`/knots show name:"%s" thickness:%dmm`, k.Name, thickness)))
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
	a := newApp(t)
	form := askedBy(t, a, mara, `/knots add name:"Pebble Knot"`)
	added := fill(t, a, mara, form, nil)
	require.False(t, added.Refused, render(added))
	faulty := fill(t, a, mara, askedBy(t, a, mara, `/knots add name:"Shell Knot"`), map[string]string{"roles": "worker ties: 2*turn(q)\nfiller runs: pitch"})
	require.True(t, faulty.Refused)
	var mend reply.Button
	for _, block := range faulty.Blocks {
		if actions, ok := block.(reply.Actions); ok {
			mend = actions.Buttons[0]
		}
	}
	again := act(t, a, mara, mend.Do, nil, nil)
	mended := fill(t, a, mara, again, map[string]string{"roles": "worker ties: 2*turn(k) + 12*d\nfiller runs: pitch"})
	require.False(t, mended.Refused, render(mended))
	golden(t, "knot-form", strings.Join([]string{render(form), render(added), render(faulty), render(again), render(mended)}, "\n"))
}

// Only who may manage the community changes its book, in the form as well.
func TestOnlyManagersChangeTheBook(t *testing.T) {
	a := newApp(t)
	require.True(t, asked(t, a, pebble).Refused)
	form := askedBy(t, a, mara, `/knots add name:"Pebble Knot"`)
	demoted := mara
	demoted.CanManage = false
	require.True(t, fill(t, a, demoted, form, nil).Refused)
	outside := mara
	outside.Community = ""
	require.True(t, askedBy(t, a, outside, pebble).Refused)
	require.NotContains(t, render(answered(t, a, "/knots list")), "Pebble")

	addPebble(t, a)
	require.True(t, asked(t, a, `/knots remove name:"pebble knot"`).Refused)
	elsewhere := mara
	elsewhere.Community = "other"
	require.True(t, askedBy(t, a, elsewhere, `/knots remove name:"pebble knot"`).Refused)
	require.True(t, askedBy(t, a, elsewhere, `/knots show name:"pebble knot"`).Refused, "it belongs to its community")
	require.Contains(t, render(answered(t, a, "/knots list")), "Pebble")
}

// A community's knot works wherever a knot is named.
func TestCommunityKnotIsUsedEverywhere(t *testing.T) {
	a := newApp(t)
	require.True(t, asked(t, a, `/project new name:Early sheet:"`+pebbleSheet+`"`).Refused)
	addPebble(t, a)
	require.Contains(t, render(answered(t, a, `/project new name:Shore sheet:"`+pebbleSheet+`"`)), "10 Pebble Knots")
	require.Contains(t, render(answered(t, a, `/cord width:30cm drop:60cm knotwork:sinnets knot:"pebble knot"`)), "Pebble Knots")
	require.Contains(t, render(answered(t, a, `/cut finished:60cm knot:"pebble knot"`)), "Pebble Knots")
	require.Contains(t, render(answered(t, a, `/swatch add knot:"pebble knot" count:10 used:90cm`)), "10 Pebble Knots")
	for _, command := range []string{"knots show", "cut"} {
		option := map[string]string{"knots show": "name", "cut": "knot"}[command]
		req := ana
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
	a := newApp(t)
	addPebble(t, a)
	saved := answered(t, a, `/project new name:Shore sheet:"`+pebbleSheet+`"`)
	before := totalOf(t, answered(t, a, "/project show name:Shore"))

	require.False(t, askedBy(t, a, mara, `/knots remove name:"Pebble Knot"`).Refused)
	require.True(t, asked(t, a, `/project new name:Late sheet:"`+pebbleSheet+`"`).Refused, "new sheets do without it")
	private := ana
	private.Community = ""
	require.Equal(t, before, totalOf(t, answered(t, a, "/project show name:Shore")))
	require.Equal(t, before, totalOf(t, askedBy(t, a, private, "/project show name:Shore")))
	require.Contains(t, render(choose(t, a, saved, "A")), "Pebble Knot")
	require.False(t, press(t, a, saved, "see the sheet").Refused)

	answered(t, a, "/project copy name:Shore to:Shore2")
	require.Equal(t, before, totalOf(t, answered(t, a, "/project show name:Shore2")))
	edited := answered(t, a, `/project edit name:Shore sheet:"`+pebbleSheet+` # the last one"`)
	require.Equal(t, before, totalOf(t, edited))
	answered(t, a, `/project edit name:Shore2 sheet:"`+strings.Replace(pebbleSheet, "times 5", "times 9", 1)+`"`)
	answered(t, a, "/project undo name:Shore2")
	require.Equal(t, before, totalOf(t, answered(t, a, "/project show name:Shore2")))

	other := strings.Replace(pebble, "+ 2*d;", "+ 20*d;", 1)
	require.False(t, askedBy(t, a, mara, other).Refused)
	require.Equal(t, before, totalOf(t, answered(t, a, "/project show name:Shore")), "its own formula goes before the community's new one")
	require.NotEqual(t, before, totalOf(t, answered(t, a, `/project new name:Late sheet:"`+pebbleSheet+`"`)), "a new design takes the new one")
}

func totalOf(t *testing.T, r reply.Reply) string {
	t.Helper()
	require.False(t, r.Refused, render(r))
	total := factOf(r, "to buy")
	require.NotEmpty(t, total)
	return total
}

// Every removed knot comes back by the line that its removal shows.
func TestRemovedKnotComesBack(t *testing.T) {
	a := newApp(t)
	addPebble(t, a)
	was := render(answered(t, a, `/knots show name:"pebble knot"`))
	removed := askedBy(t, a, mara, `/knots remove name:"pebble knot"`)
	line := lastVerbatim(removed)
	require.Equal(t, pebble, line)
	require.False(t, askedBy(t, a, mara, line).Refused)
	require.Equal(t, was, render(answered(t, a, `/knots show name:"pebble knot"`)))
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
	a := newApp(t)
	for _, line := range []string{
		pebble, `/rule add name:"Jar Cover" formula:"4.5*finished"`, `/rule add name:"Ours" formula:"5*finished" whose:community`,
		"/swatch add knot:sk count:10 used:54cm", "/swatch remove number:1",
		`/rule remove name:"Jar Cover"`, `/rule remove name:"Ours" whose:community`, `/knots remove name:"Pebble Knot"`,
	} {
		req := typed(t, a, mara, line)
		first, err := a.Do(context.Background(), req)
		require.NoError(t, err)
		require.False(t, first.Refused, "%s\n%s", line, render(first))
		second, err := a.Do(context.Background(), req)
		require.NoError(t, err)
		require.Equal(t, render(first), render(second), line)
	}
}

// A row's text is read back as the row it was written from.
func TestKnotTextRoundTrip(t *testing.T) {
	for _, k := range knot.Standard().Knots() {
		if k.Shape != knot.Group || k.Cross {
			continue
		}
		row, err := textOf(k.Row).row()
		require.NoError(t, err, k.Name)
		require.NoError(t, tryKnot(row), k.Name)
		require.Equal(t, k.Roles, row.Roles, k.Name)
		require.Equal(t, k.Places, row.Places, k.Name)
		require.Equal(t, []string{k.Pitch, k.Height, k.Width}, []string{row.Pitch, row.Height, row.Width}, k.Name)
	}
}

// Whatever is written down is refused in words or reads back as itself.
func FuzzKnotText(f *testing.F) {
	for _, k := range knot.Standard().Knots() {
		t := textOf(k.Row)
		f.Add(t.Ends, t.Roles, t.Pitch, t.Height, t.Width)
	}
	for _, line := range refusedAdds {
		o := typed(f, nil, mara, line).Options
		f.Add(o["ends"], o["roles"], o["pitch"], o["height"], o["width"])
	}
	f.Fuzz(func(t *testing.T, ends, roles, pitch, height, width string) {
		row, err := knotText{Name: "Shell", Ends: ends, Roles: roles, Pitch: pitch, Height: height, Width: width, Source: "us"}.row()
		if err == nil {
			err = tryKnot(row)
		}
		var user *reply.UserError
		var fault *formula.Fault
		if err != nil {
			require.True(t, errors.As(err, &user) || errors.As(err, &fault), "%v", err)
			return
		}
		again, err := textOf(row).row()
		require.NoError(t, err)
		require.Equal(t, row, again)
		_, err = knot.Standard().With(row)
		require.NoError(t, err)
	})
}

// With a whole community's knots a book is still made in no time that anybody
// notices.
func BenchmarkBookFor(b *testing.B) {
	for _, n := range []int{0, 20, 200} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			a := newApp(b)
			for i := range n {
				line := strings.Replace(pebble, "Pebble Knot", fmt.Sprintf("Pebble %c%c", 'A'+i/20, 'A'+i%20), 1)
				answer := askedBy(b, a, mara, line)
				require.False(b, answer.Refused, render(answer))
			}
			b.ResetTimer()
			for b.Loop() {
				_, err := seated(b, a, ana).Book()
				require.NoError(b, err)
			}
		})
	}
}

// The rows that travel are JSON that stays readable.
func TestProjectDataIsReadable(t *testing.T) {
	a := newApp(t)
	addPebble(t, a)
	answered(t, a, `/project new name:Shore sheet:"`+pebbleSheet+`"`)
	p, err := a.room.Store.Project(context.Background(), ana.Member, "Shore")
	require.NoError(t, err)
	knots, err := sitting.KnotsOf(p)
	require.NoError(t, err)
	require.Len(t, knots, 1)
	require.Equal(t, "Pebble Knot", knots[0].Name)
	require.Contains(t, string(p.Data), `"name":"Pebble Knot"`)
}

// A book is made once for the same knots, and anew when they change.
func TestBooksAreKept(t *testing.T) {
	a := newApp(t)
	book := func() *knot.Book {
		b, err := seated(t, a, ana).Book()
		require.NoError(t, err)
		return b
	}
	require.Same(t, a.room.Book, book())
	addPebble(t, a)
	first := book()
	require.Same(t, first, book())
	require.False(t, askedBy(t, a, mara, `/knots remove name:"Pebble Knot"`).Refused)
	require.Same(t, a.room.Book, book())
	require.False(t, askedBy(t, a, mara, strings.Replace(pebble, "+ 2*d;", "+ 3*d;", 1)).Refused)
	require.NotSame(t, first, book())
	var group errgroup.Group
	for range 8 {
		group.Go(func() error {
			_, err := seated(t, a, ana).Book()
			return err
		})
	}
	require.NoError(t, group.Wait())
}
