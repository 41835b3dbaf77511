package bot

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"larkfold/bot/fit"
	"larkfold/commands/reply"

	"github.com/bwmarrin/discordgo"
)

// commandName is the platform's rule for names of typed commands and options
// (interactions/application-commands, Naming).
var commandName = regexp.MustCompile(`^[-_'\p{L}\p{N}\p{Devanagari}\p{Thai}]{1,32}$`)

// define derives the platform's definitions from the commands and refuses what
// breaks one of its limits. Where a command can be installed and used is for
// commands everywhere only; a server's own commands belong to that server.
func define(list []reply.Command, inGuild bool) ([]*discordgo.ApplicationCommand, error) {
	definitions := []*discordgo.ApplicationCommand{} // never nil: the platform refuses null
	var faults []error
	typed, onMessage := 0, 0
	seen := map[string]bool{}
	for _, c := range list {
		d, err := defineCommand(c)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		key := definitionKey(d)
		if seen[key] {
			faults = append(faults, fmt.Errorf("%s is there twice", key))
		}
		seen[key] = true
		if c.MessageMenu {
			onMessage++
		} else {
			typed++
		}
		if !inGuild {
			places(d, c)
		}
		if n := characters(d); n > commandCharacters {
			faults = append(faults, fmt.Errorf("/%s has %d characters in all, at most %d are allowed", c.Name, n, commandCharacters))
		}
		definitions = append(definitions, d)
	}
	if typed > commandsTyped {
		faults = append(faults, fmt.Errorf("%d commands, at most %d are allowed", typed, commandsTyped))
	}
	if onMessage > commandsOnMessage {
		faults = append(faults, fmt.Errorf("%d commands on messages, at most %d are allowed", onMessage, commandsOnMessage))
	}
	return definitions, errors.Join(faults...)
}

// definitionKey is what a command is known by: its kind and name.
func definitionKey(d *discordgo.ApplicationCommand) string {
	if d.Type == discordgo.MessageApplicationCommand {
		return "message menu " + strconv.Quote(d.Name)
	}
	return "/" + d.Name
}

// places allows a command in servers and private chats, installed to either;
// one that asks for a server's permission only in servers.
func places(d *discordgo.ApplicationCommand, c reply.Command) {
	contexts := []discordgo.InteractionContextType{
		discordgo.InteractionContextGuild, discordgo.InteractionContextBotDM, discordgo.InteractionContextPrivateChannel,
	}
	installs := []discordgo.ApplicationIntegrationType{
		discordgo.ApplicationIntegrationGuildInstall, discordgo.ApplicationIntegrationUserInstall,
	}
	if managed(c) {
		contexts, installs = contexts[:1], installs[:1]
	}
	d.Contexts, d.IntegrationTypes = &contexts, &installs
}

// managed reports whether all of a command asks for the manage-server
// permission. The platform has permissions for whole commands only; of a
// command that asks for it in part, the command itself must check.
func managed(c reply.Command) bool {
	if c.ManageOnly || len(c.Sub) == 0 {
		return c.ManageOnly
	}
	return !slices.ContainsFunc(c.Sub, func(sub reply.Command) bool { return !managed(sub) })
}

func defineCommand(c reply.Command) (*discordgo.ApplicationCommand, error) {
	d := &discordgo.ApplicationCommand{Type: discordgo.ChatApplicationCommand, Name: c.Name, Description: c.Description}
	if managed(c) {
		permission := int64(permissionManageServer)
		d.DefaultMemberPermissions = &permission
	}
	if c.MessageMenu {
		d.Type, d.Description = discordgo.MessageApplicationCommand, ""
		if n := len([]rune(c.Name)); n < 1 || n > nameCharacters || strings.TrimSpace(c.Name) != c.Name {
			return nil, fmt.Errorf("message menu %q: the name must have 1 to %d characters", c.Name, nameCharacters)
		}
		if len(c.Options) > 0 || len(c.Sub) > 0 {
			return nil, fmt.Errorf("message menu %q: it can have neither options nor subcommands", c.Name)
		}
		return d, nil
	}
	if err := checkNamed("/"+c.Name, c.Name, c.Description); err != nil {
		return nil, err
	}
	options, err := defineBelow("/"+c.Name, c, 0)
	d.Options = options
	return d, err
}

// defineBelow derives the subcommands or the options of a command. depth counts the levels above.
func defineBelow(where string, c reply.Command, depth int) ([]*discordgo.ApplicationCommandOption, error) {
	if len(c.Sub) == 0 {
		return defineOptions(where, c.Options)
	}
	var faults []error
	if len(c.Options) > 0 {
		faults = append(faults, fmt.Errorf("%s: it cannot have both options and subcommands", where))
	}
	if depth == 2 {
		faults = append(faults, fmt.Errorf("%s: subcommands can be two levels deep, no more", where))
	}
	if len(c.Sub) > commandOptions {
		faults = append(faults, fmt.Errorf("%s: %d subcommands, at most %d are allowed", where, len(c.Sub), commandOptions))
	}
	seen := map[string]bool{}
	var out []*discordgo.ApplicationCommandOption
	for _, sub := range c.Sub {
		path := where + " " + sub.Name
		kind := discordgo.ApplicationCommandOptionSubCommand
		if len(sub.Sub) > 0 {
			kind = discordgo.ApplicationCommandOptionSubCommandGroup
		}
		if seen[sub.Name] {
			faults = append(faults, fmt.Errorf("%s is there twice", path))
		}
		seen[sub.Name] = true
		if err := checkNamed(path, sub.Name, sub.Description); err != nil {
			faults = append(faults, err)
		}
		if depth == 2 {
			continue
		}
		below, err := defineBelow(path, sub, depth+1)
		faults = append(faults, err)
		out = append(out, &discordgo.ApplicationCommandOption{Type: kind, Name: sub.Name, Description: sub.Description, Options: below})
	}
	return out, errors.Join(faults...)
}

