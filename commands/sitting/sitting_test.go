package sitting

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/storetest"
)

const gull = "piece Gull\ncord main 4 mm\npanel front\n  mount 4 folded\n  tail 15 cm\n"

// everything puts one record of each kind into a room: Ana's, and those of her
// community. It returns the keys of her draft and of her share.
func everything(t *testing.T, r *Room) (draft, share string) {
	t.Helper()
	keep(t, r, func(tx *store.Tx) error {
		p, err := tx.SaveProject(store.Project{Name: "Gull", Sheet: gull}, 0)
		require.NoError(t, err)
		shared, err := tx.ShareProject(store.Share{Project: p.ID, Community: ana.Community, Channel: "quay"})
		require.NoError(t, err)
		share = shared.ID
		_, err = tx.SavePreferences(asJSON(t, Prefs{Margin: 0.2}), 0)
		require.NoError(t, err)
		_, err = tx.SaveSwatch(tied(t, "square knot", "", 4*mm, 0, 0, 1), 0)
		require.NoError(t, err)
		_, err = tx.ChangeLeftovers(store.LeftoverChange{Add: []store.Leftover{{Kind: store.Offcut, Cord: "4 mm", Length: store.Nanometres(length.Metre), Count: 2}}}, 0)
		require.NoError(t, err)
		_, err = tx.SaveEntry(store.KindRule, store.Entry{Name: "Mine", Data: asJSON(t, "4*finished")}, 0)
		require.NoError(t, err)
		_, err = tx.SaveCommunityEntry(ana.Community, store.KindRule, store.Entry{Name: "Ours", Data: asJSON(t, "5*finished")}, 0)
		require.NoError(t, err)
		_, err = tx.SaveCommunityEntry(ana.Community, store.KindKnot, store.Entry{Name: "pebble knot", Data: asJSON(t, pebble("4*d"))}, 0)
		require.NoError(t, err)
		_, err = tx.SaveSettings(ana.Community, store.Settings{Channels: []string{"quay"}}, 0)
		require.NoError(t, err)
		draft, err = Remembered{Kind: "sheet", Holds: map[string]string{"Name": "Gull"}}.Keep(tx, ana)
		require.NoError(t, err)
		_, err = Remembered{Kind: Build, Holds: 1, For: UnderwayLife}.Keep(tx, ana)
		require.NoError(t, err)
		_, err = Remembered{Kind: Work, Holds: 2, For: UnderwayLife}.Keep(tx, ana)
		return err
	})
	return draft, share
}

// pebble is a knot of a community, whose worker takes so much.
func pebble(takes string) knot.Row {
	return knot.Row{
		Name: "pebble knot", Shape: knot.Group, About: "One turn.", Ends: 2, Fewest: 2, Most: 2,
		Roles: []knot.Role{{Name: "worker", Works: true, Takes: takes}}, Places: []string{"worker", "worker"},
		Pitch: "2*d", Height: "pitch", Width: "2*d", HowTo: []string{"Turn."}, Source: "measured", Trust: knot.Low,
	}
}

