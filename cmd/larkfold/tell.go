package main

import (
	"cmp"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/pflag"

	"larkfold/store/pgstore"
)

// tell says what serve would do with its settings, and where those come from.
// Of secrets it says where they are.
func (s *serving) tell(to io.Writer, f *pflag.FlagSet) error {
	file, opts, err := s.place.file()
	if err != nil {
		return err
	}
	p, k := s.platform, s.keep
	key, err := s.place.keyPath(filepath.Dir(file))
	if err != nil {
		return err
	}
	token, err := oneOf(f, "the token", "token", "token-file")
	if err != nil {
		return err
	}
	line := func(what, says string, flags ...string) {
		for _, name := range flags {
			if by := givenBy(f.Lookup(name)); by != "" {
				says += " (" + by + ")"
			}
		}
		fmt.Fprintf(to, "%-12s %s\n", what, says)
	}
	line("version", version())
	line("way in", p.way(), "http")
	if p.http == "" {
		line("connections", cmp.Or(p.shards, "as many as the platform asks for"), "shards")
	}
	line("application", cmp.Or(p.application, "asked from the platform"), "application")
	switch token {
	case "":
		line("token", "none")
	case "token-file":
		line("token", "in "+p.tokenFile, token)
	default:
		line("token", "given", token)
	}
	switch {
	case p.noRegister:
		line("commands", "left as they are registered", "no-register")
	case p.guild != "":
		line("commands", "registered in the server "+p.guild+" only", "guild")
	default:
		line("commands", "registered everywhere")
	}
	if s.place.address == "" {
		line("store", file, "data")
	} else {
		where, err := pgstore.Describe(s.place.address)
		if err != nil {
			return err
		}
		line("store", where, "store")
		line("replica", cmp.Or(s.replica.name, "named after the machine"), "replica")
	}
	if made := s.place.keyToBe(file, opts); made != "" {
		line("key", "made at the first start, in "+made)
	} else if opts.Key == nil {
		line("key", "none: what members save is not sealed")
	} else {
		line("key", opts.Key.ID()+" in "+key, "key-file")
	}
	switch {
	case s.place.address != "":
		line("backups", "left to the server")
	case k.every <= 0:
		line("backups", "none", "backup-every")
	default:
		kept := fmt.Sprintf("every %s into %s, the newest %d are kept", k.every, s.place.backupsFolder(filepath.Dir(file)), k.keep)
		if k.bytes > 0 {
			kept += fmt.Sprintf(", in %d MiB at most", k.bytes)
		}
		line("backups", kept,
			"backups", "backup-every", "keep-backups", "backup-mib")
	}
	line("status", cmp.Or(p.status, "nowhere"), "status")
	line("log", fmt.Sprintf("%s, from %s on", cmp.Or(string(s.log.form), "as standard error wants it"), s.log.level.Level()), "log", "log-level")
	return nil
}
