package bot_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// slowly is a picture that is drawn when release is closed.
func slowly(key string, release <-chan struct{}) reply.Picture {
	return reply.Picture{Name: key + ".png", Key: key, Draw: func() (reply.Image, error) {
		<-release
		return reply.Image{PNG: []byte("\x89PNG " + key), Alt: "Picture " + key}, nil
	}}
}

func hasFile(ex *platformtest.Exchange) bool { return ex.Message != nil && len(ex.Message.Files) > 0 }

func TestWordsComeBeforeThePicture(t *testing.T) {
	t.Parallel()
	pictured := func() *fakeApp {
		release := make(chan struct{})
		app := only(func(context.Context, reply.Request) (reply.Reply, error) {
			return reply.Reply{Blocks: []reply.Block{reply.Text("words"), slowly("k", release), reply.Caution("careful")}}, nil
		})
		app.release = release
		return app
	}
	bothWays(t, pictured, nil, func(t *testing.T, p *platformtest.Platform, app *fakeApp) {
		ana := p.Member("ana")
		ex := ana.Slash("/go")
		require.False(t, ex.Deferred)
		require.False(t, hasFile(ex))
		require.Contains(t, ex.Text(), "words")
		require.Contains(t, ex.Text(), "careful")
		require.True(t, ex.Message.Private)
		close(app.release)
		ex = ex.Until("the picture", hasFile)
		require.Equal(t, "Picture k", ex.File("k.png").Alt)
		require.Equal(t, "k.png", ex.Message.Embeds[0].Image)
		require.Contains(t, ex.Text(), "words")
		require.Contains(t, ex.Text(), "careful")
		require.True(t, ex.Message.Private)
		require.Equal(t, 1, ex.Edits)
		// It is kept now. Over the gateway it travels with the words.
		ex = ana.Slash("/go").Until("the picture", hasFile)
		require.LessOrEqual(t, ex.Edits, map[bool]int{true: 1, false: 0}[strings.HasSuffix(t.Name(), "http")])
	})
}

func TestThePictureOfAPublicPostIsEditedIn(t *testing.T) {
	t.Parallel()
	for name, slow := range map[string]bool{"posted at once": false, "posted after a deferral": true} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			release, words := make(chan struct{}), make(chan struct{})
			app := only(func(context.Context, reply.Request) (reply.Reply, error) {
				if slow {
					<-words
				}
				return reply.Reply{Public: true, Blocks: []reply.Block{reply.Text("look"), slowly("k", release)}}, nil
			})
			p := standIn(t, platformtest.Options{})
			start(t, p, app, func(c *bot.Config) {
				if slow {
					deferSoon(c)
				}
			})
			ex := p.Member("ana").Type("/go")
			post := func(ex *platformtest.Exchange) *platformtest.Message {
				if !slow {
					return ex.Message
				}
				if len(ex.FollowUps) == 0 {
					return nil
				}
				return ex.FollowUps[0]
			}
			if slow {
				ex.Until("a deferral", func(ex *platformtest.Exchange) bool { return ex.Deferred })
				close(words)
			}
			ex = ex.Until("the words", func(ex *platformtest.Exchange) bool { return post(ex) != nil })
			require.Equal(t, "look", post(ex).Text())
			require.False(t, post(ex).Private)
			require.Empty(t, post(ex).Files)
			close(release)
			ex = ex.Until("the picture", func(ex *platformtest.Exchange) bool { return len(post(ex).Files) == 1 })
			require.Equal(t, "look", post(ex).Text())
			require.False(t, post(ex).Private)
			require.LessOrEqual(t, len(ex.FollowUps), 1)
		})
	}
}

func TestAPictureThatCannotBeDrawnSaysSo(t *testing.T) {
	t.Parallel()
	bothWays(t, func() *fakeApp {
		return only(func(context.Context, reply.Request) (reply.Reply, error) {
			return reply.Reply{Blocks: []reply.Block{reply.Text("words"), reply.Picture{Name: "a.png", Draw: func() (reply.Image, error) { return reply.Image{}, errors.New("no ink") }}}}, nil
		})
	}, nil, func(t *testing.T, p *platformtest.Platform, app *fakeApp) {
		ex := p.Member("ana").Slash("/go").Until("the sentence", func(ex *platformtest.Exchange) bool {
			return strings.Contains(ex.Text(), "could not be drawn")
		})
		require.Contains(t, ex.Text(), "words")
		require.NotContains(t, ex.Text(), "no ink")
	})
}

