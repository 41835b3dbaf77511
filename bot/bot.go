package bot

import (
	"context"
	"crypto/ed25519"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"larkfold/commands/reply"

	"github.com/bwmarrin/discordgo"
	"golang.org/x/sync/errgroup"
)

// Bot answers a community's interactions. Make one with New.
type Bot struct {
	config      Config
	publicKey   ed25519.PublicKey
	definitions []*discordgo.ApplicationCommand
	client      *http.Client
	rest        *rest
	dispatcher  *dispatcher
	metrics     *metrics
	traffic     *traffic
	unsigned    *seldom // log lines about requests that are not the platform's
	redact      redactor
	log         *slog.Logger
	appID       atomic.Pointer[string]
	ready       *readiness
}

// Run makes a bot and runs it until ctx ends. An *ExitError tells the status to exit with.
func Run(ctx context.Context, config Config) error {
	b, err := New(config)
	if err != nil {
		return err
	}
	return b.Run(ctx)
}

// New checks the configuration and the commands' definitions. It calls nobody.
func New(config Config) (*Bot, error) {
	key, err := config.check()
	if err != nil {
		return nil, err
	}
	definitions, err := define(config.App.Commands(), config.Guild != "")
	if err != nil {
		return nil, &ExitError{ExitConfig, "a command breaks a limit of the platform: " + err.Error()}
	}
	client, err := newClient(config.PlatformURL)
	if err != nil {
		return nil, err
	}
	adoptLibraryLog(config.Log)
	b := &Bot{
		config: config, publicKey: key, definitions: definitions, client: client,
		redact: newRedactor(config.Token), log: config.Log,
		unsigned: &seldom{every: time.Minute}, ready: &readiness{store: config.StoreReady, tell: config.Tell},
	}
	b.appID.Store(&config.ApplicationID)
	running := newTracker()
	b.metrics = newMetrics(config.Version, config.Replicas.Name, running.inFlight, b.ready.gatewayConnections)
	b.metrics.register.MustRegister(config.Metrics...)
	b.traffic = &traffic{next: client.Transport, count: b.metrics.called}
	client.Transport = b.traffic
	session, err := newSession(config.Token, &http.Client{Transport: b.traffic})
	if err != nil {
		return nil, err
	}
	b.rest = &rest{session: session, timing: config.Timing}
	b.metrics.observe(b)
	const remembered = 1 << 14 // ids; at 16 a second a quarter of an hour, the life of a token
	b.dispatcher = &dispatcher{
		app: config.App, rest: b.rest, log: b.log, redact: b.redact, timing: config.Timing,
		recent: newRecent(remembered), asked: newAsked(remembered), clock: &clock{ahead: func() (time.Duration, bool) { return b.ClockAhead(), b.traffic.dated.Load() }},
		running: running, metrics: b.metrics, commands: paths(config.App.Commands()),
		appID: func() string { return *b.appID.Load() }, first: config.Replicas.First,
	}
	b.dispatcher.openLanes(config.Concurrency)
	b.metrics.watch(b.dispatcher)
	return b, nil
}

// ClockAhead is how far this machine's clock was ahead of the platform's when that
// last answered, to the second.
func (b *Bot) ClockAhead() time.Duration { return time.Duration(b.traffic.ahead.Load()) }

// Run registers the commands, lets interactions in and answers them until ctx
// ends. Then it finishes what runs, turning new ones away, and closes. It
// returns nil after such a stop and an *ExitError if the bot ended by itself.
func (b *Bot) Run(ctx context.Context) error {
	err := b.run(ctx)
	var exit *ExitError
	if ctx.Err() != nil && !errors.As(err, &exit) {
		return nil
	}
	return b.redact.error(err)
}

func (b *Bot) run(ctx context.Context) error {
	// Connections and work outlive ctx, so that running work can finish.
	base, hangUp := context.WithCancel(context.WithoutCancel(ctx))
	defer hangUp()
	group, ending := errgroup.WithContext(base)

	// Addresses first: what is wrong with them is told before anybody is called.
	endpoint, err := listen(b.config.HTTP)
	if err != nil {
		return err
	}
	if endpoint != nil {
		defer endpoint.Close()
	}
	status, err := listen(b.config.Status)
	if err != nil {
		return err
	}
	if status != nil {
		group.Go(func() error { return b.serve(ending, status, b.StatusHandler()) })
	}
	// Opening ends with either: being told to stop, or something else failing.
	opening, giveUp := context.WithCancel(ending)
	defer giveUp()
	defer context.AfterFunc(ctx, giveUp)()
	accepting, closeDoor := context.WithCancel(ending)
	defer closeDoor()
	group.Go(func() error { return b.open(ending, opening, accepting, group, endpoint) })
	group.Go(func() error {
		select {
		case <-ctx.Done():
		case <-ending.Done():
		}
		b.ready.enter(stopping)
		if drain := b.config.Replicas.Drain; endpoint != nil && drain > 0 {
			select {
			case <-time.After(drain):
			case <-ending.Done():
			}
			closeDoor()
		}
		b.dispatcher.closeLanes()
		if left := b.dispatcher.running.stop(b.config.Timing.Stop); left > 0 {
			b.log.Warn("stopping with work unfinished", "interactions", left)
		}
		hangUp()
		return nil
	})
	err = group.Wait()
	b.log.Info("stopped")
	return err
}

