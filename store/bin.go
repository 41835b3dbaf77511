package store

import (
	"errors"
	"slices"
	"time"

	"larkfold/store/spelling"
)

// DeleteProject puts a project with its history into the bin.
func (tx *Tx) DeleteProject(id string, expected uint64) (Project, error) {
	p, err := tx.ProjectByID(id)
	if err != nil {
		return Project{}, err
	}
	if expected != AnyRevision && expected != p.Revision {
		return Project{}, &Conflict{Kind: KindProject, Name: p.Name, Expected: expected, Found: p.Revision, Stored: p}
	}
	if err := tx.delete(tx.projectKey(id)); err != nil {
		return Project{}, err
	}
	if err := tx.delete(tx.nameKey(nameRecord, spelling.Fold(p.Name))); err != nil {
		return Project{}, err
	}
	p.Deleted, p.Expires = tx.now, tx.now.Add(tx.records.limits.BinLife)
	if err := tx.put(tx.binKey(id), p); err != nil {
		return Project{}, err
	}
	if err := tx.setExpiry(p.Expires, tx.binKey(id)); err != nil {
		return Project{}, err
	}
	return p, tx.trimBin()
}

// trimBin erases the projects that were deleted longest ago when the bin is over its limit.
func (tx *Tx) trimBin() error {
	bin, err := tx.Bin()
	if err != nil && !errors.Is(err, ErrDamaged) {
		return err
	}
	for _, p := range bin[min(len(bin), tx.records.limits.Bin):] {
		if err := tx.eraseDeleted(p); err != nil {
			return err
		}
	}
	return nil
}

// eraseDeleted removes a deleted project and its history for good.
func (tx *Tx) eraseDeleted(p Project) error {
	history, err := tx.keys(tx.key(revisionRecord, []byte(p.ID)), nil)
	if err != nil {
		return err
	}
	for _, key := range append(history, tx.binKey(p.ID)) {
		if err := tx.delete(key); err != nil {
			return err
		}
	}
	return tx.clearExpiry(p.Expires, tx.binKey(p.ID))
}

// Bin: see [Records.Bin].
func (tx *Tx) Bin() ([]Project, error) {
	bin, err := collect(scan[Project](tx, tx.key(binRecord)))
	slices.SortStableFunc(bin, func(a, b Project) int { return b.Deleted.Compare(a.Deleted) })
	return bin, err
}

// RestoreProject brings a project back from the bin, under another name when
// name is not empty.
func (tx *Tx) RestoreProject(id, name string) (Project, error) {
	deleted, err := tx.project(binRecord, tx.binKey(id), id)
	if err != nil {
		return Project{}, err
	}
	p := deleted
	if name != "" {
		if p.Name, err = cleanName(name); err != nil {
			return Project{}, err
		}
	}
	if err := tx.checkNameFree(p.Name, id); err != nil {
		return Project{}, err
	}
	n, err := tx.count(tx.key(projectRecord))
	if err != nil {
		return Project{}, err
	}
	if err := within("projects", n+1, tx.records.limits.Projects); err != nil {
		return Project{}, err
	}
	if err := tx.delete(tx.binKey(id)); err != nil {
		return Project{}, err
	}
	if err := tx.clearExpiry(p.Expires, tx.binKey(id)); err != nil {
		return Project{}, err
	}
	deleted.Deleted, deleted.Expires = time.Time{}, time.Time{}
	if p.Name == deleted.Name {
		return deleted, tx.putProject(deleted)
	}
	if err := tx.put(tx.projectKey(id), deleted); err != nil {
		return Project{}, err
	}
	return tx.reviseProject(deleted, p)
}
