package bot_test

import (
	"context"
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

func TestLostConnectionIsResumedAndNothingIsMissed(t *testing.T) {
	t.Parallel()
	for name, lose := range map[string]func(p *platformtest.Platform){
		"op 7":            (*platformtest.Platform).AskReconnect,
		"close code 4000": func(p *platformtest.Platform) { p.CloseWith(4000) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			r := start(t, p, only(saying("hello")), nil)
			// A heartbeat written in the same instant would make the library
			// close the next connection as well, and end the session with it.
			p.Until("the first heartbeat", func() bool { return p.Heartbeats() == 1 })
			time.Sleep(time.Second)
			lose(p)
			p.Until("the loss", func() bool { return strings.Contains(r.log.String(), "gateway connection lost") })
			ex := p.Member("ana").Type("/go") // while nobody listens
			require.Equal(t, "hello", p.Member("ana").Wait(ex).Text())
			require.Equal(t, 2, p.Dials())
		})
	}
}

func TestCutConnectionIsReplaced(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	start(t, p, only(saying("hello")), nil)
	p.Drop()
	p.Until("another connection", func() bool { return p.Dials() == 2 })
	p.WaitReady(1)
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
}

// TestInvalidSessionIsIdentifiedAgain, after the wait of 1 to 5 s that the platform
// asks for.
func TestInvalidSessionIsIdentifiedAgain(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	start(t, p, only(saying("hello")), nil)
	told := time.Now()
	p.InvalidateSessions()
	p.Until("another identify", func() bool { return len(p.Identifies()) == 2 })
	require.GreaterOrEqual(t, p.Identifies()[1].At.Sub(told), time.Second)
	require.Less(t, p.Identifies()[1].At.Sub(told), 30*time.Second, "5 s and what a busy machine takes")
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
	require.Equal(t, 1, p.Dials())
}

func TestGatewayAddressIsAskedPatiently(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	p.Fault(platformtest.RouteApplication, 2, platformtest.Status(503))
	p.Fault(platformtest.RouteCommands, 2, platformtest.RateLimit(50*time.Millisecond))
	p.Fault(platformtest.RouteGatewayBot, 1, platformtest.RateLimitPage())
	p.Fault(platformtest.RouteGateway, 2, platformtest.Status(500))
	start(t, p, only(saying("hello")), nil)
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
}

// A start waits for what may pass, for as long as a connection may be dead, and
// ends at once at what will not.
func TestStartWaitsForWhatMayPass(t *testing.T) {
	t.Parallel()
	for name, test := range map[string]struct {
		fault platformtest.Fault
		code  int
	}{
		"a fault of the platform":     {platformtest.Status(500), bot.ExitPassing},
		"a limit longer than we wait": {platformtest.RateLimit(time.Hour), bot.ExitPassing},
		"no answer":                   {platformtest.Cut(), bot.ExitPassing},
		"nothing like it there":       {platformtest.Status(404), bot.ExitConfig},
		"no right to it":              {platformtest.Status(401), bot.ExitConfig},
		"a call that it cannot read":  {platformtest.Status(400), bot.ExitConfig},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			p.Fault(platformtest.RouteApplication, 1000, test.fault)
			r := launch(t, p, only(saying("hello")), func(c *bot.Config) { c.Timing.Silence = 300 * time.Millisecond })
			var exit *bot.ExitError
			require.ErrorAs(t, r.wait(), &exit)
			require.Equal(t, test.code, exit.ExitCode())
		})
	}
	p := standIn(t, platformtest.Options{})
	p.Fault(platformtest.RouteApplication, 2, platformtest.Cut())
	start(t, p, only(saying("hello")), nil)
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
}

func TestCommandsThatCannotBeWrittenDoNotKeepTheBotAway(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	first := start(t, p, only(saying("hello")), nil)
	first.stop()
	require.NoError(t, first.wait())
	p.Fault(platformtest.RouteCommands, 50, platformtest.RateLimit(time.Hour)) // for which nobody waits
	r := start(t, p, only(saying("hello")), nil)
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
	require.Contains(t, r.log.String(), "commands not registered")
}

func TestInteractionDeliveredTwiceIsAnsweredOnce(t *testing.T) {
	t.Parallel()
	var done atomic.Int32
	counting := func() *fakeApp {
		return only(func(context.Context, reply.Request) (reply.Reply, error) {
			done.Add(1)
			return say("hello"), nil
		})
	}
	p := standIn(t, platformtest.Options{})
	r := start(t, p, counting(), nil)
	ana := p.Member("ana")
	ex := ana.Slash("/go")
	for range 5 {
		ana.Again(ex)
	}
	p.Until("the log lines", func() bool { return strings.Count(r.log.String(), "delivered again") == 5 })
	require.Equal(t, int32(1), done.Load())
	require.Equal(t, 1, p.Calls(platformtest.RouteCallback))
}

func TestForeignInteractionIsDropped(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	r := start(t, p, only(saying("hello")), nil)
	p.SendEvent(0, "INTERACTION_CREATE", map[string]any{"id": "5", "application_id": "1", "token": "t", "type": 2, "data": map[string]any{"name": "go"}, "user": map[string]any{"id": "6"}})
	p.Until("the log line", func() bool { return strings.Contains(r.log.String(), "outcome=foreign") })
	require.Zero(t, p.Calls(platformtest.RouteCallback))
}

