package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"larkfold/cmd/larkfold/terminal"
	"larkfold/commands/reply"
	"larkfold/sizing/tight"

	"github.com/spf13/cobra"
)

func deriveCommand() *cobra.Command {
	var fine, asCSV, crossings, asJSON bool
	cmd := &cobra.Command{
		Use:       "derive [KNOT]",
		Short:     "Derive the knot book's figures from tight rope",
		Long:      "Tightens ideal rope numerically, one specimen after the other, and prints what each knot\ntakes beside the book's closed form. Knots: " + strings.Join(tight.Names(), ", ") + ".\n\nWith --crossings --json it prints\n\n" + crossingsForm,
		Args:      cobra.MaximumNArgs(1),
		ValidArgs: tight.Names(),
		RunE: running(func(cmd *cobra.Command, args []string) error {
			if crossings || asJSON {
				return printCrossings(cmd.OutOrStdout(), args, asJSON)
			}
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			names := tight.Names()
			if len(args) == 1 {
				if !slices.Contains(names, args[0]) {
					return badInput{fmt.Sprintf("“%s” is none of the knots that can be derived: %s", args[0], strings.Join(names, ", "))}
				}
				names = args
			}
			settings := tight.Coarse()
			if fine {
				settings = tight.Fine()
			}
			all := tight.Table{Made: time.Now().Format(time.DateOnly), Settings: settings.String()}
			for _, name := range names {
				t, err := tight.Derive(ctx, name, settings, progressTo(cmd.ErrOrStderr()))
				if err != nil {
					return err
				}
				all.Rows = append(all.Rows, t.Rows...)
			}
			if asCSV {
				return all.Write(cmd.OutOrStdout())
			}
			return terminal.Show(cmd.OutOrStdout(), derivedBlocks(all))
		}),
	}
	cmd.Flags().BoolVar(&fine, "fine", false, "with the settings of the kept table: up to a minute a row instead of a second")
	cmd.Flags().BoolVar(&asCSV, "csv", false, "print comma-separated values")
	cmd.Flags().BoolVar(&crossings, "crossings", false, "print the crossings of every diagram in the knot book, and the knot they make")
	cmd.Flags().BoolVar(&asJSON, "json", false, "with --crossings: as JSON")
	return cmd
}

// progressTo tells every row that is begun.
func progressTo(out io.Writer) func(tight.Progress) {
	return func(p tight.Progress) { fmt.Fprintf(out, "%s: %d of %d\n", p.Knot, p.Row, p.Rows) }
}

func derivedBlocks(t tight.Table) []reply.Block {
	table := reply.Table{Columns: []reply.Column{
		{Title: "knot"}, {Title: "of"}, {Title: "core", Right: true}, {Title: "pitch", Right: true},
		{Title: "tight", Right: true}, {Title: "error", Right: true}, {Title: "book", Right: true}, {Title: "off by", Right: true},
	}}
	for _, r := range t.Rows {
		table.Rows = append(table.Rows, []string{
			r.Knot, r.Quantity, core(r), number(r.Pitch), number(r.Length), fmt.Sprintf("%.3f", r.Error), number(r.Expected), fmt.Sprintf("%+.1f %%", 100*r.Difference),
		})
	}
	return []reply.Block{
		table,
		reply.Text("All lengths in working diameters of the cord. Settings: " + t.Settings),
	}
}

// core says what is tied round: so many cords, or a rod of a diameter.
func core(r tight.Row) string {
	switch {
	case r.Rod > 0:
		return fmt.Sprintf("rod %g", r.Rod)
	case r.Ends > 0:
		return fmt.Sprintf("%d ends", r.Ends)
	case r.Cores > 0:
		return fmt.Sprint(r.Cores)
	}
	return ""
}

func number(d tight.Diameters) string {
	if d == 0 {
		return ""
	}
	return fmt.Sprintf("%.2f", d)
}