// A sitting holds what was asked for and nothing else, and says so where something else
// is looked at.
func TestASittingHoldsWhatItReads(t *testing.T) {
	r := roomOn(t, storetest.NewMemory())
	draft, share := everything(t, r)
	held := map[string]struct {
		reads Reads
		holds func(s Sitting) (bool, error)
	}{
		"knots":     {Knots, func(s Sitting) (bool, error) { k, err := s.CommunityKnots(); return len(k) == 1, err }},
		"book":      {Knots, func(s Sitting) (bool, error) { b, err := s.Book(); return b != s.Standard, err }},
		"swatches":  {Swatches, func(s Sitting) (bool, error) { l, err := s.Swatches(s.Standard); return len(l) == 1, err }},
		"leftovers": {Leftovers, func(s Sitting) (bool, error) { l, err := s.Leftovers(); return len(l.Entries) == 1, err }},
		"rules": {Rules, func(s Sitting) (bool, error) {
			own, ours, err := s.Rules()
			return len(own) == 1 && len(ours) == 1, err
		}},
		"settings": {Settings, func(s Sitting) (bool, error) { set, err := s.Settings(); return len(set.Channels) == 1, err }},
		"design":   {Design, func(s Sitting) (bool, error) { p, err := s.Design(); return p.Sheet == gull, err }},
		"draft": {Draft, func(s Sitting) (bool, error) {
			var d map[string]string
			err := s.Kept("sheet", &d)
			return d["Name"] == "Gull", err
		}},
		"share": {Share, func(s Sitting) (bool, error) { got, err := s.Share(); return got.Sheet == gull, err }},
		"underway": {Underway, func(s Sitting) (bool, error) {
			all, err := s.Underway(Build)
			return len(all) == 1 && string(all[0].Payload) == "1", err
		}},
	}
	for name, one := range held {
		req := ana
		req.Options = map[string]string{"name": " Gull "}
		req.Action = &reply.Action{Key: map[string]string{"draft": draft, "share": share}[name]}
		s := sat(t, r, req, one.reads)
		require.Empty(t, s.Troubles().Damaged, name)
		require.Zero(t, s.Troubles().Unkept, name)
		got, err := one.holds(s)
		require.NoError(t, err, name)
		require.True(t, got, name)
		for other, not := range held {
			if not.reads != one.reads {
				got, err := not.holds(s)
				require.ErrorContains(t, err, "were not read", "%s of a sitting of %s", other, name)
				require.False(t, got, "%s of a sitting of %s", other, name)
			}
		}
	}
	req := ana
	req.Action = &reply.Action{Key: share}
	both := sat(t, r, req, Underway|Share)
	for _, name := range []string{"underway", "share"} {
		got, err := held[name].holds(both)
		require.NoError(t, err, name)
		require.True(t, got, name)
	}
	require.Len(t, sat(t, r, ana, Designs).Designs(), 1)
	require.Empty(t, sat(t, r, ana, 0).Designs())

	// In a direct message there is no community.
	alone := ana
	alone.Community = ""
	s := sat(t, r, alone, Knots|Rules|Settings)
	knots, err := s.CommunityKnots()
	require.NoError(t, err)
	require.Empty(t, knots)
	own, ours, err := s.Rules()
	require.NoError(t, err)
	require.Len(t, own, 1)
	require.Empty(t, ours)
}

// The design is the one that the request names, by name before project, or the one of
// the draft behind the button. Where it is not there, the others are, to be suggested.
func TestWhichDesignIsMeant(t *testing.T) {
	r := roomOn(t, storetest.NewMemory())
	draft, _ := everything(t, r)
	for _, one := range []struct {
		options     map[string]string
		key         string
		named, read string
	}{
		{nil, "", "", ""},
		{map[string]string{"name": "  "}, "", "", ""},
		{map[string]string{"name": " gull"}, "", "gull", "Gull"},
		{map[string]string{"project": "Gull"}, "", "Gull", "Gull"},
		{map[string]string{"name": "", "project": "Gull"}, "", "Gull", "Gull"},
		{map[string]string{"name": "Tern", "project": "Gull"}, "", "Tern", ""},
		{map[string]string{"name": "Tern"}, draft, "Tern", "Gull"},
	} {
		req := ana
		req.Options, req.Action = one.options, &reply.Action{Key: one.key}
		require.Equal(t, one.named, DesignNamed(req))
		reads := Design
		if one.key != "" {
			reads |= Draft
		}
		s := sat(t, r, req, reads)
		p, err := s.Design()
		require.Equal(t, one.read, p.Name, one)
		require.Equal(t, one.named == "Tern" && one.read == "", errors.Is(err, store.ErrNotFound), one)
		require.Equal(t, errors.Is(err, store.ErrNotFound), len(s.Designs()) == 1, one)
	}
}

// A button is that of its own answer: nobody else's, of no other kind, and not older
// than it works.
func TestAButtonRemembersItsOwn(t *testing.T) {
	r := roomOn(t, storetest.NewMemory())
	draft, _ := everything(t, r)
	press := func(change func(*reply.Request)) Sitting {
		req := ana
		req.Action = &reply.Action{Key: draft}
		change(&req)
		return sat(t, r, req, Draft)
	}
	var holds map[string]string
	require.NoError(t, press(func(*reply.Request) {}).Kept("sheet", &holds))
	require.Equal(t, map[string]string{"Name": "Gull"}, holds)
	for _, s := range []Sitting{
		press(func(q *reply.Request) { q.Member = "22" }), press(func(q *reply.Request) { q.Action.Key = "gone" }), press(func(q *reply.Request) { q.Now = q.Now.Add(DraftLife) }),
	} {
		var refused *reply.UserError
		require.ErrorAs(t, s.Kept("sheet", &holds), &refused)
		require.ErrorIs(t, refused, store.ErrNotFound)
	}
	var refused *reply.UserError
	require.ErrorAs(t, press(func(*reply.Request) {}).Kept("plan", &holds), &refused)
	require.Contains(t, refused.Error(), "somebody else's answer, or is more than a week old")
}

