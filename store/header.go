package store

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"larkfold/store/pairs"
	"larkfold/store/seal"
)

// header is the record that says how the rest of a store is to be read.
type header struct {
	Format int    `json:"format"`
	Writer string `json:"writer,omitempty"` // the program's version that wrote this format first, for older ones to name
	Secret []byte `json:"secret"`           // makes the tokens in keys

	// Unfinished names what values may still be sealed with besides the current
	// key while sealing is on its way: ids of keys, or "plain".
	Unfinished []string `json:"unfinished,omitempty"`

	// Sealed is how many values were sealed with the current key at most; see [Records.countSeals].
	Sealed uint64 `json:"sealed,omitempty"`
}

const plainValues = "plain"

// readHeader returns the store's header. A store with no record at all has none.
func (c codec) readHeader(r pairs.Reader) (h header, sealedBy string, found bool, err error) {
	value, found, err := r.Get(HeaderKey())
	if err != nil {
		return header{}, "", false, err
	}
	if !found {
		for pair, err := range r.Scan(nil, nil) {
			if err != nil {
				return header{}, "", false, err
			}
			if pair.Key[0] == spaceMove {
				return header{}, "", false, &Fault{Kind: ErrUnfinished, Sentence: "A store was being moved here, and that is not finished. Move it again: what is here already is not copied again."}
			}
			return header{}, "", false, damaged(HeaderKey(), "it is missing although there is a "+DescribeKey(pair.Key))
		}
		return header{}, "", false, nil
	}
	sealedBy = plainValues
	if id, ok := seal.SealedWith(value); ok {
		sealedBy = id
		if err := c.mustKnow(sealedBy); err != nil {
			return header{}, "", false, err
		}
	}
	err = c.decode(HeaderKey(), value, &h)
	if errors.Is(err, ErrNewerFormat) || err == nil && h.Format > format {
		return header{}, "", false, c.tooNew(value)
	}
	if err != nil {
		return header{}, "", false, err
	}
	if len(h.Secret) == 0 {
		return header{}, "", false, damaged(HeaderKey(), "it holds no secret")
	}
	for _, id := range h.Unfinished {
		if err := c.mustKnow(id); err != nil {
			return header{}, "", false, err
		}
	}
	return h, sealedBy, true, nil
}

// tooNew refuses a store whose header a newer program wrote, and names that
// program, as far as this one can read what it says.
func (c codec) tooNew(value []byte) error {
	var h header
	if _, body, err := c.Open(HeaderKey(), value); err == nil {
		_ = json.Unmarshal(body, &h) // what cannot be read stays unsaid
	}
	has, with := "a newer format", "a newer program"
	if h.Format > format {
		has = fmt.Sprintf("format %d", h.Format)
	}
	if h.Writer != "" {
		with = "version " + h.Writer + " or a newer one"
	}
	return &Fault{Kind: ErrNewerFormat, Sentence: fmt.Sprintf(
		"This store has %s; this program reads formats up to %d. Use %s.", has, format, with)}
}

// mustKnow refuses a store that needs a key which was not given.
func (c codec) mustKnow(id string) error {
	if id == plainValues || c.Knows(id) {
		return nil
	}
	if c.Current() == "" {
		return &Fault{Kind: ErrWrongKey, Sentence: fmt.Sprintf("This store is sealed with the key %s. Name the file of that key with --key-file or LARKFOLD_KEY_FILE.", id)}
	}
	return &Fault{Kind: ErrWrongKey, Sentence: fmt.Sprintf(
		"This store needs the key %s, and the key file given holds %s. Give the right one; `larkfold reseal --old-key-file` changes the key of a store.", id, c.Current())}
}

// settle takes over what a header says.
func (s *Records) settle(h header) {
	s.hash = newHasher(h.Secret)
	s.format = h.Format
	s.codec.Begin(s.codec.Current() == "" || slices.Contains(h.Unfinished, plainValues), h.Sealed)
}

func (c codec) wantsNewSeal(sealedBy string) bool {
	return c.Current() != "" && c.Current() != sealedBy
}

// writeHeader makes a new store's header, or seals the one of an older store
// with the current key and notes what its values are still sealed with.
func (s *Records) writeHeader(ctx context.Context) (h header, err error) {
	err = s.update(ctx, func(w pairs.Writer) error {
		stored, sealedBy, found, err := s.codec.readHeader(w)
		if err != nil {
			return err
		}
		h = stored
		if !found {
			h = header{Format: format, Writer: s.version, Secret: make([]byte, secretSize)}
			if _, err := io.ReadFull(s.random, h.Secret); err != nil {
				return fmt.Errorf("making the store's secret: %w", err)
			}
		} else if s.codec.wantsNewSeal(sealedBy) && !slices.Contains(h.Unfinished, sealedBy) {
			h.Unfinished = append(h.Unfinished, sealedBy)
			h.Sealed = 0
		}
		return putHeader(w, s.codec, h)
	})
	return h, err
}

func putHeader(w pairs.Writer, c codec, h header) error {
	value, err := c.encode(HeaderKey(), h)
	if err != nil {
		return err
	}
	return w.Put(HeaderKey(), value)
}

// countSeals sees to it that the header knows of the values that the next
// transaction seals, before it seals them. It refuses a key that has sealed as much as
// it may.
func (s *Records) countSeals(ctx context.Context) error {
	return s.codec.Reserve(func() (reserved uint64, err error) {
		err = s.changeHeader(ctx, func(h *header) error {
			if h.Sealed+seal.Reserved > seal.Limit {
				return &Fault{Kind: ErrWrongKey, Sentence: fmt.Sprintf(
					"The key %s has sealed as many values as a key may. Nothing was saved; `larkfold keygen` and `larkfold reseal` give the store another key.", s.codec.Current())}
			}
			h.Sealed += seal.Reserved
			reserved = h.Sealed
			return nil
		})
		return reserved, err
	})
}

// Sealing tells which key seals the store, empty for none, and how many values
// it has sealed at most, of [seal.Limit].
func (s *Records) Sealing() (key string, sealed uint64) { return s.codec.Current(), s.codec.Sealed() }

// secretSize is how long the secret of a store is, in bytes.
const secretSize = 32

func randomOr(given io.Reader) io.Reader {
	if given == nil {
		return rand.Reader
	}
	return given
}
