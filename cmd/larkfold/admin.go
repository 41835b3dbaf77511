package main

import (
	"bytes"
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"larkfold/cmd/larkfold/files"
	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/seal"
)

func keygenCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "keygen FILE",
		Short: "Write a new key that seals a store",
		Long:  "Writes a new random key to FILE, for its owner alone to read. Give it to every command with --key-file.\nWithout the key a sealed store and its backups cannot be read: keep a copy of FILE away from both.",
		Args:  cobra.ExactArgs(1),
		RunE: running(func(cmd *cobra.Command, args []string) error {
			key := seal.GenerateKey()
			if err := writeKey(args[0], key); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "key %s is in %s; keep a copy of it away from the store and its backups\n", key.ID(), args[0])
			return nil
		}),
	}
}

func backupCommand(place *place) *cobra.Command {
	return &cobra.Command{
		Use:   "backup FILE",
		Short: "Write a checked copy of the store",
		Long:  "Writes a copy of the store to FILE, which must not exist, and checks every record of it, whether\nserve runs or not. Serve makes backups of its own: see serve --backups.",
		Args:  cobra.ExactArgs(1),
		RunE: running(func(cmd *cobra.Command, args []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			if err := place.onFile("pg_dump makes a copy"); err != nil {
				return err
			}
			file, opts, err := place.existing()
			if err != nil {
				return err
			}
			if err := free(args[0]); err != nil {
				return err
			}
			name := copyPrefix + rand.Text() + ".db"
			var made bytes.Buffer // is said when the copy is where it was asked for
			answered, err := place.ask(ctx, &made, order{Verb: "backup", Arg: name})
			if answered && err == nil {
				err = bring(filepath.Join(filepath.Dir(file), name), args[0])
			}
			if answered && err == nil {
				_, err = made.WriteTo(cmd.OutOrStdout())
			}
			if answered || err != nil {
				return err
			}
			engine, err := boltstore.Open(file, boltstore.Options{ReadOnly: true})
			if err != nil {
				return err
			}
			defer engine.Close()
			report, err := engine.Copy(ctx, args[0], opts)
			if err != nil {
				return err
			}
			return told(cmd.OutOrStdout(), "backup of", report)
		}),
	}
}

func restoreCommand(place *place) *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use:   "restore FILE",
		Short: "Put a backup in the place of the store",
		Args:  cobra.ExactArgs(1),
		RunE: running(func(cmd *cobra.Command, args []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			if err := place.onFile("pg_restore puts a copy back"); err != nil {
				return err
			}
			file, opts, err := place.file()
			if err != nil {
				return err
			}
			opts.Checkers = runtime.GOMAXPROCS(0)
			if err := there("backup", args[0]); err != nil {
				return err
			}
			if err := makeFolder(filepath.Dir(file)); err != nil { // a new machine has none yet
				return err
			}
			aside, err := boltstore.Restore(ctx, args[0], file, boltstore.RestoreOptions{
				Force: force, Now: time.Now(), Store: opts, Backups: place.backupsFolder(filepath.Dir(file))})
			if err != nil {
				return err
			}
			if aside != "" {
				fmt.Fprintf(cmd.OutOrStdout(), "the store before is kept as %s\n", files.Short(aside))
			}
			fmt.Fprintf(cmd.OutOrStdout(), "restored %s\n", files.Short(file))
			return nil
		}),
	}
	cmd.Flags().BoolVar(&force, "force", false, "put an existing store aside instead of refusing")
	return cmd
}

func checkCommand(place *place) *cobra.Command {
	return &cobra.Command{
		Use:   "check [FILE]",
		Short: "Check every record of the store, or of a backup",
		Args:  cobra.MaximumNArgs(1),
		RunE: running(func(cmd *cobra.Command, args []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			if place.address != "" && len(args) == 0 {
				report, err := place.checkRemote(ctx)
				if err != nil {
					return err
				}
				return told(cmd.OutOrStdout(), "checked", report)
			}
			file, opts, err := place.existing(args...)
			if err != nil {
				return err
			}
			if len(args) == 0 {
				if answered, err := place.ask(ctx, cmd.OutOrStdout(), order{Verb: "check"}); answered || err != nil {
					return err
				}
			}
			report, err := boltstore.CheckFile(ctx, file, opts)
			if err != nil {
				return err
			}
			return told(cmd.OutOrStdout(), "checked", report)
		}),
	}
}