// TestAPictureThatWouldTakeLongIsAButton: with the easel behind, an answer offers to
// draw its picture later.
func TestAPictureThatWouldTakeLongIsAButton(t *testing.T) {
	t.Parallel()
	release := make(chan struct{})
	asks := map[string]int{}
	var mu sync.Mutex
	app := &fakeApp{list: []reply.Command{
		{Name: "go", Description: "Goes.", Options: []reply.Option{{Name: "key", Description: "K.", Kind: reply.Words}}},
	}, typed: map[string]handler{"go": func(_ context.Context, req reply.Request) (reply.Reply, error) {
		mu.Lock()
		asks[req.ID]++
		mu.Unlock()
		p := slowly(req.Options["key"], release)
		p.Size = 20 << 20
		return reply.Reply{Blocks: []reply.Block{reply.Text("words of " + req.Options["key"]), p}}, nil
	}}}
	p := standIn(t, platformtest.Options{})
	start(t, p, app, nil)
	ana, ben := p.Member("ana"), p.Member("ben")
	require.Empty(t, ana.Slash("/go key:one").Message.Buttons)
	ex := ben.Slash("/go key:two") // there is no room for two of that size
	require.Equal(t, "words of two", ex.Text())
	require.Len(t, ex.Message.Buttons, 1)
	require.Equal(t, "Draw it", ex.Message.Buttons[0].Label)

	again := ben.Click(ex, "Draw it")
	require.Contains(t, again.Text(), "try again in", "the easel is still behind")
	require.Contains(t, ana.Press(ex.Message.Buttons[0].ID).Text(), "no longer know", "the answer was private")
	close(release)
	ana.Slash("/go key:one").Until("the picture", hasFile)
	drawn := ben.Click(ex, "Draw it")
	require.Equal(t, "Picture two", drawn.File("two.png").Alt)
	require.True(t, drawn.Message.Private)
	mu.Lock()
	defer mu.Unlock()
	require.Equal(t, 3, asks[ex.ID], "it is asked again as the same request")
}

// waysIn are the ways to run a bot.
func waysIn() map[string]func(*testing.T, *platformtest.Platform, bot.App, func(*bot.Config)) {
	return map[string]func(*testing.T, *platformtest.Platform, bot.App, func(*bot.Config)){
		"gateway": func(t *testing.T, p *platformtest.Platform, app bot.App, change func(*bot.Config)) {
			start(t, p, app, change)
		},
		"http": func(t *testing.T, p *platformtest.Platform, app bot.App, change func(*bot.Config)) {
			startHTTP(t, p, app, change)
		},
	}
}

func TestWhatArrivesLateIsAcknowledgedBeforeTheWork(t *testing.T) {
	t.Parallel()
	for name, begin := range waysIn() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := standIn(t, platformtest.Options{Deadline: 2 * time.Minute})
			begin(t, p, only(saying("at once")), func(c *bot.Config) {
				c.Timing.Acknowledge, c.Timing.FirstAnswer = time.Minute, 2*time.Minute // forty times as slow as the platform
			})
			ana := p.Member("ana")
			late := ana.Wait(ana.Late(100 * time.Second).Type("/go"))
			require.True(t, late.Deferred, "although the answer was there at once")
			require.Equal(t, "at once", late.Text())
			require.False(t, ana.Slash("/go").Deferred, "what comes in time is answered at once")
		})
	}
}

