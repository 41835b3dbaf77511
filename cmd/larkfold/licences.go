package main

import (
	_ "embed"
	"io"

	"github.com/spf13/cobra"
)

// licences are the notices of everything that is linked into the program. The
// test that holds them against the build writes them anew with -update.
//
//go:embed licences.txt
var licences string

func licencesCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "licences",
		Short: "Print the notices of the libraries and fonts in this program",
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			_, err := io.WriteString(cmd.OutOrStdout(), licences)
			return err
		}),
	}
}