// checkOpen checks the file and every record of an open store.
func checkOpen(ctx context.Context, s *opened, out io.Writer, _ order) error {
	if err := s.engine.Check(ctx); err != nil {
		return err
	}
	report, err := s.Check(ctx)
	if err != nil {
		return err
	}
	return told(out, "checked", report)
}

// looksAfter runs a command that does one chore: the running bot does it, or
// this program where none runs.
func looksAfter(place *place, make func(args []string) (order, error)) func(*cobra.Command, []string) error {
	return running(func(cmd *cobra.Command, args []string) error {
		ctx, stop := untilStopped(cmd.Context())
		defer stop()
		o, err := make(args)
		if err != nil {
			return err
		}
		if place.address == "" {
			if _, _, err := place.existing(); err != nil {
				return err
			}
		}
		if answered, err := place.ask(ctx, cmd.OutOrStdout(), o); answered || err != nil {
			return err
		}
		s, err := place.open(ctx)
		if err != nil {
			return err
		}
		return errors.Join(chores()[o.Verb](ctx, s, cmd.OutOrStdout(), o), s.Close())
	})
}

func tidyCommand(place *place) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "tidy",
		Short: "Write the store afresh, without what was erased",
		Args:  cobra.NoArgs,
	}
	cmd.Flags().BoolVar(&place.stepBack, "step-back", false, "go on from a damaged first page without the last change")
	cmd.RunE = looksAfter(place, func([]string) (order, error) {
		return order{Verb: "tidy"}, place.onFile("VACUUM takes out what was erased, and it does so by itself")
	})
	return cmd
}

func tidyOpen(ctx context.Context, s *opened, out io.Writer, _ order) error {
	before, after, err := s.engine.Tidy(ctx)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "tidied the store: %d bytes before, %d after\n", before, after)
	return err
}

func resealCommand(place *place) *cobra.Command {
	var old []string
	cmd := &cobra.Command{
		Use:   "reseal",
		Short: "Seal a plain store, or one with an old key, with --key-file",
		Long: "Seals every record with the key of --key-file, whether serve runs or not. A running bot knows its\n" +
			"old key; without one, name it with --old-key-file. Give serve the new key before its next start.",
		Args: cobra.NoArgs,
	}
	cmd.Flags().StringArrayVar(&old, "old-key-file", nil, "file of a key that the store was sealed with before; may be given again")
	cmd.RunE = looksAfter(place, func([]string) (order, error) {
		for _, path := range old {
			key, err := readKey(path)
			if err != nil {
				return order{}, err
			}
			place.oldKeys = append(place.oldKeys, key)
		}
		dir, err := place.folder()
		if err != nil {
			return order{}, err
		}
		path, err := place.keyPath(dir)
		if err != nil {
			return order{}, err
		}
		if path == "" {
			return order{}, badInput{"there is no key to seal with: give --key-file"}
		}
		text, err := readSecret("key", path)
		return order{Verb: "reseal", Key: text}, err
	})
	return cmd
}

func resealOpen(ctx context.Context, s *opened, out io.Writer, o order) error {
	key, err := seal.ParseKey([]byte(o.Key))
	if err != nil {
		return &store.Fault{Kind: store.ErrWrongKey, Sentence: err.Error()}
	}
	now := s.options()
	if now.Key != nil {
		now.OldKeys = append(slices.Clone(now.OldKeys), now.Key)
	}
	now.Key = key
	s.rekeyed.Store(&now)
	n, err := s.Rekey(ctx, key)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "sealed %d records with key %s; run tidy to be rid of what was erased, make a new backup, and give serve this key before its next start\n", n, key.ID())
	return err
}

func statsCommand(place *place) *cobra.Command {
	return &cobra.Command{
		Use:   "stats",
		Short: "Say how much room the store takes, how it is sealed, and what backups there are",
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			if err := place.onFile("its own tools say how much room it takes"); err != nil {
				return err
			}
			file, opts, err := place.existing()
			if err != nil {
				return err
			}
			if answered, err := place.ask(ctx, cmd.OutOrStdout(), order{Verb: "stats"}); answered || err != nil {
				return err
			}
			s, err := place.openAsItIs(ctx, file, opts)
			if err != nil {
				return err
			}
			return errors.Join(showStats(ctx, s, cmd.OutOrStdout(), order{}), s.Close())
		}),
	}
}

