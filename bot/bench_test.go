package bot_test

import (
	"context"
	"flag"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands/reply"

	"github.com/bwmarrin/discordgo"
	"github.com/stretchr/testify/require"
)

var soak = flag.Int("soak", 0, "interactions for TestMemoryAfterManyInteractions; 0 skips it")

// BenchmarkInteractions compares this bot with a bare one of the same library
// that answers a constant, each on a stand-in of its own, taking turns so that
// a busy machine slows both: the ratio is what counts, because most of the time
// goes into the loopback. It reports interactions a second and the 99th
// percentile of the time until the answer was taken, with 16 members at once.
func BenchmarkInteractions(b *testing.B) {
	simple, full := platformtest.Start(b, platformtest.Options{}), platformtest.Start(b, platformtest.Options{})
	session := bare(b, simple)
	defer func() { _ = session.Close() }()
	simple.WaitReady(1)
	stop := quiet(b, full)
	defer stop()

	var times [2][]time.Duration
	var spent [2]time.Duration
	b.ResetTimer()
	const turn = 800
	for done := 0; done < b.N; done += turn {
		for i, p := range []*platformtest.Platform{simple, full} {
			began := time.Now()
			times[i] = append(times[i], pump(p, min(turn, b.N-done))...)
			spent[i] += time.Since(began)
		}
	}
	b.StopTimer()
	var rates [2]float64
	for i, name := range []string{"bare", "larkfold"} {
		slices.Sort(times[i])
		rates[i] = float64(len(times[i])) / spent[i].Seconds()
		b.ReportMetric(rates[i], name+"/s")
		b.ReportMetric(float64(times[i][len(times[i])*99/100].Microseconds())/1000, name+"-p99-ms")
	}
	b.ReportMetric(rates[1]/rates[0], "ratio")
	b.ReportMetric(0, "ns/op")
}

// constant is an app that answers a constant and keeps nothing.
type constant struct{}

func (constant) Commands() []reply.Command {
	return []reply.Command{{Name: "go", Description: "Goes."}}
}

func (constant) Do(context.Context, reply.Request) (reply.Reply, error) {
	return say("constant"), nil
}

func (constant) Complete(context.Context, reply.Request, string, string) ([]reply.Choice, error) {
	return nil, nil
}

// quiet runs a bot that keeps no log.
func quiet(tb testing.TB, p *platformtest.Platform) (stop func()) {
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() {
		done <- bot.Run(ctx, bot.Config{
			App: constant{}, Token: p.Token, PlatformURL: p.URL, Log: slog.New(slog.DiscardHandler),
		})
	}()
	p.WaitReady(1)
	return func() {
		cancel()
		require.NoError(tb, <-done)
	}
}

// bare is the shortest bot that the library allows, on the stand-in.
func bare(tb testing.TB, p *platformtest.Platform) *discordgo.Session {
	session, err := discordgo.New("Bot " + p.Token)
	require.NoError(tb, err)
	base, err := url.Parse(p.URL)
	require.NoError(tb, err)
	transport := http.DefaultTransport.(*http.Transport).Clone()
	transport.MaxIdleConnsPerHost = 64 // as ours
	session.Client.Transport = toLoopback{base, transport}
	session.Identify.Intents = discordgo.IntentsNone
	session.StateEnabled = false
	session.LogLevel = -1
	session.AddHandler(func(s *discordgo.Session, i *discordgo.InteractionCreate) {
		err := s.InteractionRespond(i.Interaction, &discordgo.InteractionResponse{
			Type: discordgo.InteractionResponseChannelMessageWithSource,
			Data: &discordgo.InteractionResponseData{Content: "constant", Flags: discordgo.MessageFlagsEphemeral,
				AllowedMentions: &discordgo.MessageAllowedMentions{Parse: []discordgo.AllowedMentionType{}}},
		})
		if err != nil {
			tb.Error(err)
		}
	})
	require.NoError(tb, session.Open())
	return session
}

type toLoopback struct {
	base *url.URL
	next http.RoundTripper
}

func (l toLoopback) RoundTrip(r *http.Request) (*http.Response, error) {
	r = r.Clone(r.Context())
	r.URL.Scheme, r.URL.Host = l.base.Scheme, l.base.Host
	return l.next.RoundTrip(r)
}

// pump has 16 members ask n things, and returns how long each answer took.
func pump(p *platformtest.Platform, n int) []time.Duration {
	const members = 16
	times := make([][]time.Duration, members)
	var group sync.WaitGroup
	for m := range members {
		group.Go(func() {
			member := p.Member(fmt.Sprint("member ", m))
			for range (n + members - 1) / members {
				ex := member.Wait(member.Send(2, map[string]any{"id": "1", "name": "go", "type": 1}))
				times[m] = append(times[m], ex.Took)
				ex.Forget()
			}
		})
	}
	group.Wait()
	return slices.Concat(times...)
}

// TestMemoryAfterManyInteractions shows what is left on the heap after many
// interactions, for this bot and for a bare one: -soak=100000.
func TestMemoryAfterManyInteractions(t *testing.T) {
	if *soak == 0 {
		t.Skip("give -soak=N to run it")
	}
	heap := func() float64 {
		runtime.GC()
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return float64(m.HeapAlloc) / (1 << 20)
	}
	for _, kind := range []string{"bare", "larkfold"} {
		p := platformtest.Start(t, platformtest.Options{})
		var stop func()
		if kind == "bare" {
			session := bare(t, p)
			stop = func() { _ = session.Close() }
			p.WaitReady(1)
		} else {
			stop = quiet(t, p)
		}
		pump(p, 2000)
		before := heap()
		for part := range 4 {
			pump(p, *soak/4)
			t.Logf("%s: %7d interactions, heap %+.2f MiB", kind, (part+1)**soak/4, heap()-before)
		}
		stop()
	}
}
