package building_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/store"
)

// startedWith begins a design with a sheet of the member's own.
func startedWith(t *testing.T, sheet string) *presser {
	t.Helper()
	p := &presser{t: t, a: commandstest.New(t)}
	p.now = commandstest.Asked(t, p.a, "/build new:yes")
	p.fill(nil)
	p.button("the sheet")
	p.button("write in it")
	p.fill(map[string]string{"sheet": sheet})
	require.False(t, p.now.Refused, "%s", commandstest.Render(p.now))
	return p
}

const twoPanels = "cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 4 folded\npanel middle\ngap 3 cm\nmount 6 folded\n"

// requireInHand insists that the panel that the answer names is the one whose steps it
// lists, and the one that the next step goes into.
func (p *presser) requireInHand(name, firstStep string) {
	p.t.Helper()
	require.Equal(p.t, reply.Heading("Your design: panel "+name+" in hand"), p.now.Blocks[0])
	require.Contains(p.t, commandstest.Render(p.now), "1. "+firstStep)
	p.step("tail 9 cm")
	require.Regexp(p.t, "panel "+name+"\n(  .+\n)*  tail 9 cm\n", p.design().Sheet)
	p.button("undo")
}

func TestUndoOfAPanelPutsTheOneBeforeInHand(t *testing.T) {
	t.Parallel()
	p := startedWith(t, twoPanels)
	p.button("panels")
	p.pick("Take another panel in hand", "use 2")
	p.button("panels")
	p.button("copy this one")
	p.fill(map[string]string{"name": "right"})
	p.requireInHand("right", "Leave 3 cm")
	p.button("undo")
	p.requireInHand("middle", "Leave 3 cm")
	p.button("panels")
	p.pick("Take another panel in hand", "use 1")
	p.button("panels")
	p.button("take it out")
	require.NotContains(t, p.design().Sheet, "panel front")
	p.button("undo")
	p.requireInHand("front", "Hang 4 cords")
}

// A design that was kept when only today's panel was says after undo which panel is in
// hand, too.
func TestUndoOfADesignKeptBeforePanelsWere(t *testing.T) {
	t.Parallel()
	p := startedWith(t, twoPanels)
	p.button("panels")
	p.button("copy this one")
	p.fill(map[string]string{"name": "right"})
	who := commandstest.Ana
	var all []store.Draft
	require.NoError(t, p.a.Room.Store.View(t.Context(), who.Member, who.Now, func(tx *store.Tx) (err error) {
		all, err = tx.Drafts(sitting.Build)
		return err
	}))
	var fields map[string]any
	require.NoError(t, json.Unmarshal(all[0].Payload, &fields))
	require.Contains(t, fields, "panels")
	delete(fields, "panels")
	var err error
	all[0].Payload, err = json.Marshal(fields)
	require.NoError(t, err)
	_, err = p.a.Room.Store.SaveDraft(t.Context(), who.Member, who.Now, all[0])
	require.NoError(t, err)
	p.button("undo")
	p.requireInHand("front", "Hang 4 cords")
}

// An edit that comes to what is there says so, and leaves nothing to take back: the
// next undo is that of the change before.
func TestAnEditThatChangesNothingSaysSo(t *testing.T) {
	t.Parallel()
	const (
		mirrored = "Panel front-2 is its own mirror image: nothing was changed."
		same     = "That is what the sheet says already: nothing was changed."
	)
	p := startedWith(t, "cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 4 folded\nrow square\nrow square\n")
	p.button("panels")
	p.button("copy this one")
	p.fill(nil)
	copied := p.design()
	unchanged := func(note string) {
		t.Helper()
		require.Contains(t, texts(p.now), note)
		require.Equal(t, copied, p.design())
	}
	p.button("panels")
	p.button("mirror this one")
	unchanged(mirrored)
	p.pick("Change a step", "step 2")
	p.button("move down") // past one that says the same
	unchanged(same)
	p.pick("Change a step", "step 2")
	p.button("change it")
	p.fill(nil)
	unchanged(same)
	p.button("cord and rod")
	p.pick("Change or add", "head cord 1")
	p.fill(nil)
	unchanged(same)

	said := func() string { return strings.Join(texts(p.now), "\n") }
	p.pick("Next step", "step bar")
	p.fill(nil)
	require.NotContains(t, said(), "nothing was changed")
	bar := p.design().Sheet
	p.button("panels")
	p.button("mirror this one")
	require.NotContains(t, said(), "nothing was changed")
	require.NotEqual(t, bar, p.design().Sheet)
	for range 2 {
		p.button("undo")
		require.NotContains(t, said(), "nothing was changed")
	}
	p.button("undo")
	require.NotContains(t, p.design().Sheet, "panel front-2")
}
