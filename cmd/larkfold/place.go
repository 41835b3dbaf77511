package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync/atomic"
	"syscall"
	"time"

	"larkfold/cmd/larkfold/files"
	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/pairs"
	"larkfold/store/seal"
)

// place is where the store lies and the key to it.
type place struct {
	dir     string
	address string // of a store on a server; empty for the file
	backups string // folder of the backups; beside the store when not given
	keyFile string
	plain   bool // no key, even where one lies beside the store
	oldKeys []*seal.Key
	afresh  bool // go on although a backup is newer

	stepBack bool // go on from a damaged first page without the last change

	wrote func(took time.Duration, fault error) // is told of every change; may be nil
}

const storeName = "larkfold.db"

// folder is the folder of the store: what was asked for, or the user's own.
func (p *place) folder() (string, error) {
	if p.dir != "" {
		return p.dir, nil
	}
	state, err := stateFolder(runtime.GOOS)
	if err != nil {
		return "", &store.Fault{Kind: fs.ErrNotExist, Sentence: "there is no home folder for the store; name one with --data", Cause: err}
	}
	return filepath.Join(state, "larkfold"), nil
}

// stateFolder is where the platform's users keep the state of programs.
func stateFolder(system string) (string, error) {
	switch system {
	case "windows", "darwin", "ios", "plan9":
		return os.UserConfigDir()
	}
	if dir := os.Getenv("XDG_STATE_HOME"); filepath.IsAbs(dir) {
		return dir, nil
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "state"), err
}

// file is the path of the store's file, and how its records are opened.
func (p *place) file() (string, store.Options, error) {
	dir, err := p.folder()
	if err != nil {
		return "", store.Options{}, err
	}
	opts := store.Options{OldKeys: p.oldKeys, Wrote: p.wrote, Version: version()}
	path, err := p.keyPath(dir)
	if err == nil && path != "" {
		opts.Key, err = readKey(path)
	}
	return filepath.Join(dir, storeName), opts, err
}

// keyName is the name of the key that serve makes beside a new store.
const keyName = "larkfold.key"

// keyPath is the file of the key: the one that was named, or the one that serve
// has made beside the store; nothing for a plain store.
func (p *place) keyPath(dir string) (string, error) {
	beside := filepath.Join(dir, keyName)
	switch {
	case p.plain && p.keyFile != "":
		return "", badSetting{errors.New("--plain is for a store without a key, and --key-file names one; leave out one of them")}
	case p.plain || p.keyFile != "" || p.address != "":
		return p.keyFile, nil
	}
	if _, err := os.Stat(beside); err != nil {
		return "", nil
	}
	return beside, nil
}

// makeKey makes the key of a new store and returns its path; nothing where none is
// to be made.
func (p *place) makeKey() (path string, err error) {
	file, opts, err := p.file()
	if err != nil {
		return "", err
	}
	if path = p.keyToBe(file, opts); path == "" {
		return "", nil
	}
	if err := makeFolder(filepath.Dir(file)); err != nil {
		return "", err
	}
	return path, writeKey(path, seal.GenerateKey())
}

// sharesKey refuses a store that several machines share, without the key that all of
// them have to have.
func (p *place) sharesKey() error {
	if p.address != "" && p.keyFile == "" && !p.plain {
		return badSetting{errors.New("a store on a server needs one key for all machines that share it: larkfold keygen FILE, a copy of FILE on each, and --key-file; or --plain for a store that is not sealed")}
	}
	return nil
}

// keyToBe is where serve makes a key: beside a store in a file that is not there
// yet, unless it is to be plain or has a key.
func (p *place) keyToBe(file string, opts store.Options) string {
	if opts.Key != nil || p.plain || p.address != "" {
		return ""
	}
	if info, err := os.Stat(file); err == nil && info.Size() > 0 {
		return ""
	}
	if row, err := (&boltstore.Backups{Dir: p.backupsFolder(filepath.Dir(file))}).List(); err != nil || len(row) > 0 {
		return "" // opening the store says what is the matter
	}
	return filepath.Join(filepath.Dir(file), keyName)
}

// backupsFolder is the folder of the backups of the store in a folder.
func (p *place) backupsFolder(dir string) string {
	return cmp.Or(p.backups, filepath.Join(dir, "backups"))
}

// existing is the store's file, or another one in its place, that must be there.
func (p *place) existing(other ...string) (string, store.Options, error) {
	file, opts, err := p.file()
	if err != nil {
		return "", opts, err
	}
	opts.Checkers = runtime.GOMAXPROCS(0) // nobody else waits for them
	for _, o := range other {
		file = o
	}
	return file, opts, there("store", file)
}

