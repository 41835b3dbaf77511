package store

import (
	"encoding/json"
	"time"
)

// Kind names a sort of record in plain words.
type Kind string

// The kinds of record that errors, reports and keys speak of.
const (
	KindProject     Kind = "project"
	KindName        Kind = "project name"
	KindRevision    Kind = "revision"
	KindBin         Kind = "deleted project"
	KindLeftover    Kind = "shelf entry"
	KindShelf       Kind = "shelf"
	KindChange      Kind = "shelf change"
	KindSwatch      Kind = "swatch"
	KindPreferences Kind = "preferences"
	KindKnot        Kind = "knot"
	KindRule        Kind = "rule"
	KindShare       Kind = "share"
	KindShareOf     Kind = "list of shares"
	KindDraft       Kind = "draft"
	KindOperation   Kind = "operation"
	KindSettings    Kind = "settings"
	KindContributed Kind = "contribution"
	KindExpiry      Kind = "expiry"
	KindTally       Kind = "tally"
	KindHeader      Kind = "store header"
	KindLease       Kind = "lease"
)

// Nanometres is a length in nanometres.
type Nanometres int64

// AnyRevision, given as the expected revision, saves over whatever is stored.
const AnyRevision = ^uint64(0)

// Project is one saved working sheet at one revision.
type Project struct {
	ID       string          `json:"id"`    // given by the store
	Owner    string          `json:"owner"` // member
	Name     string          `json:"name"`  // unique for the member, case-blind
	Sheet    string          `json:"sheet"`
	Notes    string          `json:"notes,omitempty"`
	Data     json.RawMessage `json:"data,omitempty"`     // the caller's own
	Revision uint64          `json:"revision"`           // from 1, one more with every change
	Restored uint64          `json:"restored,omitempty"` // the revision that an undo brought back
	Created  time.Time       `json:"created"`
	Changed  time.Time       `json:"changed"`
	Deleted  time.Time       `json:"deleted,omitzero"` // only in the bin
	Expires  time.Time       `json:"expires,omitzero"` // only in the bin: when it goes for good
}

// ProjectSummary is what a list shows of a project.
type ProjectSummary struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"`
	Revision uint64    `json:"revision"`
	Changed  time.Time `json:"changed"`
}

// LeftoverKind tells an offcut from a spool.
type LeftoverKind string

// The kinds of leftover.
const (
	Offcut LeftoverKind = "offcut"
	Spool  LeftoverKind = "spool"
)

// Leftover is one entry on a member's shelf: Count pieces of the same length of the same cord.
type Leftover struct {
	ID      string          `json:"id"` // given by the store
	Kind    LeftoverKind    `json:"kind"`
	Cord    string          `json:"cord"` // in the member's words
	Length  Nanometres      `json:"length_nm"`
	Count   int             `json:"count"`
	Note    string          `json:"note,omitempty"`
	Data    json.RawMessage `json:"data,omitempty"` // the caller's own
	Added   time.Time       `json:"added"`
	Changed time.Time       `json:"changed"`
}

// Leftovers is a member's whole shelf at one revision, sorted by cord, then
// spools before offcuts, then longest first.
type Leftovers struct {
	Revision uint64     `json:"revision"` // 0 for a shelf never used
	Entries  []Leftover `json:"entries"`
}

// Take says how many pieces of one shelf entry are used up.
type Take struct {
	ID    string `json:"id"`
	Count int    `json:"count"` // 0 means all of them
}

// LeftoverChange is one change of the shelf, made whole or not at all: first
// Clear, then Take, then Add. An added piece joins an entry that differs in nothing but its count.
type LeftoverChange struct {
	Why   string // shown when undoing: "cut Owl"
	Clear bool
	Take  []Take
	Add   []Leftover
}

// Swatch is one sample of a member's own knotting.
type Swatch struct {
	ID       string          `json:"id"` // given by the store
	Knot     string          `json:"knot"`
	Cord     string          `json:"cord"`           // in the member's words
	Data     json.RawMessage `json:"data,omitempty"` // the caller's own
	Revision uint64          `json:"revision"`
	Created  time.Time       `json:"created"`
	Changed  time.Time       `json:"changed"`
}

// Preferences is what a member prefers; the store does not look into Data.
type Preferences struct {
	Data     json.RawMessage `json:"data,omitempty"`
	Revision uint64          `json:"revision"` // 0 when never saved
	Changed  time.Time       `json:"changed"`
}

// Book names the list that an [Entry] stands in: [KindKnot] or [KindRule].
type Book = Kind

// Entry is one knot or rule in a member's or a community's book.
type Entry struct {
	Name     string          `json:"name"`           // unique in its book, case-blind
	Data     json.RawMessage `json:"data,omitempty"` // the caller's own
	AddedBy  string          `json:"added_by,omitempty"`
	Revision uint64          `json:"revision"`
	Created  time.Time       `json:"created"`
	Changed  time.Time       `json:"changed"`
}

// Share is a frozen copy of a project that anybody who has its id may read.
type Share struct {
	ID        string          `json:"id"` // given by the store
	Owner     string          `json:"owner"`
	Community string          `json:"community,omitempty"`
	Channel   string          `json:"channel,omitempty"`
	Project   string          `json:"project"`  // id of what was copied
	Revision  uint64          `json:"revision"` // of what was copied
	Name      string          `json:"name"`
	Sheet     string          `json:"sheet"`
	Data      json.RawMessage `json:"data,omitempty"` // the caller's own
	Created   time.Time       `json:"created"`
}

// Draft is short-lived work behind a button or a form.
type Draft struct {
	Key     string          `json:"key"` // given by the store when empty; never a member's text
	Owner   string          `json:"owner"`
	Kind    string          `json:"kind"` // the caller's own
	Payload json.RawMessage `json:"payload,omitempty"`
	Created time.Time       `json:"created"`
	Expires time.Time       `json:"expires"`
}

// Settings is what a community has set.
type Settings struct {
	Channels []string        `json:"channels,omitempty"` // where sharing is allowed; none means everywhere
	Data     json.RawMessage `json:"data,omitempty"`     // the caller's own
	Revision uint64          `json:"revision"`           // 0 when never saved
	Changed  time.Time       `json:"changed"`
}