func showStats(ctx context.Context, s *opened, out io.Writer, _ order) error {
	stats, err := s.engine.Stats(ctx)
	if err != nil {
		return err
	}
	row, err := (&boltstore.Backups{Dir: s.backups}).List()
	if err != nil {
		return err
	}
	line := func(what, says string, args ...any) {
		if err == nil {
			_, err = fmt.Fprintf(out, "%-8s "+says+"\n", append([]any{what}, args...)...)
		}
	}
	line("file", "%d bytes, %d of them unused, %d changes so far", stats.Bytes, stats.Free, stats.Changes)
	if stats.Disk >= 0 {
		line("disk", "%d bytes left", stats.Disk)
	}
	if key, sealed := s.Sealing(); key == "" {
		line("sealed", "no")
	} else {
		line("sealed", "with key %s, at most %d values of the %d that one key may seal", key, sealed, uint64(seal.Limit))
	}
	if len(row) == 0 {
		line("backups", "none in %s", files.Short(s.backups))
		return err
	}
	newest := row[len(row)-1]
	line("backups", "%d in %s, the newest of %s with %d bytes", len(row), files.Short(s.backups), newest.Time.Format(time.RFC3339), newest.Bytes)
	return err
}

func forgetCommand(place *place) *cobra.Command {
	return &cobra.Command{
		Use:   "forget MEMBER",
		Short: "Erase everything kept about a member, for a request by mail",
		Long:  "Erases everything kept about the member with that id on the platform, as /mydata forget does, and\ntidies the store's file at once. It cannot be undone.",
		Args:  cobra.ExactArgs(1),
		RunE:  looksAfter(place, func(args []string) (order, error) { return order{Verb: "forget", Arg: args[0]}, nil }),
	}
}

func forgetMember(ctx context.Context, s *opened, out io.Writer, o order) error {
	if strings.TrimSpace(o.Arg) == "" {
		return badInput{"name the member by their id on the platform"}
	}
	gone, err := s.Forget(ctx, o.Arg)
	if err != nil {
		return err
	}
	says, holds := "nothing of the member is left in the store", "still hold it"
	if gone.Total == 0 {
		says, holds = fmt.Sprintf("nothing was kept about %q; make sure that this is their id on the platform, which is a number", o.Arg), "may hold more"
	}
	if _, err := fmt.Fprintf(out, "%d records erased; %s\n", gone.Total, says); err != nil {
		return err
	}
	if s.remote() {
		_, err := fmt.Fprintln(out, "traces stay in the database until its vacuum, and in its log and backups as long as those are kept")
		return err
	}
	if err := tidyOpen(ctx, s, out, o); err != nil {
		return err
	}
	row, err := (&boltstore.Backups{Dir: s.backups}).List()
	if err != nil || len(row) == 0 {
		return err
	}
	_, err = fmt.Fprintf(out, "backups made before now %s: %d in %s, the newest of %s\n", holds, len(row), files.Short(s.backups), row[len(row)-1].Time.Format(time.RFC3339))
	return err
}

// told prints what a check found and fails for problems.
func told(out io.Writer, what string, r store.CheckReport) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %d records, %d bytes\n", what, r.Total, r.Bytes)
	kinds := make([]store.Kind, 0, len(r.Records))
	for kind := range r.Records {
		kinds = append(kinds, kind)
	}
	slices.SortFunc(kinds, func(a, b store.Kind) int { return cmp.Compare(a, b) })
	for _, kind := range kinds {
		fmt.Fprintf(&b, "%6d  %s\n", r.Records[kind], kind)
	}
	for _, problem := range r.Problems {
		fmt.Fprintln(&b, "problem: "+problem.Error())
	}
	if _, err := io.WriteString(out, b.String()); err != nil {
		return err
	}
	if len(r.Problems) > 0 {
		return &store.Fault{Kind: store.ErrDamaged, Sentence: fmt.Sprintf("%d problems found; restore a backup", len(r.Problems))}
	}
	return nil
}
