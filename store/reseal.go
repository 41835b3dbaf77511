package store

import "context"

// Reseal seals every value that is plain or sealed with an old key with the
// current key, in small transactions, while the store stays in use. It returns
// how many it sealed. When it has finished, old keys are needed no more. A
// Reseal that was broken off is taken up by calling it again. Earlier backups
// stay as they were, and so do unused pages of the file until it is compacted.
func (s *Shelf) Reseal(ctx context.Context) (int, error) {
	if s.codec.current == nil {
		return 0, &Fault{Kind: ErrWrongKey, Sentence: "No key was given, so there is nothing to seal with."}
	}
	stale := func(pair Pair) bool { return !s.codec.upToDate(pair.Value) }
	n, err := s.rewrite(ctx, stale, func(w Writer, pair Pair) error {
		sealed, err := s.codec.reseal(pair.Key, pair.Value)
		if err != nil {
			return err
		}
		return w.Put(pair.Key, sealed)
	})
	if err != nil {
		return n, err
	}
	if err := s.changeHeader(ctx, func(h *header) { h.Unfinished = nil }); err != nil {
		return n, err
	}
	s.codec.plain.Store(false)
	return n, nil
}

// PartlyPlain tells that the store has a key but still holds, or may hold, values
// from the time before it had one: until [Shelf.Reseal] has finished.
func (s *Shelf) PartlyPlain() bool { return s.codec.current != nil && s.codec.plain.Load() }
