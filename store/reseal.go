package store

import (
	"context"

	"larkfold/store/pairs"
	"larkfold/store/seal"
)

// Reseal seals every value that is plain or sealed with an old key with the
// current key, in small transactions, while the store stays in use. It returns
// how many it sealed. When it has finished, old keys are needed no more. A
// Reseal that was broken off is taken up by calling it again. Damaged records
// are left as they are and named in the error, which comes after the rest is
// sealed. Earlier backups stay as they were, and so do unused pages of the file
// until it is tidied.
func (s *Records) Reseal(ctx context.Context) (int, error) {
	if s.codec.Current() == "" {
		return 0, &Fault{Kind: ErrWrongKey, Sentence: "No key was given, so there is nothing to seal with."}
	}
	stale := func(pair pairs.Pair) bool { return !s.codec.UpToDate(pair.Value) }
	n, err := s.rewrite(ctx, stale, func(tx *Tx, pair pairs.Pair) error {
		sealed, err := s.codec.reseal(pair.Key, pair.Value)
		if err != nil {
			return err
		}
		return tx.putValue(pair.Key, sealed)
	})
	if err != nil {
		return n, err
	}
	if err := s.changeHeader(ctx, func(h *header) error { h.Unfinished = nil; return nil }); err != nil {
		return n, err
	}
	s.codec.RefusePlain()
	return n, nil
}

// Rekey seals with another key from now on, while the store stays in use, and
// then does what [Records.Reseal] does. Until that has finished both keys are
// needed to open the store; every other program that has it open must be opened anew.
func (s *Records) Rekey(ctx context.Context, key *seal.Key) (int, error) {
	next, err := s.codec.Rekeyed(key)
	if err != nil {
		return 0, err
	}
	if next != nil {
		under := *s
		under.codec = codec{next}
		// The header comes first: no value may be sealed with a key that it does not know of.
		if _, err := under.writeHeader(ctx); err != nil {
			return 0, err
		}
		s.codec.Become(next)
	}
	return s.Reseal(ctx)
}

// PartlyPlain tells that the store has a key but still holds, or may hold, values
// from the time before it had one: until [Records.Reseal] has finished.
func (s *Records) PartlyPlain() bool { return s.codec.PartlyPlain() }
