package bot

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"larkfold/bot/fit"

	"github.com/bwmarrin/discordgo"
)

// Registration is the difference between the commands that are registered and
// those that should be, by name, and whether it was written.
type Registration struct {
	Added, Changed, Removed []string
	Written                 bool
}

// Same reports that there was nothing to do.
func (r Registration) Same() bool { return len(r.Added)+len(r.Changed)+len(r.Removed) == 0 }

// Register compares the registered commands with the bot's own and writes them
// if they differ and dryRun is not set. guild is the server to register them
// in; empty registers them everywhere.
func (b *Bot) Register(ctx context.Context, guild string, dryRun bool) (Registration, error) {
	registration, err := b.register(ctx, guild, dryRun)
	return registration, b.redact.error(err)
}

func (b *Bot) register(ctx context.Context, guild string, dryRun bool) (Registration, error) {
	address, there, err := b.registered(ctx, guild)
	if err != nil {
		return Registration{}, err
	}
	wanted := b.definitions
	if (guild != "") != (b.config.Guild != "") {
		if wanted, err = define(b.config.App.Commands(), guild != ""); err != nil {
			return Registration{}, err
		}
	}
	registration := compare(wanted, there, guild != "")
	if registration.Same() || dryRun {
		return registration, nil
	}
	err = b.writeCommands(ctx, address, wanted)
	registration.Written = err == nil
	return registration, err
}

// registered reads the commands that are registered in a server, or everywhere,
// and tells the address that they are written to.
func (b *Bot) registered(ctx context.Context, guild string) (address string, there []*discordgo.ApplicationCommand, err error) {
	if guild != "" && !fit.IsID(guild) {
		return "", nil, &ExitError{ExitConfig, fmt.Sprintf("the server id %q is not a number", guild)}
	}
	if err := b.findApplication(ctx); err != nil {
		return "", nil, err
	}
	appID := *b.appID.Load()
	address = discordgo.EndpointApplicationGlobalCommands(appID)
	if guild != "" {
		address = discordgo.EndpointApplicationGuildCommands(appID, guild)
	}
	err = b.patiently(ctx, "reading the registered commands", func() error {
		err := b.rest.read(ctx, http.MethodGet, address+"?with_localizations=true", nil, &there)
		if status(err) == http.StatusNotFound {
			return nil // there are none to be read, and they can still be written
		}
		return err
	})
	return address, there, err
}

func (b *Bot) writeCommands(ctx context.Context, address string, wanted []*discordgo.ApplicationCommand) error {
	return b.patiently(ctx, "registering the commands", func() error {
		var written []*discordgo.ApplicationCommand
		return b.rest.read(ctx, http.MethodPut, address, wanted, &written)
	})
}

// Unregister takes all commands out of a server, or with an empty id out of the
// list for everywhere, and returns their names.
func (b *Bot) Unregister(ctx context.Context, guild string) (gone []string, err error) {
	address, there, err := b.registered(ctx, guild)
	if err == nil && len(there) > 0 {
		err = b.writeCommands(ctx, address, []*discordgo.ApplicationCommand{})
	}
	if err != nil {
		return nil, b.redact.error(err)
	}
	for _, d := range there {
		gone = append(gone, definitionKey(d))
	}
	slices.Sort(gone)
	return gone, nil
}

// Doubled are the names that stand in the list for everywhere while this bot
// registers in one server: members of that server see those commands twice.
func (b *Bot) Doubled(ctx context.Context) ([]string, error) {
	if b.config.Guild == "" {
		return nil, nil
	}
	_, there, err := b.registered(ctx, "")
	if err != nil {
		return nil, b.redact.error(err)
	}
	var twice []string
	for _, d := range there {
		if slices.ContainsFunc(b.definitions, func(own *discordgo.ApplicationCommand) bool { return definitionKey(own) == definitionKey(d) }) {
			twice = append(twice, definitionKey(d))
		}
	}
	slices.Sort(twice)
	return twice, nil
}

// Application is the id of the bot's application, asked from the platform if the
// configuration does not name it.
func (b *Bot) Application(ctx context.Context) (string, error) {
	err := b.findApplication(ctx)
	return *b.appID.Load(), b.redact.error(err)
}

// Invite is the link that installs an application. It asks for its commands only:
// no intents, no permissions, no bot among the members.
func Invite(application string) (string, error) {
	if !fit.IsID(application) {
		return "", &ExitError{ExitConfig, fmt.Sprintf("the application id %q is not a number", application)}
	}
	ask := url.Values{"client_id": {application}, "scope": {"applications.commands"}}
	return discordgo.EndpointDiscord + "oauth2/authorize?" + ask.Encode(), nil
}

