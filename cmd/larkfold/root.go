package main

import (
	"fmt"
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
			"totals, pictures and cutting plans: in the terminal, in scripts and as a chat bot.\n\n" + statuses,
		Version:       version(),
		Args:          cobra.NoArgs,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.SetVersionTemplate("larkfold {{.Version}}\n")
	cmd.CompletionOptions.HiddenDefaultCmd = true
	cmd.PersistentFlags().StringVar(&place.dir, "data", "", "folder of the store (default: the user's state folder; also LARKFOLD_DATA)")
	cmd.PersistentFlags().StringVar(&place.keyFile, "key-file", "", "file with the key of a sealed store (also LARKFOLD_KEY_FILE)")
	cmd.AddCommand(
		tryCommand(&place), sizeCommand(), packCommand(), deriveCommand(),
		serveCommand(&place), registerCommand(),
		keygenCommand(), backupCommand(&place), restoreCommand(&place), checkCommand(&place), tidyCommand(&place), resealCommand(&place),
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

// version is the module's version and the revision that it was built from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	if v == "" {
		v = "(devel)"
	}
	return v + " " + info.GoVersion
}
