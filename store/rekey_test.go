package store

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"testing"
	"time"

	"larkfold/store/pairs"
	"larkfold/store/seal"

	"github.com/stretchr/testify/require"
)

// TestSealsAreCounted counts what one key seals, in steps that a crash cannot
// make too small, and refuses at the limit of the cipher.
func TestSealsAreCounted(t *testing.T) {
	ctx, m, key := t.Context(), mapEngine{}, seal.GenerateKey()
	s, err := New(ctx, m, Options{Key: key})
	require.NoError(t, err)
	_, err = s.SaveProject(ctx, "ann", someDay, Project{Name: "Owl"}, 0)
	require.NoError(t, err)
	id, sealed := s.Sealing()
	require.Equal(t, key.ID(), id)
	require.Greater(t, sealed, uint64(3))
	require.Less(t, sealed, uint64(20))

	// A crash forgets the count; what the header allowed for counts as sealed.
	s, err = New(ctx, m, Options{Key: key})
	require.NoError(t, err)
	_, sealed = s.Sealing()
	require.Equal(t, uint64(seal.Reserved), sealed)

	near := func(left uint64) *Records {
		require.NoError(t, s.changeHeader(ctx, func(h *header) error { h.Sealed = seal.Limit - left; return nil }))
		s, err := New(ctx, m, Options{Key: key})
		require.NoError(t, err)
		return s
	}
	_, err = near(seal.Reserved).SaveProject(ctx, "ann", someDay, Project{Name: "the last"}, 0)
	require.NoError(t, err)
	spent := near(seal.Reserved - 1)
	_, err = spent.SaveProject(ctx, "ann", someDay, Project{Name: "one too many"}, 0)
	require.ErrorIs(t, err, ErrWrongKey)
	require.ErrorContains(t, err, "has sealed as many values as a key may. Nothing was saved")
	_, err = spent.Project(ctx, "ann", "the last")
	require.NoError(t, err, "reading goes on")

	// Another key begins at nothing.
	_, err = spent.Rekey(ctx, seal.GenerateKey())
	require.NoError(t, err)
	_, err = spent.SaveProject(ctx, "ann", someDay, Project{Name: "one too many"}, 0)
	require.NoError(t, err)
	_, sealed = spent.Sealing()
	require.Less(t, sealed, uint64(2*seal.Reserved))
	plain, err := New(ctx, mapEngine{}, Options{})
	require.NoError(t, err)
	id, sealed = plain.Sealing()
	require.Empty(t, id)
	require.Zero(t, sealed)
}

// TestRekeyOfAStoreInUse changes the key of an open store, and of a plain one.
func TestRekeyOfAStoreInUse(t *testing.T) {
	ctx, m := t.Context(), mapEngine{}
	s, err := New(ctx, m, Options{})
	require.NoError(t, err)
	p, err := s.SaveProject(ctx, "ann", someDay, Project{Name: "Owl", Sheet: "one"}, 0)
	require.NoError(t, err)
	var last *seal.Key
	for range 3 {
		last = seal.GenerateKey()
		n, err := s.Rekey(ctx, last)
		require.NoError(t, err)
		require.Greater(t, n, 2)
		p.Sheet += "."
		p, err = s.SaveProject(ctx, "ann", someDay, p, p.Revision)
		require.NoError(t, err)
		report, err := s.Check(ctx)
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		require.False(t, s.PartlyPlain())
		n, err = s.Rekey(ctx, last)
		require.NoError(t, err)
		require.Zero(t, n, "it is sealed with that key already")
	}
	_, err = New(ctx, m, Options{})
	require.ErrorIs(t, err, ErrWrongKey)
	again, err := New(ctx, m, Options{Key: last})
	require.NoError(t, err, "the last key is enough")
	got, err := again.Project(ctx, "ann", "owl")
	require.NoError(t, err)
	require.Equal(t, "one...", got.Sheet)
}

// TestSweepsGoOnPastDamage spoils one record after the other and lets the sweep,
// the resealing and the forgetting of another member go over them: each does the
// rest of its work and names what it left.
func TestSweepsGoOnPastDamage(t *testing.T) {
	_, whole := spoilable(t)
	later := someDay.Add(60 * 24 * time.Hour)
	for _, key := range slices.Sorted(maps.Keys(whole)) {
		kind, _, _ := typeOf([]byte(key))
		if kind == headerRecord {
			continue
		}
		t.Run(DescribeKey([]byte(key)), func(t *testing.T) {
			m := maps.Clone(whole)
			m[key] = append(slices.Clone(m[key]), 'x')
			s, err := New(t.Context(), m, Options{})
			require.NoError(t, err)
			_, err = s.SaveDraft(t.Context(), "ben", someDay, Draft{Expires: someDay.Add(time.Hour)})
			require.NoError(t, err)
			expiring := kind == draftRecord || kind == operationRecord || kind == binRecord
			n, err := s.Sweep(t.Context(), later)
			if expiring {
				require.ErrorIs(t, err, ErrDamaged)
				require.Equal(t, 3, n, "the others of ann's and ben's draft")
				require.Contains(t, m, key, "it is left for whoever restores it")
			} else {
				require.NoError(t, err)
				require.Equal(t, 4, n)
			}
			sealed, err := New(t.Context(), m, Options{Key: seal.GenerateKey()})
			require.NoError(t, err)
			_, err = sealed.Reseal(t.Context())
			if _, there := m[key]; there {
				require.ErrorIs(t, err, ErrDamaged)
				require.True(t, sealed.PartlyPlain(), "it is not finished")
			} else {
				require.NoError(t, err)
			}
			for other, value := range m {
				if other != key {
					require.True(t, sealed.codec.UpToDate(value), DescribeKey([]byte(other)))
				}
			}
		})
	}
}

