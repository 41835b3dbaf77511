package sitting

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/sizing/knot"
	"larkfold/store"
	"larkfold/store/pairs"
)

var ana = reply.Request{ID: "1", Member: "11", Community: "harbour", Now: time.Date(2026, time.January, 2, 12, 0, 0, 0, time.UTC)}

// roomOn is a room over an engine.
func roomOn(t *testing.T, engine pairs.Engine) *Room {
	t.Helper()
	records, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	return &Room{Store: records, Book: knot.Standard()}
}

// keep changes what Ana has.
func keep(t *testing.T, r *Room, change func(tx *store.Tx) error) {
	t.Helper()
	_, _, err := r.Store.Once(t.Context(), ana.Member, ana.Now, "", func(tx *store.Tx) (json.RawMessage, error) { return nil, change(tx) })
	require.NoError(t, err)
}

// sat is the sitting of a request.
func sat(t *testing.T, r *Room, req reply.Request, reads Reads) Sitting {
	t.Helper()
	s, err := r.Sit(context.Background(), req, reads)
	require.NoError(t, err)
	return s
}

func asJSON(t *testing.T, of any) json.RawMessage {
	t.Helper()
	data, err := json.Marshal(of)
	require.NoError(t, err)
	return data
}
