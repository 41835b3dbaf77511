package store_test

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/store"
	"larkfold/store/storetest"
)

// projectModel is one member's projects as they should be: every revision of each.
type projectModel struct {
	live map[string][]store.Project // by id, the newest last
	bin  map[string][]store.Project
}

func (m *projectModel) holder(name string) string {
	for id, revisions := range m.live {
		if strings.EqualFold(revisions[len(revisions)-1].Name, name) {
			return id
		}
	}
	return ""
}

func (m *projectModel) newest(id string) store.Project {
	revisions := m.live[id]
	return revisions[len(revisions)-1]
}

// TestProjectsAgainstAModel runs random saves, renames, undos, deletions and
// restorations of two members against a simple model, and checks every record
// in the end.
func TestProjectsAgainstAModel(t *testing.T) {
	limits := store.Limits{Revisions: 4, Projects: 5, Bin: 3}
	rapid.Check(t, func(t *rapid.T) {
		s, err := store.New(t.Context(), storetest.NewMemory(), store.Options{Limits: limits})
		require.NoError(t, err)
		models := map[string]*projectModel{}
		for _, member := range []string{"ann", "ben"} {
			models[member] = &projectModel{live: map[string][]store.Project{}, bin: map[string][]store.Project{}}
		}
		step := 0
		name := rapid.SampledFrom([]string{"Owl", "OWL", "Fern", "fern", "Moon", "Leaf", "Star", "Wave"})
		for range rapid.IntRange(1, 40).Draw(t, "steps") {
			step++
			member := rapid.SampledFrom([]string{"ann", "ben"}).Draw(t, "member")
			m := models[member]
			r := &modelRun{t: t, s: s, m: m, member: member}
			ids := slices.Sorted(maps.Keys(m.live))
			action := rapid.SampledFrom([]string{"create", "edit", "rename", "undo", "delete", "restore", "stale"}).Draw(t, "action")
			if len(ids) == 0 && action != "restore" {
				action = "create"
			}
			var id string
			if action != "create" && action != "restore" {
				id = rapid.SampledFrom(ids).Draw(t, "id")
			}
			switch action {
			case "create":
				r.create(name.Draw(t, "name"), fmt.Sprint("text ", step))
			case "edit":
				next := m.newest(id)
				next.Sheet = fmt.Sprint("text ", step)
				r.revise(id, next)
			case "rename":
				next := m.newest(id)
				next.Name = name.Draw(t, "name")
				r.revise(id, next)
			case "undo":
				r.undo(id, rapid.IntRange(1, 6).Draw(t, "back"))
			case "delete":
				r.delete(id)
			case "restore":
				r.restore()
			case "stale":
				_, err := s.SaveProject(t.Context(), member, noon, m.newest(id), m.newest(id).Revision-1)
				require.ErrorIs(t, err, store.ErrConflict)
			}
			r.compare()
		}
		report, err := s.Check(t.Context())
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		for member := range models {
			forgotten, err := s.Forget(t.Context(), member)
			require.NoError(t, err)
			require.Zero(t, forgotten.Left)
		}
		report, err = s.Check(t.Context())
		require.NoError(t, err)
		require.Equal(t, 1, report.Total, "the header is left")
	})
}

type modelRun struct {
	t      *rapid.T
	s      *store.Records
	m      *projectModel
	member string
}

func (r *modelRun) create(name, sheet string) {
	p, err := r.s.SaveProject(r.t.Context(), r.member, noon, store.Project{Name: name, Sheet: sheet}, 0)
	switch {
	case r.m.holder(name) != "":
		require.ErrorIs(r.t, err, store.ErrNameTaken)
	case len(r.m.live) == 5:
		require.ErrorIs(r.t, err, store.ErrQuota)
	default:
		require.NoError(r.t, err)
		r.m.live[p.ID] = []store.Project{p}
	}
}

