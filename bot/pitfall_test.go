package bot_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// One test for each known pitfall of the platform's library, numbered. Those that need
// no stand-in are in pitfall_internal_test.go.

func TestP01PanicIsContained(t *testing.T) {
	t.Parallel()
	app := func() *fakeApp {
		app := workshop()
		app.list = append(app.list, reply.Command{Name: "boom", Description: "Panics.",
			Options: []reply.Option{{Name: "what", Description: "What.", Suggest: "knot"}}})
		app.typed["boom"] = func(context.Context, reply.Request) (reply.Reply, error) { panic("a knot in the program") }
		app.complete = func(context.Context, reply.Request, string, string) ([]reply.Choice, error) { panic("again") }
		app.presses["save"] = func(context.Context, reply.Request) (reply.Reply, error) {
			var none *reply.Request
			return say(none.ID), nil
		}
		return app
	}
	bothWays(t, app, nil, func(t *testing.T, p *platformtest.Platform, _ *fakeApp) {
		ana := p.Member("ana")
		ex := ana.Slash("/boom")
		require.Contains(t, ex.Text(), "Something went wrong on my side")
		require.True(t, ex.Message.Private)
		require.Empty(t, ana.Autocomplete("/boom what:x", "what").Choices)
		require.Contains(t, ana.Press("lf1|0|1|save||").Text(), "Something went wrong on my side")
		require.NotNil(t, ana.Slash("/project new").Modal, "the process goes on")
	})
}

func TestP02WatchdogLeavesDeadSocket(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	p.NextConnections(p.Behaved(), p.ReconnectFirst())
	r := start(t, p, only(saying("hello")), func(c *bot.Config) { c.Timing.Silence = 12 * time.Second })
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
	p.AskReconnect() // the library reconnects, is asked to again before it is done, and hangs

	var exit *bot.ExitError
	require.ErrorAs(t, r.wait(), &exit)
	require.Equal(t, bot.ExitPassing, exit.ExitCode())
	require.Contains(t, exit.Error(), "has been dead for")
	require.Equal(t, 2, p.Dials(), "it did hang")
}

func TestP03SilentServerIsGivenUp(t *testing.T) {
	t.Parallel()
	t.Run("no hello", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{Heartbeat: 2 * time.Second}) // the library closes after five without an answer
		p.NextConnections(p.SilentHello())
		start(t, p, only(saying("hello")), func(c *bot.Config) { c.Timing.Read = 8 * time.Second })
		require.Equal(t, 2, p.Dials())
		require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
	})
	t.Run("half dead", func(t *testing.T) {
		t.Parallel()
		// The library misses five heartbeats' answers while an identify waits for up to 5 s.
		p := standIn(t, platformtest.Options{Heartbeat: 1500 * time.Millisecond, Patience: time.Minute})
		start(t, p, only(saying("hello")), func(c *bot.Config) { c.Timing.Read = 6 * time.Second })
		p.Mute()
		// The library closes with 1000, after which the platform takes no resume.
		p.Until("another session", func() bool { return p.Sessions() >= 2 })
		p.WaitReady(1)
		require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
	})
	t.Run("for ever", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		for range 100 {
			p.NextConnections(p.SilentHello())
		}
		r := launch(t, p, only(saying("hello")), func(c *bot.Config) {
			c.Timing.Read, c.Timing.Silence = 50*time.Millisecond, 800*time.Millisecond
		})
		var exit *bot.ExitError
		require.ErrorAs(t, r.wait(), &exit)
		require.Equal(t, bot.ExitPassing, exit.ExitCode())
	})
}

// The library can crash the process when op 1 meets a close; only a restart
// helps, so a restart must be harmless.
func TestP04RestartIsIdempotent(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	app := workshop()
	for range 3 {
		r := start(t, p, app, nil)
		beats := p.Heartbeats()
		p.AskHeartbeat()
		p.Until("a heartbeat", func() bool { return p.Heartbeats() > beats })
		require.NotNil(t, p.Member("ana").Slash("/project new").Modal)
		r.stop()
		require.NoError(t, r.wait())
	}
	require.Equal(t, 1, p.CommandWrites(), "the commands were written once")
}

func TestP05SlowHandlerKeepsHeartbeats(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{Heartbeat: time.Second}) // the library closes after five without an answer
	start(t, p, only(func(context.Context, reply.Request) (reply.Reply, error) {
		before := p.Heartbeats()
		p.Until("heartbeats while a handler works", func() bool { return p.Heartbeats() >= before+3 })
		return say("done"), nil
	}), nil)
	require.Equal(t, "done", p.Member("ana").Slash("/go").Text())
	require.Equal(t, 1, p.Dials())
}

