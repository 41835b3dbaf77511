package ask

import (
	"strings"
	"testing"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"

	"github.com/stretchr/testify/require"
)

// options reads one option of a command that has it.
func options(name, value string) *Options {
	req := reply.Request{Command: "cord", Options: map[string]string{name: value}}
	return Of(req.As(reply.Command{Name: "cord", Options: []reply.Option{{Name: name}}}), sitting.Prefs{})
}

func TestPrice(t *testing.T) {
	for typed, want := range map[string]cord.Price{"0": 0, "0.00": 0, "0.01": 1, "24": 2400, "24.5": 2450, "24,50": 2450, "€24.00": 2400, "24 £": 2400} {
		q := options("price", typed)
		require.Equal(t, want, q.Price("price"), typed)
		require.NoError(t, q.Err, typed)
	}
	for typed, try := range map[string]string{"-0.50": "0.50", "-0.01": "0.01", "1.-5": "1", "24.+5": "24", "+5": "5", "24.555": "", "24.": "24", ".5": "5", "1 2": "1", "cheap": "", "1e3": "1", "24.555 or 9.50": "9.50"} {
		q := options("price", typed)
		require.Zero(t, q.Price("price"), typed)
		var refused *reply.UserError
		require.ErrorAs(t, q.Err, &refused, typed)
		require.Equal(t, strings.TrimSuffix("/cord price:"+try, " price:"), refused.Try, typed)
	}
}

func TestConstruction(t *testing.T) {
	for typed, want := range map[string]cord.Construction{"rope": cord.Plied, "3-ply": cord.Plied, "single": cord.SingleStrand, "Braided": cord.Braided} {
		q := options("construction", typed)
		require.Equal(t, want, q.Construction("construction", cord.SingleStrand), typed)
		require.NoError(t, q.Err, typed)
	}
	q := options("construction", "wire")
	q.Construction("construction", cord.SingleStrand)
	require.ErrorContains(t, q.Err, "single-strand, plied or braided")
	for typed, try := range map[string]string{"a braded one": "/cord construction:braided", "wire": "/cord"} {
		q := options("construction", typed)
		q.Construction("construction", cord.SingleStrand)
		var refused *reply.UserError
		require.ErrorAs(t, q.Err, &refused, typed)
		require.Equal(t, try, refused.Try, typed)
	}
}

func TestCountKeepsItsBounds(t *testing.T) {
	for typed, want := range map[string]int{"2": 2, "400": 400} {
		q := options("ends", typed)
		require.Equal(t, want, q.Count("ends", 2, 400, 5), typed)
		require.NoError(t, q.Err, typed)
	}
	for typed, try := range map[string]string{"1": "2", "401": "400", "-3": "2", "2.5": "3", "many": "5", "9999999": "400", "12 ends": "12", "six": "6", "zero": "2"} {
		q := options("ends", typed)
		q.Count("ends", 2, 400, 5)
		var refused *reply.UserError
		require.ErrorAs(t, q.Err, &refused, typed)
		require.Equal(t, "from 2 to 400", refused.Right)
		require.Equal(t, "/cord ends:"+try, refused.Try, typed)
	}
}
