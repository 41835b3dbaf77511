package store

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"larkfold/store/spelling"
)

// summary is what a project's name leads to.
func (p Project) summary() ProjectSummary {
	return ProjectSummary{ID: p.ID, Name: p.Name, Revision: p.Revision, Changed: p.Changed}
}

func (tx *Tx) projectKey(id string) []byte { return tx.key(projectRecord, []byte(id)) }
func (tx *Tx) binKey(id string) []byte     { return tx.key(binRecord, []byte(id)) }

func (tx *Tx) revisionKey(id string, revision uint64) []byte {
	return tx.key(revisionRecord, []byte(id), number(revision))
}

// SaveProject: see [Records.SaveProject].
func (tx *Tx) SaveProject(p Project, expected uint64) (Project, error) {
	if err := tx.checkProject(&p); err != nil {
		return Project{}, err
	}
	tx.grows = true
	if p.ID == "" {
		if expected != 0 && expected != AnyRevision {
			return Project{}, &InvalidError{What: "revision", Read: fmt.Sprint(expected), Reason: "a project that is changed names its id"}
		}
		return tx.createProject(p)
	}
	ahead := func() [][]byte {
		return [][]byte{tx.projectKey(p.ID), tx.key(revisionRecord, []byte(p.ID)), tx.nameKey(nameRecord, spelling.Fold(p.Name)), tallyKey(tx.ownBook())}
	}
	if err := tx.fetch(ahead); err != nil {
		return Project{}, err
	}
	stored, err := tx.ProjectByID(p.ID)
	if err != nil {
		return Project{}, err
	}
	if expected != AnyRevision && expected != stored.Revision {
		return Project{}, &Conflict{Kind: KindProject, Name: stored.Name, Expected: expected, Found: stored.Revision, Stored: stored}
	}
	return tx.reviseProject(stored, p)
}

// checkProject cleans the name and refuses what cannot be kept.
func (tx *Tx) checkProject(p *Project) (err error) {
	limits := tx.records.limits
	if p.Name, err = cleanName(p.Name); err != nil {
		return err
	}
	return errors.Join(
		checkText("sheet", p.Sheet), checkText("notes", p.Notes),
		within("bytes of sheet text", len(p.Sheet), limits.SheetBytes),
		within("bytes of notes", len(p.Notes), limits.NoteBytes),
		limits.cleanData(&p.Data))
}

func (tx *Tx) createProject(p Project) (Project, error) {
	var err error
	if p.ID, err = tx.newID(); err != nil {
		return Project{}, err
	}
	ahead := func() [][]byte { return [][]byte{tx.key(nameRecord), tx.projectKey(p.ID), tallyKey(tx.ownBook())} }
	if err := tx.fetch(ahead); err != nil {
		return Project{}, err
	}
	if err := tx.checkNameFree(p.Name, ""); err != nil {
		return Project{}, err
	}
	n, err := tx.count(tx.key(nameRecord)) // one to a project, and smaller
	if err != nil {
		return Project{}, err
	}
	if err := within("projects", n+1, tx.records.limits.Projects); err != nil {
		return Project{}, err
	}
	p.Owner, p.Revision, p.Restored, p.Created, p.Changed = tx.member, 1, 0, tx.now, tx.now
	return p, tx.putProject(p)
}

// reviseProject keeps the stored revision, which stands under the project's key, in
// the history and saves next as the new one.
func (tx *Tx) reviseProject(stored, next Project) (Project, error) {
	if stored.Name == next.Name && stored.Sheet == next.Sheet && stored.Notes == next.Notes && bytes.Equal(stored.Data, next.Data) {
		return stored, nil
	}
	if stored.Name != next.Name && spelling.Fold(stored.Name) != spelling.Fold(next.Name) {
		if err := tx.checkNameFree(next.Name, stored.ID); err != nil {
			return Project{}, err
		}
		if err := tx.releaseName(stored); err != nil {
			return Project{}, err
		}
	}
	if err := tx.trimHistory(stored.ID, stored.Revision+1); err != nil {
		return Project{}, err
	}
	if err := tx.copy(tx.projectKey(stored.ID), tx.revisionKey(stored.ID, stored.Revision)); err != nil {
		return Project{}, err
	}
	next.ID, next.Owner, next.Created, next.Changed = stored.ID, tx.member, stored.Created, tx.now
	next.Revision, next.Deleted, next.Expires = stored.Revision+1, time.Time{}, time.Time{}
	return next, tx.putProject(next)
}

// trimHistory forgets the revisions that are too old to be undone.
func (tx *Tx) trimHistory(id string, newest uint64) error {
	prefix, kept := tx.key(revisionRecord, []byte(id)), tx.revisionKey(id, newest-min(newest, uint64(tx.records.limits.Revisions)))
	var old [][]byte
	for pair, err := range tx.reader.Scan(prefix, nil) {
		if err != nil {
			return err
		}
		if bytes.Compare(pair.Key, kept) >= 0 {
			break
		}
		old = append(old, slices.Clone(pair.Key))
	}
	for _, key := range old {
		if err := tx.delete(key); err != nil {
			return err
		}
	}
	return nil
}

func (tx *Tx) putProject(p Project) error {
	if err := tx.put(tx.projectKey(p.ID), p); err != nil {
		return err
	}
	return tx.put(tx.nameKey(nameRecord, spelling.Fold(p.Name)), p.summary())
}

// releaseName removes a project's name entry, unless the name has become another project's.
func (tx *Tx) releaseName(p Project) error {
	key := tx.nameKey(nameRecord, spelling.Fold(p.Name))
	var entry ProjectSummary
	found, err := tx.get(key, &entry)
	if err != nil || !found || entry.ID != p.ID {
		return err
	}
	return tx.delete(key)
}

