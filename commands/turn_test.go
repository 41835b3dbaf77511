package commands_test

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/store"
)

// TestWhatTakesLongAsksForItsTurn: whatever is heavy asks before it begins, hands a
// refusal on as it is and changes nothing; whatever is quick does not ask.
func TestWhatTakesLongAsksForItsTurn(t *testing.T) {
	a := commandstest.New(t)
	large := "piece Large\ncord main 2 mm\npanel a\n  mount 400 folded\n  net square rows 40\n  tail 20 cm\n"
	small := "piece Small\ncord main 4 mm\npanel a\n  mount 8 folded\n  net square rows 5\n  tail 20 cm\n"
	for name, text := range map[string]string{"Large": large, "Small": small} {
		_, err := a.Room.Store.SaveProject(t.Context(), commandstest.Ana.Member, commandstest.Now, store.Project{Name: name, Sheet: text}, 0)
		require.NoError(t, err)
	}
	commandstest.Answered(t, a, `/shelf add pieces:"4m x3" cord:"4 mm single-strand"`)
	refused := errors.New("no turn")
	for line, heavy := range map[string]bool{
		`/project show name:Large`: true, `/project show name:Small`: false, `/project resize name:Large width:1m`: true,
		`/project share name:Large`: true, `/project print name:Small`: true, `/plan pieces:"2 x 1m" spool:10m`: true, `/mydata export`: true,
		`/cord width:40cm drop:70cm`: false, `/convert what:1in`: false, `/project list`: false,
	} {
		var work []reply.Work
		ctx := reply.WithTurns(context.Background(), func(_ context.Context, w reply.Work) error {
			work = append(work, w)
			return refused
		})
		answer, err := a.Do(ctx, commandstest.Typed(t, commandstest.Ana, line))
		if !heavy {
			require.NoError(t, err, line)
			require.Empty(t, work, line)
			require.False(t, answer.Refused, "%s: %s", line, commandstest.Render(answer))
			continue
		}
		require.ErrorIs(t, err, refused, line)
		require.Len(t, work, 1, line)
		require.Positive(t, work[0].Amount, line)
		require.Positive(t, work[0].Bytes, line)
	}
}
