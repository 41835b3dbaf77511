package store

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
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

// newCodec prepares the keys and lets plain values through until the header says otherwise.
func newCodec(current *Key, old []*Key) (*codec, error) {
	keys := &keyring{plain: true}
	for _, k := range append([]*Key{current}, old...) {
		if k == nil {
			continue
		}
		s, err := newSealer(k)
		if err != nil {
			return nil, err
		}
		keys.known = append(keys.known, s)
		if k == current {
			keys.current = s
		}
	}
	if keys.current == nil && len(keys.known) > 0 {
		return nil, &Fault{Kind: ErrWrongKey, Sentence: "Old keys were given, but no current key to seal with."}
	}
	c := &codec{}
	c.keys.Store(keys)
	return c, nil
}

// readHeader returns the store's header. A store with no record at all has none.
func (c *codec) readHeader(r Reader) (h header, sealedBy string, found bool, err error) {
	value, found, err := r.Get(headerKey())
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
			return header{}, "", false, damaged(headerKey(), "it is missing although there is a "+DescribeKey(pair.Key))
		}
		return header{}, "", false, nil
	}
	sealedBy = plainValues
	if id, ok := sealedWith(value); ok {
		sealedBy = id.String()
		if err := c.mustKnow(sealedBy); err != nil {
			return header{}, "", false, err
		}
	}
	err = c.decode(headerKey(), value, &h)
	if errors.Is(err, ErrNewerFormat) || err == nil && h.Format > format {
		return header{}, "", false, c.tooNew(value)
	}
	if err != nil {
		return header{}, "", false, err
	}
	if len(h.Secret) == 0 {
		return header{}, "", false, damaged(headerKey(), "it holds no secret")
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
func (c *codec) tooNew(value []byte) error {
	var h header
	if _, body, err := c.open(headerKey(), value); err == nil {
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
func (c *codec) mustKnow(id string) error {
	keys := c.keys.Load()
	if id == plainValues || slices.ContainsFunc(keys.known, func(s *sealer) bool { return s.id.String() == id }) {
		return nil
	}
	if keys.current == nil {
		return &Fault{Kind: ErrWrongKey, Sentence: fmt.Sprintf("This store is sealed with the key %s. Give its key file to open it.", id)}
	}
	return &Fault{Kind: ErrWrongKey, Sentence: fmt.Sprintf(
		"This store needs the key %s, and the key file given holds %s. Give the right one, or the old one beside the new one.", id, keys.current.id)}
}

// settle takes over what a header says.
func (s *Records) settle(h header) {
	s.hash = newHasher(h.Secret)
	s.format = h.Format
	keys := *s.codec.keys.Load()
	keys.plain = keys.current == nil || slices.Contains(h.Unfinished, plainValues)
	s.codec.keys.Store(&keys)
	if keys.current != nil {
		keys.current.start(h.Sealed)
	}
}

func (c *codec) wantsNewSeal(sealedBy string) bool {
	current := c.keys.Load().current
	return current != nil && current.id.String() != sealedBy
}

// writeHeader makes a new store's header, or seals the one of an older store
// with the current key and notes what its values are still sealed with.
func (s *Records) writeHeader(ctx context.Context) (h header, err error) {
	err = s.update(ctx, func(w Writer) error {
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

func putHeader(w Writer, c *codec, h header) error {
	value, err := c.encode(headerKey(), h)
	if err != nil {
		return err
	}
	return w.Put(headerKey(), value)
}

func randomOr(given io.Reader) io.Reader {
	if given == nil {
		return rand.Reader
	}
	return given
}
