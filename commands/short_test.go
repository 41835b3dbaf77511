package commands

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// shortDesigns saves what the answers about short cords speak of.
func shortDesigns(t *testing.T, a *App) {
	answered(t, a, `/cord width:20cm drop:60cm save:"Reed Wall"`)
	answered(t, a, `/project new name:"Gull Pot" sheet:"cord main 4 mm
ring 10 cm x 5 mm
panel pot round
mount 8 folded
net square rows 8 apart 4 cm
wrap turns 5
tail 20 cm
"`)
	answered(t, a, `/project new name:"Sill" sheet:"cord main 4 mm
dowel 40 cm x 20 mm
panel p
mount 4 folded
sinnet square times 10 on left 4
bar left to right level
wrap turns 6
tail 15 cm
fringe 10 cm by 1 each 2 cm on foot of p
hanger rise 15 cm
"`)
}

// Cord that is short: what margin and rounding are worth, which end runs out first and
// where, what can be left out or joined, and where nothing may be joined.
func TestShortAnswers(t *testing.T) {
	a := newApp(t)
	shortDesigns(t, a)
	golden(t, "short", conversation(t, a,
		`/project show name:"Reed Wall" short:A by:1cm`,
		`/project show name:"Reed Wall" short:A by:20cm`,
		`/project show name:"Reed Wall" short:a by:1m`,
		`/project show name:"Gull Pot" short:A by:40cm`,
		`/project show name:Sill short:A by:25cm`,
	))
	for _, line := range []string{`short:A`, `by:20cm`, `short:Z by:20cm`, `short:A by:90m`, `short:A by:0cm`} {
		require.True(t, asked(t, a, `/project show name:"Reed Wall" `+line).Refused, line)
	}
	for _, letter := range []string{"B", "C", "D"} {
		said := factOf(answered(t, a, `/project show name:Sill short:`+letter+` by:20cm`), "so")
		require.Contains(t, said, "not joined", letter)
	}
}

// The button under a cut list asks which line and by how much, and says the same.
func TestShortPressed(t *testing.T) {
	a := newApp(t)
	answered(t, a, `/cord width:20cm drop:60cm save:"Reed Wall"`)
	shown := answered(t, a, `/project show name:"Reed Wall"`)
	form := press(t, a, shown, "a cord is short")
	require.Equal(t, render(answered(t, a, `/project show name:"Reed Wall" short:A by:20cm`)), render(fill(t, a, ana, form, map[string]string{"short": "A", "by": "20cm"})))
}
