package store_test

import (
	"errors"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
)

func TestErrorsArePlainSentences(t *testing.T) {
	for _, row := range []struct {
		err      error
		kind     error
		sentence string
	}{
		{&store.NotFound{Kind: store.KindProject, Name: "Owl"}, store.ErrNotFound, `There is no project "Owl" here.`},
		{&store.NotFound{Kind: store.KindDraft, Name: "x"}, store.ErrNotFound, `This button or form has expired, or it belongs to somebody else.`},
		{&store.NotFound{Kind: store.KindShare, Name: "x"}, store.ErrNotFound, `This is no longer shared.`},
		{&store.Conflict{Kind: store.KindProject, Name: "Owl", Expected: 1, Found: 3}, store.ErrConflict,
			`The project "Owl" changed meanwhile: your change starts from revision 1, the newest is revision 3. Nothing was overwritten.`},
		{&store.Conflict{Kind: store.KindShelf, Expected: 1, Found: 2}, store.ErrConflict,
			`The shelf changed meanwhile: your change starts from revision 1, the newest is revision 2. Nothing was overwritten.`},
		{&store.NameTaken{Kind: store.KindKnot, Name: "Crown"}, store.ErrNameTaken,
			`There is a knot called "Crown" already. Choose another name, or change that one.`},
		{&store.QuotaError{What: "projects", Limit: 500, Got: 501}, store.ErrQuota,
			`That would be 501 projects; at most 500 are kept. Remove some first.`},
		{&store.QuotaError{What: "bytes of sheet text", Limit: 10, Got: 11}, store.ErrQuota,
			`That would be 11 bytes of sheet text; at most 10 are kept. Make it shorter.`},
		{&store.InvalidError{What: "name", Read: "", Reason: "a name has at least one letter or digit"}, store.ErrInvalid,
			`The name "" cannot be kept: a name has at least one letter or digit.`},
		{&store.NotEnough{ID: "x", Cord: "3 mm cotton", Asked: 3, Have: 2}, store.ErrNotEnough,
			`Your shelf holds 2 of these pieces of "3 mm cotton"; this would use up 3.`},
		{&store.NotEnough{ID: "x", Asked: 3}, store.ErrNotEnough, `Your shelf no longer holds the pieces "x" that this would use up.`},
		{&store.Fault{Kind: store.ErrLocked, Sentence: "It is in use."}, store.ErrLocked, "It is in use."},
		{&store.Fault{Kind: store.ErrFull, Sentence: "It is full.", Cause: io.ErrShortWrite}, io.ErrShortWrite, "It is full. (short write)"},
		{&store.DamagedError{Record: "project x", Reason: "its checksum does not fit"}, store.ErrDamaged,
			"The stored record project x is damaged: its checksum does not fit. Restore the newest good backup."},
	} {
		require.Equal(t, row.sentence, row.err.Error())
		require.True(t, errors.Is(row.err, row.kind), row.sentence)
	}
}

// What would be too much is rounded up to whole kilobytes, so that it never reads as what fits.
func TestTooMuchInKilobytes(t *testing.T) {
	for got, want := range map[int]string{20_001: "21 kB", 21_000: "21 kB", 21_001: "22 kB"} {
		err := &store.QuotaError{What: "bytes in all", Limit: 20_000, Got: got}
		require.Equal(t, "Everything you keep would take "+want+"; there is room for 20 kB. Delete designs or shares that you no longer need first.", err.Error())
	}
}
