package export_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store/export"
)

var head = export.Head{Format: "test", Version: 2, Member: "ann", Made: time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)}

// part is one file that was handed over.
type part struct {
	name, text string
	bytes      int
}

// exported writes a document and returns its parts.
func exported(t *testing.T, limit int, write func(*export.Writer)) (parts []part, damaged []error) {
	t.Helper()
	x := export.New(head, "part-%d.json", limit, func(file []byte) error {
		z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
		require.NoError(t, err)
		require.Len(t, z.File, 1)
		f, err := z.File[0].Open()
		require.NoError(t, err)
		text, err := io.ReadAll(f)
		require.NoError(t, err)
		parts = append(parts, part{z.File[0].Name, string(text), len(file)})
		return nil
	})
	write(x)
	damaged, err := x.Finish()
	require.NoError(t, err)
	return parts, damaged
}

func sound[T any](items ...T) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		for _, item := range items {
			if !yield(item, nil) {
				return
			}
		}
	}
}

// A document as people read it: one record on a line, empty lists as lists.
func TestDocument(t *testing.T) {
	parts, damaged := exported(t, 1<<20, func(x *export.Writer) {
		export.List(x, "owls", sound("barn", "snowy"))
		export.List(x, "herons", sound[string]())
		x.Value("shelf", map[string]int{"length_nm": 1_500_000, "count": 2})
	})
	require.Empty(t, damaged)
	require.Len(t, parts, 1)
	require.Equal(t, "part-1.json", parts[0].name)
	require.Equal(t, `{
  "format": "test",
  "version": 2,
  "member": "ann",
  "made": "2026-03-01T12:00:00Z",
  "part": 1,
  "owls": [
    "barn",
    "snowy"
  ],
  "herons": [],
  "shelf": {"count":2,"length_mm":1.5}
}
`, parts[0].text)
}

// A nanometre is a millionth of a millimetre. What only looks like a length stays.
func TestLengthsAreInMillimetres(t *testing.T) {
	for written, want := range map[string]string{
		`{"a_nm":0}`: `{"a_mm":0}`, `{"a_nm":1}`: `{"a_mm":0.000001}`, `{"a_nm":-1}`: `{"a_mm":-0.000001}`,
		`{"a_nm":1000000}`: `{"a_mm":1}`, `{"a_nm":999999}`: `{"a_mm":0.999999}`, `{"a_nm":1000001}`: `{"a_mm":1.000001}`,
		`{"a_nm":25400000}`: `{"a_mm":25.4}`, `{"a_nm":-2500000}`: `{"a_mm":-2.5}`, `{"a_nm":10000000}`: `{"a_mm":10}`,
		`{"a_nm":9223372036854775807}`: `{"a_mm":9223372036854.775807}`, `{"a_nm":9223372036854775808}`: `{"a_nm":9223372036854775808}`,
		`{"nm":5}`: `{"nm":5}`, `{"text":"_nm\":5"}`: `{"text":"_nm\":5"}`, `{"a_nm":"5"}`: `{"a_nm":"5"}`,
	} {
		parts, _ := exported(t, 1<<20, func(x *export.Writer) { x.Value("v", json.RawMessage(written)) })
		require.Contains(t, parts[0].text, `"v": `+want+"\n")
	}
}

// noise is text that cannot be made shorter than three quarters.
func noise(r *rand.Rand, n int) string {
	b := make([]byte, n)
	for i := range b {
		b[i] = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_-"[r.IntN(64)]
	}
	return string(b)
}

// No part is larger than it may be, none is closed before it is half full, and together they hold
// everything in its order; a value that is larger than a part has one of its own.
func TestPartsAreBoundedAndFull(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const item = 2000
	for _, limit := range []int{10_000, 30_000} {
		var items []string
		for range 40 {
			items = append(items, noise(r, item))
		}
		parts, damaged := exported(t, limit, func(x *export.Writer) {
			export.List(x, "first", sound(items[:25]...))
			x.Value("between", "one")
			export.List(x, "second", sound(items[25:]...))
		})
		require.Empty(t, damaged)
		var first, second []string
		for n, p := range parts {
			var d struct {
				Part          int
				First, Second []string
			}
			require.NoError(t, json.Unmarshal([]byte(p.text), &d))
			require.Equal(t, n+1, d.Part)
			require.Equal(t, fmt.Sprintf("part-%d.json", n+1), p.name)
			require.LessOrEqual(t, p.bytes, limit)
			first, second = append(first, d.First...), append(second, d.Second...)
			if n < len(parts)-1 {
				require.Greater(t, p.bytes, limit/2-item)
			}
		}
		require.Equal(t, items, slices.Concat(first, second))
	}
	large := noise(r, 50_000)
	parts, _ := exported(t, 10_000, func(x *export.Writer) { export.List(x, "all", sound("small", large, "last")) })
	require.Len(t, parts, 3)
	require.Contains(t, parts[1].text, large)
}

// A document that is mostly blanks goes on in one part after what was compressed shows how small it is.
func TestWhatPacksWellStaysInOnePart(t *testing.T) {
	line := strings.Repeat("row square knot\n", 4000)
	parts, _ := exported(t, 1<<21, func(x *export.Writer) { export.List(x, "all", sound(slices.Repeat([]string{line}, 60)...)) })
	require.Len(t, parts, 1, "four megabytes that pack into a hundredth")
}

var (
	errSpoiled = errors.New("spoiled")
	errNoRoom  = errors.New("no room")
)

// What cannot be read is left out and said, and the rest arrives.
func TestDamageIsLeftOut(t *testing.T) {
	parts, damaged := exported(t, 1<<20, func(x *export.Writer) {
		export.List(x, "all", func(yield func(any, error) bool) {
			_ = yield("one", nil) && yield(nil, errSpoiled) && yield(func() {}, nil) && yield("two", nil)
		})
		x.Value("no JSON", func() {})
		x.Note(nil)
		x.Note(errSpoiled)
	})
	require.Len(t, damaged, 4)
	require.ErrorIs(t, damaged[0], errSpoiled)
	require.Contains(t, parts[0].text, "\"all\": [\n    \"one\",\n    \"two\"\n  ]\n}")
}

// What fails in writing ends it: nothing more is read or handed over.
func TestWritingThatFails(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	handed, read := 0, 0
	x := export.New(head, "part-%d.json", 10_000, func([]byte) error { handed++; return errNoRoom })
	export.List(x, "all", func(yield func(string, error) bool) {
		for read < 1000 && yield(noise(r, 2000), nil) {
			read++
		}
	})
	x.Value("more", 1)
	damaged, err := x.Finish()
	require.ErrorIs(t, err, errNoRoom)
	require.ErrorContains(t, err, "writing the export")
	require.Empty(t, damaged)
	require.Equal(t, 1, handed)
	require.Less(t, read, 8)
}
