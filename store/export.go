package store

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"context"
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

// exportHead opens an exported document.
type exportHead struct {
	Format  string    `json:"format"` // "larkfold export"
	Version int       `json:"version"`
	Member  string    `json:"member"`
	Made    time.Time `json:"made"`
	Part    int       `json:"part"` // from 1
}

// exportedProject is a project with its earlier revisions, the oldest first.
type exportedProject struct {
	Project
	History []Project `json:"history,omitempty"`
}

// Export hands over everything about a member as JSON objects, each in a ZIP
// file of its own of at most limit bytes, in so many parts as that takes: one
// for a member within [Limits.KeepBytes] where limit is larger than that and
// what passes. A part has format, version, member, made, part, and lists:
// projects and deleted_projects, each with its history; shelf, shelf_changes;
// swatches; preferences; knots, rules; contributions to communities; shares;
// drafts; operations. A list that does not fit goes on in the next part. Lengths
// are in millimetres, without loss; one record stands on a line. No more than one part and one
// project with its history is held in memory. A damaged record is left out and
// named in an [Incomplete], which comes after the rest was handed over.
func (s *Records) Export(ctx context.Context, member string, now time.Time, limit int, part func(file []byte) error) error {
	_, err := read(ctx, s, member, func(tx *Tx) (struct{}, error) {
		x := &exporter{head: exportHead{Format: "larkfold export", Version: 2, Member: member, Made: now.UTC().Round(0)}, limit: limit, hand: part}
		x.begin()
		tx.export(x)
		return struct{}{}, x.finish()
	})
	return err
}

func (tx *Tx) export(x *exporter) {
	exportList(x, "projects", tx.withHistory(projectRecord))
	exportList(x, "deleted_projects", tx.withHistory(binRecord))
	shelf, err := tx.Leftovers()
	x.note(err)
	x.member("shelf", shelf)
	exportList(x, "shelf_changes", scan[shelfChange](tx, tx.key(changeRecord)))
	exportList(x, "swatches", scan[Swatch](tx, tx.key(swatchRecord)))
	preferences, err := tx.Preferences()
	x.note(err)
	x.member("preferences", preferences)
	exportList(x, "knots", scan[Entry](tx, tx.key(knotRecord)))
	exportList(x, "rules", scan[Entry](tx, tx.key(ruleRecord)))
	exportList(x, "contributions", scan[contribution](tx, tx.key(contributedRecord)))
	exportList(x, "shares", tx.ownShares())
	exportList(x, "drafts", scan[Draft](tx, tx.key(draftRecord)))
	exportList(x, "operations", scan[operation](tx, tx.key(operationRecord)))
}

// withHistory yields the member's projects, or deleted projects, with their history.
func (tx *Tx) withHistory(t recordType) iter.Seq2[exportedProject, error] {
	return func(yield func(exportedProject, error) bool) {
		for p, err := range scan[Project](tx, tx.key(t)) {
			if err != nil {
				if !yield(exportedProject{}, err) {
					return
				}
				continue
			}
			history, err := collect(scan[Project](tx, tx.key(revisionRecord, []byte(p.ID))))
			if !yield(exportedProject{p, history}, nil) || err != nil && !yield(exportedProject{}, err) {
				return
			}
		}
	}
}

// exporter writes JSON objects member by member, compressed as it goes.
type exporter struct {
	head    exportHead
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
	exportFlush = 1 << 20 // so many bytes are compressed together
	exportTail  = 1 << 10 // room for what closes a part
)

// begin opens a part.
func (x *exporter) begin() {
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
			Name: fmt.Sprintf("larkfold-mydata-%d.json", x.head.Part), Method: zip.Deflate, Modified: x.head.Made})
	}
	text, err := json.MarshalIndent(x.head, "", "  ")
	x.note(err)
	if err == nil {
		x.write(text[:len(text)-len("\n}")])
	}
}

// end closes a part and hands it over.
func (x *exporter) end() {
	x.printf("\n}\n")
	if x.failed == nil {
		x.failed = x.zip.Close()
	}
	x.pending = 0
	if x.failed == nil {
		x.failed = x.hand(bytes.Clone(x.out.Bytes()))
	}
}

func (x *exporter) printf(format string, args ...any) { x.write(fmt.Appendf(nil, format, args...)) }

func (x *exporter) write(text []byte) {
	if x.failed != nil {
		return
	}
	_, x.failed = x.into.Write(text)
	if x.pending += len(text); x.pending >= exportFlush && x.failed == nil {
		x.failed, x.pending = errors.Join(x.packer.Flush(), x.zip.Flush()), 0
	}
}

// next goes on to another part where so much more text may not fit into this
// one. Text that cannot be made shorter grows by less than a thousandth.
func (x *exporter) next(n int, close, open func()) {
	more := x.pending + n
	if x.holds && x.out.Len()+more+more/1000+exportTail > x.limit {
		close()
		x.end()
		x.begin()
		open()
	}
	x.holds = true
}

func (x *exporter) note(err error) {
	if err != nil {
		x.damaged = append(x.damaged, err)
	}
}

// member writes one value, in the next part if it does not fit into this one.
func (x *exporter) member(name string, value any) {
	text, err := readable(value)
	if err != nil {
		x.note(err)
		return
	}
	x.next(len(text), func() {}, func() {})
	x.printf(",\n  %q: ", name)
	x.write(text)
}

// exportList writes a list, which goes on in the next part where this one is full.
func exportList[T any](x *exporter, name string, items iter.Seq2[T, error]) {
	x.printf(",\n  %q: [", name)
	separator := ""
	for item, err := range items {
		if err != nil {
			x.note(err)
			continue
		}
		text, err := readable(item)
		if err != nil {
			x.note(err)
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

func (x *exporter) finish() error {
	x.end()
	if x.failed != nil {
		return fmt.Errorf("writing the export: %w", x.failed)
	}
	for _, err := range x.damaged {
		if !errors.Is(err, ErrDamaged) {
			return errors.Join(x.damaged...)
		}
	}
	if len(x.damaged) > 0 {
		return &Incomplete{x.damaged}
	}
	return nil
}