// checkNameFree returns [NameTaken] when a project other than the one with that id has the name.
func (tx *Tx) checkNameFree(name, id string) error {
	entry, found, err := tx.named(name)
	if err != nil || !found || entry.ID == id {
		return err
	}
	return &NameTaken{Kind: KindProject, Name: entry.Name}
}

// Project: see [Records.Project].
func (tx *Tx) Project(name string) (Project, error) {
	entry, found, err := tx.named(name)
	if err != nil {
		return Project{}, err
	}
	if !found {
		return Project{}, &NotFound{Kind: KindProject, Name: name}
	}
	return tx.ProjectByID(entry.ID)
}

// named is the entry of the project whose name looks like this one. One that was saved
// before names were cleaned stands under its name as it was typed then.
func (tx *Tx) named(name string) (entry ProjectSummary, found bool, err error) {
	for _, key := range []string{spelling.Fold(name), spelling.Looks(name)} { // two that look alike may stand there from then
		if found, err = tx.get(tx.nameKey(nameRecord, key), &entry); found || err != nil {
			return entry, found, err
		}
	}
	for e, err := range scan[ProjectSummary](tx, tx.key(nameRecord)) {
		if err == nil && spelling.Looks(e.Name) == spelling.Looks(name) {
			return e, true, nil
		}
	}
	return ProjectSummary{}, false, nil
}

// ProjectByID: see [Records.ProjectByID].
func (tx *Tx) ProjectByID(id string) (Project, error) {
	return tx.project(projectRecord, tx.projectKey(id), id)
}

func (tx *Tx) project(t recordType, key []byte, id string) (Project, error) {
	var p Project
	found, err := tx.get(key, &p)
	if err != nil {
		return Project{}, err
	}
	if !found {
		return Project{}, &NotFound{Kind: t.kind, Name: id}
	}
	return p, nil
}

// Projects: see [Records.Projects].
func (tx *Tx) Projects() ([]ProjectSummary, error) {
	list, err := collect(scan[ProjectSummary](tx, tx.key(nameRecord)))
	spelling.Sort(list, func(p ProjectSummary) string { return p.Name })
	return list, err
}

// CompleteProjects: see [Records.CompleteProjects].
func (tx *Tx) CompleteProjects(typed string, limit int) ([]ProjectSummary, error) {
	all, err := tx.Projects()
	typed = spelling.Looks(typed)
	var starts, holds []ProjectSummary
	for _, p := range all {
		switch folded := spelling.Looks(p.Name); {
		case strings.HasPrefix(folded, typed):
			starts = append(starts, p)
		case strings.Contains(folded, typed):
			holds = append(holds, p)
		}
	}
	found := append(starts, holds...)
	return found[:min(len(found), max(limit, 0))], err
}

// RenameProject gives a project another name, as a new revision.
func (tx *Tx) RenameProject(id, name string, expected uint64) (Project, error) {
	p, err := tx.ProjectByID(id)
	if err != nil {
		return Project{}, err
	}
	p.Name = name
	return tx.SaveProject(p, expected)
}

// CopyProject saves a project's text as a new project with that name.
func (tx *Tx) CopyProject(id, name string) (Project, error) {
	p, err := tx.ProjectByID(id)
	if err != nil {
		return Project{}, err
	}
	return tx.SaveProject(Project{Name: name, Sheet: p.Sheet, Notes: p.Notes, Data: p.Data}, 0)
}

// History: see [Records.History].
func (tx *Tx) History(id string) ([]Project, error) {
	if _, err := tx.ProjectByID(id); err != nil {
		return nil, err
	}
	revisions, err := collect(scan[Project](tx, tx.key(revisionRecord, []byte(id))))
	slices.Reverse(revisions)
	return revisions, err
}

// UndoProject saves the text of so many revisions ago as a new revision, so
// that undoing one step twice brings back what was undone. An earlier name
// comes back too unless another project has it by now.
func (tx *Tx) UndoProject(id string, steps int, expected uint64) (Project, error) {
	stored, err := tx.ProjectByID(id)
	if err != nil {
		return Project{}, err
	}
	if expected != AnyRevision && expected != stored.Revision {
		return Project{}, &Conflict{Kind: KindProject, Name: stored.Name, Expected: expected, Found: stored.Revision, Stored: stored}
	}
	earlier, err := tx.earlier(stored, steps)
	if err != nil {
		return Project{}, err
	}
	tx.grows = true
	next := Project{Name: earlier.Name, Sheet: earlier.Sheet, Notes: earlier.Notes, Data: earlier.Data, Restored: earlier.Revision}
	if err := tx.checkNameFree(next.Name, id); errors.Is(err, ErrNameTaken) {
		next.Name = stored.Name
	} else if err != nil {
		return Project{}, err
	}
	return tx.reviseProject(stored, next)
}

// earlier returns the revision of so many steps before the stored one.
func (tx *Tx) earlier(stored Project, steps int) (Project, error) {
	refuse := func(reason string) error {
		return &InvalidError{What: "number of steps back", Read: fmt.Sprint(steps), Reason: reason}
	}
	if steps < 1 {
		return Project{}, refuse("undoing goes at least one step back")
	}
	kept, err := tx.count(tx.key(revisionRecord, []byte(stored.ID)))
	if err != nil {
		return Project{}, err
	}
	switch {
	case kept == 0:
		return Project{}, refuse(fmt.Sprintf("“%s” has never been changed", stored.Name))
	case steps > kept:
		return Project{}, refuse(fmt.Sprintf("%d earlier versions of “%s” are kept", kept, stored.Name))
	}
	revision := stored.Revision - uint64(steps)
	return tx.project(revisionRecord, tx.revisionKey(stored.ID, revision), fmt.Sprintf("%d of %s", revision, stored.Name))
}
