package store

import (
	"errors"
	"fmt"
	"slices"

	"larkfold/store/pairs"
	"larkfold/store/seal"
)

// codec is [seal.Codec] with errors that name the record.
type codec struct{ *seal.Codec }

// newCodec prepares the keys and lets plain values through until the header says otherwise.
func newCodec(current *seal.Key, old []*seal.Key) (codec, error) {
	if current == nil && slices.ContainsFunc(old, func(k *seal.Key) bool { return k != nil }) {
		return codec{}, &Fault{Kind: ErrWrongKey, Sentence: "Old keys were given, but no current key to seal with."}
	}
	c, err := seal.New(format, pairs.MaxValueSize, current, old)
	return codec{c}, err
}

// encode returns the stored value of a record under its key.
func (c codec) encode(key []byte, record any) ([]byte, error) {
	value, err := c.Encode(key, record)
	if err != nil {
		return nil, fmt.Errorf("writing the %s: %w", DescribeKey(key), err)
	}
	return value, nil
}

// decode reads a stored value into record.
func (c codec) decode(key, value []byte, record any) error {
	return told(key, c.Decode(key, value, record))
}

// copied returns the stored value of a record under another key.
func (c codec) copied(from, to, value []byte) ([]byte, error) {
	copied, err := c.Copied(from, to, value)
	return copied, told(from, err)
}

// reseal returns a stored value sealed with the current key.
func (c codec) reseal(key, value []byte) ([]byte, error) {
	sealed, err := c.Reseal(key, value)
	return sealed, told(key, err)
}

// told is an error of the codec about the value under a key.
func told(key []byte, err error) error {
	var damage *seal.Damage
	switch {
	case errors.As(err, &damage):
		return damaged(key, damage.Reason)
	case errors.Is(err, seal.ErrNewer):
		return &Fault{Kind: ErrNewerFormat, Sentence: fmt.Sprintf(
			"The stored record %s was written by a newer version of this program. Use that version.", DescribeKey(key))}
	}
	return err
}

func damaged(key []byte, reason string) error {
	return &DamagedError{Key: slices.Clone(key), Record: DescribeKey(key), Reason: reason}
}