func TestP06RefusalsEndTheProcess(t *testing.T) {
	t.Parallel()
	for _, code := range []int{4004, 4010, 4011, 4012, 4013, 4014} {
		t.Run(fmt.Sprint(code), func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			p.NextConnections(p.Refuse(code))
			var exit *bot.ExitError
			require.ErrorAs(t, launch(t, p, only(saying("hello")), nil).wait(), &exit)
			require.Equal(t, bot.ExitConfig, exit.ExitCode())
			require.Contains(t, exit.Error(), fmt.Sprintf("(close code %d)", code))
			require.Len(t, p.Identifies(), 1)
		})
	}
	t.Run("later", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		p.NextConnections(p.Behaved(), p.Refuse(4004))
		r := start(t, p, only(saying("hello")), nil)
		p.CloseWith(4004)
		var exit *bot.ExitError
		require.ErrorAs(t, r.wait(), &exit)
		require.Equal(t, bot.ExitConfig, exit.ExitCode())
		require.Equal(t, 2, p.Dials())
	})
	t.Run("by REST", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		for _, skip := range []bool{false, true} {
			r := launch(t, p, only(saying("hello")), func(c *bot.Config) { c.Token, c.SkipRegister = "wrong", skip })
			var exit *bot.ExitError
			require.ErrorAs(t, r.wait(), &exit)
			require.Equal(t, bot.ExitConfig, exit.ExitCode())
			require.Contains(t, exit.Error(), "refused the token")
		}
		require.Zero(t, p.Dials())
	})
	t.Run("others are tried again", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		p.NextConnections(p.Refuse(4000), p.Refuse(4008))
		start(t, p, only(saying("hello")), nil)
		require.Equal(t, 3, p.Dials())
	})
}

func TestP07NoIdentifyStorm(t *testing.T) {
	t.Parallel()
	t.Run("no starts left", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{StartsLeft: -1})
		var exit *bot.ExitError
		require.ErrorAs(t, launch(t, p, only(saying("hello")), nil).wait(), &exit)
		require.Equal(t, bot.ExitNoStarts, exit.ExitCode())
		require.Contains(t, exit.Error(), "try again in 1h0m0s")
		require.Empty(t, p.Identifies())
	})
	t.Run("just enough starts, and one too few", func(t *testing.T) {
		t.Parallel()
		two := func(c *bot.Config) {
			c.Shards, c.Timing.Identify = bot.Shards{First: 0, Last: 1, Count: 2}, 10*time.Millisecond
		}
		p := standIn(t, platformtest.Options{StartsLeft: 2})
		start(t, p, only(saying("hello")), two)
		p.Until("both identifies", func() bool { return len(p.Identifies()) == 2 })
		p = standIn(t, platformtest.Options{StartsLeft: 1})
		var exit *bot.ExitError
		require.ErrorAs(t, launch(t, p, only(saying("hello")), two).wait(), &exit)
		require.Equal(t, bot.ExitNoStarts, exit.ExitCode())
		require.Empty(t, p.Identifies())
	})
	t.Run("too many requests at the start pass, a refusal does not", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		p.Fault(platformtest.RouteGatewayBot, 1, platformtest.RateLimitPage())
		start(t, p, only(saying("hello")), nil)
		p = standIn(t, platformtest.Options{})
		p.Fault(platformtest.RouteGatewayBot, 1, platformtest.Status(http.StatusNotFound))
		var exit *bot.ExitError
		require.ErrorAs(t, launch(t, p, only(saying("hello")), nil).wait(), &exit)
		require.Equal(t, bot.ExitConfig, exit.ExitCode())
	})
	t.Run("waits grow", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		p.NextConnections(p.Refuse(4000), p.Refuse(4000), p.Refuse(4000), p.Refuse(4000), p.Refuse(4000))
		start(t, p, only(saying("hello")), nil)
		seen := p.Identifies()
		require.Len(t, seen, 6)
		for i := 1; i < len(seen); i++ {
			least := 10 * time.Millisecond << (i - 1) // half of 20, 40, 80 ... ms: the rest is chance
			require.GreaterOrEqual(t, seen[i].At.Sub(seen[i-1].At), least, i)
		}
	})
}

