package store

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"time"
)

// exportHead opens an exported document.
type exportHead struct {
	Format  string    `json:"format"` // "larkfold export"
	Version int       `json:"version"`
	Member  string    `json:"member"`
	Made    time.Time `json:"made"`
}

// exportedProject is a project with its earlier revisions, the oldest first.
type exportedProject struct {
	Project
	History []Project `json:"history,omitempty"`
}

// Export writes everything about a member as one indented JSON object: format,
// version, member, made; projects and deleted_projects, each with its history;
// shelf, shelf_changes; swatches; preferences; knots, rules; contributions to
// communities; shares; drafts; operations. Lengths are in nanometres. A damaged
// record is left out and named in the error, which comes after the rest is written.
func (s *Shelf) Export(ctx context.Context, member string, now time.Time, w io.Writer) error {
	_, err := read(ctx, s, member, func(tx *Tx) (struct{}, error) {
		x := &exporter{w: bufio.NewWriter(w)}
		x.head(exportHead{Format: "larkfold export", Version: 1, Member: member, Made: now.UTC().Round(0)})
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
	shares, err := tx.Shares()
	x.note(err)
	x.member("shares", shares)
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

// exporter writes one JSON object member by member, so that it need not be held in memory.
type exporter struct {
	w       *bufio.Writer
	failed  error   // writing; nothing more is written
	damaged []error // reading
}

func (x *exporter) printf(format string, args ...any) {
	if x.failed == nil {
		_, x.failed = fmt.Fprintf(x.w, format, args...)
	}
}

func (x *exporter) note(err error) {
	if err != nil {
		x.damaged = append(x.damaged, err)
	}
}

// head writes the members of the opening without its closing brace.
func (x *exporter) head(h exportHead) {
	text, err := json.MarshalIndent(h, "", "  ")
	x.note(err)
	if err == nil {
		x.printf("%s", text[:len(text)-len("\n}")])
	}
}

func (x *exporter) member(name string, value any) {
	text, err := json.MarshalIndent(value, "  ", "  ")
	if err != nil {
		x.note(err)
		return
	}
	x.printf(",\n  %q: %s", name, text)
}

func exportList[T any](x *exporter, name string, items iter.Seq2[T, error]) {
	x.printf(",\n  %q: [", name)
	separator := ""
	for item, err := range items {
		if err != nil {
			x.note(err)
			continue
		}
		text, err := json.MarshalIndent(item, "    ", "  ")
		if err != nil {
			x.note(err)
			continue
		}
		x.printf("%s\n    %s", separator, text)
		separator = ","
	}
	if separator != "" {
		x.printf("\n  ")
	}
	x.printf("]")
}

func (x *exporter) finish() error {
	x.printf("\n}\n")
	if x.failed == nil {
		x.failed = x.w.Flush()
	}
	if x.failed != nil {
		return fmt.Errorf("writing the export: %w", x.failed)
	}
	return errors.Join(x.damaged...)
}
