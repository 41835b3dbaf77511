package seal

import (
	"bytes"
	"compress/flate"
	"errors"
	"fmt"
	"io"
	"sync"
)

// A record's JSON stands in its value as it is, or packed where that makes it
// shorter: a byte that no JSON begins with, and the DEFLATE (RFC 1951) of it.
const packed = 0

// packFrom is how long JSON must be for packing to be worth its time, in bytes.
const packFrom = 256

var errTooLarge = errors.New("it is larger than any record")

var packers = sync.Pool{New: func() any {
	w, err := flate.NewWriter(io.Discard, flate.BestSpeed) // the others spend as long again on beginning
	if err != nil {
		panic(err) // the level is one that flate knows
	}
	return w
}}

// pack returns the JSON, packed where that makes it shorter.
func pack(body []byte) ([]byte, error) {
	if len(body) < packFrom {
		return body, nil
	}
	out := bytes.NewBuffer(make([]byte, 0, len(body)))
	out.WriteByte(packed)
	w := packers.Get().(*flate.Writer)
	defer packers.Put(w)
	w.Reset(out)
	if _, err := w.Write(body); err != nil {
		return nil, fmt.Errorf("packing a record: %w", err)
	}
	if err := w.Close(); err != nil {
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
	out, err := io.ReadAll(io.LimitReader(r, int64(longest)+1))
	if err == nil && len(out) > longest {
		err = errTooLarge
	}
	return out, err
}
