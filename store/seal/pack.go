package seal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"sync"

	"github.com/klauspost/compress/flate"
)

// A record's JSON stands in its value as it is, or packed where that makes it
// shorter: a byte that no JSON begins with, and the DEFLATE (RFC 1951) of it.
const packed = 0

// packFrom is how long JSON must be for packing to be worth its time, in bytes.
const packFrom = 256

// usualPacking is how many times as long a record's JSON is as it is packed, at most
// but for sheets that repeat themselves.
const usualPacking = 4

var errTooLarge = errors.New("it is larger than any record")

// pack returns the JSON, packed where that makes it shorter.
func pack(body []byte) ([]byte, error) {
	if len(body) < packFrom {
		return body, nil
	}
	out := bytes.NewBuffer(make([]byte, 0, len(body)))
	out.WriteByte(packed)
	if err := flate.StatelessDeflate(out, body, true, nil); err != nil {
		return nil, fmt.Errorf("packing a record: %w", err)
	}
	if out.Len() >= len(body) {
		return body, nil
	}
	return out.Bytes(), nil
}

var unpackers = sync.Pool{New: func() any { return flate.NewReader(nil) }}

// unpack returns the JSON again, which has at most so many bytes.
func unpack(body []byte, longest int) ([]byte, error) {
	if len(body) == 0 || body[0] != packed {
		return body, nil
	}
	r := unpackers.Get().(io.ReadCloser)
	defer unpackers.Put(r)
	if err := r.(flate.Resetter).Reset(bytes.NewReader(body[1:]), nil); err != nil {
		return nil, err
	}
	out := bytes.NewBuffer(make([]byte, 0, usualPacking*len(body)))
	if _, err := out.ReadFrom(io.LimitReader(r, int64(longest)+1)); err != nil {
		return nil, err
	}
	if out.Len() > longest {
		return nil, errTooLarge
	}
	return out.Bytes(), nil
}
