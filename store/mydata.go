package store

import (
	"context"
	"errors"
	"iter"
	"time"

	"larkfold/store/export"
)

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
		head := export.Head{Format: "larkfold export", Version: 2, Member: member, Made: now.UTC().Round(0)}
		x := export.New(head, "larkfold-mydata-%d.json", limit, part)
		tx.export(x)
		damaged, err := x.Finish()
		if err != nil || len(damaged) == 0 {
			return struct{}{}, err
		}
		for _, err := range damaged {
			if !errors.Is(err, ErrDamaged) {
				return struct{}{}, errors.Join(damaged...)
			}
		}
		return struct{}{}, &Incomplete{damaged}
	})
	return err
}

func (tx *Tx) export(x *export.Writer) {
	export.List(x, "projects", tx.withHistory(projectRecord))
	export.List(x, "deleted_projects", tx.withHistory(binRecord))
	shelf, err := tx.Leftovers()
	x.Note(err)
	x.Value("shelf", shelf)
	export.List(x, "shelf_changes", scan[shelfChange](tx, tx.key(changeRecord)))
	export.List(x, "swatches", scan[Swatch](tx, tx.key(swatchRecord)))
	preferences, err := tx.Preferences()
	x.Note(err)
	x.Value("preferences", preferences)
	export.List(x, "knots", scan[Entry](tx, tx.key(knotRecord)))
	export.List(x, "rules", scan[Entry](tx, tx.key(ruleRecord)))
	export.List(x, "contributions", scan[contribution](tx, tx.key(contributedRecord)))
	export.List(x, "shares", tx.ownShares())
	export.List(x, "drafts", scan[Draft](tx, tx.key(draftRecord)))
	export.List(x, "operations", scan[operation](tx, tx.key(operationRecord)))
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