// there refuses the file of a store or a backup that cannot be one, and says why,
// before anything is done with it.
func there(what, file string) error {
	info, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENOTDIR):
		return badInput{fmt.Sprintf("there is no %s at %s", what, files.Short(file))}
	case err != nil:
		return &store.Fault{Kind: fs.ErrPermission, Cause: files.Plain(err), Sentence: fmt.Sprintf(
			"this user may not look for a %s at %s; do this as the bot's user, or as root", what, files.Short(file))}
	case info.IsDir():
		return badInput{fmt.Sprintf("%s is a folder, and a %s is a file", files.Short(file), what)}
	}
	return nil
}

// makeFolder makes the folder of a store, which only its owner may enter.
func makeFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return &store.Fault{Kind: fs.ErrPermission, Sentence: fmt.Sprintf("the folder %q cannot be made; name another with --data", dir), Cause: err}
	}
	return nil
}

// opened is a store in use.
type opened struct {
	*store.Records
	holds   pairs.Engine      // whichever it is
	where   string            // the store is: "file", or the server's name
	engine  *boltstore.Engine // of a file; nil for a store on a server
	dir     string
	backups string // folder of the backups
	opts    store.Options
	forgot  atomic.Int64 // members forgotten since the file was last written afresh

	rekeyed atomic.Pointer[store.Options] // how it is opened since its key was changed
}

// options is how the store is opened at this moment.
func (o *opened) options() store.Options {
	if now := o.rekeyed.Load(); now != nil {
		return *now
	}
	return o.opts
}

func (o *opened) Close() error { return o.holds.Close() }

// alive reads a record, to see whether the store can be read.
func (o *opened) alive(ctx context.Context) error {
	return o.holds.View(ctx, func(r pairs.Reader) error {
		for _, err := range r.Scan(nil, nil) {
			return err
		}
		return nil
	})
}

// open opens the store, and makes it where there is none.
func (p *place) open(ctx context.Context) (*opened, error) {
	file, opts, err := p.file()
	if err != nil {
		return nil, err
	}
	if p.address != "" {
		return p.openRemote(ctx, filepath.Dir(file), opts)
	}
	dir := filepath.Dir(file)
	if err := makeFolder(dir); err != nil {
		return nil, err
	}
	backups := p.backupsFolder(dir)
	engine, err := boltstore.Open(file, boltstore.Options{Backups: backups, Afresh: p.afresh, StepBack: p.stepBack})
	if err != nil {
		return nil, err
	}
	if err := copyBeforeUpgrade(ctx, engine, file, opts); err != nil {
		return nil, errors.Join(err, engine.Close())
	}
	o := &opened{holds: engine, where: "file", engine: engine, dir: dir, backups: backups, opts: opts}
	opts.Forgot = func() { o.forgot.Add(1) }
	if o.Records, err = store.New(ctx, engine, opts); err != nil {
		return nil, errors.Join(err, engine.Close())
	}
	o.notePartlyPlain()
	return o, nil
}

// openAsItIs opens a store in a file for reading only: nothing of it changes.
func (p *place) openAsItIs(ctx context.Context, file string, opts store.Options) (*opened, error) {
	engine, err := boltstore.Open(file, boltstore.Options{ReadOnly: true})
	if err != nil {
		return nil, err
	}
	records, err := store.New(ctx, engine, opts)
	if errors.Is(err, store.ErrReadOnly) {
		err = untilTheNextStart(ctx, engine, opts, err)
	}
	if err != nil {
		return nil, errors.Join(err, engine.Close())
	}
	dir := filepath.Dir(file)
	return &opened{Records: records, holds: engine, where: "file", engine: engine, dir: dir, backups: p.backupsFolder(dir), opts: opts}, nil
}

// untilTheNextStart says what a start would change of a store that cannot be opened as it is.
func untilTheNextStart(ctx context.Context, engine pairs.Engine, opts store.Options, cause error) error {
	stored, newest, err := store.Formats(ctx, engine, opts)
	switch {
	case err != nil:
		return err
	case stored != newest:
		return &store.Fault{Kind: store.ErrReadOnly, Sentence: fmt.Sprintf("The store has format %d, and the next start of serve brings it to format %d.", stored, newest)}
	case opts.Key != nil:
		return &store.Fault{Kind: store.ErrReadOnly, Sentence: fmt.Sprintf(
			"The store is not sealed, and the key %s is set: from the next start on it opens only with that key, and `larkfold reseal` seals what it holds.", opts.Key.ID())}
	}
	return cause
}

func (o *opened) notePartlyPlain() {
	if o.PartlyPlain() {
		fmt.Fprintf(os.Stderr, "note: this store was plain; from now on it opens only with the key %s. `larkfold reseal` seals what it holds already\n", o.opts.Key.ID())
	}
}
