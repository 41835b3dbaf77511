package store

import (
	"context"
	"errors"
	"fmt"

	"larkfold/store/pairs"
)

// format is what this version writes. It stands in the header, for the whole
// store, and in every record, for the format in which that record was written.
//
//	1: the first
//	2: a name's entry carries the summary that lists show, so that a list need
//	   not read the sheets
//	3: JSON may be packed; members and communities have tallies, from the first
//	   time that they save
const format = 3

// formatStep brings the records of one format up to the next. It must be able
// to take up where it was broken off. One that wants nothing leaves the records as they are.
type formatStep struct {
	wants  func(s *Records, pair pairs.Pair) bool
	change func(tx *Tx, pair pairs.Pair) error
}

// formatSteps lead from format 1 upward: the first to format 2, and so on.
func formatSteps() []formatStep {
	return []formatStep{
		{wants: isBareName, change: summarizeName},
		{},
	}
}

// Formats tells in which format the records of an engine are, and to which one
// [New] brings them; an engine without records is in the newest. It writes nothing.
func Formats(ctx context.Context, engine pairs.Engine, options Options) (stored, newest int, err error) {
	_, h, _, err := open(ctx, engine, options)
	if err != nil {
		return 0, format, err
	}
	if h.Format == 0 {
		return format, format, nil
	}
	return h.Format, format, nil
}

// migrate brings an older store up to date, step by step.
func (s *Records) migrate(ctx context.Context) error {
	for s.format < format {
		step := formatSteps()[s.format-1]
		var err error
		if step.wants != nil {
			_, err = s.rewrite(ctx, func(pair pairs.Pair) bool { return step.wants(s, pair) }, step.change)
		}
		next := s.format + 1
		if err == nil {
			err = s.changeHeader(ctx, func(h *header) error { h.Format, h.Writer = next, s.version; return nil })
		}
		if err != nil {
			return fmt.Errorf("bringing the store from format %d to %d: %w", s.format, next, err)
		}
		s.format = next
	}
	return nil
}

// isBareName tells a name's entry of format 1, which leads to a project and says no more.
func isBareName(s *Records, pair pairs.Pair) bool {
	if t, _, ok := typeOf(pair.Key); !ok || t.kind != KindName {
		return false
	}
	var summary ProjectSummary
	return s.codec.decode(pair.Key, pair.Value, &summary) == nil && summary.Revision == 0
}

// summarizeName writes a name's entry anew from its project. One that leads
// nowhere, or to a damaged project, is left for [Records.Check] to report.
func summarizeName(tx *Tx, pair pairs.Pair) error {
	var bare ProjectSummary
	if err := tx.records.codec.decode(pair.Key, pair.Value, &bare); err != nil {
		return err
	}
	p, err := tx.ProjectByID(bare.ID)
	if errors.Is(err, ErrNotFound) || errors.Is(err, ErrDamaged) {
		return nil
	}
	if err != nil {
		return err
	}
	return tx.put(pair.Key, p.summary())
}
