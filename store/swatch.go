package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

func (tx *Tx) swatchKey(id string) []byte { return tx.key(swatchRecord, []byte(id)) }

// SaveSwatch saves a new swatch (no ID, expected 0) or changes one.
func (tx *Tx) SaveSwatch(swatch Swatch, expected uint64) (Swatch, error) {
	if err := tx.checkSwatch(&swatch); err != nil {
		return Swatch{}, err
	}
	tx.grows = true
	if swatch.ID == "" {
		if expected != 0 && expected != AnyRevision {
			return Swatch{}, &InvalidError{What: "revision", Read: fmt.Sprint(expected), Reason: "a swatch that is changed names its id"}
		}
		return tx.createSwatch(swatch)
	}
	stored, err := tx.swatch(swatch.ID)
	if err != nil {
		return Swatch{}, err
	}
	if expected != AnyRevision && expected != stored.Revision {
		return Swatch{}, &Conflict{Kind: KindSwatch, Name: stored.Knot, Expected: expected, Found: stored.Revision, Stored: stored}
	}
	swatch.Revision, swatch.Created, swatch.Changed = stored.Revision+1, stored.Created, tx.now
	return swatch, tx.put(tx.swatchKey(swatch.ID), swatch)
}

func (tx *Tx) checkSwatch(swatch *Swatch) (err error) {
	if swatch.Knot, err = cleanName(swatch.Knot); err != nil {
		return err
	}
	swatch.Cord = strings.Join(strings.Fields(swatch.Cord), " ")
	limits := tx.records.limits
	return errors.Join(checkText("cord", swatch.Cord),
		within("bytes of cord description", len(swatch.Cord), limits.NoteBytes),
		limits.cleanData(&swatch.Data))
}

func (tx *Tx) createSwatch(swatch Swatch) (_ Swatch, err error) {
	var made []time.Time
	for s, err := range scan[Swatch](tx, tx.key(swatchRecord)) {
		if err != nil && !errors.Is(err, ErrDamaged) {
			return Swatch{}, err
		}
		made = append(made, s.Created)
	}
	if err := within("swatches", len(made)+1, tx.records.limits.Swatches); err != nil {
		return Swatch{}, err
	}
	if swatch.ID, err = tx.newID(); err != nil {
		return Swatch{}, err
	}
	swatch.Revision, swatch.Created, swatch.Changed = 1, tx.now, tx.now
	slices.SortFunc(made, time.Time.Compare)
	for _, at := range made {
		if at.Equal(swatch.Created) {
			swatch.Created = at.Add(1) // a coarse clock has one moment for both, and members number swatches by their age
		}
	}
	return swatch, tx.put(tx.swatchKey(swatch.ID), swatch)
}

func (tx *Tx) swatch(id string) (swatch Swatch, err error) {
	found, err := tx.get(tx.swatchKey(id), &swatch)
	if err == nil && !found {
		err = &NotFound{Kind: KindSwatch, Name: id}
	}
	return swatch, err
}

// Swatches: see [Records.Swatches].
func (tx *Tx) Swatches() ([]Swatch, error) {
	list, err := collect(scan[Swatch](tx, tx.key(swatchRecord)))
	slices.SortStableFunc(list, func(a, b Swatch) int { return a.Created.Compare(b.Created) })
	return list, err
}

// DeleteSwatch removes a swatch and returns it.
func (tx *Tx) DeleteSwatch(id string) (Swatch, error) {
	swatch, err := tx.swatch(id)
	if err != nil {
		return Swatch{}, err
	}
	return swatch, tx.delete(tx.swatchKey(id))
}
