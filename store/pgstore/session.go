package pgstore

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgtype"
	"github.com/jackc/pgx/v5/pgxpool"

	"larkfold/store"
	"larkfold/store/pairs"
)

const reading = "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY"

// query is one statement; all its parameters and columns are bytea.
type query struct {
	sql  string
	args [][]byte
}

// session is one transaction on one connection.
type session struct {
	engine *Engine
	ctx    context.Context
	conn   *pgxpool.Conn // nil when it was lost
	begin  string        // not sent yet; empty once it is
	giveUp time.Time     // when a lost server is no longer looked for

	broken error  // why nothing more can be asked
	again  repeat // whether the transaction may be run again
}

// begin takes a connection for a transaction. Nothing is sent before the first question.
func (e *Engine) begin(ctx context.Context, how string, giveUp time.Time) (*session, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s := &session{engine: e, ctx: ctx, begin: how, giveUp: giveUp}
	return s, s.connect()
}

// connect takes a connection from the pool, and waits a moment for a server to be there.
func (s *session) connect() (err error) {
	for {
		s.conn, err = s.engine.pool.Acquire(s.ctx)
		switch {
		case err == nil:
			return nil
		case s.engine.closed.Load():
			return &store.Fault{Kind: store.ErrClosed, Sentence: "The store is closed."}
		case s.ctx.Err() != nil:
			return s.ctx.Err()
		case isRefusal(err) || time.Now().After(s.giveUp):
			return s.engine.fault(err)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// ask sends queries on one journey. The first journey of a transaction is
// repeated on another connection when its own turns out to be dead.
func (s *session) ask(queries ...query) ([]*pgconn.Result, error) {
	for s.broken == nil {
		results, err := s.send(queries)
		switch {
		case err == nil:
			s.begin = ""
			return results, nil
		case s.ctx.Err() != nil:
			s.broken = s.ctx.Err()
		case isCollision(err):
			s.broken, s.again = s.engine.fault(err), afterCollision
		case !isLoss(err):
			s.broken = s.engine.fault(err)
		case s.begin != "" && time.Now().Before(s.giveUp):
			s.lose()
			s.broken = s.connect()
		default:
			s.lose()
			s.broken, s.again = s.engine.fault(err), afterLoss
		}
	}
	return nil, s.broken
}

// commit sends what was written, and COMMIT, on one journey.
func (s *session) commit(o *pairs.Overlay) error {
	if o.Empty() && s.begin != "" {
		return nil
	}
	if err := s.ctx.Err(); err != nil {
		return err
	}
	var queries []query
	for key, value := range o.Writes() {
		if value == nil {
			queries = append(queries, query{"DELETE FROM " + table + " WHERE key = $1", [][]byte{key}})
			continue
		}
		queries = append(queries, query{"INSERT INTO " + table + " VALUES ($1, $2) ON CONFLICT (key) DO UPDATE SET value = excluded.value", [][]byte{key, value}})
	}
	queries = append(queries, query{sql: "COMMIT"})
	results, err := s.send(queries)
	switch {
	case err == nil && results[len(results)-1].CommandTag.String() != "COMMIT":
		return errors.New("committing: the server rolled back")
	case err == nil:
		s.begin = ""
		return nil
	case isCollision(err):
		s.again = afterCollision
	case o.Empty() && isLoss(err):
		s.lose()
		s.again = afterLoss
	case isLoss(err): // pgconn.SafeToRetry cannot be asked: of a batch whose connection broke it says that it was not sent
		s.lose()
		return &store.Fault{Kind: store.ErrUnknownCommit, Cause: err,
			Sentence: "The connection to the store was lost while a change was being saved: it is not known whether it was."}
	}
	return s.engine.fault(err)
}

// send goes on one journey.
func (s *session) send(queries []query) ([]*pgconn.Result, error) {
	batch := &pgconn.Batch{}
	if s.begin != "" {
		batch.ExecParams(s.begin, nil, nil, nil, nil)
	}
	binary := []int16{1}
	for _, q := range queries {
		var types []uint32
		var args [][]byte
		for _, arg := range q.args {
			types = append(types, pgtype.ByteaOID)
			args = append(args, append([]byte{}, arg...)) // nil would be NULL
		}
		batch.ExecParams(q.sql, args, types, binary, binary)
	}
	ctx, cancel := context.WithTimeout(s.ctx, journeyTime)
	defer cancel()
	s.engine.journeys.Add(1)
	results, err := s.conn.Conn().PgConn().ExecBatch(ctx, batch).ReadAll()
	if err != nil {
		return nil, err
	}
	return results[len(results)-len(queries):], nil
}

// lose gives up a connection, and with it those that were idle: the server that
// they lead to may be gone, or be the primary no longer.
func (s *session) lose() {
	s.conn.Release() // which closes one that is broken or in a transaction
	s.conn = nil
	s.engine.pool.Reset()
}

// end gives the connection back, out of its transaction.
func (s *session) end() {
	if s.conn == nil {
		return
	}
	if s.conn.Conn().PgConn().TxStatus() != 'I' && s.ctx.Err() == nil {
		s.begin = ""
		_, _ = s.send([]query{{sql: "ROLLBACK"}}) // a connection that cannot do that is closed by Release
	}
	s.conn.Release()
	s.conn = nil
}