// registerAtStart registers the commands. That they cannot be written just now
// does not keep the bot from answering those that are registered already.
func (b *Bot) registerAtStart(ctx context.Context) error {
	r, err := b.register(ctx, b.config.Guild, false)
	var exit *ExitError
	switch {
	case errors.As(err, &exit) && exit.Code == ExitConfig, ctx.Err() != nil:
		return err
	case status(err) == http.StatusForbidden:
		return &ExitError{ExitConfig, "the commands cannot be registered here: is the application installed in that server, with the scope applications.commands? " + b.redact.text(err.Error())}
	case err != nil:
		b.log.Error("commands not registered", b.redact.attr(err))
		return nil
	case r.Same():
		b.log.Info("commands are registered already")
	default:
		b.log.Info("commands registered", "added", r.Added, "changed", r.Changed, "removed", r.Removed)
	}
	if twice, err := b.Doubled(ctx); err == nil && len(twice) > 0 {
		b.log.Warn("these commands are registered everywhere too, and the server sees them twice: larkfold unregister takes out those for everywhere", "commands", twice)
	}
	return nil
}

// compare matches definitions by kind and name, after filling in the platform's defaults.
func compare(wanted, there []*discordgo.ApplicationCommand, inGuild bool) Registration {
	before := map[string]string{}
	for _, d := range there {
		before[definitionKey(d)] = normal(d, inGuild)
	}
	var r Registration
	for _, d := range wanted {
		key := definitionKey(d)
		switch was, known := before[key]; {
		case !known:
			r.Added = append(r.Added, key)
		case was != normal(d, inGuild):
			r.Changed = append(r.Changed, key)
		}
		delete(before, key)
	}
	for key := range before {
		r.Removed = append(r.Removed, key)
	}
	slices.Sort(r.Removed)
	return r
}

// normalCommand and normalOption hold what we set of a definition, each default
// written the way the platform gives it back.
type normalCommand struct {
	Type        int
	Name        string
	Description string
	Permissions string
	Contexts    []int
	Installs    []int
	Options     []normalOption
}

type normalOption struct {
	Type          int
	Name          string
	Description   string
	Required      bool
	Autocomplete  bool
	Least, Most   string
	Short, Long   string
	Choices       [][2]string
	Options       []normalOption
	Localisations int
}

func normal(d *discordgo.ApplicationCommand, inGuild bool) string {
	n := normalCommand{Type: max(1, int(d.Type)), Name: d.Name, Description: d.Description, Options: normalOptions(d.Options)}
	if d.DefaultMemberPermissions != nil {
		n.Permissions = fmt.Sprint(*d.DefaultMemberPermissions)
	}
	if !inGuild {
		n.Contexts, n.Installs = []int{0, 1, 2}, []int{0}
		if d.Contexts != nil {
			n.Contexts = sorted(*d.Contexts)
		}
		if d.IntegrationTypes != nil {
			n.Installs = sorted(*d.IntegrationTypes)
		}
	}
	text, err := json.Marshal(n)
	if err != nil {
		return err.Error() // no field can fail to marshal
	}
	return string(text)
}

func normalOptions(options []*discordgo.ApplicationCommandOption) []normalOption {
	var out []normalOption
	for _, o := range options {
		n := normalOption{
			Type: int(o.Type), Name: o.Name, Description: o.Description, Required: o.Required,
			Autocomplete: o.Autocomplete, Options: normalOptions(o.Options),
			Localisations: len(o.NameLocalizations) + len(o.DescriptionLocalizations),
		}
		if o.MinValue != nil {
			n.Least = fmt.Sprint(*o.MinValue)
		}
		if o.MaxValue != 0 {
			n.Most = fmt.Sprint(o.MaxValue)
		}
		if o.MinLength != nil {
			n.Short = fmt.Sprint(*o.MinLength)
		}
		if o.MaxLength != 0 {
			n.Long = fmt.Sprint(o.MaxLength)
		}
		for _, c := range o.Choices {
			n.Choices = append(n.Choices, [2]string{c.Name, fmt.Sprint(c.Value)})
		}
		out = append(out, n)
	}
	return out
}

func sorted[T ~int | ~uint](values []T) []int {
	out := []int{}
	for _, v := range values {
		out = append(out, int(v))
	}
	slices.Sort(out)
	return out
}
