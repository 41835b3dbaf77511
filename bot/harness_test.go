package bot_test

import (
	"bytes"
	"context"
	"flag"
	"log/slog"
	"net/http/httptest"
	"os"
	"sync"
	"testing"
	"time"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// TestMain lets many tests run at once, whatever the number of processors: they
// wait most of the time, a second for each connection that the library closes.
func TestMain(m *testing.M) {
	flag.Parse()
	if err := flag.Set("test.parallel", "16"); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}

// standIn starts a stand-in for the platform. What should happen soon and does not
// within 20 s will not: a fault is found while whoever made it still waits.
func standIn(t *testing.T, options platformtest.Options) *platformtest.Platform {
	t.Helper()
	if options.Patience == 0 {
		options.Patience = 20 * time.Second
	}
	return platformtest.Start(t, options)
}

// handler answers one request.
type handler func(context.Context, reply.Request) (reply.Reply, error)

// fakeApp answers with handlers that a test gives; it keeps what it was asked.
type fakeApp struct {
	list     []reply.Command
	typed    map[string]handler // by the path of a command
	presses  map[string]handler // by action name
	complete func(ctx context.Context, req reply.Request, option, typed string) ([]reply.Choice, error)

	release  chan struct{}          // for handlers that wait
	platform *platformtest.Platform // for those that wait for it, in bothWays

	mu   sync.Mutex
	asks []reply.Request
}

func (a *fakeApp) Commands() []reply.Command { return a.list }

func (a *fakeApp) Do(ctx context.Context, req reply.Request) (reply.Reply, error) {
	a.mu.Lock()
	a.asks = append(a.asks, req)
	a.mu.Unlock()
	if req.Action != nil {
		return a.presses[req.Action.Name](ctx, req)
	}
	return a.typed[req.Command](ctx, req)
}

func (a *fakeApp) Complete(ctx context.Context, req reply.Request, option, typed string) ([]reply.Choice, error) {
	return a.complete(ctx, req, option, typed)
}

// requests returns what was asked so far.
func (a *fakeApp) requests() []reply.Request {
	a.mu.Lock()
	defer a.mu.Unlock()
	return append([]reply.Request(nil), a.asks...)
}

// only is an app of one command /go.
func only(run handler) *fakeApp {
	return &fakeApp{list: []reply.Command{{Name: "go", Description: "Goes."}}, typed: map[string]handler{"go": run}, presses: map[string]handler{}}
}

func say(text string) reply.Reply {
	return reply.Reply{Blocks: []reply.Block{reply.Text(text)}}
}

// painted is a picture that needs no drawing.
func painted(name string, png []byte, alt string) reply.Picture {
	return reply.Picture{Name: name, Draw: func() (reply.Image, error) { return reply.Image{PNG: png, Alt: alt}, nil }}
}

func saying(text string) handler {
	return func(context.Context, reply.Request) (reply.Reply, error) { return say(text), nil }
}

// untilDeferred waits until the platform was told that the answer comes later.
func untilDeferred(p *platformtest.Platform, req reply.Request) {
	p.Until("a deferral", func() bool { return p.Acknowledged(req.ID) })
}

// deferring is an app of one command /go whose answer comes when it has been deferred,
// which deferSoon has happen soon.
func deferring(p *platformtest.Platform, answer reply.Reply) *fakeApp {
	return only(func(_ context.Context, req reply.Request) (reply.Reply, error) {
		untilDeferred(p, req)
		return answer, nil
	})
}

func deferSoon(c *bot.Config) { c.Timing.Acknowledge = 20 * time.Millisecond }

// running is a bot that runs until the test ends.
type running struct {
	t    *testing.T
	stop context.CancelFunc
	done chan struct{}
	err  error
	log  *lockedBuffer
}

// wait waits for the bot's end and returns its error.
func (r *running) wait() error {
	r.t.Helper()
	select {
	case <-r.done:
	case <-time.After(2 * time.Minute):
		r.t.Fatal("the bot does not end")
	}
	return r.err
}

// config is what a bot needs to find a stand-in. What it and the platform wait for is
// as long as no machine is slow; a test that waits for the end of a time sets that one.
func config(p *platformtest.Platform, app bot.App) (bot.Config, *lockedBuffer) {
	log := &lockedBuffer{}
	return bot.Config{
		App: app, Token: p.Token, PlatformURL: p.URL,
		Log: slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelDebug})),
		Timing: bot.Timing{
			Acknowledge: 20 * time.Second, FirstAnswer: time.Minute, Reconnect: 20 * time.Millisecond, Silence: 2 * time.Minute,
		},
	}, log
}

// start runs a bot over the gateway and waits until it is connected.
func start(t *testing.T, p *platformtest.Platform, app bot.App, change func(*bot.Config)) *running {
	t.Helper()
	before := p.Sessions()
	r := launch(t, p, app, change)
	p.Until("another session", func() bool { return p.Sessions() > before })
	return r
}

// launch runs a bot over the gateway.
func launch(t *testing.T, p *platformtest.Platform, app bot.App, change func(*bot.Config)) *running {
	t.Helper()
	c, log := config(p, app)
	if change != nil {
		change(&c)
	}
	ctx, stop := context.WithCancel(context.Background())
	r := &running{t: t, stop: stop, done: make(chan struct{}), log: log}
	go func() {
		defer close(r.done)
		r.err = bot.Run(ctx, c)
	}()
	t.Cleanup(func() {
		stop()
		_ = r.wait()
		for _, secret := range []string{p.Token, "stand-in-interaction-token-"} {
			require.NotContains(t, log.String(), secret, "a secret in the log")
		}
	})
	return r
}

// startHTTP serves a bot's endpoint and makes the stand-in use it.
func startHTTP(t *testing.T, p *platformtest.Platform, app bot.App, change func(*bot.Config)) *lockedBuffer {
	t.Helper()
	c, log := config(p, app)
	c.HTTP, c.PublicKey, c.ApplicationID = "127.0.0.1:0", p.PublicKey, p.ApplicationID
	if change != nil {
		change(&c)
	}
	b, err := bot.New(c)
	require.NoError(t, err)
	_, err = b.Register(context.Background(), c.Guild, false)
	require.NoError(t, err)
	server := httptest.NewServer(b.Handler())
	t.Cleanup(server.Close)
	p.Endpoint(server.URL + "/interactions")
	return log
}

// bothWays runs a story over the gateway and over HTTP.
func bothWays(t *testing.T, app func() *fakeApp, change func(*bot.Config), story func(t *testing.T, p *platformtest.Platform, app *fakeApp)) {
	t.Helper()
	t.Run("gateway", func(t *testing.T) {
		t.Parallel()
		p, app := standIn(t, platformtest.Options{}), app()
		app.platform = p
		start(t, p, app, change)
		story(t, p, app)
	})
	t.Run("http", func(t *testing.T) {
		t.Parallel()
		p, app := standIn(t, platformtest.Options{}), app()
		app.platform = p
		startHTTP(t, p, app, change)
		story(t, p, app)
	})
}

// lockedBuffer is a log that many may write and read.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}
