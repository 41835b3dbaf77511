package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"larkfold/cmd/larkfold/files"
	"larkfold/store/boltstore"
	"larkfold/store/move"
	"larkfold/store/pairs"
	"larkfold/store/pgstore"
)

func moveCommand() *cobra.Command {
	var from, to string
	cmd := &cobra.Command{
		Use:   "move --from STORE --to STORE",
		Short: "Copy a whole store to another place, and compare every byte",
		Long: "Copies a store from one place to another: a file, or a PostgreSQL server as postgres://USER@HOST/DATABASE.\n" +
			"Nothing may write to either meanwhile: stop the bot first. What is sealed stays sealed, and no key is needed.\n" +
			"When it is broken off, run it again: it goes on where it was. The store it comes from is left as it is.",
		Example: "  larkfold move --from /var/lib/larkfold/larkfold.db --to postgres://larkfold@db1,db2/larkfold",
		Args:    cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			return moveStore(ctx, cmd.OutOrStdout(), from, to)
		}),
	}
	cmd.Flags().StringVar(&from, "from", "", "file or address of the store")
	cmd.Flags().StringVar(&to, "to", "", "file or address of where it is to go")
	return cmd
}

func moveStore(ctx context.Context, out io.Writer, from, to string) (err error) {
	if from == "" || to == "" {
		return badInput{"say where the store is and where it is to go: --from and --to"}
	}
	if !pgstore.Supports(from) {
		if err := there("store", from); err != nil {
			return err
		}
		if sameFile(from, to) {
			return badInput{fmt.Sprintf("%s is the store itself; name another place for it", files.Short(to))}
		}
	}
	source, err := endOfMove(ctx, from, true)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	target, err := endOfMove(ctx, to, false)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, target.Close()) }()

	began, told := time.Now(), time.Now()
	tell := func(m move.Progress) {
		what := "copied"
		if m.Pass > 1 {
			what = "compared"
		}
		fmt.Fprintf(out, "%s %d records, %d MiB in %s\n", what, m.Records, m.Bytes>>20, time.Since(began).Round(time.Second))
	}
	done, err := move.Store(ctx, source, target, func(m move.Progress) {
		if time.Since(told) > time.Second {
			tell(m)
			told = time.Now()
		}
	})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "moved %d records, %d bytes; both are the same. What was there before is left as it is: keep it away from the bot\n", done.Records, done.Bytes)
	return err
}

// endOfMove opens one of the two places.
func endOfMove(ctx context.Context, where string, readOnly bool) (pairs.Engine, error) {
	if pgstore.Supports(where) {
		return pgstore.Open(ctx, where, pgstore.Options{ReadOnly: readOnly})
	}
	if !readOnly {
		if err := os.MkdirAll(filepath.Dir(where), 0o700); err != nil {
			return nil, unwritten(where, err)
		}
	}
	return boltstore.Open(where, boltstore.Options{ReadOnly: readOnly})
}
