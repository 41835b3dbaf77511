package store

import (
	"errors"
	"testing"

	"larkfold/store/spelling"

	"github.com/stretchr/testify/require"
)

// The names of one thing as they may be typed: composed and taken apart (Unicode
// Standard Annex 15, where é is U+00E9 or e and U+0301), with a mark that turns the
// direction of writing, with a joiner that cannot be seen, with blanks round it.
var lookAlikes = []string{"Café Net", "Cafe\u0301 Net", "\u200eCafé Net", "Ca\u200bfé\u00a0 Net ", "\u2067CAFÉ net\u2069"}

func TestNamesAreKeptAsTheyAreSeen(t *testing.T) {
	for _, name := range lookAlikes[:4] {
		clean, err := cleanName(name)
		require.NoError(t, err)
		require.Equal(t, "Café Net", clean)
	}
	_, err := cleanName("\u200e\u200b ")
	require.Error(t, err, "nothing of it is seen")
	require.NotEqual(t, spelling.Looks("Café"), spelling.Looks("Cafe"))
}

// keepAsTyped saves a project under a name as it was typed, before names were cleaned.
func keepAsTyped(t *testing.T, s *Records, name string) Project {
	t.Helper()
	p, err := write(t.Context(), s, "ann", someDay, func(tx *Tx) (Project, error) {
		p, err := tx.createProject(Project{Name: "spare", Sheet: "x"})
		if err != nil {
			return p, err
		}
		p.Name = name
		return p, errors.Join(tx.releaseName(Project{ID: p.ID, Name: "spare"}), tx.putProject(p))
	})
	require.NoError(t, err)
	return p
}

// A project that was saved under another spelling is found by every one, keeps others
// from having its name, and moves to the spelling that is seen when it is changed.
func TestProjectsSavedBeforeNamesWereCleanedAreFound(t *testing.T) {
	for _, old := range lookAlikes {
		s, err := New(t.Context(), mapEngine{}, Options{})
		require.NoError(t, err)
		kept := keepAsTyped(t, s, old)
		sound := func() {
			report, err := s.Check(t.Context())
			require.NoError(t, err)
			require.Empty(t, report.Problems)
		}
		sound()
		for _, typed := range lookAlikes {
			found, err := s.Project(t.Context(), "ann", typed)
			require.NoError(t, err, "%q by %q", old, typed)
			require.Equal(t, kept.ID, found.ID)
			_, err = s.SaveProject(t.Context(), "ann", someDay, Project{Name: typed}, 0)
			var taken *NameTaken
			require.ErrorAs(t, err, &taken, "%q beside %q", typed, old)
		}
		_, err = s.Project(t.Context(), "ann", "Cafe Net")
		require.ErrorIs(t, err, ErrNotFound)
		changed := kept
		changed.Sheet = "y"
		changed, err = s.SaveProject(t.Context(), "ann", someDay, changed, AnyRevision)
		require.NoError(t, err)
		require.Contains(t, []string{"Café Net", "CAFÉ net"}, changed.Name)
		sound()
		_, err = write(t.Context(), s, "ann", someDay, func(tx *Tx) (Project, error) { return tx.DeleteProject(kept.ID, AnyRevision) })
		require.NoError(t, err)
		_, err = s.Project(t.Context(), "ann", old)
		require.ErrorIs(t, err, ErrNotFound)
		sound()
	}
}

// The same holds for rules and knots.
func TestEntriesSavedBeforeNamesWereCleanedAreFound(t *testing.T) {
	for _, old := range lookAlikes {
		for _, typed := range lookAlikes {
			s, err := New(t.Context(), mapEngine{}, Options{})
			require.NoError(t, err)
			_, err = write(t.Context(), s, "ann", someDay, func(tx *Tx) (Entry, error) {
				e := Entry{Name: old, Revision: 1, Created: someDay, Changed: someDay, AddedBy: "ann"}
				return e, tx.put(tx.entryKey(tx.ownBook(), ruleRecord, old), e)
			})
			require.NoError(t, err)
			save := func(expected uint64) (Entry, error) {
				return write(t.Context(), s, "ann", someDay, func(tx *Tx) (Entry, error) {
					return tx.SaveEntry(KindRule, Entry{Name: typed}, expected)
				})
			}
			_, err = save(0)
			var taken *NameTaken
			require.ErrorAs(t, err, &taken, "%q beside %q", typed, old)
			saved, err := save(AnyRevision)
			require.NoError(t, err)
			require.Equal(t, uint64(2), saved.Revision)
			all, err := read(t.Context(), s, "ann", func(tx *Tx) ([]Entry, error) { return tx.Entries(KindRule) })
			require.NoError(t, err)
			require.Len(t, all, 1)
			_, err = write(t.Context(), s, "ann", someDay, func(tx *Tx) (Entry, error) { return tx.DeleteEntry(KindRule, old) })
			require.NoError(t, err)
			report, err := s.Check(t.Context())
			require.NoError(t, err)
			require.Empty(t, report.Problems)
		}
	}
}
