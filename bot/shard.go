package bot

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"github.com/bwmarrin/discordgo"
	"github.com/cenkalti/backoff/v5"
	"github.com/gorilla/websocket"
)

// shard keeps one gateway connection alive. It reconnects by itself rather than
// let the library do so, because the library takes no notice of close codes.
type shard struct {
	id      int
	session *discordgo.Session
	timing  Timing
	log     *slog.Logger
	redact  redactor
	metrics *metrics
	bot     *readiness

	ready chan struct{} // closed once connected for the first time
	lost  chan struct{} // the library says that the connection is gone
	up    atomic.Bool
	alive atomic.Int64 // when a byte last came over a live connection, Unix nanoseconds
	conn  atomic.Pointer[watchedConn]
}

// newShard prepares a connection whose interactions go to receive, each on its
// own goroutine, with the time that it came.
func (b *Bot) newShard(id, count int, receive func(raw []byte, received time.Time)) (*shard, error) {
	session, err := newSession(b.config.Token, b.client)
	if err != nil {
		return nil, err
	}
	session.ShardID, session.ShardCount = id, count
	s := &shard{
		id: id, session: session, timing: b.config.Timing, log: b.log.With("shard", id), redact: b.redact, metrics: b.metrics, bot: b.ready,
		ready: make(chan struct{}), lost: make(chan struct{}, 1),
	}
	s.alive.Store(time.Now().UnixNano())

	var onEvent func(*discordgo.Session, *discordgo.Event) = func(_ *discordgo.Session, e *discordgo.Event) {
		if e.Type == "INTERACTION_CREATE" {
			receive(e.RawData, time.Now())
		}
	}
	var onDisconnect func(*discordgo.Session, *discordgo.Disconnect) = func(*discordgo.Session, *discordgo.Disconnect) {
		select {
		case s.lost <- struct{}{}:
		default:
		}
	}
	session.AddHandler(onEvent)
	session.AddHandler(onDisconnect)
	return s, nil
}

// run connects and reconnects until ctx ends, when it closes the connection, or
// until the platform says that another try is useless.
func (s *shard) run(ctx context.Context) error {
	s.session.Dialer = &websocket.Dialer{
		Proxy:            http.ProxyFromEnvironment,
		HandshakeTimeout: 15 * time.Second,
		NetDialContext: func(dialing context.Context, network, address string) (net.Conn, error) {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			return s.dial(dialing, network, address)
		},
	}
	wait := backoff.NewExponentialBackOff()
	wait.InitialInterval = s.timing.Reconnect
	wait.MaxInterval = 60 * s.timing.Reconnect
	wait.Multiplier = 2

	for {
		err := s.open(ctx)
		switch {
		case ctx.Err() != nil:
			s.hangUp()
			return nil
		case err != nil:
			if final := refusal(err); final != nil {
				return final
			}
			s.log.Warn("gateway connection failed", s.redact.attr(err))
		default:
			since := time.Now()
			if !s.stay(ctx) {
				s.close()
				return nil
			}
			if time.Since(since) > 60*s.timing.Reconnect {
				wait.Reset()
			}
		}
		select {
		case <-time.After(wait.NextBackOff()):
		case <-ctx.Done():
			return nil
		}
	}
}

// stay waits while the connection lives and reports false when ctx ends first.
func (s *shard) stay(ctx context.Context) bool {
	s.alive.Store(time.Now().UnixNano())
	s.setUp(true)
	defer s.setUp(false)
	s.log.Info("gateway connected")
	select {
	case <-s.ready:
	default:
		close(s.ready)
	}
	select {
	case <-ctx.Done():
		return false
	case <-s.lost:
		s.metrics.reconnects.Inc()
		s.log.Warn("gateway connection lost")
		return true
	}
}

// setUp notes whether the connection lives.
func (s *shard) setUp(up bool) {
	if s.up.Swap(up) == up {
		return
	}
	if up {
		s.bot.connected(1)
	} else {
		s.bot.connected(-1)
	}
}

// open connects, or returns when ctx ends. The library may hang while it
// connects, holding its lock, so nothing waits for it here; the watchdog does.
func (s *shard) open(ctx context.Context) error {
	opened := make(chan error, 1)
	go func() { opened <- s.session.Open() }()
	select {
	case err := <-opened:
		if errors.Is(err, discordgo.ErrWSAlreadyOpen) {
			return nil
		}
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}

// watch returns an error once the shard has been without a live connection for
// too long. It never touches the session, whose lock may be stuck.
func (s *shard) watch(ctx context.Context) error {
	tick := time.NewTicker(max(s.timing.Silence/20, time.Millisecond))
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
			silent := time.Since(time.Unix(0, s.alive.Load()))
			if silent > s.timing.Silence {
				return &ExitError{ExitPassing, fmt.Sprintf(
					"gateway connection of shard %d has been dead for %s; the process must be restarted", s.id, silent.Round(time.Millisecond))}
			}
		}
	}
}

// close ends the connection politely, which takes the library a second, and
// cuts it if the library is stuck.
func (s *shard) close() {
	closed := make(chan struct{})
	go func() {
		defer close(closed)
		_ = s.session.Close()
	}()
	select {
	case <-closed:
	case <-time.After(3 * time.Second):
		s.hangUp()
	}
}

// hangUp cuts the connection.
func (s *shard) hangUp() {
	if conn := s.conn.Load(); conn != nil {
		_ = conn.Close()
	}
}

func (s *shard) dial(ctx context.Context, network, address string) (net.Conn, error) {
	conn, err := (&net.Dialer{Timeout: 15 * time.Second}).DialContext(ctx, network, address)
	if err != nil {
		return nil, err
	}
	watched := &watchedConn{Conn: conn, limit: s.timing.Read}
	watched.seen = func() {
		if s.up.Load() {
			s.alive.Store(time.Now().UnixNano())
		}
	}
	watched.gone = func() { // the library says so too, a second later
		if s.conn.Load() == watched {
			s.setUp(false)
		}
	}
	s.conn.Store(watched)
	return watched, nil
}

// watchedConn gives up on a silent peer, which the library by itself would
// wait for without end, and notes every sign of life.
type watchedConn struct {
	net.Conn
	limit time.Duration
	seen  func() // something came
	gone  func() // nothing more will
}

func (c *watchedConn) Read(p []byte) (int, error) {
	if err := c.SetReadDeadline(time.Now().Add(c.limit)); err != nil {
		return 0, err
	}
	n, err := c.Conn.Read(p)
	if n > 0 {
		c.seen()
	}
	if err != nil {
		c.gone()
	}
	return n, err
}

func (c *watchedConn) Write(p []byte) (int, error) {
	if err := c.SetWriteDeadline(time.Now().Add(c.limit)); err != nil {
		return 0, err
	}
	return c.Conn.Write(p)
}
