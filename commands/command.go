package commands

import (
	"context"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
)

// find follows a path of words through the commands.
func find(commands []reply.Command, path []string) (reply.Command, bool) {
	if len(path) == 0 {
		return reply.Command{}, false
	}
	for _, c := range commands {
		name := c.Name
		if c.MessageMenu && strings.Join(path, " ") == name {
			return c, true
		}
		if name != path[0] {
			continue
		}
		if len(path) == 1 {
			return c, true
		}
		return find(c.Sub, path[1:])
	}
	return reply.Command{}, false
}

func subNames(c reply.Command) string {
	names := make([]string, len(c.Sub))
	for i, s := range c.Sub {
		names[i] = s.Name
	}
	return strings.Join(names, ", ")
}

// examples are those of a command, or of the commands under it.
func examples(c reply.Command) []string {
	if len(c.Sub) == 0 {
		return []string{c.Example}
	}
	var lines []string
	for _, s := range c.Sub {
		lines = append(lines, examples(s)...)
	}
	return lines
}

// handler answers one request. It never sends anything itself.
type handler func(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error)

// command is what answers a slash command and what that needs to know, with its
// description; or a group with the commands under it.
type command struct {
	run   handler
	reads sitting.Reads
	reply.Command
	sub []command
}