// open registers the commands and lets interactions in, one way or the other.
func (b *Bot) open(ending, opening, accepting context.Context, group *errgroup.Group, endpoint net.Listener) error {
	if err := b.findApplication(opening); err != nil {
		return err
	}
	if !b.config.SkipRegister && b.config.Shards.First == 0 {
		if err := b.config.Replicas.alone(opening, "registration", b.registerAtStart); err != nil {
			return err
		}
	}
	if endpoint == nil {
		return b.connect(ending, opening, group)
	}
	b.ready.enter(started)
	return b.serve(accepting, endpoint, b.Handler())
}

// findApplication asks for the application's id if the configuration does not name it.
func (b *Bot) findApplication(ctx context.Context) error {
	if b.config.ApplicationID != "" {
		return nil
	}
	var app struct{ ID string }
	err := b.patiently(ctx, "asking for the application", func() error {
		return b.rest.read(ctx, http.MethodGet, discordgo.EndpointOAuth2Application("@me"), nil, &app)
	})
	if err != nil {
		return b.final(err)
	}
	b.appID.Store(&app.ID)
	return nil
}

// patiently repeats a call at the start until it works, ctx ends, the platform
// refuses for good, or the time for a dead connection has passed.
func (b *Bot) patiently(ctx context.Context, what string, call func() error) error {
	err := b.rest.retry(ctx, b.config.Timing.Reconnect, b.config.Timing.Silence, func() error {
		err := call()
		if err == nil || ctx.Err() != nil {
			return err
		}
		b.log.Warn(what, b.redact.attr(err))
		if status(err) == 0 && refusal(err) == nil {
			return temporary{err} // without an answer there is time to wait for one
		}
		return err
	})
	if err == nil {
		return nil
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if final := refusal(err); final != nil {
		return final
	}
	if s := status(err); s >= 400 && s < 500 {
		return fmt.Errorf("%s: the platform refused: %w", what, err)
	}
	return &ExitError{ExitPassing, b.redact.text(fmt.Sprintf("%s: %v", what, err))}
}

// final makes a refusal at the start the end of the process.
func (b *Bot) final(err error) error {
	if status(err) == 0 {
		return err
	}
	return &ExitError{ExitConfig, b.redact.text(err.Error())}
}

// connect starts the shards group by group, as fast as the platform allows.
func (b *Bot) connect(ending, opening context.Context, group *errgroup.Group) error {
	var gateway discordgo.GatewayBotResponse
	err := b.patiently(opening, "asking for the gateway", func() error {
		return b.rest.read(opening, http.MethodGet, discordgo.EndpointGatewayBot, nil, &gateway)
	})
	if opening.Err() != nil {
		return nil
	}
	if err != nil {
		return b.final(err)
	}
	shards := b.config.Shards
	if shards.Count == 0 {
		shards = Shards{0, max(1, gateway.Shards) - 1, max(1, gateway.Shards)}
	}
	limit := gateway.SessionStartLimit
	if starts := shards.Last - shards.First + 1; limit.Total > 0 && limit.Remaining < starts {
		return &ExitError{ExitNoStarts, fmt.Sprintf("the platform allows %d more session starts today and %d are needed; try again in %s",
			limit.Remaining, starts, (time.Duration(limit.ResetAfter) * time.Millisecond).Round(time.Minute))}
	}
	receive := func(raw []byte, received time.Time) {
		b.dispatcher.receive(ending, raw, received, b.rest)
	}
	b.ready.want(shards.Last - shards.First + 1)
	groups := shards.groups(limit.MaxConcurrency)
	for i, ids := range groups {
		started := make([]*shard, 0, len(ids))
		for _, id := range ids {
			s, err := b.newShard(id, shards.Count, receive)
			if err != nil {
				return err
			}
			started = append(started, s)
			group.Go(func() error { return s.run(ending) })
			group.Go(func() error { return s.watch(ending) })
		}
		for _, s := range started {
			select {
			case <-s.ready:
			case <-opening.Done():
				return nil
			}
		}
		if i == len(groups)-1 {
			break
		}
		select {
		case <-time.After(b.config.Timing.Identify):
		case <-opening.Done():
			return nil
		}
	}
	b.ready.enter(started)
	b.log.Info("ready", "shards", shards.String())
	return nil
}

// paths are the commands that can be asked for, joined by blanks.
func paths(list []reply.Command) map[string]bool {
	known := map[string]bool{}
	var walk func(prefix string, list []reply.Command)
	walk = func(prefix string, list []reply.Command) {
		for _, c := range list {
			if len(c.Sub) == 0 {
				known[prefix+c.Name] = true
			}
			walk(prefix+c.Name+" ", c.Sub)
		}
	}
	walk("", list)
	return known
}
