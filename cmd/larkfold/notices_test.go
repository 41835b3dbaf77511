package main

import (
	"fmt"
	"os"
	"regexp"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"

	"larkfold/store"
)

// The templates of the privacy notice and the terms say what the program does.
func TestNoticesSayWhatTheProgramDoes(t *testing.T) {
	limits := store.DefaultLimits()
	var keep housekeeping
	keep.flags(pflag.NewFlagSet("", pflag.ContinueOnError))
	notice, err := os.ReadFile("../../deploy/privacy-notice.md")
	require.NoError(t, err)
	for _, kept := range keep.retention().Kept() {
		row := regexp.MustCompile(`(?m)^\| ` + regexp.QuoteMeta(kept.What) + `[^|]*\| ` + regexp.QuoteMeta(kept.For) + ` \|$`)
		require.Regexp(t, row, string(notice))
	}
	for file, facts := range map[string][]string{
		"privacy-notice.md": {
			fmt.Sprintf("designs with their %d latest earlier versions", limits.Revisions),
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
