package main

import (
	"slices"
	"strings"
	"testing"

	"larkfold/bot/platformtest"

	"github.com/stretchr/testify/require"
)

// step adds a step as it is offered, with some amounts changed.
func (p *presser) step(word string, fields map[string]string) {
	p.t.Helper()
	p.choose("Next step", "step "+word)
	p.fill(fields)
}

// From nothing to a saved piece of three panels: two sides joined under a middle.
func byPressing(t *testing.T, s *stage) {
	m := &presser{Member: s.Member("Nell"), t: t}
	m.now = m.Slash("/build")
	require.Equal(t, "A new design", m.now.Modal.Title)
	m.fill(map[string]string{"hung": "dowel", "size": "70 cm x 20 mm", "cord": "4 mm plied", "count": "8", "way": "folded"})
	says(t, pictured(t, m.now), "8 cords", "not saved yet", "1. Hang 8 cords, folded")

	m.press("panels")
	m.press("name and shape")
	m.fill(map[string]string{"line": "port"})
	m.step("net", map[string]string{"rows": "for 25 cm"})
	says(t, m.now, "of alternating square knots")

	m.press("panels")
	m.press("copy this one")
	m.fill(map[string]string{"name": "starboard"})
	m.press("panels")
	m.press("join panels")
	m.fill(map[string]string{"name": "keel", "from": "port, starboard"})
	says(t, m.now, "panel keel in hand")

	m.step("net", map[string]string{"rows": "4"})
	m.step("bar", map[string]string{"from": "left", "to": "left"})
	says(t, m.now, "That does not fit yet", "what you typed is kept")
	m.press("mend it")
	m.fill(map[string]string{"to": "middle"})
	m.step("bar", map[string]string{"from": "right", "to": "middle"})
	m.step("tail", map[string]string{"the tail": "18 cm"})
	m.press("finish")
	m.choose("Add", "finish hanger")
	m.fill(nil)
	says(t, m.now, "Caution:")

	m.press("undo")
	m.press("redo")
	old := m.now
	m.choose("Change a step", "step 1")
	m.press("change it")
	m.fill(map[string]string{"rows": "5"})
	says(t, m.now, "1. 5 rows of alternating square knots")
	says(t, m.Click(old, "undo"), "This design has moved on since that message. Nothing was changed", "5 rows")

	m.press("save")
	m.fill(map[string]string{"name": "Harbour Gate"})
	says(t, m.now, "Saved as “Harbour Gate”", "/project print name:\"Harbour Gate\"")
	says(t, m.Slash(`/project show name:"Harbour Gate" written:yes`), "panel keel from port, starboard", "net square knot rows 5")
	usedAsItStands(t, m)
	says(t, m.Slash("/build demo:tide-line"), "Tide Line")
	again := m.Slash("/build")
	says(t, again, "Tide Line")
	for _, menu := range again.Message.Menus {
		if menu.Placeholder == "another one in the making" {
			says(t, m.Choose(again, menu.Placeholder, menu.Options[0].Value), "Harbour Gate", "saved as “Harbour Gate”")
			t.Logf("from nothing to a saved piece of three panels: %d presses and %d forms", m.presses, m.forms)
			return
		}
	}
	t.Fatal("the other design is offered")
}

