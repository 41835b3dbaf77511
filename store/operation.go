package store

import (
	"encoding/json"
	"time"
)

// operation remembers that something was done, and what came of it.
type operation struct {
	Result  json.RawMessage `json:"result,omitempty"`
	Done    time.Time       `json:"done"`
	Asked   string          `json:"asked,omitempty"` // the call of [Records.Once] that did it
	Expires time.Time       `json:"expires"`
}

// once: see [Records.Once]. asked tells this call of it from all others.
func (tx *Tx) once(name, asked string, change func(*Tx) (json.RawMessage, error)) (result json.RawMessage, first bool, err error) {
	if name == "" {
		result, err = change(tx)
		return result, true, err
	}
	key := tx.key(operationRecord, tx.records.hash.operation(tx.owner, name))
	if err := tx.fetch(func() [][]byte { return [][]byte{key, tallyKey(tx.ownBook())} }); err != nil {
		return nil, false, err
	}
	var done operation
	found, err := tx.get(key, &done)
	if err != nil {
		return nil, false, err
	}
	if found {
		return done.Result, done.Asked == asked, nil // the same call: its answer was lost
	}
	result, err = change(tx)
	if err != nil {
		return nil, false, err
	}
	if err := tx.records.limits.cleanData(&result); err != nil {
		return nil, false, err
	}
	done = operation{Result: result, Done: tx.now, Asked: asked, Expires: tx.now.Add(tx.records.limits.OperationLife)}
	if err := tx.put(key, done); err != nil {
		return nil, false, err
	}
	return result, true, tx.setExpiry(done.Expires, key)
}
