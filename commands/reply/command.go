package reply

import (
	"slices"
	"strings"
)

// Command describes one slash command or, under it, one subcommand.
type Command struct {
	Name        string // lower case, one word
	Description string
	Example     string // a line that can be pasted
	Options     []Option
	Sub         []Command // subcommands; then Options is empty
	ManageOnly  bool      // asks for the manage-server permission in a community
	MessageMenu bool      // offered on a message instead of being typed; Name may then hold spaces
}

// Takes tells whether the command has an option of this name.
func (c Command) Takes(option string) bool {
	return slices.ContainsFunc(c.Options, func(o Option) bool { return o.Name == option })
}

// Examples are the command's, or those of the commands under it.
func (c Command) Examples() []string {
	if len(c.Sub) == 0 {
		return []string{c.Example}
	}
	var lines []string
	for _, s := range c.Sub {
		lines = append(lines, s.Examples()...)
	}
	return lines
}

// Find follows a path of words through the commands.
func Find(commands []Command, path []string) (Command, bool) {
	if len(path) == 0 {
		return Command{}, false
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
		return Find(c.Sub, path[1:])
	}
	return Command{}, false
}

// Option is one named value of a command. Values always arrive as the text the
// member typed; Kind tells a platform which input to offer.
type Option struct {
	Name        string // lower case, one word
	Description string
	Kind        OptionKind
	Required    bool
	Choices     []Choice // a closed list
	Suggest     string   // what to complete from: "knot", "project", "cord", "rule"; empty for none
	Min, Max    int      // bounds of a Whole; Max zero means none
}

// OptionKind is the input that a platform offers for an option.
type OptionKind int

// The kinds of option. Lengths, thicknesses and formulas are Words.
const (
	Words OptionKind = iota
	Whole            // a whole number
	YesNo            // "true" or "false"
)

// Choice is one entry of a closed list or of a completion.
type Choice struct {
	Name, Value string
	Note        string // one line more about it, in a menu
}
