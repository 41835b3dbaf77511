package pgstore

import (
	"bytes"
	"fmt"
	"iter"
	"slices"
	"sort"

	"larkfold/store"
)

// reader reads within one transaction.
type reader struct {
	*session
	fetched []fetched
	single  map[string][]store.Pair // what Get has read, by the key; empty where there is none
}

func newReader(s *session) *reader { return &reader{session: s, single: map[string][]store.Pair{}} }

// fetched is everything that lies under a prefix.
type fetched struct {
	prefix []byte
	pairs  []store.Pair
}

// known returns what was fetched from a key on, where that is all there is under a prefix.
func (r *reader) known(prefix, from []byte) (pairs []store.Pair, ok bool) {
	i := slices.IndexFunc(r.fetched, func(f fetched) bool { return bytes.HasPrefix(prefix, f.prefix) })
	if i < 0 {
		return nil, false
	}
	pairs = r.fetched[i].pairs
	return pairs[sort.Search(len(pairs), func(i int) bool { return bytes.Compare(pairs[i].Key, from) >= 0 }):], true
}

// Get implements [store.Reader]. What was read once is known.
func (r *reader) Get(key []byte) ([]byte, bool, error) {
	pairs, known := r.single[string(key)]
	if !known {
		pairs, known = r.known(key, key)
	}
	if !known {
		results, err := r.ask(query{"SELECT key, value FROM " + table + " WHERE key = $1", [][]byte{key}})
		if err != nil {
			return nil, false, err
		}
		pairs = pairsOf(results[0].Rows)
		r.single[string(key)] = pairs
	}
	if len(pairs) > 0 && bytes.Equal(pairs[0].Key, key) {
		return pairs[0].Value, true, nil
	}
	return nil, false, nil
}

// Fetch implements [store.Fetcher].
func (r *reader) Fetch(prefixes ...[]byte) error {
	var queries []query
	var asked [][]byte
	for _, prefix := range prefixes {
		if _, known := r.known(prefix, prefix); !known {
			queries = append(queries, rangeQuery(prefix, prefix, ""))
			asked = append(asked, bytes.Clone(prefix))
		}
	}
	if len(queries) == 0 {
		return nil
	}
	results, err := r.ask(queries...)
	for i, result := range results {
		r.fetched = append(r.fetched, fetched{asked[i], pairsOf(result.Rows)})
	}
	return err
}

// A scan asks for a few pairs first and for more when it goes on.
const (
	firstPage = 64
	laterPage = 256
)

// Scan implements [store.Reader].
func (r *reader) Scan(prefix, from []byte) iter.Seq2[store.Pair, error] {
	return func(yield func(store.Pair, error) bool) {
		from := slices.MaxFunc([][]byte{prefix, from}, bytes.Compare)
		for size := firstPage; ; size = laterPage {
			pairs, whole := r.known(prefix, from)
			if !whole {
				results, err := r.ask(rangeQuery(prefix, from, fmt.Sprintf(" LIMIT %d", size)))
				if err != nil {
					yield(store.Pair{}, err)
					return
				}
				pairs = pairsOf(results[0].Rows)
			}
			for _, pair := range pairs {
				if !bytes.HasPrefix(pair.Key, prefix) || !yield(pair, nil) {
					return
				}
			}
			if whole || len(pairs) < size {
				return
			}
			from = append(bytes.Clone(pairs[size-1].Key), 0) // the next key that there can be
		}
	}
}

// rangeQuery asks for the pairs under a prefix from a key on.
func rangeQuery(prefix, from []byte, limit string) query {
	q := query{"SELECT key, value FROM " + table + " WHERE key >= $1", [][]byte{from}}
	if beyond := after(prefix); beyond != nil {
		q.sql += " AND key < $2"
		q.args = append(q.args, beyond)
	}
	q.sql += " ORDER BY key" + limit
	return q
}

// after is the first key behind all those with a prefix, or nil where there is none.
func after(prefix []byte) []byte {
	trimmed := bytes.TrimRight(prefix, "\xff")
	if len(trimmed) == 0 {
		return nil
	}
	beyond := bytes.Clone(trimmed)
	beyond[len(beyond)-1]++
	return beyond
}

func pairsOf(rows [][][]byte) []store.Pair {
	pairs := make([]store.Pair, len(rows))
	for i, row := range rows {
		pairs[i] = store.Pair{Key: row[0], Value: row[1]}
	}
	return pairs
}
