//go:build unix

package main

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands"
	"larkfold/commands/reply"
	"larkfold/store"
	"larkfold/store/pgstore"
	"larkfold/store/pgstore/pgtest"
	"larkfold/store/seal"
)

// program runs larkfold with a store on a server, and returns what it printed and its status.
func program(t *testing.T, address string, args ...string) (string, int) {
	t.Helper()
	cmd := exec.Command("larkfold", args...)
	cmd.Env = append(os.Environ(), "LARKFOLD_STORE="+address, "HOME="+t.TempDir())
	out, err := cmd.CombinedOutput()
	if _, failed := err.(*exec.ExitError); err != nil && !failed {
		t.Fatal(err)
	}
	return string(out), cmd.ProcessState.ExitCode()
}

// Everything works over a server as it does over a file, and what is in a file
// can be moved there and back.
func TestStoreOnAServer(t *testing.T) {
	unlessRaced(t)
	address := pgtest.Shared(t)
	dir := t.TempDir()
	key, file, back := filepath.Join(dir, "key"), filepath.Join(dir, "d", "larkfold.db"), filepath.Join(dir, "back", "larkfold.db")
	run := func(status int, at string, args ...string) string {
		t.Helper()
		out, got := program(t, at, args...)
		require.Equal(t, status, got, out)
		require.NotContains(t, out, "only for tests", "no password is shown")
		return out
	}
	run(0, "", "keygen", key)
	run(0, "", "--data", filepath.Dir(file), "--key-file", key, "try", "/cord width:40cm drop:70cm save:Owl")
	require.Contains(t, run(0, "", "move", "--from", file, "--to", address), "both are the same")
	require.Contains(t, run(exitStore, "", "move", "--from", file, "--to", address), "There is a store already")
	require.Contains(t, run(exitStore, address, "try", "/project list"), "is sealed with the key")
	require.Contains(t, run(0, address, "--key-file", key, "try", "/project show name:Owl"), "Owl")
	require.Contains(t, run(0, address, "--key-file", key, "check"), "1  project")
	run(0, address, "--key-file", key, "try", "/project rename name:Owl to:Heron")

	require.Contains(t, run(0, address, "--key-file", key, "doctor", "--application", "1", "--http", "127.0.0.1:0", "--public-key", strings.Repeat("ab", 32), "--no-register"), "ok    store      postgres at 127.0.0.1:")
	require.Contains(t, run(exitRefused, strings.Replace(address, "only", "nobody", 1), "--key-file", key, "doctor"), "check user, password")
	require.Contains(t, run(0, pgtest.Shared(t), "--key-file", key, "doctor", "--application", "1", "--http", "127.0.0.1:0", "--public-key", strings.Repeat("ab", 32), "--no-register"), "not there yet")
	require.Contains(t, run(0, address, "serve", "--check", "--token", "x", "--plain"), "store        postgres at 127.0.0.1:")
	require.Contains(t, run(bot.ExitConfig, address, "serve", "--check", "--token", "x"), "one key for all machines", "checked as it would be at the start")

	other := filepath.Join(dir, "other")
	run(0, "", "keygen", other)
	require.Contains(t, run(0, address, "--key-file", other, "reseal", "--old-key-file", key), "sealed")
	run(exitStore, address, "--key-file", key, "check")
	for _, verb := range [][]string{{"backup", filepath.Join(dir, "b")}, {"restore", file}, {"tidy"}} {
		require.Contains(t, run(exitRefused, address, verb...), "looks after that itself")
	}

	require.Contains(t, run(0, "", "move", "--from", address, "--to", back), "both are the same")
	require.Contains(t, run(0, "", "--data", filepath.Dir(back), "--key-file", other, "try", "/project list"), "Heron")

	require.Contains(t, run(exitRefused, "", "move", "--from", filepath.Join(dir, "none"), "--to", back), "there is no store")
	require.Contains(t, run(exitRefused, "", "move", "--from", back), "--to")
	require.Contains(t, run(bot.ExitConfig, address, "serve", "--token", "x"), "one key for all machines")
	gone := strings.Replace(address, "127.0.0.1", "127.0.0.2", 1)
	require.Contains(t, run(75, gone, "serve", "--token", "x", "--plain"), "cannot be reached", "starting it again may help")
	require.Contains(t, run(exitStore, strings.Replace(address, "only", "nobody", 1), "serve", "--token", "x", "--key-file", other), "check user, password")
}