func TestP08AcknowledgedBeforeTheDeadline(t *testing.T) {
	t.Parallel()
	slow := func() *fakeApp {
		release := make(chan struct{})
		app := only(func(context.Context, reply.Request) (reply.Reply, error) {
			<-release
			return say("done"), nil
		})
		app.release = release
		return app
	}
	change := func(c *bot.Config) { c.Concurrency, c.Timing.Acknowledge = 1, 150*time.Millisecond }
	bothWays(t, slow, change, func(t *testing.T, p *platformtest.Platform, app *fakeApp) {
		ana := p.Member("ana")
		var waiting []*platformtest.Exchange
		for range 3 { // two of them wait for the only slot
			waiting = append(waiting, ana.Type("/go"))
		}
		for _, ex := range waiting {
			ex.Until("a deferral while nothing is done", func(ex *platformtest.Exchange) bool { return ex.Deferred })
		}
		require.Len(t, app.requests(), 1, "the clock runs from receipt, not from the start of the work")
		close(app.release)
		for _, ex := range waiting {
			require.Equal(t, "done", ana.Wait(ex).Text())
		}
	})
}

func TestP09RateLimits(t *testing.T) {
	t.Parallel()
	t.Run("short, on the first answer", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		start(t, p, only(saying("hello")), nil)
		p.Fault(platformtest.RouteCallback, 1, platformtest.RateLimit(100*time.Millisecond))
		ex := p.Member("ana").Slash("/go")
		require.Equal(t, "hello", ex.Text())
		require.GreaterOrEqual(t, ex.Acknowledged, 100*time.Millisecond)
	})
	t.Run("too long, on the first answer", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		r := start(t, p, only(saying("hello")), nil)
		p.Fault(platformtest.RouteCallback, 1, platformtest.RateLimit(time.Hour)) // the first answer has a minute
		p.Member("ana").Type("/go").Unanswered()
		p.Until("the log line", func() bool { return strings.Contains(r.log.String(), "answer not delivered") })
		require.Equal(t, "hello", p.Member("ana").Slash("/go").Text(), "others are not held up")
	})
	for name, fault := range map[string]platformtest.Fault{
		"on an edit": platformtest.RateLimit(200 * time.Millisecond), "a page, on an edit": platformtest.RateLimitPage(),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			start(t, p, deferring(p, say("at last")), deferSoon)
			p.Fault(platformtest.RouteEdit, 2, fault)
			require.Equal(t, "at last", p.Member("ana").Slash("/go").Text())
			require.Equal(t, 3, p.Calls(platformtest.RouteEdit))
		})
	}
	t.Run("a page, on the first answer", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		start(t, p, only(saying("hello")), nil)
		p.Fault(platformtest.RouteCallback, 1, platformtest.RateLimitPage())
		require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
	})
}

func TestP10ServerErrors(t *testing.T) {
	t.Parallel()
	t.Run("edits are tried again", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		start(t, p, deferring(p, say("at last")), deferSoon)
		for _, fault := range []platformtest.Fault{
			platformtest.Status(500), platformtest.Status(502), platformtest.Status(503), platformtest.NotYet(),
		} {
			p.Fault(platformtest.RouteEdit, 1, fault)
		}
		require.Equal(t, "at last", p.Member("ana").Slash("/go").Text())
		require.Equal(t, 5, p.Calls(platformtest.RouteEdit))
	})
	for name, fault := range map[string]platformtest.Fault{
		"500": platformtest.Status(500), "502": platformtest.Status(502), "503": platformtest.Status(503),
	} {
		t.Run("first answer after "+name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			start(t, p, only(saying("hello")), nil)
			p.Fault(platformtest.RouteCallback, 1, fault)
			require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
			require.Equal(t, 2, p.Calls(platformtest.RouteCallback))
		})
	}
	for name, fault := range map[string]platformtest.Fault{"lost": platformtest.LostResponse(), "cut": platformtest.Cut()} {
		t.Run("first answer whose response is "+name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			r := start(t, p, only(saying("hello")), nil)
			p.Fault(platformtest.RouteCallback, 1, fault)
			require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
			p.Until("the log line", func() bool { return strings.Contains(r.log.String(), "outcome=answered") })
			require.Equal(t, 2, p.Calls(platformtest.RouteCallback), "the platform saw it twice and kept the first")
		})
	}
	t.Run("a slow body", func(t *testing.T) {
		t.Parallel()
		p := standIn(t, platformtest.Options{})
		start(t, p, deferring(p, say("at last")), func(c *bot.Config) {
			deferSoon(c)
			c.Timing.Edit = 24 * time.Second // of which a try has a twelfth
		})
		p.Fault(platformtest.RouteEdit, 1, platformtest.SlowBody(time.Minute))
		require.Equal(t, "at last", p.Member("ana").Slash("/go").Text())
		require.Equal(t, "at last", p.Member("eva").Slash("/go").Text())
	})
}

