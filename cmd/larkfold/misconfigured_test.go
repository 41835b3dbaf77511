package main

import (
	"context"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/store/boltstore"
	"larkfold/store/pairs"
	"larkfold/store/seal"
)

// site is a place where serve is started with something wrong.
type site struct {
	t    *testing.T
	dir  string
	p    *platformtest.Platform
	env  []string
	args []string

	given *seal.Key // the newest that was made
}

// file writes a file with a mode and returns its path.
func (s *site) file(name, text string, mode os.FileMode) string {
	path := filepath.Join(s.dir, name)
	require.NoError(s.t, os.MkdirAll(filepath.Dir(path), 0o700))
	require.NoError(s.t, os.WriteFile(path, []byte(text), 0o600))
	require.NoError(s.t, os.Chmod(path, mode))
	return path
}

func (s *site) set(settings ...string) { s.env = append(s.env, settings...) }

// key makes a key file.
func (s *site) key(name string) string {
	path := filepath.Join(s.dir, name)
	s.given = seal.GenerateKey()
	require.NoError(s.t, writeKey(path, s.given))
	return path
}

// saved leaves a store in which somebody has saved something.
func (s *site) saved(env ...string) {
	cmd := exec.Command("larkfold", "--data", filepath.Join(s.dir, "data"), "try", "/prefs units:metric")
	cmd.Env = append(cmd.Environ(), env...)
	out, err := cmd.CombinedOutput()
	require.NoError(s.t, err, "%s", out)
}

func (s *site) store() string { return filepath.Join(s.dir, "data", storeName) }

// format makes the header of a plain store say that its records have a format.
func (s *site) format(n int) {
	engine, err := boltstore.Open(s.store(), boltstore.Options{})
	require.NoError(s.t, err)
	defer engine.Close()
	key := []byte("A")
	require.NoError(s.t, engine.Update(context.Background(), func(w pairs.Writer) error {
		value, _, err := w.Get(key)
		if err != nil {
			return err
		}
		text := string(value[:1]) + string(rune(n)) + string(value[2:len(value)-4])
		changed := regexp.MustCompile(`"format":\d+`).ReplaceAllString(text, fmt.Sprintf(`"format":%d`, n))
		require.NotEqual(s.t, text, changed)
		sum := crc32.Update(crc32.Checksum(key, crc32.MakeTable(crc32.Castagnoli)), crc32.MakeTable(crc32.Castagnoli), []byte(changed))
		return w.Put(key, binary.BigEndian.AppendUint32([]byte(changed), sum))
	}))
}

// taken is an address that somebody listens at.
func (s *site) taken() string {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(s.t, err)
	s.t.Cleanup(func() { _ = l.Close() })
	return l.Addr().String()
}