// TestShelfWithADamagedEntry can be used but for that entry.
func TestShelfWithADamagedEntry(t *testing.T) {
	ctx, m := t.Context(), mapEngine{}
	s, err := New(ctx, m, Options{})
	require.NoError(t, err)
	shelf, err := s.ChangeLeftovers(ctx, "ann", someDay, LeftoverChange{Add: []Leftover{
		{Kind: Offcut, Cord: "cotton", Length: 1, Count: 1}, {Kind: Offcut, Cord: "cotton", Length: 2, Count: 2}}}, 0)
	require.NoError(t, err)
	tx := &Tx{records: s, owner: s.hash.member("ann")}
	spoiled := string(tx.leftoverKey(shelf.Entries[0].ID))
	m[spoiled] = []byte("spoiled")
	after, err := s.ChangeLeftovers(ctx, "ann", someDay, LeftoverChange{Add: []Leftover{{Kind: Offcut, Cord: "jute", Length: 3, Count: 3}}}, 1)
	require.NoError(t, err)
	require.Len(t, after.Entries, 2)
	_, err = s.Leftovers(ctx, "ann")
	require.True(t, errors.Is(err, ErrDamaged), "it is said")
	require.Equal(t, []byte("spoiled"), m[spoiled], "and left as it is")
}

// TestDraftsAreBoundedInBytes keeps the last of many large drafts.
func TestDraftsAreBoundedInBytes(t *testing.T) {
	ctx := t.Context()
	s, err := New(ctx, mapEngine{}, Options{Limits: Limits{DraftBytes: 2000}})
	require.NoError(t, err)
	var last Draft
	for n := range 50 {
		last, err = s.SaveDraft(ctx, "ann", someDay, Draft{Payload: fmt.Appendf(nil, "%q", fmt.Sprint("a draft of some length ", n)), Expires: someDay.Add(time.Hour + time.Duration(n)*time.Second)})
		require.NoError(t, err)
	}
	_, err = s.Draft(ctx, "ann", someDay, last.Key)
	require.NoError(t, err)
	tx := &Tx{records: s, owner: s.hash.member("ann")}
	size, count := 0, 0
	require.NoError(t, s.engine.View(ctx, func(r pairs.Reader) error {
		for pair := range r.Scan(tx.key(draftRecord), nil) {
			size, count = size+len(pair.Key)+len(pair.Value), count+1
		}
		return nil
	}))
	require.LessOrEqual(t, size, 2000)
	require.Greater(t, size, 1500)
	require.Greater(t, count, 3)
}

// Drafts are listed by kind, the one saved last first, up to the moment in which they expire.
func TestDraftsOfAKind(t *testing.T) {
	ctx, m := t.Context(), mapEngine{}
	s, err := New(ctx, m, Options{})
	require.NoError(t, err)
	end := someDay.Add(time.Hour)
	for n, kind := range []string{"build", "work", "press", "build"} {
		_, err := s.SaveDraft(ctx, "ann", someDay.Add(time.Duration(n)*time.Minute), Draft{Key: fmt.Sprint(n), Kind: kind, Expires: end})
		require.NoError(t, err)
	}
	drafts := func(now time.Time, kinds ...string) (keys string, err error) {
		err = s.View(ctx, "ann", now, func(tx *Tx) error {
			list, err := tx.Drafts(kinds...)
			for _, d := range list {
				keys += d.Key
			}
			return err
		})
		return keys, err
	}
	for _, row := range []struct {
		now   time.Time
		kinds []string
		want  string
	}{
		{someDay, []string{"build"}, "30"}, {someDay, []string{"build", "work"}, "310"}, {someDay, nil, ""}, {someDay, []string{"none"}, ""},
		{end.Add(-time.Second), []string{"work"}, "1"}, {end, []string{"work"}, ""},
	} {
		keys, err := drafts(row.now, row.kinds...)
		require.NoError(t, err)
		require.Equal(t, row.want, keys)
	}
	m[string((&Tx{records: s, owner: s.hash.member("ann")}).draftKey("1"))] = []byte("spoiled")
	_, err = drafts(someDay, "build")
	require.ErrorIs(t, err, ErrDamaged)
}
