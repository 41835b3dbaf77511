package store_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
)

func TestQuotas(t *testing.T) {
	limits := store.Limits{Projects: 2, SheetBytes: 10, NoteBytes: 11, DataBytes: 20, Leftovers: 2, Swatches: 2, Entries: 2,
		Shares: 2, Drafts: 2, CommunityKnots: 2, CommunityRules: 2, CommunityChannels: 2}
	onEngines(t, store.Options{Limits: limits}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		p := save(t, s, "ann", "first", "text")
		share := func() error {
			_, err := s.ShareProject(ctx, "ann", noon, store.Share{Project: p.ID})
			return err
		}
		entry := func(book store.Book) func(n int) error {
			return func(n int) error {
				_, err := s.SaveEntry(ctx, "ann", noon, book, store.Entry{Name: fmt.Sprint("e", n)}, 0)
				return err
			}
		}
		community := func(book store.Book) func(n int) error {
			return func(n int) error {
				_, err := s.SaveCommunityEntry(ctx, fmt.Sprint("member ", n), noon, "guild", book, store.Entry{Name: fmt.Sprint("e", n)}, 0)
				return err
			}
		}
		rows := []struct {
			what string
			more func(n int) error // n from 1; the second fits, the third does not
		}{
			{"projects", func(n int) error {
				if n == 1 {
					return nil // there is one
				}
				_, err := s.SaveProject(ctx, "ann", noon, store.Project{Name: fmt.Sprint("p", n)}, 0)
				return err
			}},
			{"shelf entries", func(n int) error {
				_, err := s.ChangeLeftovers(ctx, "ann", noon, store.LeftoverChange{Add: []store.Leftover{offcut(store.Nanometres(n)*metre, 1)}}, store.AnyRevision)
				return err
			}},
			{"swatches", func(int) error {
				_, err := s.SaveSwatch(ctx, "ann", noon, store.Swatch{Knot: "square knot"}, 0)
				return err
			}},
			{"shares", func(int) error { return share() }},
			{"knots and rules of your own", func(n int) error {
				return entry([]store.Book{store.KindKnot, store.KindRule}[n%2])(n)
			}},
			{"knots in this community", community(store.KindKnot)},
			{"rules in this community", community(store.KindRule)},
			{"sharing channels", func(n int) error {
				_, err := s.SaveSettings(ctx, "ann", noon, "guild", store.Settings{Channels: strings.Split("abc"[:n], "")}, store.AnyRevision)
				return err
			}},
			{"bytes of sheet text", func(n int) error {
				p, err := s.ProjectByID(ctx, "ann", p.ID)
				require.NoError(t, err)
				p.Sheet = strings.Repeat("x", 8+n)
				_, err = s.SaveProject(ctx, "ann", noon, p, p.Revision)
				return err
			}},
			{"bytes of notes", func(n int) error {
				p, err := s.ProjectByID(ctx, "ann", p.ID)
				require.NoError(t, err)
				p.Notes = strings.Repeat("x", 9+n)
				_, err = s.SaveProject(ctx, "ann", noon, p, p.Revision)
				return err
			}},
			{"bytes of data in one record", func(n int) error {
				_, err := s.SavePreferences(ctx, "ann", noon, json.RawMessage(`"`+strings.Repeat("x", 16+n)+`"`), store.AnyRevision)
				return err
			}},
		}
		for _, row := range rows {
			require.NoError(t, row.more(1), row.what)
			require.NoError(t, row.more(2), row.what)
			before := requireSound(t, s)
			err := row.more(3)
			var over *store.QuotaError
			require.ErrorAs(t, err, &over, row.what)
			require.Equal(t, row.what, over.What)
			require.Equal(t, over.Limit+1, over.Got)
			require.ErrorIs(t, err, store.ErrQuota)
			require.Equal(t, before, requireSound(t, s), "a refused change has changed nothing")
		}
		// The draft that expires first makes room.
		var keys []string
		for n := range 3 {
			d, err := s.SaveDraft(ctx, "ann", noon, store.Draft{Expires: noon.Add(time.Duration(3-n) * time.Minute)})
			require.NoError(t, err)
			keys = append(keys, d.Key)
		}
		_, err := s.Draft(ctx, "ann", noon, keys[0])
		require.NoError(t, err)
		_, err = s.Draft(ctx, "ann", noon, keys[2])
		require.ErrorIs(t, err, store.ErrNotFound)
		requireSound(t, s)
	})
}

func TestNames(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		for _, name := range []string{"zebra", "Owl", "ärmel", "owlet", "Barn owl", "ÖSE", "apple"} {
			save(t, s, "ann", name, "text")
		}
		for _, same := range []string{"ZEBRA", " oWl ", "Ärmel", "öse", "barn  OWL"} {
			_, err := s.SaveProject(ctx, "ann", noon, store.Project{Name: same}, 0)
			require.ErrorIs(t, err, store.ErrNameTaken, same)
		}
		names := func(list []store.ProjectSummary, err error) (names []string) {
			require.NoError(t, err)
			for _, p := range list {
				names = append(names, p.Name)
			}
			return names
		}
		require.Equal(t, []string{"apple", "Barn owl", "Owl", "owlet", "zebra", "ärmel", "ÖSE"}, names(s.Projects(ctx, "ann")))
		require.Equal(t, []string{"Owl", "owlet", "Barn owl"}, names(s.CompleteProjects(ctx, "ann", "OW", 25)))
		require.Equal(t, []string{"Owl"}, names(s.CompleteProjects(ctx, "ann", "ow", 1)))
		require.Len(t, names(s.CompleteProjects(ctx, "ann", "", 25)), 7)
		require.Empty(t, names(s.CompleteProjects(ctx, "ann", "zz", 25)))
		require.Empty(t, names(s.Projects(ctx, "ben")))

		for _, bad := range []string{"", "  \t", "a\x00b", "a\xffb", strings.Repeat("x", 81)} {
			_, err := s.SaveProject(ctx, "ann", noon, store.Project{Name: bad}, 0)
			require.ErrorIs(t, err, store.ErrInvalid, "%q", bad)
		}
		owl, err := s.Project(ctx, "ann", "owl")
		require.NoError(t, err)
		renamed, err := s.RenameProject(ctx, "ann", noon, owl.ID, "OWL", 1)
		require.NoError(t, err, "a project may change the case of its own name")
		renamed, err = s.RenameProject(ctx, "ann", noon, owl.ID, "Eagle owl", renamed.Revision)
		require.NoError(t, err)
		_, err = s.RenameProject(ctx, "ann", noon, owl.ID, "zebra", renamed.Revision)
		require.ErrorIs(t, err, store.ErrNameTaken)
		_, err = s.Project(ctx, "ann", "owl")
		require.ErrorIs(t, err, store.ErrNotFound)
		copied, err := s.CopyProject(ctx, "ann", noon, owl.ID, "owl")
		require.NoError(t, err)
		require.Equal(t, uint64(1), copied.Revision)
		requireSound(t, s)
	})
}