// revise saves next and expects what the model expects.
func (r *modelRun) revise(id string, next store.Project) {
	newest := r.m.newest(id)
	saved, err := r.s.SaveProject(r.t.Context(), r.member, noon, next, newest.Revision)
	if holder := r.m.holder(next.Name); holder != "" && holder != id {
		require.ErrorIs(r.t, err, store.ErrNameTaken)
		return
	}
	require.NoError(r.t, err)
	r.accept(id, saved, next.Name, next.Sheet)
}

// accept notes a saved revision, unless nothing had changed.
func (r *modelRun) accept(id string, saved store.Project, name, sheet string) {
	newest := r.m.newest(id)
	if newest.Name == name && newest.Sheet == sheet {
		require.Equal(r.t, newest, saved)
		return
	}
	require.Equal(r.t, newest.Revision+1, saved.Revision)
	require.Equal(r.t, name, saved.Name)
	require.Equal(r.t, sheet, saved.Sheet)
	r.m.live[id] = append(r.m.live[id], saved)
}

func (r *modelRun) undo(id string, back int) {
	revisions := r.m.live[id]
	saved, err := r.s.UndoProject(r.t.Context(), r.member, noon, id, back, r.m.newest(id).Revision)
	if back > min(4, len(revisions)-1) {
		require.ErrorIs(r.t, err, store.ErrInvalid)
		return
	}
	require.NoError(r.t, err)
	earlier := revisions[len(revisions)-1-back]
	name := earlier.Name
	if holder := r.m.holder(name); holder != "" && holder != id {
		name = r.m.newest(id).Name
	}
	r.accept(id, saved, name, earlier.Sheet)
}

func (r *modelRun) delete(id string) {
	_, err := r.s.DeleteProject(r.t.Context(), r.member, noon, id, r.m.newest(id).Revision)
	require.NoError(r.t, err)
	r.m.bin[id] = r.m.live[id]
	delete(r.m.live, id)
	kept, err := r.s.Bin(r.t.Context(), r.member)
	require.NoError(r.t, err)
	require.LessOrEqual(r.t, len(kept), 3)
	maps.DeleteFunc(r.m.bin, func(id string, _ []store.Project) bool {
		return !slices.ContainsFunc(kept, func(p store.Project) bool { return p.ID == id })
	})
	require.Len(r.t, r.m.bin, len(kept))
}

func (r *modelRun) restore() {
	ids := slices.Sorted(maps.Keys(r.m.bin))
	if len(ids) == 0 {
		return
	}
	id := rapid.SampledFrom(ids).Draw(r.t, "deleted")
	revisions := r.m.bin[id]
	_, err := r.s.RestoreProject(r.t.Context(), r.member, noon, id, "")
	switch {
	case r.m.holder(revisions[len(revisions)-1].Name) != "":
		require.ErrorIs(r.t, err, store.ErrNameTaken)
	case len(r.m.live) == 5:
		require.ErrorIs(r.t, err, store.ErrQuota)
	default:
		require.NoError(r.t, err)
		r.m.live[id] = revisions
		delete(r.m.bin, id)
	}
}

// compare reads everything of the member and compares it with the model.
func (r *modelRun) compare() {
	list, err := r.s.Projects(r.t.Context(), r.member)
	require.NoError(r.t, err)
	require.Len(r.t, list, len(r.m.live))
	for id, revisions := range r.m.live {
		newest := revisions[len(revisions)-1]
		p, err := r.s.Project(r.t.Context(), r.member, strings.ToUpper(newest.Name))
		require.NoError(r.t, err)
		require.Equal(r.t, newest, p)
		history, err := r.s.History(r.t.Context(), r.member, id)
		require.NoError(r.t, err)
		slices.Reverse(history)
		require.Equal(r.t, revisions[max(0, len(revisions)-5):len(revisions)-1], append([]store.Project{}, history...))
	}
	for id := range r.m.bin {
		_, err := r.s.ProjectByID(r.t.Context(), r.member, id)
		require.True(r.t, errors.Is(err, store.ErrNotFound))
	}
}
