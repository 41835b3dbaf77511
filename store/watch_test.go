package store_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/storetest"
)

// fullEngine has no room for anything.
type fullEngine struct{ pairs.Engine }

var errFull = &store.Fault{Kind: store.ErrFull, Sentence: "There is no room."}

func (fullEngine) Update(context.Context, func(pairs.Writer) error) error { return errFull }

// TestWroteIsToldOfFaultsOnly: what a member may not do is no fault of the store.
func TestWroteIsToldOfFaultsOnly(t *testing.T) {
	var told []error
	options := store.Options{Wrote: func(took time.Duration, fault error) {
		require.GreaterOrEqual(t, took, time.Duration(0))
		told = append(told, fault)
	}}
	engine := storetest.NewMemory()
	s, err := store.New(t.Context(), engine, options)
	require.NoError(t, err)
	save(t, s, "ann", "Owl", "text")
	require.Equal(t, []error{nil, nil}, told, "the header and the project")
	_, err = s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "Owl"}, 0)
	require.ErrorIs(t, err, store.ErrNameTaken)
	require.Len(t, told, 2)
	s, err = store.New(t.Context(), fullEngine{engine}, options)
	require.NoError(t, err)
	_, err = s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "Fern"}, 0)
	require.ErrorIs(t, err, store.ErrFull)
	require.Equal(t, []error{nil, nil, errFull}, told)
}
