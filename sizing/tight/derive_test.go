package tight

import (
	"context"
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var (
	fine = flag.Bool("fine", false, "derive every row with the fine settings and compare with the kept table")
	keep = flag.String("keep", "", "with -fine: write the derived table to this file instead")
	made = flag.String("made", "", "with -keep: the date to put on the table")
	only = flag.String("only", "", "with -fine: only this knot")
)

// TestFineDerivation is how the kept table is made and checked. The error of a
// row is what the limits from the edges 0.3 and 0.2, and 0.2 and 0.1, differ.
func TestFineDerivation(t *testing.T) {
	if !*fine {
		t.Skip("takes about six minutes; run with -fine -timeout 1h")
	}
	all := Table{Made: *made, Settings: Fine().String()}
	for _, name := range Names() {
		if *only != "" && *only != name {
			continue
		}
		table, err := Derive(context.Background(), name, Fine(), nil)
		require.NoError(t, err)
		all.Rows = append(all.Rows, table.Rows...)
		for _, r := range table.Rows {
			t.Log(strings.Join(r.fields(), " | "))
			require.Less(t, float64(r.Error/r.Length), 0.002, "not converged")
		}
	}
	if *keep != "" {
		f, err := os.Create(*keep)
		require.NoError(t, err)
		require.NoError(t, all.Write(f))
		require.NoError(t, f.Close())
		return
	}
	rows, err := Kept()
	require.NoError(t, err)
	for i, k := 0, 0; i < len(rows) && k < len(all.Rows); i++ {
		if rows[i].Knot == all.Rows[k].Knot {
			require.InEpsilon(t, float64(rows[i].Length), float64(all.Rows[k].Length), 0.003, "%v", rows[i])
			k++
		}
	}
}
