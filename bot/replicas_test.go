package bot_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot"
	"larkfold/bot/platformtest"
	"larkfold/commands/reply"
)

// claims are what replicas share.
type claims struct {
	mu   sync.Mutex
	seen map[string]bool
	turn sync.Mutex
}

func (c *claims) first(_ context.Context, member, interaction string) (bool, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	key := member + " " + interaction
	first := !c.seen[key]
	c.seen[key] = true
	return first, nil
}

func (c *claims) alone(ctx context.Context, _ string, do func(context.Context) error) error {
	c.turn.Lock()
	defer c.turn.Unlock()
	return do(ctx)
}

// Two replicas start at once and get the same interaction: the commands are
// written once, and what others see is posted once.
func TestTwoReplicas(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	shared := &claims{seen: map[string]bool{}}
	both := make(chan struct{}) // have it
	public := func(context.Context, reply.Request) (reply.Reply, error) {
		<-both
		r := say("for all")
		r.Public = true
		return r, nil
	}
	var addresses []string
	var replicas []*running
	for _, name := range []string{"one", "two"} {
		address := freeAddress(t)
		addresses = append(addresses, address)
		replicas = append(replicas, launch(t, p, only(public), func(c *bot.Config) {
			c.HTTP, c.PublicKey = address, p.PublicKey
			deferSoon(c)
			c.Replicas = bot.Replicas{Name: name, First: shared.first, Alone: shared.alone}
		}))
	}
	for _, address := range addresses {
		p.Until(address, func() bool {
			resp, err := http.Get("http://" + address + "/readyz")
			return err == nil && resp.Body.Close() == nil && resp.StatusCode == http.StatusOK
		})
	}
	require.Equal(t, 1, p.CommandWrites(), "one registers, the other finds it done")

	p.Endpoint("http://" + addresses[0] + "/interactions")
	ana := p.Member("ana")
	data := map[string]any{"id": "1", "name": "go", "type": 1}
	ex := ana.Send(2, data)
	p.Endpoint("http://" + addresses[1] + "/interactions")
	ana.Again(ex)
	close(both) // each has said that its answer comes later
	for _, r := range replicas {
		p.Until("the answer of both", func() bool { return strings.Contains(r.log.String(), "outcome=answered") })
	}
	ex = ana.Wait(ex)
	require.Equal(t, 2, ex.Edits)
	require.Len(t, ex.FollowUps, 1, "posted once")
	require.Len(t, p.Violations(), 1, "the platform takes one acknowledgement")
}

// A replica that is told to stop says so, goes on answering, and then is gone.
func TestDraining(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	address, status := freeAddress(t), freeAddress(t)
	const drain = 5 * time.Second
	r := launch(t, p, only(saying("hello")), func(c *bot.Config) {
		c.HTTP, c.Status, c.PublicKey = address, status, p.PublicKey
		c.Replicas = bot.Replicas{Name: "one", Drain: drain}
	})
	ready := func() bool { return bot.Ready(t.Context(), status) == nil }
	p.Until("ready", ready)

	to, err := url.Parse("http://" + address)
	require.NoError(t, err)
	var closes bool
	balancer := httputil.NewSingleHostReverseProxy(to)
	balancer.ModifyResponse = func(r *http.Response) error { closes = r.Close; return nil }
	front := serveOn(t, balancer)
	p.Endpoint(front + "/interactions")
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text())
	require.False(t, closes)

	began := time.Now()
	r.stop()
	p.Until("not ready", func() bool { return !ready() })
	require.Equal(t, "hello", p.Member("ana").Slash("/go").Text(), "it still answers")
	require.True(t, closes, "and wants no more on this connection")
	require.NoError(t, r.wait())
	require.GreaterOrEqual(t, time.Since(began), drain)
	_, err = http.Get("http://" + address + "/readyz")
	require.Error(t, err)
}

func TestMetricsNameTheReplica(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	c, _ := config(p, only(saying("hello")))
	c.Replicas.Name = "one"
	b, err := bot.New(c)
	require.NoError(t, err)
	named := 0
	for _, line := range strings.Split(scrape(t, b), "\n") {
		if line != "" && !strings.HasPrefix(line, "#") {
			require.Contains(t, line, `replica="one"`)
			named++
		}
	}
	require.Greater(t, named, 20)
}

func serveOn(t *testing.T, handler http.Handler) string {
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	return server.URL
}

func scrape(t *testing.T, b *bot.Bot) string {
	w := httptest.NewRecorder()
	b.StatusHandler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	require.Equal(t, http.StatusOK, w.Code)
	return w.Body.String()
}
