package project_test

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/store"
)

// A design that was saved before some of its words changed opens, says what has
// changed, and is shown, edited and cut from in the words of today.
func TestDesignsOfTheVersionBeforeOpen(t *testing.T) {
	a := commandstest.New(t)
	const old = "piece Kelp\ncord laid 4 mm\npanel p\n  mount 4 folded laid\n  row shifted square\n  wrap length 3 cm with laid\n  tail 20 cm\n"
	row := `{"knots":[{"name":"Shifted Square","shape":"group","about":"x","ends":4,"fewest":4,"most":4,"roles":[{"name":"worker","works":true,"takes":"20*d"},{"name":"filler","takes":"pitch"}],"places":["worker","filler...","worker"],"pitch":"4*d","height":"pitch","width":"6*d","how_to":["tie"],"source":"measured by us"}]}`
	_, err := a.Room.Store.SaveProject(context.Background(), commandstest.Ana.Member, commandstest.Ana.Now, store.Project{Name: "Kelp", Sheet: old, Data: json.RawMessage(row)}, 0)
	require.NoError(t, err)
	shown := commandstest.Render(commandstest.Answered(t, a, "/project show name:Kelp"))
	require.Contains(t, shown, "cord laid is called my-laid, for laid is a word of the sheet now")
	require.Contains(t, shown, "wrap length is said wrap for now")
	require.Contains(t, shown, "shifted in the name of a knot is offset now")
	require.Contains(t, shown, "2 offset Squares")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/project edit name:Kelp")), "wrap for 3 cm with my-laid")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/plan project:Kelp spool:50m`)), "new spool 50.00 m")
	typed := commandstest.Asked(t, a, `/project new name:Typed sheet:"cord a 4 mm
panel p
mount 4 folded
wrap length 3 cm"`)
	require.True(t, typed.Refused, "what is typed today is refused with the new line")
	require.Contains(t, commandstest.Render(typed), "right: wrap for 3 cm")
}
