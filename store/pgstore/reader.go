package pgstore

import (
	"bytes"
	"fmt"
	"iter"
	"slices"
	"sort"

	"larkfold/store/pairs"
)

// reader reads within one transaction.
type reader struct {
	*session
	fetched []fetched
	single  map[string][]pairs.Pair // what Get has read, by the key; empty where there is none
}

func newReader(s *session) *reader { return &reader{session: s, single: map[string][]pairs.Pair{}} }

// fetched is everything that lies under a prefix.
type fetched struct {
	prefix []byte
	page   []pairs.Pair
}

// known returns what was fetched from a key on, where that is all there is under a prefix.
func (r *reader) known(prefix, from []byte) (page []pairs.Pair, ok bool) {
	i := slices.IndexFunc(r.fetched, func(f fetched) bool { return bytes.HasPrefix(prefix, f.prefix) })
	if i < 0 {
		return nil, false
	}
	page = r.fetched[i].page
	return page[sort.Search(len(page), func(i int) bool { return bytes.Compare(page[i].Key, from) >= 0 }):], true
}

// Get implements [pairs.Reader]. What was read once is known.
func (r *reader) Get(key []byte) ([]byte, bool, error) {
	page, known := r.single[string(key)]
	if !known {
		page, known = r.known(key, key)
	}
	if !known {
		results, err := r.ask(query{"SELECT key, value FROM " + table + " WHERE key = $1", [][]byte{key}})
		if err != nil {
			return nil, false, err
		}
		page = pairsOf(results[0].Rows)
		r.single[string(key)] = page
	}
	if len(page) > 0 && bytes.Equal(page[0].Key, key) {
		return page[0].Value, true, nil
	}
	return nil, false, nil
}

// Fetch implements [pairs.Fetcher].
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

// Scan implements [pairs.Reader].
func (r *reader) Scan(prefix, from []byte) iter.Seq2[pairs.Pair, error] {
	return func(yield func(pairs.Pair, error) bool) {
		from := slices.MaxFunc([][]byte{prefix, from}, bytes.Compare)
		for size := firstPage; ; size = laterPage {
			page, whole := r.known(prefix, from)
			if !whole {
				results, err := r.ask(rangeQuery(prefix, from, fmt.Sprintf(" LIMIT %d", size)))
				if err != nil {
					yield(pairs.Pair{}, err)
					return
				}
				page = pairsOf(results[0].Rows)
			}
			for _, pair := range page {
				if !bytes.HasPrefix(pair.Key, prefix) || !yield(pair, nil) {
					return
				}
			}
			if whole || len(page) < size {
				return
			}
			from = append(bytes.Clone(page[size-1].Key), 0) // the next key that there can be
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

func pairsOf(rows [][][]byte) []pairs.Pair {
	page := make([]pairs.Pair, len(rows))
	for i, row := range rows {
		page[i] = pairs.Pair{Key: row[0], Value: row[1]}
	}
	return page
}
