package store

import "encoding/json"

// Preferences: see [Records.Preferences].
func (tx *Tx) Preferences() (p Preferences, err error) {
	_, err = tx.get(tx.key(preferencesRecord), &p)
	return p, err
}

// SavePreferences saves what the member prefers.
func (tx *Tx) SavePreferences(data json.RawMessage, expected uint64) (Preferences, error) {
	if err := tx.records.limits.cleanData(&data); err != nil {
		return Preferences{}, err
	}
	stored, err := tx.Preferences()
	if err != nil {
		return Preferences{}, err
	}
	next := Preferences{Data: data, Revision: stored.Revision + 1, Changed: tx.now}
	if expected != AnyRevision && expected != stored.Revision {
		return Preferences{}, &Conflict{Kind: KindPreferences, Expected: expected, Found: stored.Revision, Stored: stored}
	}
	return next, tx.put(tx.key(preferencesRecord), next)
}