func defineOptions(where string, list []reply.Option) ([]*discordgo.ApplicationCommandOption, error) {
	var faults []error
	if len(list) > commandOptions {
		faults = append(faults, fmt.Errorf("%s: %d options, at most %d are allowed", where, len(list), commandOptions))
	}
	seen := map[string]bool{}
	var out []*discordgo.ApplicationCommandOption
	for _, o := range list {
		path := where + " " + o.Name
		if seen[o.Name] {
			faults = append(faults, fmt.Errorf("%s is there twice", path))
		}
		seen[o.Name] = true
		d, err := defineOption(path, o)
		faults = append(faults, err)
		out = append(out, d)
	}
	// The platform wants required options first.
	slices.SortStableFunc(out, func(a, b *discordgo.ApplicationCommandOption) int {
		switch {
		case a.Required == b.Required:
			return 0
		case a.Required:
			return -1
		}
		return 1
	})
	return out, errors.Join(faults...)
}

func defineOption(where string, o reply.Option) (*discordgo.ApplicationCommandOption, error) {
	kinds := map[reply.OptionKind]discordgo.ApplicationCommandOptionType{
		reply.Words: discordgo.ApplicationCommandOptionString,
		reply.Whole: discordgo.ApplicationCommandOptionInteger,
		reply.YesNo: discordgo.ApplicationCommandOptionBoolean,
	}
	d := &discordgo.ApplicationCommandOption{
		Type: kinds[o.Kind], Name: o.Name, Description: o.Description, Required: o.Required, Autocomplete: o.Suggest != "",
	}
	faults := []error{checkNamed(where, o.Name, o.Description)}
	if o.Kind == reply.Whole && (o.Min != 0 || o.Max != 0) {
		least := float64(o.Min)
		d.MinValue, d.MaxValue = &least, float64(o.Max)
		if o.Max != 0 && o.Max < o.Min {
			faults = append(faults, fmt.Errorf("%s: at least %d and at most %d is nothing", where, o.Min, o.Max))
		}
	}
	switch {
	case o.Kind == reply.YesNo && (len(o.Choices) > 0 || o.Suggest != ""):
		faults = append(faults, fmt.Errorf("%s: a yes-or-no option has no choices", where))
	case len(o.Choices) > 0 && o.Suggest != "":
		faults = append(faults, fmt.Errorf("%s: it cannot have both a closed list and completion", where))
	case len(o.Choices) > optionChoices:
		faults = append(faults, fmt.Errorf("%s: %d choices, at most %d are allowed", where, len(o.Choices), optionChoices))
	}
	seen := map[string]bool{}
	for _, c := range o.Choices {
		if n := fit.Units(c.Name); n < 1 || n > choiceText || fit.Units(c.Value) > choiceText || c.Value == "" {
			faults = append(faults, fmt.Errorf("%s: choice %q: name and value must have 1 to %d characters", where, c.Name, choiceText))
		}
		if seen["name "+c.Name] || seen["value "+c.Value] {
			faults = append(faults, fmt.Errorf("%s: choice %q is there twice", where, c.Name))
		}
		seen["name "+c.Name], seen["value "+c.Value] = true, true
		var value any = c.Value
		if o.Kind == reply.Whole {
			n, err := strconv.Atoi(c.Value)
			if err != nil {
				faults = append(faults, fmt.Errorf("%s: choice %q: the value must be a whole number", where, c.Name))
			}
			value = n
		}
		d.Choices = append(d.Choices, &discordgo.ApplicationCommandOptionChoice{Name: c.Name, Value: value})
	}
	return d, errors.Join(faults...)
}

func checkNamed(where, name, description string) error {
	var faults []error
	if !commandName.MatchString(name) || strings.ToLower(name) != name {
		faults = append(faults, fmt.Errorf("%s: the name must be 1 to %d lower-case letters, digits, - or _", where, nameCharacters))
	}
	if n := fit.Units(description); n < 1 || n > describedBy {
		faults = append(faults, fmt.Errorf("%s: the description has %d characters, it must have 1 to %d", where, n, describedBy))
	}
	return errors.Join(faults...)
}

// characters counts what the platform limits to 8000: every name, description and value.
func characters(d *discordgo.ApplicationCommand) int {
	n := fit.Units(d.Name) + fit.Units(d.Description)
	var count func([]*discordgo.ApplicationCommandOption)
	count = func(options []*discordgo.ApplicationCommandOption) {
		for _, o := range options {
			n += fit.Units(o.Name) + fit.Units(o.Description)
			for _, c := range o.Choices {
				n += fit.Units(c.Name) + fit.Units(fmt.Sprint(c.Value))
			}
			count(o.Options)
		}
	}
	count(d.Options)
	return n
}