func TestRefusedAnswerBecomesAnApology(t *testing.T) {
	t.Parallel()
	for name, test := range map[string]struct {
		route       string
		app         func(p *platformtest.Platform) *fakeApp
		acknowledge func(c *bot.Config)
	}{
		"first answer": {platformtest.RouteCallback, func(*platformtest.Platform) *fakeApp { return only(saying("hello")) }, nil},
		"edit":         {platformtest.RouteEdit, func(p *platformtest.Platform) *fakeApp { return deferring(p, say("at last")) }, deferSoon},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			r := start(t, p, test.app(p), test.acknowledge)
			p.Fault(test.route, 1, platformtest.Refuse())
			require.Contains(t, p.Member("ana").Slash("/go").Text(), "Something went wrong on my side")
			p.Until("the log line", func() bool { return strings.Contains(r.log.String(), "outcome=fault") })
		})
	}
}

func TestPublicAnswerThatCannotBePostedIsSaidSo(t *testing.T) {
	t.Parallel()
	forAll := say("for all")
	forAll.Public = true
	p := standIn(t, platformtest.Options{})
	start(t, p, deferring(p, forAll), deferSoon)
	p.Fault(platformtest.RouteFollowUp, 1, platformtest.Status(403))
	ex := p.Member("ana").Slash("/go").Until("the second edit", func(ex *platformtest.Exchange) bool { return ex.Edits == 2 })
	require.Contains(t, ex.Text(), "could not be posted")
}

func TestShardsOfThePlatformsNumber(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{Shards: 4, MaxConcurrency: 2, Window: 300 * time.Millisecond})
	r := start(t, p, only(saying("hello")), func(c *bot.Config) { c.Timing.Identify = 350 * time.Millisecond })
	p.WaitReady(4)
	seen := map[[2]int]bool{}
	for _, id := range p.Identifies() {
		seen[id.Shard] = true
	}
	require.Equal(t, map[[2]int]bool{{0, 4}: true, {1, 4}: true, {2, 4}: true, {3, 4}: true}, seen)
	p.Until("ready", func() bool { return strings.Contains(r.log.String(), "msg=ready shards=0-3/4") })
	for n := range 4 {
		guild := fmt.Sprint(uint64(900_000_000_000)<<22 + uint64(n)<<22)
		require.Equal(t, "hello", p.Member("ana").In(guild).Slash("/go").Text())
	}
	require.Equal(t, "hello", p.Member("ana").Direct().Slash("/go").Text())
}

func TestShardRangeOfAProcess(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{Shards: 9, StartsLeft: 2}) // as many as it needs
	var answering atomic.Bool
	r := launch(t, p, only(saying("hello")), func(c *bot.Config) {
		c.Shards, c.Timing.Identify = bot.Shards{First: 1, Last: 2, Count: 4}, 10*time.Millisecond
		c.Tell = func(now bool, _ string) { answering.Store(now) }
	})
	p.WaitReady(2)
	p.Until("ready", func() bool { return strings.Contains(r.log.String(), "msg=ready shards=1-2/4") })
	p.Until("two connections are all that it wants", answering.Load)
	require.Equal(t, [2]int{1, 4}, p.Identifies()[0].Shard)
	require.Equal(t, [2]int{2, 4}, p.Identifies()[1].Shard)
	require.Zero(t, p.CommandWrites(), "the process with shard 0 registers")
}

func TestStopBeforeItIsConnected(t *testing.T) {
	t.Parallel()
	for name, route := range map[string]string{
		"silent gateway": "", "no gateway": platformtest.RouteGatewayBot, "no application": platformtest.RouteApplication, "refused dial": platformtest.RouteGateway,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			if route == "" {
				p.NextConnections(p.SilentHello())
			} else {
				p.Fault(route, 1000, platformtest.Status(500))
			}
			r := launch(t, p, only(saying("hello")), nil)
			p.Until("a try", func() bool { return p.Dials() > 0 || p.Calls(route) > 0 })
			r.stop()
			require.NoError(t, r.wait())
		})
	}
}

func TestForbiddenRegistrationEndsTheProcess(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	p.Fault(platformtest.RouteCommands, 1, platformtest.Status(403))
	var exit *bot.ExitError
	require.ErrorAs(t, launch(t, p, only(saying("hello")), nil).wait(), &exit)
	require.Equal(t, bot.ExitConfig, exit.ExitCode())
	require.Contains(t, exit.Error(), "scope applications.commands")
}

func TestRefusedRegistrationIsLogged(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	p.Fault(platformtest.RouteCommands, 1, platformtest.Refuse())
	r := start(t, p, only(saying("hello")), nil)
	require.Contains(t, r.log.String(), "commands not registered")
	require.Equal(t, "hello", p.Member("ana").Wait(p.Member("ana").Send(2, map[string]any{"name": "go", "type": 1})).Text())
}

func TestRateLimitedGatewayAddressIsNoSleep(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	p.Fault(platformtest.RouteGateway, 1, platformtest.RateLimit(time.Hour))
	r := launch(t, p, only(saying("hello")), func(c *bot.Config) { c.Timing.Silence = 300 * time.Millisecond })
	var exit *bot.ExitError
	require.ErrorAs(t, r.wait(), &exit, "the library waits with its lock held, so the watchdog ends it")
	require.Equal(t, bot.ExitPassing, exit.ExitCode())
}
