package store

import "time"

// Limits says how much one member or one community may keep. A field left at
// zero takes its value from [DefaultLimits].
type Limits struct {
	Projects   int // per member
	Revisions  int // earlier revisions kept per project
	Bin        int // deleted projects kept per member; the oldest goes first
	SheetBytes int // per sheet, in bytes
	NoteBytes  int // per note, in bytes
	DataBytes  int // per JSON part of a record, in bytes
	Leftovers  int // shelf entries per member
	Changes    int // shelf changes that can be undone
	Swatches   int // per member
	Entries    int // knots and rules together in a member's own book
	Shares     int // per member
	Drafts     int // per member; the one that expires first goes first
	DraftBytes int // of all drafts of a member, as stored; the one that expires first goes first
	KeepBytes  int // of everything that a member keeps, as stored, without drafts; the bin gives way first

	CommunityKnots    int
	CommunityRules    int
	CommunityChannels int // sharing channels

	OperationLife time.Duration // how long an operation key is remembered
	BinLife       time.Duration // how long a deleted project can be brought back
}

// DefaultLimits returns the limits used where none are given.
func DefaultLimits() Limits {
	return Limits{
		Projects: 500, Revisions: 20, Bin: 20, SheetBytes: 32 << 10, NoteBytes: 4 << 10, DataBytes: 64 << 10,
		Leftovers: 500, Changes: 20, Swatches: 200, Entries: 100, Shares: 100, Drafts: 100, DraftBytes: 1 << 20, KeepBytes: 6_000_000,
		CommunityKnots: 200, CommunityRules: 200, CommunityChannels: 50,
		OperationLife: 7 * 24 * time.Hour, BinLife: 30 * 24 * time.Hour,
	}
}

func (l Limits) withDefaults() Limits {
	d := DefaultLimits()
	for _, f := range []struct {
		field *int
		value int
	}{
		{&l.Projects, d.Projects}, {&l.Revisions, d.Revisions}, {&l.Bin, d.Bin}, {&l.SheetBytes, d.SheetBytes},
		{&l.NoteBytes, d.NoteBytes}, {&l.DataBytes, d.DataBytes}, {&l.Leftovers, d.Leftovers}, {&l.Changes, d.Changes},
		{&l.Swatches, d.Swatches}, {&l.Entries, d.Entries}, {&l.Shares, d.Shares}, {&l.Drafts, d.Drafts}, {&l.DraftBytes, d.DraftBytes}, {&l.KeepBytes, d.KeepBytes},
		{&l.CommunityKnots, d.CommunityKnots}, {&l.CommunityRules, d.CommunityRules}, {&l.CommunityChannels, d.CommunityChannels},
	} {
		if *f.field == 0 {
			*f.field = f.value
		}
	}
	if l.OperationLife == 0 {
		l.OperationLife = d.OperationLife
	}
	if l.BinLife == 0 {
		l.BinLife = d.BinLife
	}
	return l
}

// within returns a [QuotaError] when got passes limit.
func within(what string, got, limit int) error {
	if got > limit {
		return &QuotaError{What: what, Limit: limit, Got: got}
	}
	return nil
}
