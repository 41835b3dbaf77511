package store

import (
	"encoding/json"
	"time"
)

// operation remembers that something was done, and what came of it.
type operation struct {
	Result  json.RawMessage `json:"result,omitempty"`
	Done    time.Time       `json:"done"`
	Expires time.Time       `json:"expires"`
}

// once: see [Shelf.Once].
func (tx *Tx) once(name string, change func(*Tx) (json.RawMessage, error)) (result json.RawMessage, first bool, err error) {
	if name == "" {
		result, err = change(tx)
		return result, true, err
	}
	key := tx.key(operationRecord, tx.shelf.hash.operation(tx.owner, name))
	var done operation
	found, err := tx.get(key, &done)
	if err != nil {
		return nil, false, err
	}
	if found {
		return done.Result, false, nil
	}
	result, err = change(tx)
	if err != nil {
		return nil, false, err
	}
	if err := tx.shelf.limits.cleanData(&result); err != nil {
		return nil, false, err
	}
	done = operation{Result: result, Done: tx.now, Expires: tx.now.Add(tx.shelf.limits.OperationLife)}
	if err := tx.put(key, done); err != nil {
		return nil, false, err
	}
	return result, true, tx.setExpiry(done.Expires, key)
}
