package building_test

import (
	"regexp"
	"testing"

	"larkfold/commands/commandstest"

	"github.com/stretchr/testify/require"
)

// Forms show whoever measures in inches examples and first amounts in inches, which are
// accepted as they stand. Whoever does not is shown none.
func TestFormsAreInTheMembersUnits(t *testing.T) {
	t.Parallel()
	metric, inches := regexp.MustCompile(`\d ?(?:mm|cm|m|g|kg)\b`), regexp.MustCompile(`\d ?(?:in|ft|yd)\b`)
	for units, foreign := range map[string]*regexp.Regexp{"imperial": metric, "metric": inches} {
		p := &presser{t: t, a: commandstest.New(t)}
		commandstest.Answered(t, p.a, "/prefs units:"+units)
		p.now = commandstest.Asked(t, p.a, "/build new:yes")
		shown := func(what string) {
			form, ok := formIn(p.now)
			require.True(t, ok, what)
			for _, f := range form.Fields {
				require.NotRegexp(t, foreign, f.Placeholder, "%s: %s", what, f.Label)
				require.NotRegexp(t, foreign, f.Value, "%s: %s", what, f.Label)
			}
		}
		shown("a new design")
		p.fill(nil)
		for _, word := range []string{"plait", "wrap", "bead", "space", "tail", "net"} {
			p.pick("Next step", "step "+word)
			shown(word)
			if word != "net" {
				p.fill(nil)
				require.False(t, p.now.Refused, "%s\n%s", word, commandstest.Render(p.now))
				p.button("undo")
			}
		}
	}
}