// Of lists what is damaged is left out and said; a record by itself is needed whole.
func TestDamagedRecordsAreSpared(t *testing.T) {
	engine := storetest.NewMemory()
	r := roomOn(t, engine)
	draft, _ := everything(t, r)
	kept := map[string][]byte{}
	require.NoError(t, engine.View(t.Context(), func(r pairs.Reader) error {
		for pair, err := range r.Scan(nil, nil) {
			if err != nil {
				return err
			}
			kept[string(pair.Key)] = append([]byte{}, pair.Value...)
		}
		return nil
	}))
	put := func(key string, value []byte) {
		require.NoError(t, engine.Update(t.Context(), func(w pairs.Writer) error { return w.Put([]byte(key), value) }))
	}
	const all = Knots | Swatches | Leftovers | Rules | Settings | Design | Designs | Underway
	whole := map[byte]bool{'g': true, 'p': true, 'd': true} // settings, projects, drafts
	spared := map[byte]int{}
	for key, value := range kept {
		if len(key) < 18 || strings.IndexByte("MC", key[0]) < 0 || strings.IndexByte("fskrlngpd", key[17]) < 0 {
			continue // no record of a member or a community, whose 18th byte says its kind
		}
		put(key, append(value[:len(value):len(value)], 'x'))
		req := ana
		req.Options, req.Action = map[string]string{"name": "Gull"}, &reply.Action{Key: draft}
		s, err := r.Sit(t.Context(), req, all)
		if tag := key[17]; whole[tag] || tag == 'n' && err != nil {
			require.ErrorIs(t, err, store.ErrDamaged, store.DescribeKey([]byte(key)))
		} else {
			require.NoError(t, err, store.DescribeKey([]byte(key)))
			require.Len(t, s.Troubles().Damaged, 1, store.DescribeKey([]byte(key)))
			require.ErrorIs(t, s.Troubles().Damaged[0], store.ErrDamaged)
			spared[tag]++
		}
		put(key, value)
	}
	require.Equal(t, map[byte]int{'f': 1, 's': 1, 'k': 1, 'r': 2, 'l': 1}, spared)
}

// refusing is an engine that takes no changes.
type refusing struct {
	pairs.Engine
	with error
}

func (r *refusing) Update(ctx context.Context, change func(pairs.Writer) error) error {
	if r.with != nil {
		return r.with
	}
	return r.Engine.Update(ctx, change)
}

func (r *refusing) View(ctx context.Context, read func(pairs.Reader) error) error {
	if errors.Is(r.with, errGone) {
		return r.with
	}
	return r.Engine.View(ctx, read)
}

var errGone = errors.New("the store is gone")

// Where the store takes no changes an answer goes on without its buttons, and says why;
// what else was to be changed fails, and so does everything for another reason.
func TestAnswersWithoutTheirButtons(t *testing.T) {
	engine := &refusing{Engine: storetest.NewMemory()}
	r := roomOn(t, engine)
	one := Remembered{Kind: "sheet", Holds: 1}
	change := func(*store.Tx) error { return nil }
	for _, with := range []error{nil, store.ErrFull, store.ErrReadOnly, store.ErrUnavailable, errGone} {
		engine.with = nil
		s := sat(t, r, ana, 0)
		engine.with = with
		for _, all := range [][]Remembered{{one}, {one, one}} {
			keys, err := s.KeepAll(t.Context(), ana, nil, all...)
			if with == errGone {
				require.ErrorIs(t, err, errGone)
				require.NoError(t, s.Troubles().Unkept)
			} else {
				require.NoError(t, err)
				require.Len(t, keys, len(all))
				require.ErrorIs(t, s.Troubles().Unkept, with)
				require.Equal(t, with == nil, keys[0] != "")
			}
		}
		_, err := s.KeepAll(t.Context(), ana, change, one)
		require.ErrorIs(t, err, with)
		_, err = s.Keep(t.Context(), ana, "sheet", 1)
		require.Equal(t, with == errGone, err != nil)
		_, err = s.Keep(t.Context(), ana, "sheet", func() {})
		require.Error(t, err, "what cannot be written down")
	}
	require.Equal(t, Prefs{}, r.Prefs(t.Context(), ana), "the usual where they cannot be read")
	_, err := r.Sit(t.Context(), ana, 0)
	require.ErrorIs(t, err, errGone)
}