func TestP12NoSecretsInErrorsOrLogs(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	leak := errors.New("calling https://discord.com/api/v9/webhooks/900000000000000001/stand-in-interaction-token-1/messages with " + p.Token)
	r := start(t, p, only(func(context.Context, reply.Request) (reply.Reply, error) { return reply.Reply{}, leak }), nil)
	p.Fault(platformtest.RouteCallback, 9, platformtest.RateLimit(time.Hour))
	p.Member("ana").Type("/go").Unanswered()
	p.Until("the log line", func() bool { return strings.Contains(r.log.String(), "answer not delivered") })
	require.Contains(t, r.log.String(), "webhooks/900000000000000001/[token]/messages with [token]")
	require.Contains(t, r.log.String(), "interactions/")
	// That no secret is in the log is checked for every bot that launch runs.
}

func TestP13LateAnswerIsLoggedWithItsAge(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{Deadline: 100 * time.Millisecond})
	r := start(t, p, only(func(context.Context, reply.Request) (reply.Reply, error) {
		time.Sleep(250 * time.Millisecond)
		return say("too late"), nil
	}), nil)
	p.Member("ana").Type("/go").Unanswered()
	p.Until("the log line", func() bool { return strings.Contains(r.log.String(), "too late to answer") })
	require.Regexp(t, `level=INFO msg="too late to answer" id=\d+ age=\d`, r.log.String())
	require.Contains(t, r.log.String(), `outcome="too late"`)
}

func TestP14UndecodableInteractions(t *testing.T) {
	t.Parallel()
	bothWays(t, workshop, nil, func(t *testing.T, p *platformtest.Platform, app *fakeApp) {
		ana := p.Member("ana")
		for name, sent := range map[string]struct {
			kind int
			data any
		}{
			"no data":                {2, nil},
			"data of a wrong shape":  {2, "words"},
			"options not a list":     {2, map[string]any{"name": "cord", "type": 1, "options": 3}},
			"an option's value odd":  {2, map[string]any{"name": "cord", "type": 1, "options": []any{map[string]any{"name": "width", "type": 3, "value": map[string]any{}}}}},
			"values of a wrong kind": {3, map[string]any{"custom_id": "lf1|0|1|save||", "values": 5}},
		} {
			ex := ana.Wait(ana.Send(sent.kind, sent.data))
			require.Contains(t, ex.Text(), "I could not read that", name)
		}
		require.Empty(t, ana.Wait(ana.Send(4, nil)).Choices, "a completion gets an empty list")
		require.Empty(t, app.requests())

		// Components that nobody knew when this was written.
		strange := []any{
			map[string]any{"type": 99, "custom_id": "new", "value": "thing"},
			map[string]any{"type": 18, "component": map[string]any{"type": 4, "custom_id": "name", "value": "Owl"}},
			map[string]any{"type": 1, "components": []any{map[string]any{"type": 4, "custom_id": "sheet", "value": "rows"}}},
		}
		ex := ana.Wait(ana.Send(5, map[string]any{"custom_id": "lf1|0|1|sheet|new|", "components": strange}))
		require.Equal(t, "name Owl, sheet rows", ex.Text())
	})
	for name, raw := range map[string]string{
		"null": `null`, "nothing": `{}`, "a list": `[]`, "a number": `7`,
		"an empty id":        `{"id":"","token":"t","type":3,"data":{}}`,
		"no token":           `{"id":"12","token":"","type":3,"data":{}}`,
		"a token with slash": `{"id":"12","token":"../../x","type":3,"data":{}}`,
		"an id of words":     `{"id":"../1","token":"t","type":2,"data":{}}`,
		"an unknown kind":    `{"id":"12","token":"t","type":77,"data":{}}`,
		"a kind of words":    `{"id":"12","token":"t","type":"two","data":{}}`,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			r := start(t, p, only(saying("hello")), nil)
			p.SendEvent(0, "INTERACTION_CREATE", json.RawMessage(raw))
			p.Until("the log line", func() bool { return strings.Contains(r.log.String(), "outcome=unreadable") })
			require.Equal(t, "hello", p.Member("ana").Slash("/go").Text(), "and life goes on")
		})
	}
}

