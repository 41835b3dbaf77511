package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
	"larkfold/store"
	"larkfold/store/boltstore"
)

var startProjects = flag.Int("start-projects", 1000, "how many designs the store of BenchmarkStart holds")

// BenchmarkStart starts the program over a store of so many designs, and waits until
// it is connected. To see that it does not grow with the store:
//
//	go test ./cmd/larkfold -run XXX -bench Start$ -benchtime 10x -start-projects 100000
func BenchmarkStart(b *testing.B) {
	data := b.TempDir()
	fillStore(b, filepath.Join(data, storeName), *startProjects)
	info, err := os.Stat(filepath.Join(data, storeName))
	require.NoError(b, err)
	p := platformtest.Start(b, platformtest.Options{})
	var took time.Duration
	for b.Loop() {
		var log bytes.Buffer
		cmd := exec.Command("larkfold", "serve", "--plain", "--data", data, "--backup-every", "0", "--platform", p.URL)
		cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN="+p.Token)
		cmd.Stderr = &log
		before := p.Sessions()
		began := time.Now()
		require.NoError(b, cmd.Start())
		p.Until("its session", func() bool { return p.Sessions() > before })
		took += time.Since(began)
		require.Contains(b, p.Member("Ida").Slash("/convert what:1.5m").Text(), "1.5 m")
		require.NoError(b, cmd.Process.Signal(syscall.SIGTERM))
		require.NoError(b, cmd.Wait(), "%s", &log)
	}
	b.ReportMetric(took.Seconds()/float64(b.N), "s/start")
	b.ReportMetric(float64(info.Size())/(1<<20), "MiB-in-file")
	b.ReportMetric(0, "ns/op")
}

// fillStore saves designs, a hundred for each member.
func fillStore(b *testing.B, path string, designs int) {
	engine, err := boltstore.Open(path, boltstore.Options{})
	require.NoError(b, err)
	defer func() { require.NoError(b, engine.Close()) }()
	s, err := store.New(b.Context(), engine, store.Options{})
	require.NoError(b, err)
	sheet, err := os.ReadFile(filepath.Join("..", "..", "testdata", "sheets", "three-herons.sheet"))
	require.NoError(b, err)
	const each = 100
	for member := range (designs + each - 1) / each {
		_, _, err := s.Once(b.Context(), fmt.Sprint("member", member), time.Now(), "", func(tx *store.Tx) (json.RawMessage, error) {
			for n := range min(each, designs-member*each) {
				if _, err := tx.SaveProject(store.Project{Name: fmt.Sprint("owl ", n), Sheet: string(sheet)}, 0); err != nil {
					return nil, err
				}
			}
			return nil, nil
		})
		require.NoError(b, err)
	}
}
