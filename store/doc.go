// Package store keeps what members save: [Records] are the typed records over any
// engine, which holds bytes for them (package pairs), sealed (package seal).
//
// Its nouns: a [Project] is a saved working sheet with its revisions and a bin;
// a [Leftover] is an offcut or a spool on a member's shelf; a [Swatch] is a
// member's own sample; an [Entry] is a knot or a rule in a member's or a
// community's book; a [Share] is a frozen copy of a project that others may
// read; a [Draft] is short-lived work behind a button; an operation key makes a
// change happen once ([Records.Once]).
//
// The package knows nothing of sizing: sheets are text, lengths are
// [Nanometres], everything else is JSON it does not look into. Members and
// communities are opaque strings and time is handed in by the caller.
//
// What will hurt you:
//
//   - A change may be run more than once before it takes effect. A function
//     given to [Records.Once] must touch nothing but its [Tx].
//   - Every save names the revision it started from. Another revision in the
//     store means a [Conflict] that carries the newest; nothing is overwritten.
//   - Whether a member may manage a community is the caller's question. The
//     store only sees to it that nobody reaches another member's records.
//   - Erased records are gone from the store at once, but their bytes stay in
//     unused parts of the file until it is tidied, and in older backups.
//   - What one member keeps is bounded in bytes as they are stored, see
//     [Limits.KeepBytes]; who kept more before keeps it and adds nothing.
//
// The records of each member and each community have a tally beside them, which
// [Records.Check] counts again: a record that went missing, or that was put back to
// an earlier version past the program, is found that way. Not found are: records
// put back together with their tally; notes of expiry and the header; and the
// records of who has not saved since the store was brought to format 3.
package store
