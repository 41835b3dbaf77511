package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"larkfold/store"
	"larkfold/store/boltstore"
)

func keygenCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "keygen FILE",
		Short: "Write a new key that seals a store",
		Long:  "Writes a new random key to FILE, for its owner alone to read. Give it to every command with --key-file.\nWithout the key a sealed store and its backups cannot be read: keep a copy of FILE away from both.",
		Args:  cobra.ExactArgs(1),
		RunE: running(func(cmd *cobra.Command, args []string) error {
			key := store.GenerateKey()
			if err := store.WriteKeyFile(args[0], key); err != nil {
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
		Long:  "Writes a copy of the store to FILE, which must not exist, and checks every record of it.\nWhile serve runs, it makes backups of its own: see serve --backups.",
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
			engine, err := boltstore.Open(file, boltstore.Options{ReadOnly: true})
			if err != nil {
				return err
			}
			defer engine.Close()
			report, err := engine.Copy(ctx, args[0], opts)
			if err != nil {
				return err
			}
			return told(cmd, "backup of", report)
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
			aside, err := boltstore.Restore(ctx, args[0], file, boltstore.RestoreOptions{
				Force: force, Now: time.Now(), Store: opts, Backups: place.backupsFolder(filepath.Dir(file))})
			if err != nil {
				return err
			}
			if aside != "" {
				fmt.Fprintf(cmd.OutOrStdout(), "the store before is kept as %s\n", short(aside))
			}
			fmt.Fprintf(cmd.OutOrStdout(), "restored %s\n", short(file))
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
				report, err := place.checkShared(ctx)
				if err != nil {
					return err
				}
				return told(cmd, "checked", report)
			}
			file, opts, err := place.existing(args...)
			if err != nil {
				return err
			}
			report, err := boltstore.CheckFile(ctx, file, opts)
			if err != nil {
				return err
			}
			return told(cmd, "checked", report)
		}),
	}
}

func tidyCommand(place *place) *cobra.Command {
	var stepBack bool
	cmd := &cobra.Command{
		Use:   "tidy",
		Short: "Write the store afresh, without what was erased",
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			if err := place.onFile("VACUUM takes out what was erased, and it does so by itself"); err != nil {
				return err
			}
			file, _, err := place.existing()
			if err != nil {
				return err
			}
			engine, err := boltstore.Open(file, boltstore.Options{StepBack: stepBack})
			if err != nil {
				return err
			}
			defer engine.Close()
			before, after, err := engine.Tidy(ctx)
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "tidied %s: %d bytes before, %d after\n", short(file), before, after)
			return nil
		}),
	}
	cmd.Flags().BoolVar(&stepBack, "step-back", false, "go on from a damaged first page without the last change")
	return cmd
}

func resealCommand(place *place) *cobra.Command {
	var old []string
	cmd := &cobra.Command{
		Use:   "reseal",
		Short: "Seal a plain store, or one with an old key, with --key-file",
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			if place.address == "" {
				if _, _, err := place.existing(); err != nil {
					return err
				}
			}
			for _, path := range old {
				key, err := readKey(path)
				if err != nil {
					return err
				}
				place.oldKeys = append(place.oldKeys, key)
			}
			s, err := place.open(ctx)
			if err != nil {
				return err
			}
			defer s.Close()
			if s.opts.Key == nil {
				return badInput{"there is no key to seal with: give --key-file"}
			}
			n, err := s.Reseal(ctx)
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "sealed %d records with key %s; run tidy to be rid of what was erased, and make a new backup\n", n, s.opts.Key.ID())
			return nil
		}),
	}
	cmd.Flags().StringArrayVar(&old, "old-key-file", nil, "file of a key that the store was sealed with before; may be given again")
	return cmd
}

// told prints what a check found and fails for problems.
func told(cmd *cobra.Command, what string, r store.CheckReport) error {
	out := cmd.OutOrStdout()
	fmt.Fprintf(out, "%s %d records, %d bytes\n", what, r.Total, r.Bytes)
	kinds := make([]store.Kind, 0, len(r.Records))
	for kind := range r.Records {
		kinds = append(kinds, kind)
	}
	slices.SortFunc(kinds, func(a, b store.Kind) int { return cmp.Compare(a, b) })
	for _, kind := range kinds {
		fmt.Fprintf(out, "%6d  %s\n", r.Records[kind], kind)
	}
	for _, problem := range r.Problems {
		fmt.Fprintln(out, "problem: "+problem.Error())
	}
	if len(r.Problems) > 0 {
		return &store.Fault{Kind: store.ErrDamaged, Sentence: fmt.Sprintf("%d problems found; restore a backup", len(r.Problems))}
	}
	return nil
}