// Everything that an operator can set wrongly: what serve says, what it exits
// with, and whether it is to be started again. The token, where a row sets none,
// is right.
func TestMisconfigured(t *testing.T) {
	const own = "LARKFOLD_TOKEN="
	for _, row := range []struct {
		name  string
		set   func(s *site)
		says  string
		exit  int
		again bool
	}{
		{"no token", func(s *site) { s.set(own) }, "no token: the gateway needs the bot's token", bot.ExitConfig, false},
		{"a token file that is not there", func(s *site) { s.set(own, "LARKFOLD_TOKEN_FILE=/nowhere/token") }, "the token cannot be read: /nowhere/token", bot.ExitConfig, false},
		{"a token file for everybody", func(s *site) { s.set(own, "LARKFOLD_TOKEN_FILE="+s.file("token", s.p.Token, 0o644)) }, "which everybody on this machine can read or change (mode 0644). Make it mode 0600", bot.ExitConfig, false},
		{"an empty token file", func(s *site) { s.set(own, "LARKFOLD_TOKEN_FILE="+s.file("token", "\n", 0o600)) }, "should hold the token and nothing else", bot.ExitConfig, false},
		{"a token file with a comment", func(s *site) { s.set(own, "LARKFOLD_TOKEN_FILE="+s.file("token", "# the token\n"+s.p.Token, 0o600)) }, "should hold the token and nothing else", bot.ExitConfig, false},
		{"a folder as token file", func(s *site) { s.set(own, "LARKFOLD_TOKEN_FILE="+s.dir) }, "is a folder", bot.ExitConfig, false},
		{"two tokens", func(s *site) { s.set("LARKFOLD_TOKEN_FILE=" + s.file("token", s.p.Token, 0o600)) }, "the token is set twice, by LARKFOLD_TOKEN and by LARKFOLD_TOKEN_FILE; keep one of them", bot.ExitConfig, false},
		{"two token flags", func(s *site) { s.args = []string{"--token", "x", "--token-file", "y"} }, "the token is set twice, by --token and by --token-file", bot.ExitConfig, false},
		{"a token that is refused", func(s *site) { s.set(own + "wrong") }, "the platform refused the token; make a new one in the developer portal", bot.ExitConfig, false},

		{"a key file that is not there", func(s *site) { s.set("LARKFOLD_KEY_FILE=/nowhere/key") }, "the key cannot be read: /nowhere/key", bot.ExitConfig, false},
		{"a key file for everybody", func(s *site) {
			path := s.key("key")
			require.NoError(s.t, os.Chmod(path, 0o604))
			s.set("LARKFOLD_KEY_FILE=" + path)
		}, "(mode 0604). Make it mode 0600", bot.ExitConfig, false},
		{"no key in the key file", func(s *site) { s.set("LARKFOLD_KEY_FILE=" + s.file("key", "secret", 0o600)) }, "This is no key file", bot.ExitConfig, false},
		{"a key that is cut short", func(s *site) {
			text, err := os.ReadFile(s.key("whole"))
			require.NoError(s.t, err)
			s.set("LARKFOLD_KEY_FILE=" + s.file("key", string(text[:len(text)-9]), 0o600))
		}, "its secret is cut short or mistyped", bot.ExitConfig, false},
		{"another key than the store's", func(s *site) {
			s.saved("LARKFOLD_KEY_FILE=" + s.key("key"))
			s.set("LARKFOLD_KEY_FILE=" + s.key("other"))
		}, "This store needs the key", exitStore, false},

		{"a store in use", func(s *site) {
			s.saved()
			engine, err := boltstore.Open(s.store(), boltstore.Options{})
			require.NoError(s.t, err)
			s.t.Cleanup(func() { require.NoError(s.t, engine.Close()) })
		}, "Another copy of the program has the store", exitLocked, true},
		{"a store of a later version", func(s *site) { s.saved(); s.format(99) }, "or a newer one", exitStore, false},
		{"a damaged store", func(s *site) {
			s.saved()
			require.NoError(s.t, os.WriteFile(s.store(), []byte(strings.Repeat("nonsense ", 4<<10)), 0o600))
		}, "is damaged", exitDamaged, false},
		{"a file in the store's folder's place", func(s *site) { s.file("data", "", 0o600) }, "cannot be made; name another with --data", exitStore, false},

		{"an application that is no number", func(s *site) { s.set("LARKFOLD_APPLICATION=my bot") }, `the application id "my bot" is not a number`, bot.ExitConfig, false},
		{"a server that is no number", func(s *site) { s.set("LARKFOLD_GUILD=harbour") }, `the server id "harbour" is not a number`, bot.ExitConfig, false},
		{"a server without the bot", func(s *site) {
			s.p.Fault(platformtest.RouteCommands, 1, platformtest.Status(403))
			s.set("LARKFOLD_GUILD=" + s.p.Guild)
		}, "is the application installed in that server", bot.ExitConfig, false},
		{"shards that cannot be read", func(s *site) { s.set("LARKFOLD_SHARDS=3") }, "write auto, one shard as 2/16 or a range as 0-3/16", bot.ExitConfig, false},
		{"shards for an endpoint", func(s *site) {
			s.set("LARKFOLD_SHARDS=0/2", "LARKFOLD_HTTP=127.0.0.1:0", "LARKFOLD_PUBLIC_KEY="+s.p.PublicKey)
		}, "--shards is for the gateway", bot.ExitConfig, false},
		{"an endpoint without a public key", func(s *site) { s.set("LARKFOLD_HTTP=127.0.0.1:0") }, "the public key must be 64 hexadecimal digits", bot.ExitConfig, false},
		{"a public key that is cut short", func(s *site) {
			s.set("LARKFOLD_HTTP=127.0.0.1:0", "LARKFOLD_PUBLIC_KEY="+s.p.PublicKey[1:])
		}, "this one has 63 characters", bot.ExitConfig, false},
		{"an endpoint's address in use", func(s *site) {
			s.set("LARKFOLD_HTTP="+s.taken(), "LARKFOLD_PUBLIC_KEY="+s.p.PublicKey)
		}, "another program listens there", bot.ExitPassing, true},
		{"a status address in use", func(s *site) { s.set("LARKFOLD_STATUS=" + s.taken()) }, "another program listens there", bot.ExitPassing, true},
		{"a status address without a port", func(s *site) { s.set("LARKFOLD_STATUS=127.0.0.1") }, "must look like 127.0.0.1:7417", bot.ExitConfig, false},
		{"a status socket nowhere", func(s *site) { s.set("LARKFOLD_STATUS=unix:/nowhere/status.sock") }, "no such file or directory", bot.ExitConfig, false},
		{"a file in the status socket's place", func(s *site) { s.set("LARKFOLD_STATUS=unix:" + s.file("status", "", 0o600)) }, "is there already and is no socket", bot.ExitConfig, false},
		{"a platform that is no address", func(s *site) { s.set("LARKFOLD_PLATFORM=discord") }, "must look like https://host", bot.ExitConfig, false},
		{"no session starts left", func(s *site) {
			s.p = platformtest.Start(s.t, platformtest.Options{StartsLeft: -1})
			s.set("LARKFOLD_PLATFORM=" + s.p.URL)
		}, "the platform allows 0 more session starts today", bot.ExitNoStarts, true},
		{"a gateway that refuses the shards", func(s *site) {
			s.p.NextConnections(s.p.Refuse(4010))
		}, "the platform refused the shard numbers", bot.ExitConfig, false},

		{"a time that cannot be read", func(s *site) { s.set("LARKFOLD_BACKUP_EVERY=daily") }, `LARKFOLD_BACKUP_EVERY: "daily" is no such value: write a time such as 24h or 90m`, bot.ExitConfig, false},
		{"a number that cannot be read", func(s *site) { s.set("LARKFOLD_KEEP_BACKUPS=all") }, `LARKFOLD_KEEP_BACKUPS: "all" is no such value: write a whole number`, bot.ExitConfig, false},
		{"a time that is none", func(s *site) { s.set("LARKFOLD_BACKUP_EVERY=-1h") }, "--backup-every -1h0m0s is no time between backups", bot.ExitConfig, false},
		{"no backups kept", func(s *site) { s.set("LARKFOLD_KEEP_BACKUPS=0") }, "--keep-backups 0 keeps none: 1 is the fewest", bot.ExitConfig, false},
		{"less room than none", func(s *site) { s.set("LARKFOLD_BACKUP_MIB=-1") }, "--backup-mib -1 is no room for backups", bot.ExitConfig, false},
		{"going on for less than no time", func(s *site) { s.set("LARKFOLD_DRAIN=-1s") }, "--drain -1s is no time to go on answering", bot.ExitConfig, false},
		{"yes or no that cannot be read", func(s *site) { s.set("LARKFOLD_PLAIN=maybe") }, `LARKFOLD_PLAIN: "maybe" is no such value: write true or false`, bot.ExitConfig, false},
		{"a form of log that there is not", func(s *site) { s.set("LARKFOLD_LOG=xml") }, "write text, json or journal", bot.ExitConfig, false},
		{"a level that there is not", func(s *site) { s.set("LARKFOLD_LOG_LEVEL=loud") }, `LARKFOLD_LOG_LEVEL: "loud" is no such value: write debug, info, warn or error`, bot.ExitConfig, false},
		{"a variable that there is not", func(s *site) { s.set("LARKFOLD_TOKN_FILE=x") }, "LARKFOLD_TOKN_FILE", bot.ExitConfig, false},
		{"a key for a plain store", func(s *site) { s.set("LARKFOLD_PLAIN=true", "LARKFOLD_KEY_FILE="+s.key("key")) }, "leave out one of them", bot.ExitConfig, false},
		{"a flag that there is not", func(s *site) { s.args = []string{"--gild", "1"} }, "unknown flag: --gild", exitUsage, false},
		{"a flag's value that cannot be read", func(s *site) { s.args = []string{"--keep-backups", "all"} }, `--keep-backups: "all" is no such value: write a whole number`, exitUsage, false},
		{"another folder in the store's place", func(s *site) { require.NoError(s.t, os.MkdirAll(s.store(), 0o700)) }, "is a folder, and a store is a file", exitStore, false},
		{"a word too many", func(s *site) { s.args = []string{"now"} }, `unknown command "now"`, exitUsage, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			s := &site{t: t, dir: t.TempDir(), p: platformtest.Start(t, platformtest.Options{})}
			row.set(s)
			cmd := exec.Command("larkfold", append([]string{"serve"}, s.args...)...)
			cmd.Env = append(cmd.Environ(), "LARKFOLD_PLATFORM="+s.p.URL, "LARKFOLD_DATA="+filepath.Join(s.dir, "data"))
			if len(s.args) == 0 {
				cmd.Env = append(cmd.Env, "LARKFOLD_TOKEN="+s.p.Token)
			}
			cmd.Env = append(cmd.Env, s.env...)
			out, err := cmd.CombinedOutput()
			require.Error(t, err, "%s", out)
			require.Contains(t, string(out), row.says)
			require.Equal(t, row.exit, cmd.ProcessState.ExitCode(), "%s", out)
			require.NotContains(t, string(out), s.p.Token, "a secret is shown")
			var known bool
			for _, e := range endings() {
				if e.status == row.exit {
					known = true
					require.Equal(t, row.again, e.again, "status %s", strconv.Itoa(e.status))
				}
			}
			require.True(t, known)
		})
	}
}