// TestHeavyWorkHoldsUpNobody: one member's long work is done at the bench, one after
// the other, and the desk goes on.
func TestHeavyWorkHoldsUpNobody(t *testing.T) {
	t.Parallel()
	release := make(chan struct{})
	app := &fakeApp{list: []reply.Command{{Name: "go", Description: "Goes."}, {Name: "heavy", Description: "Takes long."}}, typed: map[string]handler{
		"go": saying("quick"),
		"heavy": func(ctx context.Context, _ reply.Request) (reply.Reply, error) {
			if err := reply.Turn(ctx, reply.Work{Amount: 1000, Bytes: 1 << 20}); err != nil {
				return reply.Reply{}, fmt.Errorf("no turn: %w", err)
			}
			if err := reply.Turn(ctx, reply.Work{Amount: 1, Bytes: 2 << 20}); err != nil { // it turns out to hold more
				return reply.Reply{}, fmt.Errorf("no larger turn: %w", err)
			}
			<-release
			return say("done"), nil
		},
	}}
	p := standIn(t, platformtest.Options{})
	start(t, p, app, func(c *bot.Config) { c.Concurrency, c.Timing.Acknowledge = 1, 150*time.Millisecond })
	ana, ben := p.Member("ana"), p.Member("ben")
	var heavy []*platformtest.Exchange
	for range 6 {
		heavy = append(heavy, ana.Type("/heavy"))
	}
	for range 5 {
		require.Equal(t, "quick", ben.Slash("/go").Text())
	}
	p.Until("two are in hand, the others are turned away", func() bool {
		told := 0
		for _, ex := range heavy {
			if strings.Contains(ex.Look().Text(), "One thing after the other") {
				told++
			}
		}
		return told == 4
	})
	close(release)
	done, turned := 0, 0
	for _, ex := range heavy {
		switch text := ana.Wait(ex).Text(); {
		case text == "done":
			done++
		case strings.Contains(text, "One thing after the other"):
			turned++
		}
	}
	require.Equal(t, []int{2, 4}, []int{done, turned})
}

// TestFirstAnswersOutlastFaults: of a hundred first answers each way, with three in
// ten tries failing, none is lost that the platform would still have taken.
func TestFirstAnswersOutlastFaults(t *testing.T) {
	t.Parallel()
	app := only(func(context.Context, reply.Request) (reply.Reply, error) {
		return reply.Reply{Blocks: []reply.Block{reply.Text("words"), painted("a.png", []byte("x"), "A")}}, nil
	})
	for name, begin := range waysIn() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			const deadline = 20 * time.Second // slower than the platform, for slow machines
			p := standIn(t, platformtest.Options{Deadline: deadline, Patience: 2 * time.Minute})
			begin(t, p, app, func(c *bot.Config) {
				c.Timing.Acknowledge, c.Timing.FirstAnswer, c.Timing.Edit = deadline/2, deadline, 3*deadline
			})
			random := rand.New(rand.NewPCG(7, 7))
			faults := []platformtest.Fault{
				platformtest.Status(http.StatusBadGateway), platformtest.RateLimit(100 * time.Millisecond), platformtest.RateLimitPage(),
			}
			for _, route := range []string{platformtest.RouteCallback, platformtest.RouteEdit} {
				for n := range 500 {
					fault := platformtest.Right()
					switch {
					case n%50 == 49: // which costs a fourth of the time that there is
						fault = platformtest.Hang(time.Minute)
					case random.IntN(10) < 3:
						fault = faults[random.IntN(len(faults))]
					}
					p.Fault(route, 1, fault)
				}
			}
			var asked sync.WaitGroup
			var answered atomic.Int32
			for m := range 20 {
				asked.Go(func() {
					member := p.Member(fmt.Sprint(m))
					for range 5 {
						member.Slash("/go").Until("the picture", hasFile).Forget() // Slash fails for one that is lost
						answered.Add(1)
					}
				})
			}
			asked.Wait()
			require.EqualValues(t, 100, answered.Load())
		})
	}
}

func TestCommandsAreRegisteredWhereNoneCanBeRead(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	p.Fault(platformtest.RouteCommands, 1, platformtest.Status(http.StatusNotFound))
	start(t, p, only(saying("hello")), nil)
	require.Equal(t, 1, p.CommandWrites())
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
}

// TestFormsDoNotComplain: the library does not know what a form is made of, and says
// so for each; that is no warning.
func TestFormsDoNotComplain(t *testing.T) {
	t.Parallel()
	app := only(func(context.Context, reply.Request) (reply.Reply, error) {
		return reply.Reply{Blocks: []reply.Block{reply.Form{Title: "Form", Do: reply.Action{Name: "form", Version: 1}, Fields: []reply.Field{{Name: "a", Label: "A"}}}}}, nil
	})
	app.presses["form"] = func(context.Context, reply.Request) (reply.Reply, error) { return say("thanks"), nil }
	p := standIn(t, platformtest.Options{})
	r := start(t, p, app, nil)
	ana := p.Member("ana")
	require.Equal(t, "thanks", ana.Submit(ana.Slash("/go"), map[string]string{"a": "x"}).Text())
	require.NotRegexp(t, "level=(WARN|ERROR).*unknown component", r.log.String())
}