// What is built is printed, planned, made and shared from where it stands, in another
// size too; it is mirrored, and written in; the saved design stays as it was saved.
func usedAsItStands(t *testing.T, m *presser) {
	saved := m.shownSheet()
	m.press("print, make, share")
	use := m.now
	m.press("a sheet to print")
	require.NotNil(t, m.now.Until("a print", func(ex *platformtest.Exchange) bool { return ex.Message != nil && len(ex.Message.Files) > 0 }).File("harbour-gate.pdf"))
	m.press("back to the design")
	says(t, m.now, "Harbour Gate")
	says(t, m.Click(use, "cutting plan"), "There is nothing to cut the cord “main” from", "then plan it with a spool")
	says(t, m.Slash(`/shelf add pieces:"1 spool 100m" cord:"4 mm plied"`), "100.00 m")
	says(t, m.Click(use, "cutting plan"), "what to cut from what")
	says(t, m.Click(use, "work along"), "Harbour Gate, 1 of")
	require.False(t, m.Click(use, "share it here").Message.Private, "shared by the member's own act")

	m.now = use
	m.press("another size")
	m.fill(map[string]string{"width": "wide"})
	says(t, m.now, "what you typed is kept", "how wide: wide")
	m.press("mend it")
	m.fill(map[string]string{"width": "30 cm"})
	says(t, m.now, "not saved since the last change")
	require.NotEqual(t, saved, m.shownSheet())
	m.press("print, make, share")
	says(t, m.now, "save it first")
	require.False(t, offers(m.now, "share it here"))
	m.press("back to the design")
	m.press("undo")
	require.Equal(t, saved, m.shownSheet())

	m.press("panels")
	m.press("mirror this one")
	m.press("the sheet")
	m.press("write in it")
	m.fill(map[string]string{"sheet": strings.Replace(saved, "tail 18 cm", "tail 20 cm", 1)})
	says(t, m.now, "Trim so that 20 cm hang free")
	says(t, m.Slash(`/project show name:"Harbour Gate" written:yes`), "tail 18 cm")
	m.press("undo")
	require.NotEqual(t, saved, m.shownSheet(), "mirrored")
	m.press("undo")
	require.Equal(t, saved, m.shownSheet())
	says(t, m.now, "saved as “Harbour Gate”")
}

func offers(ex *platformtest.Exchange, label string) bool {
	return slices.ContainsFunc(ex.Message.Buttons, func(b platformtest.Button) bool { return b.Label == label })
}

func builtFromShared(t *testing.T, s *stage) {
	nell, omar := s.Member("Nell of the pier"), s.Member("Omar")
	says(t, nell.Submit(nell.Click(nell.Slash("/cord width:30cm drop:50cm"), "save it"), map[string]string{"name": "Pier Light"}), "Saved as")
	shared := nell.Slash(`/project share name:"Pier Light"`)
	says(t, omar.Click(shared, "build from this"), "not saved yet")
	says(t, omar.Click(shared, "work along"), "Pier Light, 1 of")
	says(t, nell.Slash(`/project show name:"Pier Light"`), "30")
}

func workedAlong(t *testing.T, s *stage) {
	pia := s.Member("Pia")
	says(t, pia.Click(pia.Slash("/cord width:30cm drop:50cm"), "work along"), "1 of", "Cut the cords")
	at := pia.Slash("/work demo:tide-line")
	says(t, at, "Tide Line, 1 of", "[ ] A")
	at = pia.Choose(at, "Tick off what is cut", "tick A")
	says(t, at, "[x] A")
	at = pia.Click(at, "done, next")
	at = pia.Click(at, "done, next")
	says(t, pia.Click(at, "how is this knot tied?"), "How to tie it")
	says(t, pia.Click(at, "I stop here"), "Your place is kept for 30 days")
	at = pia.Slash("/work")
	says(t, at, "Tide Line, 3 of")
	for _, menu := range at.Message.Menus {
		if menu.Placeholder == "another piece under way" {
			says(t, pia.Choose(at, menu.Placeholder, menu.Options[0].Value), "1 of")
			return
		}
	}
	t.Fatal("the other piece is offered")
}

func firstPage(t *testing.T, s *stage) {
	ida := s.Member("Ida")
	help := ida.Slash("/help")
	says(t, help, "/help topic:commands")
	says(t, ida.Click(help, "how much cord?"), "to buy")
	says(t, ida.Choose(help, "What do you want to do?", "5"), "/convert")
	wrong := ida.Slash("/cord width:40cm drop:40km")
	says(t, wrong, "/cord width:40cm drop:40cm")
	says(t, ida.Click(wrong, "do that"), "40 cm wide, 40 cm long")
}
