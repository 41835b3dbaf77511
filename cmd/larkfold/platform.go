package main

import (
	"errors"
	"log/slog"

	"github.com/spf13/pflag"

	"larkfold/bot"
)

// platform is how to reach the chat platform.
type platform struct {
	token, tokenFile, application, publicKey, guild, http, status, address, shards string
	noRegister                                                                     bool
}

// flags adds what every command needs that talks to the platform.
func (p *platform) flags(f *pflag.FlagSet) {
	f.StringVar(&p.token, "token", "", "the bot's token; other users of this machine can see it here, so better --token-file")
	f.StringVar(&p.tokenFile, "token-file", "", "file with the bot's token")
	f.StringVar(&p.application, "application", "", "application id; asked from the platform if silent")
	f.StringVar(&p.guild, "guild", "", "register the commands in the server of this id only")
	f.StringVar(&p.address, "platform", "", "another address of the platform, for tests")
}

// way is how questions come in.
func (p *platform) way() string {
	if p.http != "" {
		return "endpoint at " + p.http
	}
	return "gateway"
}

// config is the bot's configuration.
func (p *platform) config(f *pflag.FlagSet, app bot.App, log *slog.Logger) (bot.Config, error) {
	c := bot.Config{
		App: app, Log: log, Token: p.token, ApplicationID: p.application, Guild: p.guild,
		SkipRegister: p.noRegister, HTTP: p.http, PublicKey: p.publicKey, Status: p.status, PlatformURL: p.address,
	}
	from, err := oneOf(f, "the token", "token", "token-file")
	if err != nil {
		return c, err
	}
	if from == "token-file" {
		if c.Token, err = readToken(p.tokenFile); err != nil {
			return c, err
		}
	}
	if p.shards != "" {
		if p.http != "" {
			return c, badSetting{errors.New("--shards is for the gateway, and --http does without it; leave out one of them")}
		}
		if c.Shards, err = bot.ParseShards(p.shards); err != nil {
			return c, badSetting{err}
		}
	}
	return c, nil
}
