package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// root is the command line.
func root() *cobra.Command {
	var place place
	cmd := &cobra.Command{
		Use:   "larkfold",
		Short: "How much cord a macramé design takes, and how to cut it",
		Long: "Larkfold follows every cord end through a design and answers with cut lengths,\n" +
			"totals, pictures and cutting plans: in the terminal, in scripts and as a chat bot.\n\n" + statuses(),
		Version:       version(),
		Args:          cobra.NoArgs,
		SilenceErrors: true,
		SilenceUsage:  true,
		PersistentPreRunE: running(func(cmd *cobra.Command, _ []string) error {
			return errors.Join(unknownVariables(cmd.Root(), os.Environ()), inherit(cmd.Flags()))
		}),
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.SetVersionTemplate("larkfold {{.Version}}\n")
	cmd.SetFlagErrorFunc(flagFault)
	cmd.CompletionOptions.HiddenDefaultCmd = true
	cmd.PersistentFlags().StringVar(&place.dir, "data", "", "folder of the store; the user's state folder if silent")
	cmd.PersistentFlags().StringVar(&place.address, "store", "", "address of a store on a PostgreSQL server, which several machines may share: postgres://USER@HOST/DATABASE; a file in --data if silent")
	cmd.PersistentFlags().StringVar(&place.keyFile, "key-file", "", "file with the key of a sealed store; larkfold.key beside the store, if it is there, if silent")
	cmd.PersistentFlags().BoolVar(&place.plain, "plain", false, "a store without a key, which is not sealed")
	cmd.PersistentFlags().StringVar(&place.backups, "backups", "", "folder of the backups, better on another disk; backups beside the store if silent")
	settings(cmd.PersistentFlags())
	cmd.AddCommand(
		tryCommand(&place), sizeCommand(), packCommand(), deriveCommand(),
		serveCommand(&place), readyCommand(), doctorCommand(&place), registerCommand(), unregisterCommand(), inviteCommand(), licencesCommand(),
		keygenCommand(), backupCommand(&place), restoreCommand(&place), checkCommand(&place), tidyCommand(&place), resealCommand(&place), statsCommand(&place), forgetCommand(&place), moveCommand(),
		&cobra.Command{
			Use: "version", Short: "Print the version", Args: cobra.NoArgs,
			RunE: running(func(cmd *cobra.Command, _ []string) error {
				fmt.Fprintln(cmd.OutOrStdout(), "larkfold "+version())
				return nil
			}),
		},
	)
	return cmd
}

// release is the version that deploy/build.sh and the container file build; nothing
// in a build by hand, which has its module's version.
var release string

// version is this program's version and that of the Go it was built with.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := cmp.Or(release, info.Main.Version, "(devel)")
	return v + " " + info.GoVersion
}
