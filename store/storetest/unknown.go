package storetest

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
)

// unsure is an engine whose connection breaks during a commit, where the engine
// has no connection.
type unsure struct {
	pairs.Engine
	breaks chan Moment
}

func (u *unsure) Update(ctx context.Context, change func(pairs.Writer) error) error {
	var when Moment
	select {
	case when = <-u.breaks:
	default:
		return u.Engine.Update(ctx, change)
	}
	if when == AfterCommit {
		if err := u.Engine.Update(ctx, change); err != nil {
			return err
		}
	}
	return &store.Fault{Kind: store.ErrUnknownCommit, Sentence: "The connection was lost."}
}

// cuttable opens the engine so that a commit can be cut.
func (rig *rig) cuttable() (cut func(Moment)) {
	rig.t.Helper()
	if rig.subject.OpenOver == nil {
		u := &unsure{rig.engine, make(chan Moment, 1)}
		rig.engine = u
		return func(when Moment) { u.breaks <- when }
	}
	rig.close()
	engine, cut, err := rig.subject.OpenOver(rig.dir)
	require.NoError(rig.t, err)
	rig.engine = engine
	return cut
}

func testUnknownCommit(t *testing.T, rig *rig) {
	cut := rig.cuttable()
	rig.put("a", "1")
	for _, when := range []Moment{BeforeCommit, AfterCommit} {
		cut(when)
		err := rig.engine.Update(t.Context(), func(w pairs.Writer) error {
			if _, err := value(w, "a"); err != nil {
				return err
			}
			return w.Put([]byte("b"), []byte("2"))
		})
		require.ErrorIs(t, err, store.ErrUnknownCommit)
		want := []string{"a", "1"}
		if when == AfterCommit {
			want = append(want, "b", "2")
		}
		require.Equal(t, want, rig.all())
	}
	rig.put("b", "3")
	require.Equal(t, []string{"a", "1", "b", "3"}, rig.all(), "the engine goes on")
}

func testAskedAgain(t *testing.T, rig *rig) {
	cut := rig.cuttable()
	s := newRecords(t, rig)
	pieces := func(member string) int {
		shelf, err := s.Leftovers(t.Context(), member)
		require.NoError(t, err)
		n := 0
		for _, entry := range shelf.Entries {
			n += entry.Count
		}
		return n
	}
	for when, member := range map[Moment]string{BeforeCommit: "ann", AfterCommit: "ben"} {
		add := func() (json.RawMessage, bool) {
			result, first, err := s.Once(t.Context(), member, noon, "add", func(tx *store.Tx) (json.RawMessage, error) {
				_, err := tx.ChangeLeftovers(store.LeftoverChange{
					Add: []store.Leftover{{Kind: store.Offcut, Cord: "cotton", Length: 1, Count: 1}}}, store.AnyRevision)
				return json.RawMessage(`"added"`), err
			})
			require.NoError(t, err)
			return result, first
		}
		cut(when)
		result, first := add()
		require.True(t, first, "the one who asked was the first, whether or not the answer was lost")
		require.JSONEq(t, `"added"`, string(result))
		require.Equal(t, 1, pieces(member))
		_, first = add()
		require.False(t, first)
		require.Equal(t, 1, pieces(member))

		cut(when)
		draft, err := s.SaveDraft(t.Context(), member, noon, store.Draft{Kind: "sheet", Payload: json.RawMessage("1"), Expires: noon.Add(time.Hour)})
		require.NoError(t, err)
		_, err = s.Draft(t.Context(), member, noon, draft.Key)
		require.NoError(t, err)

		cut(when)
		_, err = s.Sweep(t.Context(), noon.Add(2*time.Hour))
		require.NoError(t, err)
		_, err = s.Draft(t.Context(), member, noon, draft.Key)
		require.ErrorIs(t, err, store.ErrNotFound)

		cut(when)
		_, err = s.Forget(t.Context(), member)
		require.NoError(t, err)
		require.Zero(t, pieces(member))

		// Without a key nobody can look whether it was done, so it is not done again.
		cut(when)
		_, err = s.SaveProject(t.Context(), member, noon, store.Project{Name: "Owl", Sheet: "start"}, 0)
		require.ErrorIs(t, err, store.ErrUnknownCommit)
		list, err := s.Projects(t.Context(), member)
		require.NoError(t, err)
		require.Len(t, list, int(when))
	}
	report, err := s.Check(t.Context())
	require.NoError(t, err)
	require.Empty(t, report.Problems)
}
