package store

import (
	"context"
	"encoding/json"
	"errors"
	"iter"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"larkfold/store/pairs"
	"larkfold/store/seal"

	"github.com/stretchr/testify/require"
)

// mapEngine is the least engine there is, for tests that spoil records.
type mapEngine map[string][]byte

func (m mapEngine) View(_ context.Context, read func(pairs.Reader) error) error     { return read(m) }
func (m mapEngine) Update(_ context.Context, change func(pairs.Writer) error) error { return change(m) }
func (m mapEngine) Close() error                                                    { return nil }
func (m mapEngine) Get(key []byte) ([]byte, bool, error) {
	value, found := m[string(key)]
	return value, found, nil
}

func (m mapEngine) Put(key, value []byte) error {
	m[string(key)] = slices.Clone(value)
	return nil
}

func (m mapEngine) Delete(key []byte) error {
	delete(m, string(key))
	return nil
}

func (m mapEngine) Scan(prefix, from []byte) iter.Seq2[pairs.Pair, error] {
	return func(yield func(pairs.Pair, error) bool) {
		for _, key := range slices.Sorted(maps.Keys(m)) {
			if strings.HasPrefix(key, string(prefix)) && key >= string(from) && !yield(pairs.Pair{Key: []byte(key), Value: m[key]}, nil) {
				return
			}
		}
	}
}

var someDay = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// spoilable has a member with one record of every kind that leads elsewhere.
func spoilable(t *testing.T) (*Records, mapEngine) {
	t.Helper()
	ctx, m := t.Context(), mapEngine{}
	s, err := New(ctx, m, Options{})
	require.NoError(t, err)
	p, err := s.SaveProject(ctx, "ann", someDay, Project{Name: "Owl", Sheet: "one"}, 0)
	require.NoError(t, err)
	p.Sheet = "two"
	_, err = s.SaveProject(ctx, "ann", someDay, p, 1)
	require.NoError(t, err)
	gone, err := s.SaveProject(ctx, "ann", someDay, Project{Name: "Gone"}, 0)
	require.NoError(t, err)
	_, err = s.DeleteProject(ctx, "ann", someDay, gone.ID, 1)
	require.NoError(t, err)
	_, err = s.ShareProject(ctx, "ann", someDay, Share{Project: p.ID})
	require.NoError(t, err)
	_, err = s.SaveDraft(ctx, "ann", someDay, Draft{Expires: someDay.Add(time.Hour)})
	require.NoError(t, err)
	_, err = s.SaveCommunityEntry(ctx, "ann", someDay, "guild", KindKnot, Entry{Name: "crown"}, 0)
	require.NoError(t, err)
	_, _, err = s.Once(ctx, "ann", someDay, "press", func(*Tx) (json.RawMessage, error) { return nil, nil })
	require.NoError(t, err)
	return s, m
}

// TestForgetFindsWhatDamageHides spoils or removes one record of a member after
// the other. Whatever it led to is found by the look through the store.
func TestForgetFindsWhatDamageHides(t *testing.T) {
	s, whole := spoilable(t)
	prefix := string(memberPrefix(s.hash.member("ann")))
	for _, key := range slices.Sorted(maps.Keys(whole)) {
		if !strings.HasPrefix(key, prefix) {
			continue
		}
		for _, missing := range []bool{false, true} {
			m := maps.Clone(whole)
			if missing {
				delete(m, key)
			} else {
				m[key] = []byte("spoiled")
			}
			s, err := New(t.Context(), m, Options{})
			require.NoError(t, err)
			report, err := s.Forget(t.Context(), "ann")
			require.NoError(t, err, DescribeKey([]byte(key)))
			require.Zero(t, report.Left)
			require.Len(t, m, 3, "the header and the community's knot, without the member's id, and its tally")
			knots, err := s.CommunityEntries(t.Context(), "ben", "guild", KindKnot)
			require.NoError(t, err)
			require.Empty(t, knots[0].AddedBy)
		}
	}
}

// TestCheckFindsWhatDoesNotFitTogether removes one record after the other; the
// check misses each one that something else leads to.
func TestCheckFindsWhatDoesNotFitTogether(t *testing.T) {
	_, whole := spoilable(t)
	unnoticed := map[Kind]bool{KindTally: true} // who has not saved since format 3 has none
	for _, key := range slices.Sorted(maps.Keys(whole)) {
		kind, _, ok := typeOf([]byte(key))
		require.True(t, ok)
		if kind.kind == KindHeader {
			continue
		}
		m := maps.Clone(whole)
		delete(m, key)
		report, err := Verify(t.Context(), m, Options{})
		require.NoError(t, err)
		if unnoticed[kind.kind] {
			require.Empty(t, report.Problems, DescribeKey([]byte(key)))
			continue
		}
		require.NotEmpty(t, report.Problems, "without the %s", DescribeKey([]byte(key)))
	}
	// Without the tallies, each is missed by what leads to it: all but earlier revisions.
	maps.DeleteFunc(whole, func(key string, _ []byte) bool { kind, _, _ := typeOf([]byte(key)); return kind == tallyRecord })
	for _, key := range slices.Sorted(maps.Keys(whole)) {
		if key == string(HeaderKey()) {
			continue
		}
		m := maps.Clone(whole)
		delete(m, key)
		report, err := Verify(t.Context(), m, Options{})
		require.NoError(t, err)
		kind, _, _ := typeOf([]byte(key))
		require.Equal(t, kind == revisionRecord, len(report.Problems) == 0, "without the %s", DescribeKey([]byte(key)))
	}
	delete(whole, string(HeaderKey()))
	_, err := Verify(t.Context(), whole, Options{})
	require.ErrorIs(t, err, ErrDamaged)
	require.ErrorContains(t, err, "store header is damaged: it is missing although")
}

