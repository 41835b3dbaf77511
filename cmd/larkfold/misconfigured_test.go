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
	"larkfold/store"
	"larkfold/store/boltstore"
)

// bench is a place where serve is started with something wrong.
type bench struct {
	t    *testing.T
	dir  string
	p    *platformtest.Platform
	env  []string
	args []string

	given *store.Key // the newest that was made
}

// file writes a file with a mode and returns its path.
func (b *bench) file(name, text string, mode os.FileMode) string {
	path := filepath.Join(b.dir, name)
	require.NoError(b.t, os.MkdirAll(filepath.Dir(path), 0o700))
	require.NoError(b.t, os.WriteFile(path, []byte(text), 0o600))
	require.NoError(b.t, os.Chmod(path, mode))
	return path
}

func (b *bench) set(pairs ...string) { b.env = append(b.env, pairs...) }

// key makes a key file.
func (b *bench) key(name string) string {
	path := filepath.Join(b.dir, name)
	b.given = store.GenerateKey()
	require.NoError(b.t, store.WriteKeyFile(path, b.given))
	return path
}

// saved leaves a store in which somebody has saved something.
func (b *bench) saved(env ...string) {
	cmd := exec.Command("larkfold", "--data", filepath.Join(b.dir, "data"), "try", "/prefs units:metric")
	cmd.Env = append(cmd.Environ(), env...)
	out, err := cmd.CombinedOutput()
	require.NoError(b.t, err, "%s", out)
}

func (b *bench) store() string { return filepath.Join(b.dir, "data", storeName) }

// format makes the header of a plain store say that its records have a format.
func (b *bench) format(n int) {
	engine, err := boltstore.Open(b.store(), boltstore.Options{})
	require.NoError(b.t, err)
	defer engine.Close()
	key := []byte("A")
	require.NoError(b.t, engine.Update(context.Background(), func(w store.Writer) error {
		value, _, err := w.Get(key)
		if err != nil {
			return err
		}
		text := string(value[:1]) + string(rune(n)) + string(value[2:len(value)-4])
		changed := regexp.MustCompile(`"format":\d+`).ReplaceAllString(text, fmt.Sprintf(`"format":%d`, n))
		require.NotEqual(b.t, text, changed)
		sum := crc32.Update(crc32.Checksum(key, crc32.MakeTable(crc32.Castagnoli)), crc32.MakeTable(crc32.Castagnoli), []byte(changed))
		return w.Put(key, binary.BigEndian.AppendUint32([]byte(changed), sum))
	}))
}

// taken is an address that somebody listens at.
func (b *bench) taken() string {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b.t, err)
	b.t.Cleanup(func() { _ = l.Close() })
	return l.Addr().String()
}

