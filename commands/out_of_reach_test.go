package commands_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/commands/commandstest"
	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/storetest"
)

// unreachable is a store on a server, out of reach as it is told.
type unreachable struct {
	pairs.Engine
	view, update error
}

func (u *unreachable) View(ctx context.Context, read func(pairs.Reader) error) error {
	if u.view != nil {
		return u.view
	}
	return u.Engine.View(ctx, read)
}

func (u *unreachable) Update(ctx context.Context, change func(pairs.Writer) error) error {
	if u.update != nil {
		return u.update
	}
	return u.Engine.Update(ctx, change)
}

// A member is told what is known, when to try again, and nothing of the server.
func TestAStoreOutOfReach(t *testing.T) {
	engine := &unreachable{Engine: storetest.NewMemory()}
	records, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	a := commandstest.On(commands.Config{Store: records})
	fault := func(kind error) error {
		return &store.Fault{Kind: kind, Sentence: "The store at db1.internal:5432 is gone."}
	}
	for _, row := range []struct {
		view, update error
		line, says   string
	}{
		{fault(store.ErrUnavailable), nil, "/project list", "Try again in a minute"},
		{fault(store.ErrUnavailable), nil, "/cord width:40cm drop:70cm", "Try again in a minute"},
		{nil, fault(store.ErrUnavailable), "/shelf add pieces:45cm", "nothing was saved"},
		{nil, fault(store.ErrUnavailable), "/cord width:40cm drop:70cm save:Owl", "nothing was saved"},
	} {
		engine.view, engine.update = row.view, row.update
		answer := commandstest.Asked(t, a, row.line)
		require.True(t, answer.Refused)
		require.Contains(t, commandstest.Render(answer), row.says)
		require.NotContains(t, commandstest.Render(answer), "db1")
	}
	// Asking again about a commit takes longer than a member wants to wait here.
	engine.view, engine.update = nil, fault(store.ErrUnknownCommit)
	ctx, soon := context.WithTimeout(t.Context(), 300*time.Millisecond)
	defer soon()
	answer, err := a.Do(ctx, commandstest.Typed(t, commandstest.Ana, "/shelf add pieces:45cm"))
	require.NoError(t, err)
	require.True(t, answer.Refused)
	require.Contains(t, commandstest.Render(answer), "not known whether it was")
	require.Contains(t, commandstest.Render(answer), "before you do it again")
	require.NotContains(t, commandstest.Render(answer), "db1")
}