// A format of which records are known to lead to each other is checked for that; of the
// first, it is only checked that they are what was written.
func TestCheckOfOlderFormats(t *testing.T) {
	for stored, looks := range map[int]bool{1: false, 2: true, format: true} {
		s, m := spoilable(t)
		require.NoError(t, s.changeHeader(t.Context(), func(h *header) error { h.Format = stored; return nil }))
		owl, err := s.Project(t.Context(), "ann", "Owl")
		require.NoError(t, err)
		tx := &Tx{records: s, owner: s.hash.member("ann")}
		delete(m, string(tx.projectKey(owl.ID)))
		report, err := Verify(t.Context(), m, Options{})
		require.NoError(t, err)
		require.Equal(t, looks, len(report.Problems) > 0, "format %d", stored)
		m[string(tx.key(draftRecord, []byte("x")))] = []byte("spoiled")
		spoiled, err := Verify(t.Context(), m, Options{})
		require.NoError(t, err)
		require.Greater(t, len(spoiled.Problems), 0, "format %d", stored)
	}
}

// A check that is broken off is no check.
func TestCheckThatIsBrokenOff(t *testing.T) {
	for _, checkers := range []int{0, 1, 2, 4} {
		s, m := spoilable(t)
		s.checkers = checkers
		s.engine = brokenScans{m}
		_, err := s.Check(t.Context())
		require.ErrorIs(t, err, errFullDisk)
	}
}

// brokenScans is an engine that fails on the way through its records.
type brokenScans struct{ mapEngine }

func (b brokenScans) View(_ context.Context, read func(pairs.Reader) error) error { return read(b) }

func (b brokenScans) Scan(prefix, from []byte) iter.Seq2[pairs.Pair, error] {
	return func(yield func(pairs.Pair, error) bool) {
		n := 0
		for pair := range b.mapEngine.Scan(prefix, from) {
			if n++; n > 5 {
				yield(pairs.Pair{}, errFullDisk)
				return
			}
			if !yield(pair, nil) {
				return
			}
		}
	}
}

// A store is checked with the keys that it was sealed with; one that is not sealed is
// not to be mistaken for one that is.
func TestVerifyWithKeys(t *testing.T) {
	first, second := seal.GenerateKey(), seal.GenerateKey()
	stores := map[string]mapEngine{}
	for name, key := range map[string]*seal.Key{"plain": nil, "first": first} {
		stores[name] = mapEngine{}
		s, err := New(t.Context(), stores[name], Options{Key: key})
		require.NoError(t, err)
		_, err = s.SaveProject(t.Context(), "ann", someDay, Project{Name: "Owl"}, 0)
		require.NoError(t, err)
	}
	for _, row := range []struct {
		store   string
		options Options
		refusal string
	}{
		{"plain", Options{}, ""},
		{"plain", Options{Key: first}, "This store is not sealed, and the key " + first.ID() + " was given."},
		{"first", Options{}, "This store is sealed with the key " + first.ID()},
		{"first", Options{Key: first}, ""},
		{"first", Options{Key: second}, "This store needs the key " + first.ID()},
		{"first", Options{Key: second, OldKeys: []*seal.Key{first}}, ""},
	} {
		report, err := Verify(t.Context(), stores[row.store], row.options)
		if row.refusal != "" {
			require.ErrorIs(t, err, ErrWrongKey)
			require.ErrorContains(t, err, row.refusal)
			continue
		}
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		require.Positive(t, report.Total)
	}
}

// TestDamagedRecordDoesNotHideTheOthers spoils one record after the other:
// lists and the export hold the rest and name the damaged one.
func TestDamagedRecordDoesNotHideTheOthers(t *testing.T) {
	s, whole := spoilable(t)
	prefix := string(memberPrefix(s.hash.member("ann")))
	for _, key := range slices.Sorted(maps.Keys(whole)) {
		t.Run(DescribeKey([]byte(key)), func(t *testing.T) {
			m := maps.Clone(whole)
			m[key] = append(slices.Clone(m[key]), 'x')
			s, err := New(t.Context(), m, Options{})
			if key == string(HeaderKey()) {
				require.ErrorIs(t, err, ErrDamaged)
				return
			}
			require.NoError(t, err)
			parts := 0
			err = s.Export(t.Context(), "ann", someDay, 1<<20, func([]byte) error { parts++; return nil })
			require.Equal(t, 1, parts, "it arrives all the same")
			kind, _, _ := typeOf([]byte(key))
			if strings.HasPrefix(key, prefix) && kind.kind != KindName && kind.kind != KindTally || kind.kind == KindShare {
				var damage *DamagedError
				require.ErrorAs(t, err, &damage)
				require.Equal(t, key, string(damage.Key))
			} else {
				require.NoError(t, err)
			}
			if kind.kind != KindName {
				list, err := s.Projects(t.Context(), "ann")
				require.NoError(t, err)
				require.Len(t, list, 1)
			}
			report, err := s.Check(t.Context())
			require.NoError(t, err)
			require.NotEmpty(t, report.Problems)
			for _, p := range report.Problems {
				var damage *DamagedError
				require.ErrorAs(t, p, &damage)
				if kind == shareRecord {
					continue // nobody can tell whose it was
				}
				require.Equal(t, kind == tallyRecord, strings.HasPrefix(damage.Record, "tally "), "what follows from a damaged record is not told beside it")
			}
		})
	}
}

// TestExportToAFullDisk says that the export could not be written.
func TestExportToAFullDisk(t *testing.T) {
	s, _ := spoilable(t)
	require.ErrorIs(t, s.Export(t.Context(), "ann", someDay, 1<<20, func([]byte) error { return errFullDisk }), errFullDisk)
}

var errFullDisk = errors.New("no room")