func TestP15NumbersWhileTyping(t *testing.T) {
	t.Parallel()
	app := only(nil)
	app.list[0].Options = []reply.Option{{Name: "count", Description: "How many.", Kind: reply.Whole, Min: 0, Max: 9, Suggest: "count"}}
	app.complete = func(_ context.Context, req reply.Request, option, typed string) ([]reply.Choice, error) {
		return []reply.Choice{{Name: fmt.Sprintf("%s=%q, %q", option, typed, req.Options["count"]), Value: "1"}}, nil
	}
	p := standIn(t, platformtest.Options{})
	start(t, p, app, nil)
	ana := p.Member("ana")
	require.Equal(t, `count="", ""`, ana.Autocomplete("/go count:", "count").Text())
	require.Equal(t, `count="1x", "1x"`, ana.Autocomplete("/go count:1x", "count").Text())
	for _, raw := range []string{`5`, `5.0`, `1e400`, `true`, `null`, `"5"`} {
		option := map[string]any{"name": "count", "type": 4, "value": json.RawMessage(raw), "focused": true}
		ex := ana.Wait(ana.Send(4, map[string]any{"id": "1", "name": "go", "type": 1, "options": []any{option}}))
		require.Len(t, ex.Choices, 1, raw)
	}
}

func TestP16MemberOrUser(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	app := only(saying("hello"))
	start(t, p, app, nil)
	ana := p.Member("ana")
	ana.Slash("/go")
	ana.Direct().Slash("/go")
	asked := app.requests()
	require.Equal(t, asked[0].Member, asked[1].Member, "the same person in a server and in private")
	require.Equal(t, p.Guild, asked[0].Community)
	require.Empty(t, asked[1].Community)

	ex := ana.Send(2, map[string]any{"name": "go", "type": 1})
	ana.Wait(ex)
	p.SendEvent(0, "INTERACTION_CREATE", json.RawMessage(`{"id":"77","application_id":"`+p.ApplicationID+`","token":"t","type":2,"data":{"name":"go","type":1}}`))
	p.Until("the nobody", func() bool { return p.Calls(platformtest.RouteCallback) == 4 })
	require.Len(t, app.requests(), 3, "what nobody did is not done")
}

func TestP17HandlersAreCalled(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	r := start(t, p, only(saying("hello")), nil)
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
	require.NotContains(t, r.log.String(), "Invalid handler type")
}

func TestP18NestedOptions(t *testing.T) {
	t.Parallel()
	app := &fakeApp{list: []reply.Command{{Name: "a", Description: "A.", Sub: []reply.Command{{Name: "b", Description: "B.", Sub: []reply.Command{
		{Name: "c", Description: "C.", Options: []reply.Option{{Name: "x", Description: "X."}, {Name: "y", Description: "Y.", Required: true}}},
	}}, {Name: "plain", Description: "P."}}}}, typed: map[string]handler{"a b c": saying("deep"), "a plain": saying("flat")}}
	p := standIn(t, platformtest.Options{})
	start(t, p, app, nil)
	require.Equal(t, "deep", p.Member("ana").Slash("/a b c y:2 x:1").Text())
	require.Equal(t, "flat", p.Member("ana").Slash("/a plain").Text())
	require.Equal(t, "a b c", app.requests()[0].Command)
	require.Equal(t, map[string]string{"x": "1", "y": "2"}, app.requests()[0].Options)
}

