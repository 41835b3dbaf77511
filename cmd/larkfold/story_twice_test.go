package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// buttonID is the custom id of a button under an answer.
func buttonID(t testing.TB, ex *platformtest.Exchange, label string) string {
	t.Helper()
	for _, b := range ex.Message.Buttons {
		if b.Label == label {
			return b.ID
		}
	}
	require.Fail(t, "no button "+label, ex.Text())
	return ""
}

// press presses a button several times without waiting in between, and then waits
// for all the answers.
func press(m *platformtest.Member, id string, times int) []*platformtest.Exchange {
	sent := make([]*platformtest.Exchange, times)
	for i := range sent {
		sent[i] = m.Send(3, pressData(id))
	}
	for i := range sent {
		sent[i] = m.Wait(sent[i])
	}
	return sent
}

func pressData(id string) map[string]any {
	return map[string]any{"custom_id": id, "component_type": 2}
}

// Impatient members press a button again before the first answer is there.
func pressedTwice(t *testing.T, s *stage) {
	vic, wyn := s.Member("Vic"), s.Member("Wyn")
	says(t, vic.Slash("/cord width:20cm drop:40cm save:Plover"), "Saved")
	replace := buttonID(t, vic.Slash("/project resize name:Plover width:30cm"), "replace Plover")
	for _, ex := range press(vic, replace, 3) {
		says(t, ex, "saved: Plover")
	}
	says(t, vic.Slash("/project undo name:Plover changes:1"), "mount 18 folded")
	says(t, vic.Slash("/project undo name:Plover changes:20"), "earlier")

	keep := buttonID(t, vic.Slash("/project share name:Plover"), "keep a copy")
	press(wyn, keep, 3)
	require.Equal(t, "Plover", wyn.Autocomplete("/project show name:", "name").Text(), "one copy")

	says(t, vic.Slash(`/shelf add pieces:"1 spool 100m" cord:"4 mm single-strand"`), "100.00 m")
	book := buttonID(t, vic.Slash(`/plan pieces:"2 x 10m" cord:"4 mm single-strand"`), "I have cut it: book it")
	for _, ex := range press(vic, book, 3) {
		says(t, ex, "80.00 m")
	}

	form := vic.Click(vic.Slash("/cord width:20cm drop:40cm"), "save it")
	for range 2 {
		says(t, vic.Submit(form, map[string]string{"name": "Dunlin"}), "Saved as")
	}
}

// The platform delivers an interaction again when it did not hear that the first
// one arrived.
func deliveredTwice(t *testing.T, s *stage) {
	xan := s.Member("Xan")
	add := map[string]any{"id": "1", "name": "shelf", "type": 1, "options": []any{map[string]any{"name": "add", "type": 1, "options": []any{
		map[string]any{"name": "pieces", "type": 3, "value": "45cm x12"},
	}}}}
	ex := xan.Send(2, add)
	xan.Again(ex)
	says(t, xan.Wait(ex), "12 x 45 cm")
	xan.Again(ex)
	says(t, xan.Slash("/shelf list"), "in all: 5.40 m")

	id := buttonID(t, xan.Slash(`/plan pieces:"3 x 40cm"`), "I have cut it: book it")
	pressed := xan.Send(3, pressData(id))
	xan.Again(pressed)
	says(t, xan.Wait(pressed), "Booked")
	xan.Again(pressed)
	says(t, xan.Slash("/shelf list"), "in all: 4.05 m")
}

// What comes from an earlier version, or was made up, gets a sentence.
func staleButtons(t *testing.T, s *stage) {
	yva := s.Member("Yva")
	id := buttonID(t, yva.Slash("/cord width:20cm drop:40cm"), "see the sheet")
	parts := strings.Split(id, "|")
	for _, spoil := range []func(parts []string){
		func(p []string) { p[0] = "lf0" },
		func(p []string) { p[2] = "0" },
		func(p []string) { p[2] = "x" },
		func(p []string) { p[3] = "sheet.burn" },
		func(p []string) { p[4] = "unknown" },
		func(p []string) { p[4] = "" },
	} {
		spoilt := append([]string(nil), parts...)
		spoil(spoilt)
		answer := yva.Press(strings.Join(spoilt, "|"))
		require.NotNil(t, answer.Message)
		require.Regexp(t, "earlier version|older version|more than a week old", plain(answer))
	}
	require.Contains(t, plain(yva.Press(id)), "mount")
}