// Everything that an operator can set wrongly: what serve says, what it exits
// with, and whether it is to be started again. The token, where a row sets none,
// is right.
func TestMisconfigured(t *testing.T) {
	const own = "LARKFOLD_TOKEN="
	for _, row := range []struct {
		name  string
		set   func(b *bench)
		says  string
		exit  int
		again bool
	}{
		{"no token", func(b *bench) { b.set(own) }, "no token: the gateway needs the bot's token", bot.ExitConfig, false},
		{"a token file that is not there", func(b *bench) { b.set(own, "LARKFOLD_TOKEN_FILE=/nowhere/token") }, "the token cannot be read: /nowhere/token", bot.ExitConfig, false},
		{"a token file for everybody", func(b *bench) { b.set(own, "LARKFOLD_TOKEN_FILE="+b.file("token", b.p.Token, 0o644)) }, "which everybody on this machine can read or change (mode 0644). Make it mode 0600", bot.ExitConfig, false},
		{"an empty token file", func(b *bench) { b.set(own, "LARKFOLD_TOKEN_FILE="+b.file("token", "\n", 0o600)) }, "should hold the token and nothing else", bot.ExitConfig, false},
		{"a token file with a comment", func(b *bench) { b.set(own, "LARKFOLD_TOKEN_FILE="+b.file("token", "# the token\n"+b.p.Token, 0o600)) }, "should hold the token and nothing else", bot.ExitConfig, false},
		{"a folder as token file", func(b *bench) { b.set(own, "LARKFOLD_TOKEN_FILE="+b.dir) }, "is a folder", bot.ExitConfig, false},
		{"two tokens", func(b *bench) { b.set("LARKFOLD_TOKEN_FILE=" + b.file("token", b.p.Token, 0o600)) }, "the token is set twice, by LARKFOLD_TOKEN and by LARKFOLD_TOKEN_FILE; keep one of them", bot.ExitConfig, false},
		{"two token flags", func(b *bench) { b.args = []string{"--token", "x", "--token-file", "y"} }, "the token is set twice, by --token and by --token-file", bot.ExitConfig, false},
		{"a token that is refused", func(b *bench) { b.set(own + "wrong") }, "the platform refused the token; make a new one in the developer portal", bot.ExitConfig, false},

		{"a key file that is not there", func(b *bench) { b.set("LARKFOLD_KEY_FILE=/nowhere/key") }, "the key cannot be read: /nowhere/key", bot.ExitConfig, false},
		{"a key file for everybody", func(b *bench) {
			path := b.key("key")
			require.NoError(b.t, os.Chmod(path, 0o604))
			b.set("LARKFOLD_KEY_FILE=" + path)
		}, "(mode 0604). Make it mode 0600", bot.ExitConfig, false},
		{"no key in the key file", func(b *bench) { b.set("LARKFOLD_KEY_FILE=" + b.file("key", "secret", 0o600)) }, "This is no key file", bot.ExitConfig, false},
		{"a key that is cut short", func(b *bench) {
			text, err := os.ReadFile(b.key("whole"))
			require.NoError(b.t, err)
			b.set("LARKFOLD_KEY_FILE=" + b.file("key", string(text[:len(text)-9]), 0o600))
		}, "its secret is cut short or mistyped", bot.ExitConfig, false},
		{"another key than the store's", func(b *bench) {
			b.saved("LARKFOLD_KEY_FILE=" + b.key("key"))
			b.set("LARKFOLD_KEY_FILE=" + b.key("other"))
		}, "This store needs the key", exitStore, false},

		{"a store in use", func(b *bench) {
			b.saved()
			engine, err := boltstore.Open(b.store(), boltstore.Options{})
			require.NoError(b.t, err)
			b.t.Cleanup(func() { require.NoError(b.t, engine.Close()) })
		}, "Another copy of the program has the store", exitLocked, true},
		{"a store of a later version", func(b *bench) { b.saved(); b.format(99) }, "or a newer one", exitStore, false},
		{"a damaged store", func(b *bench) {
			b.saved()
			require.NoError(b.t, os.WriteFile(b.store(), []byte(strings.Repeat("nonsense ", 4<<10)), 0o600))
		}, "is damaged", exitDamaged, false},
		{"a file in the store's folder's place", func(b *bench) { b.file("data", "", 0o600) }, "cannot be made; name another with --data", exitStore, false},

		{"an application that is no number", func(b *bench) { b.set("LARKFOLD_APPLICATION=my bot") }, `the application id "my bot" is not a number`, bot.ExitConfig, false},
		{"a server that is no number", func(b *bench) { b.set("LARKFOLD_GUILD=harbour") }, `the server id "harbour" is not a number`, bot.ExitConfig, false},
		{"a server without the bot", func(b *bench) {
			b.p.Fault(platformtest.RouteCommands, 1, platformtest.Status(403))
			b.set("LARKFOLD_GUILD=" + b.p.Guild)
		}, "is the application installed in that server", bot.ExitConfig, false},
		{"shards that cannot be read", func(b *bench) { b.set("LARKFOLD_SHARDS=3") }, "write auto, one shard as 2/16 or a range as 0-3/16", bot.ExitConfig, false},
		{"shards for an endpoint", func(b *bench) {
			b.set("LARKFOLD_SHARDS=0/2", "LARKFOLD_HTTP=127.0.0.1:0", "LARKFOLD_PUBLIC_KEY="+b.p.PublicKey)
		}, "--shards is for the gateway", bot.ExitConfig, false},
		{"an endpoint without a public key", func(b *bench) { b.set("LARKFOLD_HTTP=127.0.0.1:0") }, "the public key must be 64 hexadecimal digits", bot.ExitConfig, false},
		{"a public key that is cut short", func(b *bench) {
			b.set("LARKFOLD_HTTP=127.0.0.1:0", "LARKFOLD_PUBLIC_KEY="+b.p.PublicKey[1:])
		}, "this one has 63 characters", bot.ExitConfig, false},
		{"an endpoint's address in use", func(b *bench) {
			b.set("LARKFOLD_HTTP="+b.taken(), "LARKFOLD_PUBLIC_KEY="+b.p.PublicKey)
		}, "another program listens there", bot.ExitPassing, true},
		{"a status address in use", func(b *bench) { b.set("LARKFOLD_STATUS=" + b.taken()) }, "another program listens there", bot.ExitPassing, true},
		{"a status address without a port", func(b *bench) { b.set("LARKFOLD_STATUS=127.0.0.1") }, "must look like 127.0.0.1:7417", bot.ExitConfig, false},
		{"a status socket nowhere", func(b *bench) { b.set("LARKFOLD_STATUS=unix:/nowhere/status.sock") }, "no such file or directory", bot.ExitConfig, false},
		{"a file in the status socket's place", func(b *bench) { b.set("LARKFOLD_STATUS=unix:" + b.file("status", "", 0o600)) }, "is there already and is no socket", bot.ExitConfig, false},
		{"a platform that is no address", func(b *bench) { b.set("LARKFOLD_PLATFORM=discord") }, "must look like https://host", bot.ExitConfig, false},
		{"no session starts left", func(b *bench) {
			b.p = platformtest.Start(b.t, platformtest.Options{StartsLeft: -1})
			b.set("LARKFOLD_PLATFORM=" + b.p.URL)
		}, "the platform allows 0 more session starts today", bot.ExitNoStarts, true},
		{"a gateway that refuses the shards", func(b *bench) {
			b.p.NextConnections(b.p.Refuse(4010))
		}, "the platform refused the shard numbers", bot.ExitConfig, false},

		{"a time that cannot be read", func(b *bench) { b.set("LARKFOLD_BACKUP_EVERY=daily") }, `LARKFOLD_BACKUP_EVERY: "daily" is no such value`, bot.ExitConfig, false},
		{"a number that cannot be read", func(b *bench) { b.set("LARKFOLD_KEEP_BACKUPS=all") }, `LARKFOLD_KEEP_BACKUPS: "all" is no such value`, bot.ExitConfig, false},
		{"a form of log that there is not", func(b *bench) { b.set("LARKFOLD_LOG=xml") }, "write text, json or journal", bot.ExitConfig, false},
		{"a level that there is not", func(b *bench) { b.set("LARKFOLD_LOG_LEVEL=loud") }, "LARKFOLD_LOG_LEVEL", bot.ExitConfig, false},
		{"a variable that there is not", func(b *bench) { b.set("LARKFOLD_TOKN_FILE=x") }, "LARKFOLD_TOKN_FILE", bot.ExitConfig, false},
		{"a key for a plain store", func(b *bench) { b.set("LARKFOLD_PLAIN=true", "LARKFOLD_KEY_FILE="+b.key("key")) }, "leave out one of them", bot.ExitConfig, false},
		{"a flag that there is not", func(b *bench) { b.args = []string{"--gild", "1"} }, "unknown flag: --gild", exitUsage, false},
		{"a flag's value that cannot be read", func(b *bench) { b.args = []string{"--keep-backups", "all"} }, `invalid argument "all" for "--keep-backups"`, exitUsage, false},
		{"a word too many", func(b *bench) { b.args = []string{"now"} }, `unknown command "now"`, exitUsage, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			b := &bench{t: t, dir: t.TempDir(), p: platformtest.Start(t, platformtest.Options{})}
			row.set(b)
			cmd := exec.Command("larkfold", append([]string{"serve"}, b.args...)...)
			cmd.Env = append(cmd.Environ(), "LARKFOLD_PLATFORM="+b.p.URL, "LARKFOLD_DATA="+filepath.Join(b.dir, "data"))
			if len(b.args) == 0 {
				cmd.Env = append(cmd.Env, "LARKFOLD_TOKEN="+b.p.Token)
			}
			cmd.Env = append(cmd.Env, b.env...)
			out, err := cmd.CombinedOutput()
			require.Error(t, err, "%s", out)
			require.Contains(t, string(out), row.says)
			require.Equal(t, row.exit, cmd.ProcessState.ExitCode(), "%s", out)
			require.NotContains(t, string(out), b.p.Token, "a secret is shown")
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
