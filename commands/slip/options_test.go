package slip_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/commands/slip"
)

// everyOption calls a function with every option of every command that can be typed.
func everyOption(a *commandstest.App, look func(path string, c reply.Command, o reply.Option)) {
	var walk func(path string, c reply.Command)
	walk = func(path string, c reply.Command) {
		for _, o := range c.Options {
			look(path, c, o)
		}
		for _, s := range c.Sub {
			walk(path+" "+s.Name, s)
		}
	}
	for _, c := range a.Commands() {
		if !c.MessageMenu {
			walk(c.Name, c)
		}
	}
}

// exempt are names that two commands read in their own way, as the sheet has it: the
// words of a wrap.
var exempt = []string{"cord", "for"}

// An option's name means one thing, in whichever command it stands: it has one
// meaning, one kind of input and one list to complete from.
func TestAnOptionsNameMeansOneThing(t *testing.T) {
	first := map[string]reply.Option{}
	used := map[string]bool{}
	everyOption(commandstest.New(t), func(path string, _ reply.Command, o reply.Option) {
		used[o.Name] = true
		require.Contains(t, slip.Meanings, o.Name, "/%s %s: no meaning", path, o.Name)
		if slices.Contains(exempt, o.Name) {
			return
		}
		before, seen := first[o.Name]
		if !seen {
			first[o.Name] = o
			return
		}
		require.Equal(t, before.Kind, o.Kind, "/%s %s", path, o.Name)
		require.Equal(t, len(before.Choices) > 0, len(o.Choices) > 0, "/%s %s", path, o.Name)
	})
	for name := range slip.Meanings {
		require.True(t, used[name], "%s is no option", name)
	}
	for name, others := range slip.Otherwise {
		for _, other := range others {
			require.True(t, used[other], "%s stands for %s, which is no option", name, other)
		}
	}
}
