package store_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/storetest"
)

// One goroutine and several find the same in a store of several pages, sound and
// damaged: a project that is gone, one under another's name, names that say what
// their project does not, and two that lead to one.
func TestCheckSideBySideFindsTheSame(t *testing.T) {
	engine := storetest.NewMemory()
	s, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	const members, projects = 60, 75 // a name and a record each: some 9,000 records, three pages
	for m := range members {
		_, _, err := s.Once(t.Context(), fmt.Sprint("member", m), noon, "", func(tx *store.Tx) (json.RawMessage, error) {
			for p := range projects {
				if _, err := tx.SaveProject(store.Project{Name: fmt.Sprintf("owl %d", p), Sheet: "piece Owl"}, 0); err != nil {
					return nil, err
				}
			}
			return nil, nil
		})
		require.NoError(t, err)
	}
	check := func(checkers int) store.CheckReport {
		report, err := store.Verify(t.Context(), engine, store.Options{Checkers: checkers})
		require.NoError(t, err)
		return report
	}
	sound := check(1)
	require.Empty(t, sound.Problems)
	require.Greater(t, sound.Total, 2*members*projects)
	require.Equal(t, sound, check(4))

	names, records := map[int][][]byte{}, map[int][][]byte{} // by member, in the order of keys
	values := map[string][]byte{}
	require.NoError(t, engine.View(t.Context(), func(r pairs.Reader) error {
		member, last := -1, ""
		for pair, err := range r.Scan([]byte("M"), nil) {
			if err != nil {
				return err
			}
			if owner := string(pair.Key[:17]); owner != last {
				member, last = member+1, owner
			}
			key := append([]byte{}, pair.Key...)
			switch pair.Key[17] {
			case 'n':
				names[member] = append(names[member], key)
			case 'p':
				records[member] = append(records[member], key)
			}
			values[string(key)] = append([]byte{}, pair.Value...)
		}
		return nil
	}))
	require.Len(t, records, members)
	require.NoError(t, engine.Update(t.Context(), func(w pairs.Writer) error {
		for m := range members {
			var err error
			switch m % 4 {
			case 0:
				err = w.Delete(records[m][m])
			case 1:
				err = w.Delete(names[m][m])
			case 2:
				err = w.Put(names[m][m], []byte("nonsense"))
			case 3:
				err = w.Put(records[m][m], values[string(records[m][m+1])])
			}
			if err != nil {
				return err
			}
		}
		return nil
	}))
	one := check(1)
	require.GreaterOrEqual(t, len(one.Problems), members)
	for _, checkers := range []int{2, 4} {
		several := check(checkers)
		require.Equal(t, one.Total, several.Total)
		require.Equal(t, one.Records, several.Records)
		require.ElementsMatch(t, texts(one.Problems), texts(several.Problems))
	}
}

func texts(problems []error) []string {
	all := []string{}
	for _, p := range problems {
		all = append(all, p.Error())
	}
	return all
}
