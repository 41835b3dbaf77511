// Package pgstore keeps a store in a table of PostgreSQL, for several replicas
// of the program at once, by way of jackc/pgx.
//
// [Open] gives a [pairs.Engine] for [larkfold/store.New]. One table holds keys and
// values in the order of their bytes. A View is a read-only transaction on one
// snapshot; an Update is a serializable one that reads as it goes, gathers what
// it writes, and sends that together with COMMIT. BEGIN travels with the first
// question. Between two transactions nothing is kept on the server's side - no
// prepared statement, no setting - so that a pooler may stand in between.
//
// What will hurt you: every Get, and every page of a Scan, is a journey to the
// server unless it was told of it by Fetch, see [pairs.Fetcher]; a change that reads what
// others write at the same time is run again, so reading less means fewer
// repeats; and an erased record's bytes stay in the table until it is vacuumed,
// in the server's log and in its backups.
package pgstore

import (
	"context"
	"fmt"
	"net/url"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"github.com/cenkalti/backoff/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"larkfold/store"
	"larkfold/store/pairs"
)

// table is where everything is kept, in the schema that the URL leads to.
const table = "larkfold"

const (
	patience    = 2 * time.Second  // how long a lost server is looked for; members wait for this
	journeyTime = 10 * time.Second // for one question and its answer; a machine that vanished gives none
	dialTime    = time.Second      // for one connection, unless the URL has a connect_timeout
	mostRepeats = 50               // of a change that collides with others
)

// Engine is a pool of connections. It is safe for use by many goroutines.
type Engine struct {
	pool     *pgxpool.Pool
	place    string // of the server, without password
	options  Options
	closed   atomic.Bool
	journeys atomic.Int64
}

// Supports tells whether an address is one that [Open] takes.
func Supports(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// Options says how a store is opened. The zero value is good.
type Options struct {
	ReadOnly bool // nothing is made and nothing is written
}

// Open connects to the server that a URL names, such as
//
//	postgres://larkfold@one,two/larkfold?sslmode=verify-full
//
// and makes the table if it is not there. With several hosts the one that can
// be written to is used, also after a failover. pool_max_conns in the URL
// bounds the connections, which mostly wait for the disk; otherwise they are
// sixteen, or twice the processors where that is more. No error shows the
// password. Errors: [store.ErrUnavailable], [store.ErrNoAccess],
// [store.ErrInvalid] for an address that cannot be read, [store.ErrNotFound] for
// a table that is not there when only reading.
func Open(ctx context.Context, address string, options Options) (*Engine, error) {
	config, err := parse(address)
	if err != nil {
		return nil, err
	}
	if u, err := url.Parse(address); err == nil && !u.Query().Has("pool_max_conns") {
		config.MaxConns = int32(max(16, 2*runtime.GOMAXPROCS(0)))
	}
	// A connection that broke while it was idle is noticed at its first use, see session.ask.
	config.ShouldPing = func(context.Context, pgxpool.ShouldPingParams) bool { return false }
	to := &config.ConnConfig.Config
	if to.ConnectTimeout == 0 {
		to.ConnectTimeout = dialTime
	}
	if to.ValidateConnect == nil {
		to.ValidateConnect = pgconn.ValidateConnectTargetSessionAttrsReadWrite
	}
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("preparing connections: %w", err)
	}
	e := &Engine{pool: pool, place: placeOf(to), options: options}
	if err := e.prepare(ctx); err != nil {
		pool.Close()
		return nil, err
	}
	return e, nil
}

// Describe names the servers and the database of an address, without the password.
func Describe(address string) (string, error) {
	config, err := parse(address)
	if err != nil {
		return "", err
	}
	return placeOf(&config.ConnConfig.Config), nil
}

// Place is what [Describe] says of the engine's address.
func (e *Engine) Place() string { return e.place }

func parse(address string) (*pgxpool.Config, error) {
	config, err := pgxpool.ParseConfig(address)
	if err != nil || !Supports(address) { // the library's own error may quote the address
		return nil, &store.Fault{Kind: store.ErrInvalid, Sentence: "The address of the store cannot be read. Write it as postgres://USER@HOST:PORT/DATABASE?sslmode=verify-full."}
	}
	return config, nil
}

func placeOf(to *pgconn.Config) string {
	hosts := []string{fmt.Sprintf("%s:%d", to.Host, to.Port)}
	for _, f := range to.Fallbacks {
		hosts = append(hosts, fmt.Sprintf("%s:%d", f.Host, f.Port))
	}
	return to.Database + " at " + strings.Join(slices.Compact(hosts), ", ") // one without TLS may follow one with it
}

// prepare makes the table if it is not there. Another replica may be making it
// too; then the second look finds it.
func (e *Engine) prepare(ctx context.Context) error {
	look := func(r pairs.Reader) error { _, _, err := r.Get(nil); return err }
	err := e.View(ctx, look)
	if code(err) != undefinedTable || e.options.ReadOnly {
		return err
	}
	s, err := e.begin(ctx, "BEGIN", time.Now().Add(patience))
	if err != nil {
		return err
	}
	_, err = s.ask(query{sql: "CREATE TABLE " + table + " (key bytea PRIMARY KEY, value bytea NOT NULL)"}, query{sql: "COMMIT"})
	s.end()
	if err != nil && e.View(ctx, look) == nil {
		return nil
	}
	return err
}

// View implements [pairs.Engine].
func (e *Engine) View(ctx context.Context, read func(pairs.Reader) error) error {
	s, err := e.begin(ctx, reading, time.Now().Add(patience))
	if err != nil {
		return err
	}
	defer s.end()
	return read(newReader(s))
}

// Update implements [pairs.Engine].
func (e *Engine) Update(ctx context.Context, change func(pairs.Writer) error) error {
	if e.options.ReadOnly {
		return &store.Fault{Kind: store.ErrReadOnly, Sentence: "The store is open for reading only."}
	}
	giveUp := time.Now().Add(patience)
	wait := backoff.ExponentialBackOff{InitialInterval: 4 * time.Millisecond, RandomizationFactor: 0.9, Multiplier: 1.5, MaxInterval: 200 * time.Millisecond}
	wait.Reset()
	for repeats := 0; ; repeats++ {
		again, err := e.attempt(ctx, giveUp, change)
		if again == no || again == afterCollision && repeats >= mostRepeats || again == afterLoss && time.Now().After(giveUp) {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(wait.NextBackOff()):
		}
	}
}

// attempt runs change once and tells whether it may be run again.
func (e *Engine) attempt(ctx context.Context, giveUp time.Time, change func(pairs.Writer) error) (again repeat, err error) {
	s, err := e.begin(ctx, "BEGIN ISOLATION LEVEL SERIALIZABLE", giveUp)
	if err != nil {
		return no, err
	}
	defer s.end()
	o := pairs.NewOverlay(newReader(s))
	err = change(o)
	if s.broken != nil { // whatever change made of it
		return s.again, s.broken
	}
	if err != nil {
		return no, err
	}
	err = s.commit(o)
	return s.again, err
}

// Close implements [pairs.Engine].
func (e *Engine) Close() error {
	e.closed.Store(true)
	e.pool.Close()
	return nil
}

// Journeys counts the questions that were sent to the server, for measurements.
func (e *Engine) Journeys() int64 { return e.journeys.Load() }
