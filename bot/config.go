package bot

import (
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/url"
	"runtime"
	"strings"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"larkfold/bot/fit"
	"larkfold/commands/reply"
)

// App is what answers requests; *commands.App is one.
type App interface {
	Do(ctx context.Context, req reply.Request) (reply.Reply, error)
	Complete(ctx context.Context, req reply.Request, option, typed string) ([]reply.Choice, error)
	Commands() []reply.Command
}

// Config is everything that a Bot needs to know. App is required, and a token
// or, for the HTTP way in, an application id with its public key.
type Config struct {
	App           App
	Token         string // the bot's token, with or without "Bot " before it
	ApplicationID string // empty: asked from the platform
	Guild         string // register the commands in this server only; empty: everywhere
	SkipRegister  bool   // leave the registered commands as they are

	HTTP      string // address for signed interactions over HTTP, such as ":8080"; empty: the gateway
	PublicKey string // of the application, 64 hexadecimal digits; for HTTP
	Status    string // address for /healthz, /readyz and /metrics; empty: none

	// StoreReady tells what is wrong with the store; nil takes it as sound. Tell is
	// told, in order and not for long, when the bot begins or ceases to answer.
	StoreReady func(context.Context) error
	Tell       func(answering bool, what string)

	Version string                 // of the program, for its metrics
	Metrics []prometheus.Collector // more to serve at /metrics

	Shards      Shards
	Replicas    Replicas
	PlatformURL string // another address to find the platform at; empty: the real one
	Log         *slog.Logger
	Concurrency int // commands worked on at once; 0: twice the processors, so that acknowledgements still get through under load
	Timing      Timing
}

// Timing holds the bot's clocks. A zero value means the default in the comment.
type Timing struct {
	Acknowledge time.Duration // 1.5 s: after receipt, an answer that is not ready is deferred
	FirstAnswer time.Duration // 3 s: after an interaction was made, the platform takes no first answer
	Work        time.Duration // 1 min: one request may take
	Edit        time.Duration // 1 min: sending an edit again and again may take
	Stop        time.Duration // 20 s: running work may take once the bot is told to stop
	Read        time.Duration // 100 s: a gateway connection may stay silent; heartbeats come every 41 s
	Silence     time.Duration // 5 min: a shard may be without a live connection before the process ends
	Reconnect   time.Duration // 1 s: the first wait before a connection is tried again
	Identify    time.Duration // 5 s: between two groups of shards that start
}

func (t Timing) withDefaults() Timing {
	set := func(d *time.Duration, value time.Duration) {
		if *d <= 0 {
			*d = value
		}
	}
	set(&t.Acknowledge, 1500*time.Millisecond)
	set(&t.FirstAnswer, 3*time.Second)
	set(&t.Work, time.Minute)
	set(&t.Edit, time.Minute)
	set(&t.Stop, 20*time.Second)
	set(&t.Read, 100*time.Second)
	set(&t.Silence, 5*time.Minute)
	set(&t.Reconnect, time.Second)
	set(&t.Identify, 5*time.Second)
	return t
}

// check fills in defaults and refuses what cannot work, in the words of the settings.
func (c *Config) check() (ed25519.PublicKey, error) {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }

	if c.App == nil {
		fault("no app to answer requests")
	}
	c.Token = strings.TrimPrefix(strings.TrimSpace(c.Token), "Bot ")
	switch {
	case c.Token != "":
	case c.HTTP == "":
		fault("no token: the gateway needs the bot's token")
	case !c.SkipRegister:
		fault("no token: registering commands needs the bot's token")
	case c.ApplicationID == "":
		fault("no application id, and no token to ask for it")
	}
	for name, id := range map[string]string{"application id": c.ApplicationID, "server id": c.Guild} {
		if id != "" && !fit.IsID(id) {
			fault("the %s %q is not a number", name, id)
		}
	}
	var key ed25519.PublicKey
	if c.HTTP != "" || c.PublicKey != "" {
		raw, err := hex.DecodeString(strings.TrimSpace(c.PublicKey))
		if err != nil || len(raw) != ed25519.PublicKeySize {
			fault("the public key must be 64 hexadecimal digits, as the developer portal shows it; this one has %d characters", len(c.PublicKey))
		}
		key = raw
	}
	for _, address := range []string{c.HTTP, c.Status} {
		if address != "" && !strings.HasPrefix(address, unixAddress) {
			if _, _, err := net.SplitHostPort(address); err != nil {
				fault("the address %q must look like 127.0.0.1:7417, :7417 or unix:/folder/name.sock", address)
			}
		}
	}
	if c.PlatformURL != "" {
		if u, err := url.Parse(c.PlatformURL); err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
			fault("the platform address %q must look like https://host", c.PlatformURL)
		}
	}
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	if c.Concurrency <= 0 {
		c.Concurrency = 2 * runtime.GOMAXPROCS(0)
	}
	c.Timing = c.Timing.withDefaults()
	if len(faults) > 0 {
		return nil, &ExitError{ExitConfig, errors.Join(faults...).Error()}
	}
	return key, nil
}
