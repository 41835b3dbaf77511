package main

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pages are where somebody looks for a flag, beside the help of its command.
func pages(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	for _, page := range []string{"README.md", "DEVELOPERS.md", "deploy/README.md", "deploy/several.md", "deploy/larkfold.env"} {
		text, err := os.ReadFile("../../" + page)
		require.NoError(t, err)
		all.Write(text)
	}
	return all.String()
}

// A flag that no page mentions is a flag that nobody uses; one that a page makes
// up leads astray.
func TestPagesKnowTheFlags(t *testing.T) {
	text := pages(t)
	told := text
	known := map[string]bool{"--help": true, "--version": true}
	var walk func(cmd *cobra.Command)
	walk = func(cmd *cobra.Command) {
		text := text + cmd.Long + cmd.Example
		told += cmd.Long + cmd.Example
		visit := func(f *pflag.Flag) {
			known["--"+f.Name] = true
			mention := regexp.QuoteMeta("--"+f.Name) + `(?:[^a-z-]|$)`
			if variable := variableOf(f); variable != "" {
				mention += `|\b` + variable + `\b`
			}
			assert.True(t, f.Hidden || regexp.MustCompile(mention).MatchString(text), "no page speaks of %s --%s", cmd.CommandPath(), f.Name)
		}
		cmd.PersistentFlags().VisitAll(visit)
		cmd.LocalFlags().VisitAll(visit)
		for _, sub := range cmd.Commands() {
			walk(sub)
		}
	}
	walk(root())
	for _, flag := range regexp.MustCompile(`(?:cmd/larkfold|\blarkfold(?:-admin)? [a-z]+) (--[a-z][a-z-]+)`).FindAllStringSubmatch(told, -1) {
		assert.True(t, known[flag[1]], "a page speaks of %s", flag[1])
	}
}