func openedShared(t *testing.T, address string) *opened {
	t.Helper()
	engine, err := pgstore.Open(t.Context(), address, pgstore.Options{})
	require.NoError(t, err)
	s, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, engine.Close()) })
	return &opened{Records: s, holds: engine}
}

// Of several replicas one sweeps, one works at a time, and one may post.
func TestReplicasShareWork(t *testing.T) {
	address := pgtest.Shared(t)
	const count = 3
	var replicas [count]replica
	var stores [count]*opened
	for i := range count {
		replicas[i] = replica{name: fmt.Sprint("replica ", i)}
		replicas[i].named()
		stores[i] = openedShared(t, address)
	}
	now := time.Now()
	_, err := stores[0].SaveDraft(t.Context(), "ann", now.Add(-2*time.Hour), store.Draft{Kind: "sheet", Payload: json.RawMessage("1"), Expires: now.Add(-time.Hour)})
	require.NoError(t, err)

	var swept, inside, posts atomic.Int64
	var group sync.WaitGroup
	for i := range count {
		group.Go(func() {
			n, err := replicas[i].sweep(t.Context(), stores[i], now)
			swept.Add(int64(n))
			joined := replicas[i].joins(stores[i])
			if err == nil {
				err = joined.Alone(t.Context(), "registration", func(context.Context) error {
					if inside.Add(1) > 1 {
						t.Error("two at a time")
					}
					time.Sleep(20 * time.Millisecond)
					inside.Add(-1)
					return nil
				})
			}
			first := false
			if err == nil {
				first, err = joined.First(t.Context(), "ann", "1234")
			}
			if first {
				posts.Add(1)
			}
			if err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	require.EqualValues(t, 1, swept.Load())
	require.EqualValues(t, 1, posts.Load())
}

// A question takes one view and one write, and few journeys to the server: those
// to the server are what a second machine costs each member.
func TestJourneysOfAQuestion(t *testing.T) {
	engine, err := pgstore.Open(t.Context(), pgtest.Shared(t), pgstore.Options{})
	require.NoError(t, err)
	defer engine.Close()
	records, err := store.New(t.Context(), engine, store.Options{Key: seal.GenerateKey()})
	require.NoError(t, err)
	app := commands.New(commands.Config{Store: records})
	ask := func(command string, options map[string]string) int64 {
		t.Helper()
		before := engine.Journeys()
		answer, err := app.Do(t.Context(), reply.Request{
			ID: rand.Text(), Member: "11", MemberName: "Ana", Community: "22", Channel: "33", Now: time.Now(), Command: command, Options: options,
		})
		require.NoError(t, err)
		require.False(t, answer.Refused, "%v", answer)
		return engine.Journeys() - before
	}
	cord := map[string]string{"width": "40cm", "drop": "70cm"}
	ask("cord", cord) // reserves what the key may seal
	for range 5 {     // members with some drafts already
		require.LessOrEqual(t, ask("cord", cord), int64(6))
	}
	saved := map[string]string{"width": "40cm", "drop": "70cm", "save": "Owl"}
	for _, row := range []struct {
		command string
		options map[string]string
	}{
		{"convert", map[string]string{"what": "3/16 in"}}, {"cord", cord}, {"cord", saved}, {"shelf add", map[string]string{"pieces": "45cm"}},
		{"project show", map[string]string{"name": "Owl"}}, {"project list", nil}, {"plan", map[string]string{"pieces": "2 x 20cm"}},
	} {
		n := ask(row.command, row.options)
		t.Logf("/%s %v: %d journeys", row.command, row.options, n)
		require.LessOrEqual(t, n, int64(6), row.command)
	}
}

// What is changed by way of one replica is there for the next question to
// another, and one question that reaches both is answered alike and done once.
func TestReplicasSeeEachOther(t *testing.T) {
	slow(t)
	p := platformtest.Start(t, platformtest.Options{Deadline: time.Minute, Patience: time.Minute})
	address := pgtest.Shared(t)
	one, two := startReplica(t, p, "one", address), startReplica(t, p, "two", address)
	through := func(r *replicaProcess) { p.Endpoint("http://" + r.endpoint + "/interactions") }
	ana, ben := p.Member("Ana").Manager(), p.Member("Ben")

	through(one)
	says(t, ana.Slash("/convert what:4mm"), "4 mm")
	through(two)
	says(t, ana.Slash("/prefs units:imperial"), "imperial")
	through(one)
	says(t, ana.Slash("/wrap ends:16 turns:5 thickness:5mm"), " in")

	// What a community adds to its book, and takes out of it, is so in the book that
	// the other replica has made before.
	shows := func(r *replicaProcess, text string) {
		t.Helper()
		through(r)
		says(t, ben.Slash(`/knots show name:"Pebble Knot" thickness:5mm`), text)
	}
	through(one)
	says(t, ana.Submit(ana.Slash(`/knots add name:"Pebble Knot"`), map[string]string{"roles": "worker ties: turn(k) + pitch + 5*d\nfiller runs: pitch"}), "Pebble Knot")
	shows(two, "5 mm single-strand")
	shows(one, "5 mm single-strand")
	through(two)
	says(t, ana.Slash(`/knots remove name:"Pebble Knot"`), "out of this community's book")
	shows(one, "no such knot")

	through(one)
	add := map[string]any{"id": "1", "name": "shelf", "type": 1, "options": []any{map[string]any{"name": "add", "type": 1, "options": []any{
		map[string]any{"name": "pieces", "type": 3, "value": "45cm x12"},
	}}}}
	ex := ben.Send(2, add)
	through(two)
	ben.Again(ex)
	require.NotEmpty(t, p.Violations(), "the platform takes one of the two answers")
	says(t, ben.Wait(ex), "12 x 45 cm")
	says(t, ben.Slash("/shelf list"), "in all: 5.40 m")
}

// Two replicas share the gateway out: each answers the servers of its own
// connections, from one store.
func TestReplicasShareTheGateway(t *testing.T) {
	slow(t)
	p := platformtest.Start(t, platformtest.Options{Shards: 2, Deadline: time.Minute, Patience: time.Minute})
	address := pgtest.Shared(t)
	for _, shard := range []string{"0/2", "1/2"} {
		cmd := exec.Command("larkfold", "serve", "--shards", shard, "--replica", "holds "+shard, "--plain")
		cmd.Env = append(os.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL, "LARKFOLD_STORE="+address)
		var log errorLog
		cmd.Stderr = &log
		require.NoError(t, cmd.Start())
		t.Cleanup(func() {
			_ = cmd.Process.Kill()
			_ = cmd.Wait()
			if t.Failed() {
				t.Log(log.String())
			}
		})
	}
	p.WaitReady(2)
	require.Len(t, p.Identifies(), 2)
	require.Equal(t, 1, p.CommandWrites())
	const first, second = "8388608", "4194304" // the platform's rule: id >> 22, modulo the connections
	ana := p.Member("Ana")
	says(t, ana.In(first).Slash("/shelf add pieces:45cm"), "45 cm")
	says(t, ana.In(second).Slash("/shelf add pieces:55cm"), "45 cm", "55 cm")
	says(t, ana.In(first).Slash("/shelf list"), "55 cm")
}