func TestP22RegistrationWritesDifferencesOnly(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	app := workshop()
	c, _ := config(p, app)
	b, err := bot.New(c)
	require.NoError(t, err)
	ctx := context.Background()

	r, err := b.Register(ctx, "", true)
	require.NoError(t, err)
	require.Equal(t, bot.Registration{Added: []string{"/cord", "/project", "/knots", `message menu "Size this sheet"`}}, r)
	require.Zero(t, p.CommandWrites(), "a dry run writes nothing")

	r, err = b.Register(ctx, "", false)
	require.NoError(t, err)
	require.True(t, r.Written)
	r, err = b.Register(ctx, "", false)
	require.NoError(t, err)
	require.True(t, r.Same())
	require.Equal(t, 1, p.CommandWrites())

	knots := p.Commands("")[2]
	require.Equal(t, "32", knots["default_member_permissions"])
	require.Equal(t, []any{0.0}, knots["contexts"])
	cord := p.Commands("")[0]
	require.Equal(t, []any{0.0, 1.0, 2.0}, cord["contexts"])
	require.Equal(t, []any{0.0, 1.0}, cord["integration_types"])

	r, err = b.Register(ctx, p.Guild, false)
	require.NoError(t, err)
	require.True(t, r.Written)
	r, err = b.Register(ctx, p.Guild, false)
	require.NoError(t, err)
	require.True(t, r.Same(), "a server's commands compare as well")

	app.list[0].Description = "How much cord?"
	app.list = app.list[:2]
	b, err = bot.New(c)
	require.NoError(t, err)
	r, err = b.Register(ctx, "", false)
	require.NoError(t, err)
	require.Equal(t, bot.Registration{Changed: []string{"/cord"}, Removed: []string{"/knots", `message menu "Size this sheet"`}, Written: true}, r)

	app.list = nil
	b, err = bot.New(c)
	require.NoError(t, err)
	_, err = b.Register(ctx, "", false)
	require.NoError(t, err, "an empty list is a list, not null")
	require.Empty(t, p.Commands(""))
	_, err = b.Register(ctx, "somewhere", false)
	require.ErrorContains(t, err, `the server id "somewhere" is not a number`)
}

func TestP23RetriedUploadIsWhole(t *testing.T) {
	t.Parallel()
	data := []byte(strings.Repeat("cord ", 50_000))
	files := reply.Reply{Blocks: []reply.Block{
		painted("plan.png", data, "The plan"), reply.File{Name: "plan.csv", Data: data, Alt: "The same as a table"},
	}}
	for name, route := range map[string]string{"first answer": platformtest.RouteCallback, "edit": platformtest.RouteEdit} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{})
			if route == platformtest.RouteEdit {
				start(t, p, deferring(p, files), deferSoon)
			} else {
				start(t, p, only(func(context.Context, reply.Request) (reply.Reply, error) { return files, nil }), nil)
			}
			p.Fault(route, 1, platformtest.Status(502))
			ex := p.Member("ana").Slash("/go").Until("the picture", hasFile)
			require.Equal(t, data, ex.File("plan.png").Data)
			require.Equal(t, data, ex.File("plan.csv").Data)
			require.Equal(t, "plan.png", ex.Message.Embeds[0].Image)
		})
	}
}

func TestP24NoIntentsAndNoState(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	start(t, p, only(saying("hello")), nil)
	require.Equal(t, 0, p.Identifies()[0].Intents)
}

func TestP25NobodyIsPinged(t *testing.T) {
	t.Parallel()
	app := only(saying("hello @everyone <@&5> <@6>"))
	p := standIn(t, platformtest.Options{})
	start(t, p, app, nil)
	// The stand-in objects to any message that could ping, ours among them.
	require.Equal(t, `hello \@everyone \<\@&5\> \<\@6\>`, p.Member("ana").Slash("/go").Text())
	p.Member("ana").Press("stale")
	require.Empty(t, p.Violations())
}

func TestConfigIsChecked(t *testing.T) {
	t.Parallel()
	good := bot.Config{App: only(saying("hello")), Token: "t"}
	for want, change := range map[string]func(*bot.Config){
		"no app":                             func(c *bot.Config) { c.App = nil },
		"the gateway needs the bot's token":  func(c *bot.Config) { c.Token = "" },
		"registering commands needs":         func(c *bot.Config) { c.Token, c.HTTP, c.PublicKey = "", ":0", strings.Repeat("ab", 32) },
		`the server id "x" is not a number`:  func(c *bot.Config) { c.Guild = "x" },
		"the public key must be 64":          func(c *bot.Config) { c.HTTP = ":0" },
		`"discord.com" must look like https`: func(c *bot.Config) { c.PlatformURL = "discord.com" },
		"/Big: the name must be":             func(c *bot.Config) { c.App = &fakeApp{list: []reply.Command{{Name: "Big", Description: "x"}}} },
	} {
		c := good
		change(&c)
		_, err := bot.New(c)
		var exit *bot.ExitError
		require.ErrorAs(t, err, &exit, want)
		require.Equal(t, bot.ExitConfig, exit.ExitCode())
		require.ErrorContains(t, err, want)
	}
	_, err := bot.New(good)
	require.NoError(t, err)
}