// What a request changes is changed once, however often it is delivered, and its sitting
// is the one after it.
func TestAChangeIsMadeOnce(t *testing.T) {
	r := roomOn(t, storetest.NewMemory())
	s := sat(t, r, ana, Swatches)
	add := func(tx *store.Tx) error {
		_, err := tx.SaveSwatch(tied(t, "square knot", "", 4*mm, 0, 0, 1), 0)
		return err
	}
	count := func(s Sitting) int {
		list, err := s.Swatches(s.Standard)
		require.NoError(t, err)
		return len(list)
	}
	for range 2 {
		after, err := s.Change(t.Context(), ana, add)
		require.NoError(t, err)
		require.Equal(t, 1, count(after))
		require.Zero(t, count(s), "of the moment before")
	}
	failed := errors.New("no")
	again := ana
	again.ID = "2"
	_, err := s.Change(t.Context(), again, func(tx *store.Tx) error {
		require.NoError(t, add(tx))
		return failed
	})
	require.ErrorIs(t, err, failed)
	require.Equal(t, 1, count(sat(t, r, ana, Swatches)), "all or nothing")

	// Buttons that are kept with a change are the same in both deliveries.
	again.ID = "3"
	first, err := s.KeepAll(t.Context(), again, add, Remembered{Kind: "sheet", Holds: 1}, Remembered{Kind: "plan", Holds: 2})
	require.NoError(t, err)
	second, err := s.KeepAll(t.Context(), again, add, Remembered{Kind: "sheet", Holds: 1}, Remembered{Kind: "plan", Holds: 2})
	require.NoError(t, err)
	require.Equal(t, first, second)
	require.NotEqual(t, first[0], first[1])
	require.Equal(t, 2, count(sat(t, r, ana, Swatches)))
	again.ID = "4"
	_, err = s.KeepAll(t.Context(), again, func(*store.Tx) error { return failed }, Remembered{Kind: "sheet", Holds: 1})
	require.ErrorIs(t, err, failed)
}

// A rehearsal answers, or refuses, as the real thing would, and changes nothing.
func TestARehearsalChangesNothing(t *testing.T) {
	r := roomOn(t, storetest.NewMemory())
	everything(t, r)
	req := ana
	req.ID = "2"
	s := sat(t, r, req, Swatches).Rehearsal()
	after, err := s.Change(t.Context(), req, func(tx *store.Tx) error {
		_, err := tx.SaveSwatch(tied(t, "half knot", "", 4*mm, 0, 0, 1), 0)
		return err
	})
	require.NoError(t, err)
	list, err := after.Swatches(after.Standard)
	require.NoError(t, err)
	require.Len(t, list, 2)
	keys, err := s.KeepAll(t.Context(), req, nil, Remembered{Kind: "sheet", Holds: 1}, Remembered{Kind: "plan", Holds: 2})
	require.NoError(t, err)
	require.Equal(t, []string{"", ""}, keys)
	keys, err = s.KeepAll(t.Context(), req, func(*store.Tx) error { return nil }, Remembered{Kind: "sheet", Holds: 1})
	require.NoError(t, err)
	require.NotEmpty(t, keys[0])
	_, err = s.Forget(t.Context(), req.Member)
	require.NoError(t, err)
	failed := errors.New("no")
	_, _, err = s.Once(t.Context(), req, func(*store.Tx) (json.RawMessage, error) { return nil, failed })
	require.ErrorIs(t, err, failed)
	now := sat(t, r, req, Swatches|Underway)
	list, err = now.Swatches(now.Standard)
	require.NoError(t, err)
	require.Len(t, list, 1)
	_, err = r.Store.Draft(t.Context(), req.Member, req.Now, keys[0])
	require.ErrorIs(t, err, store.ErrNotFound)

	// The same request is done when it is meant.
	forgotten, err := now.Forget(t.Context(), req.Member)
	require.NoError(t, err)
	require.NotZero(t, forgotten)
	require.Empty(t, sat(t, r, req, Designs).Designs())
}
