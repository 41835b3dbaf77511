package main

import (
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"

	"larkfold/store"
)

// The templates of the privacy notice and the terms say what the program does.
func TestNoticesSayWhatTheProgramDoes(t *testing.T) {
	days := func(d time.Duration) string { return fmt.Sprintf("%d days", int(d.Hours())/24) }
	limits := store.DefaultLimits()
	var keep housekeeping
	keep.flags(pflag.NewFlagSet("", pflag.ContinueOnError))
	for file, facts := range map[string][]string{
		"privacy-notice.md": {
			fmt.Sprintf("designs with their %d latest earlier versions", limits.Revisions),
			"so that you can bring it back | " + days(limits.BinLife) + " |",
			"so that it is not done twice | " + days(limits.OperationLife) + " |",
			fmt.Sprintf("traces of what was erased, in unused parts of the store | %d hours |", int(tidyEvery.Hours())),
			"| backups | " + days(keep.every*time.Duration(keep.keep)) + " |",
			"/mydata export", "/mydata forget",
		},
		"terms-of-use.md": {
			fmt.Sprintf("A member may keep %d designs and %d entries on the shelf", limits.Projects, limits.Leftovers),
		},
	} {
		text, err := os.ReadFile("../../deploy/" + file)
		require.NoError(t, err)
		for _, fact := range facts {
			require.Contains(t, string(text), fact, file)
		}
	}
}
