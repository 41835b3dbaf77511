package design_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/design"
	"larkfold/commands/reply"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// A name that no design has is refused with the way on: to make one where there is
// none, to the list, or to the name that was likely meant.
func TestNoSuchDesign(t *testing.T) {
	a := commandstest.Quick(t)
	refused := func(line string) string { return commandstest.Render(commandstest.Asked(t, a, line)) }
	require.Contains(t, refused(`/project show name:"Tide Line"`), `/project new name:"Tide Line"`)
	commandstest.KeepDesign(t, a, "Tide Line")
	require.Contains(t, refused("/project show name:Zebra"), "/project list")
	require.Contains(t, refused(`/project show name:"Tide Lime"`), `/project show name:"Tide Line"`)
	require.Contains(t, refused(`/plan project:"Tide Lime" spool:50m`), `project:"Tide Line"`)
}

// A design of 3000 knots is sized at once; one of more waits for its turn, weighed by
// its knots.
func TestLargeDesignsWaitForTheirTurn(t *testing.T) {
	for knots, waits := range map[int]bool{2999: false, 3000: false, 3001: true} {
		s, faults := sheet.Parse(fmt.Sprintf("cord main 4 mm\npanel p\nmount 2 folded\nsinnet square times %d on left 4\ntail 20 cm\n", knots), knot.Standard())
		require.NoError(t, faults.Err())
		beside := s.Weight() - knots // what hangs them
		var asked []reply.Work
		no := errors.New("no turn")
		ctx := reply.WithTurns(context.Background(), func(_ context.Context, w reply.Work) error {
			asked = append(asked, w)
			return no
		})
		s, faults = sheet.Parse(fmt.Sprintf("cord main 4 mm\npanel p\nmount 2 folded\nsinnet square times %d on left 4\ntail 20 cm\n", knots-beside), knot.Standard())
		require.NoError(t, faults.Err())
		require.Equal(t, knots, s.Weight())
		err := design.TurnToSize(ctx, s)
		if !waits {
			require.NoError(t, err)
			require.Empty(t, asked)
			continue
		}
		require.ErrorIs(t, err, no)
		require.Equal(t, []reply.Work{{Amount: float64(knots), Bytes: knots * design.BytesOfAKnot}}, asked)
	}
}

// What the buttons of a sized sheet remember is its text, the project it came from and
// the community's knots in it.
func TestASizedSheetIsRemembered(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.AddPebble(t, a)
	sit := commandstest.Seated(t, a, commandstest.Ana)
	text := "cord main 4 mm\ndowel 40 cm x 20 mm\npanel front\nmount 4 folded\nsinnet pebble knot times 5 of 4\ntail 20 cm"
	sized := commandstest.SizedAs(t, a, text)
	kept := design.DraftOf(sit, sized, "Pebble Wall").Holds.(design.Draft)
	require.Equal(t, sheet.Format(sized.Sheet), kept.Sheet)
	require.Equal(t, "Pebble Wall", kept.Name)
	require.Len(t, kept.Knots, 1)
	buttons := design.ActionsOf("key", sized, sit.Prefs, "")
	require.Equal(t, "save it", buttons.Buttons[0].Label)
	require.Equal(t, "edit", design.ActionsOf("key", sized, sit.Prefs, "Pebble Wall").Buttons[0].Label)
	require.Len(t, buttons.Menus[0].Choices, len(sized.List.Cuts))
}

// A design is called what it is saved as, whatever its text says.
func TestADesignIsCalledAsItIsSaved(t *testing.T) {
	a := commandstest.Quick(t)
	_, err := a.Room.Store.SaveProject(t.Context(), commandstest.Ana.Member, commandstest.Now, store.Project{Name: "Ebb", Sheet: commandstest.Small}, 0)
	require.NoError(t, err)
	sized, err := design.Size(t.Context(), commandstest.Seated(t, a, commandstest.Ana), "Ebb", commandstest.Small, nil)
	require.NoError(t, err)
	require.Equal(t, "Ebb", sized.Sheet.Piece)
}

// A question can be saved as a design: it is found by its name, sized as it was, with
// the buttons of a saved one.
func TestASavedQuestionIsFoundAndSized(t *testing.T) {
	a := commandstest.Quick(t)
	asked := commandstest.Answered(t, a, "/cord width:20cm drop:40cm save:Wall")
	require.Equal(t, "save it", commandstest.ButtonsOf(asked)[0].Label)
	saved := commandstest.Answered(t, a, "/project show name:wall")
	require.Equal(t, "edit", commandstest.ButtonsOf(saved)[0].Label)
	require.NotEmpty(t, commandstest.FactOf(asked, "to buy"))
	require.Equal(t, commandstest.FactOf(asked, "to buy"), commandstest.FactOf(saved, "to buy"))
	require.Equal(t, commandstest.FactOf(asked, "finished"), commandstest.FactOf(saved, "finished"))
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/dowel project:Wall")), "Wall on a stick of")
	require.Contains(t, commandstest.Render(commandstest.Asked(t, a, "/cord width:20cm drop:40cm save:wall")), "a project has that name already")
}
