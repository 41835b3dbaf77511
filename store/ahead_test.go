package store

import (
	"context"
	"testing"

	"larkfold/store/pairs"

	"github.com/stretchr/testify/require"
)

// fetching is an engine across a network, which notes what it is asked to fetch.
type fetching struct {
	mapEngine
	fetched *[]string
}

func (f fetching) View(_ context.Context, read func(pairs.Reader) error) error { return read(f) }

func (f fetching) Fetch(prefixes ...[]byte) error {
	for _, p := range prefixes {
		*f.fetched = append(*f.fetched, string(p))
	}
	return nil
}

// What will be read of a member and of a community is fetched in one, and nothing else.
func TestAheadFetchesTheKindsThatAreAsked(t *testing.T) {
	engine := fetching{mapEngine{}, &[]string{}}
	s, err := New(t.Context(), engine, Options{})
	require.NoError(t, err)
	ann, guild := s.hash.member("ann"), s.hash.community("guild")
	under := func(space byte, o token, tag byte) string {
		return string([]byte{space}) + string(o[:]) + string([]byte{tag})
	}
	for _, row := range []struct {
		own       []Kind
		community string
		shared    []Kind
		want      []string
	}{
		{nil, "", nil, nil},
		{[]Kind{KindSwatch, KindPreferences}, "", nil, []string{under('M', ann, 's'), under('M', ann, 'f')}},
		{[]Kind{KindKnot}, "guild", []Kind{KindKnot, KindSettings}, []string{under('M', ann, 'k'), under('C', guild, 'k'), under('C', guild, 'g')}},
		{[]Kind{KindKnot}, "", []Kind{KindKnot}, []string{under('M', ann, 'k')}},
	} {
		*engine.fetched = nil
		require.NoError(t, s.View(t.Context(), "ann", someDay, func(tx *Tx) error { return tx.Ahead(row.own, row.community, row.shared) }))
		require.ElementsMatch(t, row.want, *engine.fetched)
	}
	err = s.View(t.Context(), "ann", someDay, func(tx *Tx) error { return tx.Ahead(nil, "\xff", []Kind{KindKnot}) })
	require.ErrorIs(t, err, ErrInvalid)
}
