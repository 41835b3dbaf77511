//go:build unix

package main

import (
	"context"
	"flag"
	"fmt"
	"log/slog"
	"runtime"
	"slices"
	"sync"
	"syscall"
	"testing"
	"time"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands"
	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// BenchmarkCordWithPicture asks for hangings with their pictures at a steady rate,
// whether or not the answers keep up, as a community does; the last rate is beyond
// what two processors can paint. It reports the 99th percentile of the time until
// the answer was there (p99-ms) and until the platform was told at least to wait
// (ack-p99-ms, which must stay under 3000), the shares of answers that were
// deferred and that never came, the answers a second, and the processor time for
// one, the stand-in's included. Ask for a count: -benchtime=300x.
func BenchmarkCordWithPicture(b *testing.B) {
	for _, rate := range []int{5, 10, 20, 50} {
		b.Run(fmt.Sprintf("%d-per-second", rate), func(b *testing.B) {
			s := raiseOn(b, platformtest.Start(lenient{b}, platformtest.Options{Deadline: 3 * time.Second, Patience: 70 * time.Second}), *concurrency, bot.Timing{})
			s.app.off = true
			s.Member("Ana").Slash("/cord width:40cm drop:70cm")
			b.ResetTimer()
			before, began := processor(b), time.Now()
			answers := make([]*platformtest.Exchange, b.N)
			var waiting sync.WaitGroup
			ticks := time.NewTicker(time.Second / time.Duration(rate))
			defer ticks.Stop()
			for i := range b.N {
				<-ticks.C
				member := s.Member(fmt.Sprint("member ", i%100))
				sent := member.Type(fmt.Sprintf("/cord width:%dcm drop:%dcm", 30+i%30, 60+i%25))
				waiting.Go(func() { answers[i] = member.Wait(sent) })
			}
			waiting.Wait()
			b.StopTimer()
			spent, took := processor(b)-before, time.Since(began)
			report(b, answers)
			b.ReportMetric(float64(b.N)/took.Seconds(), "answers/s")
			b.ReportMetric(spent.Seconds()*1000/float64(b.N), "processor-ms")
			b.ReportMetric(0, "ns/op")
		})
	}
}

var concurrency = flag.Int("concurrency", 0, "requests that the bot of BenchmarkCordWithPicture works on at once; 0 is its default")

// lenient is a benchmark that goes on when an answer stays out, which is counted.
type lenient struct{ testing.TB }

func (lenient) Errorf(string, ...any) {}

func (lenient) Fatalf(string, ...any) { runtime.Goexit() }

func report(b *testing.B, answers []*platformtest.Exchange) {
	var took, acknowledged []time.Duration
	deferred, lost := 0, 0
	for _, ex := range answers {
		if ex == nil || ex.Message == nil || len(ex.Message.Files) == 0 {
			lost++
			continue
		}
		took, acknowledged = append(took, ex.Took), append(acknowledged, ex.Acknowledged)
		if ex.Deferred {
			deferred++
		}
	}
	percent := 100 / float64(len(answers))
	b.ReportMetric(float64(lost)*percent, "lost-%")
	b.ReportMetric(float64(deferred)*percent, "deferred-%")
	if len(took) > 0 {
		b.ReportMetric(p99(took), "p99-ms")
		b.ReportMetric(p99(acknowledged), "ack-p99-ms")
	}
}

func p99(times []time.Duration) float64 {
	slices.Sort(times)
	return float64(times[len(times)*99/100].Microseconds()) / 1000
}

// processor is the processor time that this process has spent.
func processor(b *testing.B) time.Duration {
	var use syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &use))
	return time.Duration(use.Utime.Nano() + use.Stime.Nano())
}

// BenchmarkConvert compares what one question without a picture costs with a bot
// of a constant answer, 16 members asking as fast as they are answered and the two
// taking turns. How that bot compares with a bare one of the platform's library
// is measured in package bot.
func BenchmarkConvert(b *testing.B) {
	real := raise(b)
	real.app.off = true
	still := platformtest.Start(b, platformtest.Options{})
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() {
		ended <- bot.Run(ctx, bot.Config{App: constant{real.app.App}, Token: still.Token, PlatformURL: still.URL, Log: slog.New(slog.DiscardHandler)})
	}()
	b.Cleanup(func() {
		stop()
		require.NoError(b, <-ended)
	})
	still.WaitReady(1)

	var spent [2]time.Duration
	var times [2][]time.Duration
	const turn = 800
	b.ResetTimer()
	for done := 0; done < b.N; done += turn {
		for i, p := range []*platformtest.Platform{still, real.Platform} {
			began := time.Now()
			times[i] = append(times[i], converse(p, min(turn, b.N-done))...)
			spent[i] += time.Since(began)
		}
	}
	b.StopTimer()
	var rates [2]float64
	for i, name := range []string{"constant", "convert"} {
		rates[i] = float64(len(times[i])) / spent[i].Seconds()
		b.ReportMetric(rates[i], name+"/s")
		b.ReportMetric(p99(times[i]), name+"-p99-ms")
	}
	b.ReportMetric(rates[1]/rates[0], "ratio")
	b.ReportMetric(0, "ns/op")
}

// constant has the commands and answers none of them.
type constant struct{ *commands.App }

func (constant) Do(context.Context, reply.Request) (reply.Reply, error) {
	return reply.Reply{Blocks: []reply.Block{reply.Text("constant")}}, nil
}

// converse has 16 members ask n times, and returns how long each answer took.
func converse(p *platformtest.Platform, n int) []time.Duration {
	const members = 16
	times := make([][]time.Duration, members)
	var group sync.WaitGroup
	for m := range members {
		group.Go(func() {
			member := p.Member(fmt.Sprint("member ", m))
			for range (n + members - 1) / members {
				ex := member.Slash("/convert what:3/16 in")
				times[m] = append(times[m], ex.Took)
				ex.Forget()
			}
		})
	}
	group.Wait()
	return slices.Concat(times...)
}
