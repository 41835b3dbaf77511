package store

import (
	"context"
	"encoding/json"
	"time"
)

// One change in a transaction of its own: a member's change goes through
// [Records.Once] with others, tests of the records make them one by one.

func (s *Records) RenameProject(ctx context.Context, member string, now time.Time, id, name string, expected uint64) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.RenameProject(id, name, expected) })
}

func (s *Records) CopyProject(ctx context.Context, member string, now time.Time, id, name string) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.CopyProject(id, name) })
}

func (s *Records) DeleteProject(ctx context.Context, member string, now time.Time, id string, expected uint64) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.DeleteProject(id, expected) })
}

func (s *Records) RestoreProject(ctx context.Context, member string, now time.Time, id, name string) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.RestoreProject(id, name) })
}

func (s *Records) UndoProject(ctx context.Context, member string, now time.Time, id string, steps int, expected uint64) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.UndoProject(id, steps, expected) })
}

func (s *Records) UndoLeftovers(ctx context.Context, member string, now time.Time, steps int, expected uint64) (Leftovers, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Leftovers, error) { return tx.UndoLeftovers(steps, expected) })
}

func (s *Records) SaveSwatch(ctx context.Context, member string, now time.Time, swatch Swatch, expected uint64) (Swatch, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Swatch, error) { return tx.SaveSwatch(swatch, expected) })
}

func (s *Records) DeleteSwatch(ctx context.Context, member string, now time.Time, id string) (Swatch, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Swatch, error) { return tx.DeleteSwatch(id) })
}

func (s *Records) SavePreferences(ctx context.Context, member string, now time.Time, data json.RawMessage, expected uint64) (Preferences, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Preferences, error) { return tx.SavePreferences(data, expected) })
}

func (s *Records) SaveEntry(ctx context.Context, member string, now time.Time, book Book, e Entry, expected uint64) (Entry, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Entry, error) { return tx.SaveEntry(book, e, expected) })
}

func (s *Records) DeleteEntry(ctx context.Context, member string, now time.Time, book Book, name string) (Entry, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Entry, error) { return tx.DeleteEntry(book, name) })
}

func (s *Records) SaveCommunityEntry(ctx context.Context, member string, now time.Time, community string, book Book, e Entry, expected uint64) (Entry, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Entry, error) { return tx.SaveCommunityEntry(community, book, e, expected) })
}

func (s *Records) DeleteCommunityEntry(ctx context.Context, member string, now time.Time, community string, book Book, name string) (Entry, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Entry, error) { return tx.DeleteCommunityEntry(community, book, name) })
}

func (s *Records) SaveSettings(ctx context.Context, member string, now time.Time, community string, set Settings, expected uint64) (Settings, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Settings, error) { return tx.SaveSettings(community, set, expected) })
}

func (s *Records) ShareProject(ctx context.Context, member string, now time.Time, share Share) (Share, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Share, error) { return tx.ShareProject(share) })
}

func (s *Records) Unshare(ctx context.Context, member string, now time.Time, id string) (Share, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Share, error) { return tx.Unshare(id) })
}

func (s *Records) DeleteDraft(ctx context.Context, member string, now time.Time, key string) error {
	_, err := write(ctx, s, member, now, func(tx *Tx) (struct{}, error) { return struct{}{}, tx.DeleteDraft(key) })
	return err
}
