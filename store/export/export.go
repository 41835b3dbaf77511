// Package export writes a JSON document as ZIP files of a bounded size, for a member to
// take away: values and lists under their names, one record on a line, lengths in
// millimetres.
//
// What will hurt you: no more than one part is held in memory, and one value. A list
// that does not fit goes on in the next part, under the same name.
package export

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Head opens a document.
type Head struct {
	Format  string    `json:"format"`
	Version int       `json:"version"`
	Member  string    `json:"member"`
	Made    time.Time `json:"made"`
	Part    int       `json:"part"` // from 1
}

// Writer writes JSON objects value by value, compressed as it goes. What fails first
// ends it; what cannot be read is noted and left out.
type Writer struct {
	head    Head
	name    string // of a part's file, with a place for its number
	limit   int
	hand    func(file []byte) error
	out     bytes.Buffer
	zip     *zip.Writer   // writes into out
	packer  *flate.Writer // compresses for zip
	into    io.Writer     // the file within the zip
	pending int           // bytes written since the last flush, of which out may not show anything yet
	holds   bool          // the part holds something already
	failed  error         // writing; nothing more is written
	damaged []error       // reading
}

const (
	flush = 1 << 20 // so many bytes are compressed together
	tail  = 1 << 10 // room for what closes a part
)

// New begins a document. Name is that of a part's file, with %d for its number; a part
// has at most limit bytes where one value fits into it, and is handed over when it is
// full.
func New(head Head, name string, limit int, hand func(file []byte) error) *Writer {
	x := &Writer{head: head, name: name, limit: limit, hand: hand}
	x.begin()
	return x
}

// begin opens a part.
func (x *Writer) begin() {
	x.head.Part++
	x.out.Reset()
	x.holds = false
	x.zip = zip.NewWriter(&x.out)
	x.zip.RegisterCompressor(zip.Deflate, func(out io.Writer) (_ io.WriteCloser, err error) {
		x.packer, err = flate.NewWriter(out, flate.DefaultCompression)
		return x.packer, err
	})
	if x.failed == nil {
		x.into, x.failed = x.zip.CreateHeader(&zip.FileHeader{
			Name: fmt.Sprintf(x.name, x.head.Part), Method: zip.Deflate, Modified: x.head.Made})
	}
	text, err := json.MarshalIndent(x.head, "", "  ")
	x.Note(err)
	if err == nil {
		x.write(text[:len(text)-len("\n}")])
	}
}

// end closes a part and hands it over.
func (x *Writer) end() {
	x.printf("\n}\n")
	if x.failed == nil {
		x.failed = x.zip.Close()
	}
	x.pending = 0
	if x.failed == nil {
		x.failed = x.hand(bytes.Clone(x.out.Bytes()))
	}
}

func (x *Writer) printf(format string, args ...any) { x.write(fmt.Appendf(nil, format, args...)) }

func (x *Writer) write(text []byte) {
	if x.failed != nil {
		return
	}
	_, x.failed = x.into.Write(text)
	if x.pending += len(text); x.pending >= flush && x.failed == nil {
		x.failed, x.pending = errors.Join(x.packer.Flush(), x.zip.Flush()), 0
	}
}

// next goes on to another part where so much more text may not fit into this
// one. Text that cannot be made shorter grows by less than a thousandth.
func (x *Writer) next(n int, close, open func()) {
	more := x.pending + n
	if x.holds && x.out.Len()+more+more/1000+tail > x.limit {
		close()
		x.end()
		x.begin()
		open()
	}
	x.holds = true
}

// Note keeps an error of reading what was to be written, see [Writer.Finish].
func (x *Writer) Note(err error) {
	if err != nil {
		x.damaged = append(x.damaged, err)
	}
}

// Value writes one named value, in the next part if it does not fit into this one.
func (x *Writer) Value(name string, value any) {
	text, err := readable(value)
	if err != nil {
		x.Note(err)
		return
	}
	x.next(len(text), func() {}, func() {})
	x.printf(",\n  %q: ", name)
	x.write(text)
}

// List writes a named list, which goes on in the next part where this one is full.
func List[T any](x *Writer, name string, items iter.Seq2[T, error]) {
	x.printf(",\n  %q: [", name)
	separator := ""
	for item, err := range items {
		if err != nil {
			x.Note(err)
			continue
		}
		text, err := readable(item)
		if err != nil {
			x.Note(err)
			continue
		}
		x.next(len(text), func() { x.printf("]") }, func() {
			x.printf(",\n  %q: [", name)
			separator = ""
		})
		x.printf("%s\n    ", separator)
		x.write(text)
		separator = ","
		if x.failed != nil {
			return
		}
	}
	if separator != "" {
		x.printf("\n  ")
	}
	x.printf("]")
}

// nanometres is a length as records hold it. Only a key is followed by a colon, and
// within a text quotation marks are escaped.
var nanometres = regexp.MustCompile(`_nm":(-?[0-9]+)`)

// readable is a value as people read it in an export: its lengths in millimetres.
func readable(value any) ([]byte, error) {
	text, err := json.Marshal(value)
	return nanometres.ReplaceAllFunc(text, func(found []byte) []byte {
		n, err := strconv.ParseInt(string(found[len(`_nm":`):]), 10, 64)
		if err != nil {
			return found
		}
		const perMillimetre = 1_000_000
		sign, rest := "", n%perMillimetre
		if n < 0 {
			sign, n, rest = "-", -n, -rest
		}
		number := fmt.Sprintf("%s%d.%06d", sign, n/perMillimetre, rest)
		return []byte(`_mm":` + strings.TrimSuffix(strings.TrimRight(number, "0"), "."))
	}), err
}

// Finish hands the last part over. Damaged are the errors of what could not be read;
// err is one of writing.
func (x *Writer) Finish() (damaged []error, err error) {
	x.end()
	if x.failed != nil {
		return nil, fmt.Errorf("writing the export: %w", x.failed)
	}
	return x.damaged, nil
}
