package store

import (
	"context"
	"encoding/json"
	"time"
)

// One change in a transaction of its own: a member's change goes through
// [Shelf.Once] with others, tests of the records make them one by one.

func (s *Shelf) RenameProject(ctx context.Context, member string, now time.Time, id, name string, expected uint64) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.RenameProject(id, name, expected) })
}

func (s *Shelf) CopyProject(ctx context.Context, member string, now time.Time, id, name string) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.CopyProject(id, name) })
}

func (s *Shelf) DeleteProject(ctx context.Context, member string, now time.Time, id string, expected uint64) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.DeleteProject(id, expected) })
}

func (s *Shelf) RestoreProject(ctx context.Context, member string, now time.Time, id, name string) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.RestoreProject(id, name) })
}

func (s *Shelf) UndoProject(ctx context.Context, member string, now time.Time, id string, steps int, expected uint64) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.UndoProject(id, steps, expected) })
}

func (s *Shelf) UndoLeftovers(ctx context.Context, member string, now time.Time, steps int, expected uint64) (Leftovers, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Leftovers, error) { return tx.UndoLeftovers(steps, expected) })
}

func (s *Shelf) SaveSwatch(ctx context.Context, member string, now time.Time, swatch Swatch, expected uint64) (Swatch, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Swatch, error) { return tx.SaveSwatch(swatch, expected) })
}

func (s *Shelf) DeleteSwatch(ctx context.Context, member string, now time.Time, id string) (Swatch, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Swatch, error) { return tx.DeleteSwatch(id) })
}

func (s *Shelf) SavePreferences(ctx context.Context, member string, now time.Time, data json.RawMessage, expected uint64) (Preferences, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Preferences, error) { return tx.SavePreferences(data, expected) })
}

func (s *Shelf) SaveEntry(ctx context.Context, member string, now time.Time, book Book, e Entry, expected uint64) (Entry, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Entry, error) { return tx.SaveEntry(book, e, expected) })
}

func (s *Shelf) DeleteEntry(ctx context.Context, member string, now time.Time, book Book, name string) (Entry, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Entry, error) { return tx.DeleteEntry(book, name) })
}

func (s *Shelf) SaveCommunityEntry(ctx context.Context, member string, now time.Time, community string, book Book, e Entry, expected uint64) (Entry, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Entry, error) { return tx.SaveCommunityEntry(community, book, e, expected) })
}

func (s *Shelf) DeleteCommunityEntry(ctx context.Context, member string, now time.Time, community string, book Book, name string) (Entry, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Entry, error) { return tx.DeleteCommunityEntry(community, book, name) })
}

func (s *Shelf) SaveSettings(ctx context.Context, member string, now time.Time, community string, set Settings, expected uint64) (Settings, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Settings, error) { return tx.SaveSettings(community, set, expected) })
}

func (s *Shelf) ShareProject(ctx context.Context, member string, now time.Time, share Share) (Share, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Share, error) { return tx.ShareProject(share) })
}

func (s *Shelf) Unshare(ctx context.Context, member string, now time.Time, id string) (Share, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Share, error) { return tx.Unshare(id) })
}

func (s *Shelf) DeleteDraft(ctx context.Context, member string, now time.Time, key string) error {
	_, err := write(ctx, s, member, now, func(tx *Tx) (struct{}, error) { return struct{}{}, tx.DeleteDraft(key) })
	return err
}
