package bot_test

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
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

func TestHTTPRefusesWhatIsNotThePlatforms(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	app := only(saying("hello"))
	startHTTP(t, p, app, nil)
	ping := []byte(`{"id":"1","application_id":"` + p.ApplicationID + `","type":1,"token":"t"}`)
	now := time.Now()

	status, body := p.Post(ping, now, nil)
	require.Equal(t, http.StatusOK, status)
	require.JSONEq(t, `{"type":1}`, string(body))

	set := func(key, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(key, value) }
	}
	for name, spoil := range map[string]func(*http.Request){
		"no signature":           func(r *http.Request) { r.Header.Del("X-Signature-Ed25519") },
		"no timestamp":           func(r *http.Request) { r.Header.Del("X-Signature-Timestamp") },
		"signature not hex":      set("X-Signature-Ed25519", strings.Repeat("zz", 64)),
		"signature too short":    set("X-Signature-Ed25519", "abcd"),
		"signature of nothing":   set("X-Signature-Ed25519", hex.EncodeToString(make([]byte, 64))),
		"timestamp not a number": set("X-Signature-Timestamp", "now"),
		"another timestamp":      set("X-Signature-Timestamp", "1700000000"),
		"another body":           func(r *http.Request) { r.Body = io.NopCloser(strings.NewReader(`{"type":1} `)); r.ContentLength = 11 },
	} {
		status, _ := p.Post(ping, now, spoil)
		require.Equal(t, http.StatusUnauthorized, status, name)
	}
	for _, age := range []time.Duration{-time.Hour, time.Hour, -6 * time.Minute} {
		status, body := p.Post(ping, now.Add(age), nil)
		require.Equal(t, http.StatusUnauthorized, status)
		require.Contains(t, string(body), "stale")
	}
	status, _ = p.Post([]byte(`{"type":1,"pad":"`+strings.Repeat("x", 1<<20)+`"}`), now, nil)
	require.Equal(t, http.StatusRequestEntityTooLarge, status)

	for name, raw := range map[string]string{
		"no JSON": `{`, "null": `null`, "nothing": `{}`, "a list": `[1]`, "no token": `{"id":"1","type":2,"data":{"name":"go"}}`,
	} {
		status, _ := p.Post([]byte(raw), now, nil)
		require.Equal(t, http.StatusBadRequest, status, name)
	}
	status, _ = p.Post([]byte(`{"id":"44","application_id":"5","token":"t","type":2,"data":{"name":"go","type":1},"user":{"id":"6"}}`), now, nil)
	require.Equal(t, http.StatusBadRequest, status, "for another application")
	require.Empty(t, app.requests())
}

func TestHTTPReplayIsRefused(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	app := only(saying("hello"))
	startHTTP(t, p, app, nil)
	raw := []byte(`{"id":"45","application_id":"` + p.ApplicationID + `","token":"t","type":2,"data":{"name":"go","type":1},"user":{"id":"6"}}`)
	now := time.Now()
	status, body := p.Post(raw, now, nil)
	require.Equal(t, http.StatusOK, status)
	var answer struct {
		Type int
		Data struct {
			Embeds []struct{ Description string }
		}
	}
	require.NoError(t, json.Unmarshal(body, &answer))
	require.Equal(t, 4, answer.Type)
	require.Equal(t, "hello", answer.Data.Embeds[0].Description)
	for range 3 {
		status, _ = p.Post(raw, now, nil)
		require.Equal(t, http.StatusConflict, status)
	}
	require.Len(t, app.requests(), 1)
}

func TestHTTPAnswerGoesIntoTheResponse(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	answer := reply.Reply{Blocks: []reply.Block{reply.Text("words"), painted("a.png", []byte("x"), "A")}}
	startHTTP(t, p, only(func(context.Context, reply.Request) (reply.Reply, error) { return answer, nil }), nil)
	ana := p.Member("ana")
	p.Fault(platformtest.RouteEdit, 2, platformtest.Status(http.StatusBadGateway))
	ex := ana.Send(2, map[string]any{"name": "go", "type": 1})
	require.Equal(t, http.StatusOK, ex.HTTPStatus)
	require.Equal(t, "words", ana.Wait(ex).Text())
	ex = ex.Until("the picture", func(ex *platformtest.Exchange) bool { return ex.File("a.png") != nil })
	require.Equal(t, "A", ex.File("a.png").Alt)
	require.Equal(t, "words", ex.Text())

	answer.Blocks = append(answer.Blocks, reply.File{Name: "a.txt", Data: []byte("x"), Alt: "B"})
	ex = ana.Send(2, map[string]any{"name": "go", "type": 1})
	require.Equal(t, http.StatusOK, ex.HTTPStatus)
	ex = ana.Wait(ex)
	require.True(t, ex.Deferred, "a file cannot go into the response")
	require.Equal(t, "B", ex.File("a.txt").Alt)
	require.Zero(t, p.Calls(platformtest.RouteCallback))
}

func TestHTTPEditThatOvertakesTheDeferralIsTriedAgain(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	startHTTP(t, p, deferring(p, say("at last")), deferSoon)
	p.Fault(platformtest.RouteEdit, 2, platformtest.NotYet())
	ex := p.Member("ana").Slash("/go")
	require.True(t, ex.Deferred)
	require.Equal(t, "at last", ex.Text())
}

func TestHTTPRunsAndStops(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	interactions, status := freeAddress(t), freeAddress(t)
	turns := make(chan struct{}, 1)
	app := only(func(context.Context, reply.Request) (reply.Reply, error) {
		<-turns
		return say("at last"), nil
	})
	r := launch(t, p, app, func(c *bot.Config) {
		c.HTTP, c.Status, c.PublicKey = interactions, status, p.PublicKey
	})
	get := func(address, path string) (int, string) {
		resp, err := http.Get("http://" + address + path)
		if err != nil {
			return 0, err.Error()
		}
		defer func() { _ = resp.Body.Close() }()
		body, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		return resp.StatusCode, string(body)
	}
	p.Until("both listeners", func() bool {
		a, _ := get(interactions, "/readyz")
		b, _ := get(status, "/healthz")
		return a == http.StatusOK && b == http.StatusOK
	})
	p.Endpoint("http://" + interactions + "/interactions")
	turns <- struct{}{}
	require.Equal(t, "at last", p.Member("ana").Slash("/go").Text())
	require.Zero(t, p.Dials(), "no gateway at all")

	code, _ := get(interactions, "/metrics")
	require.Equal(t, http.StatusNotFound, code, "metrics are not for the public address")
	code, _ = get(interactions, "/interactions")
	require.Equal(t, http.StatusMethodNotAllowed, code)
	p.Until("the metric", func() bool {
		_, metrics := get(status, "/metrics")
		return strings.Contains(metrics, `larkfold_interactions_total{kind="command",outcome="answered"} 1`) &&
			strings.Contains(metrics, `larkfold_first_answer_seconds_count{command="go",kind="command",lane="desk"} 1`) &&
			strings.Contains(metrics, `larkfold_interaction_seconds_count{command="go",kind="command"} 1`)
	})

	asked := len(app.requests())
	running := make(chan *platformtest.Exchange, 1)
	go func() { running <- p.Member("ana").Type("/go") }()
	p.Until("the request", func() bool { return len(app.requests()) > asked })
	r.stop()
	p.Until("the end of readiness", func() bool {
		code, _ := get(status, "/readyz")
		return code == http.StatusServiceUnavailable
	})
	turns <- struct{}{}
	require.Equal(t, "at last", p.Member("ana").Wait(<-running).Text(), "running work is finished")
	require.NoError(t, r.wait())
}

func TestGatewayReadiness(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	c, log := config(p, only(saying("hello")))
	var mu sync.Mutex
	var told []string
	late := false // what was told came after the library noticed, which takes it a second
	c.Tell = func(answering bool, what string) {
		mu.Lock()
		defer mu.Unlock()
		late = late || strings.Contains(log.String(), "gateway connection lost")
		told = append(told, fmt.Sprintf("%t: %s", answering, what))
	}
	b, err := bot.New(c)
	require.NoError(t, err)
	ask := func(handler http.Handler) (int, string) {
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/readyz", nil))
		return w.Code, strings.TrimSpace(w.Body.String())
	}
	code := func() int {
		code, _ := ask(b.StatusHandler())
		return code
	}
	require.Equal(t, http.StatusServiceUnavailable, code())
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- b.Run(ctx) }()
	p.Until("ready", func() bool { return code() == http.StatusOK })

	// The gateway goes, and every new connection stays silent.
	p.NextConnections(p.SilentHello(), p.SilentHello(), p.SilentHello())
	p.Drop()
	p.Until("not ready", func() bool { return code() == http.StatusServiceUnavailable })
	mu.Lock()
	require.False(t, late)
	mu.Unlock()
	_, why := ask(b.StatusHandler())
	require.Equal(t, "0 of 1 gateway connections are up", why)
	_, why = ask(b.Handler())
	require.Equal(t, "not ready", why, "the endpoint is for everybody")
	stop()
	require.NoError(t, <-done)
	require.Equal(t, http.StatusServiceUnavailable, code())
	require.Equal(t, []string{
		"false: 0 of 1 gateway connections are up", "false: starting", "true: answering",
		"false: 0 of 1 gateway connections are up", "false: stopping",
	}, told)
}

// A store that cannot be read is said, to those who may know.
func TestStoreReadiness(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	var broken atomic.Bool
	status := freeAddress(t)
	launch(t, p, only(saying("hello")), func(c *bot.Config) {
		c.Status = status
		c.StoreReady = func(context.Context) error {
			if broken.Load() {
				return errors.New("no room left")
			}
			return nil
		}
	})
	p.WaitReady(1)
	p.Until("ready", func() bool { return bot.Ready(t.Context(), status) == nil })
	broken.Store(true)
	require.EqualError(t, bot.Ready(t.Context(), status), "the store: no room left")
}

func TestAddressInUseEndsTheProcess(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer func() { _ = taken.Close() }()
	r := launch(t, p, only(saying("hello")), func(c *bot.Config) { c.Status = taken.Addr().String() })
	var exit *bot.ExitError
	require.ErrorAs(t, r.wait(), &exit)
	require.Equal(t, bot.ExitPassing, exit.ExitCode())
}

// freeAddress is a loopback address that nobody listens on. It is not the usual one, if
// there are others, so that its port goes to nobody else before it is used.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", fmt.Sprintf("127.%d.%d.%d:0", 1+rand.IntN(250), rand.IntN(250), 1+rand.IntN(250)))
	if err != nil {
		l, err = net.Listen("tcp", "127.0.0.1:0")
	}
	require.NoError(t, err)
	defer func() { _ = l.Close() }()
	return l.Addr().String()
}

// What the platform said to calls can be counted, and so can who knocks.
func TestTrafficMetrics(t *testing.T) {
	t.Parallel()
	p := standIn(t, platformtest.Options{})
	c, log := config(p, only(saying("hello")))
	c.HTTP, c.PublicKey, c.Version = "127.0.0.1:0", p.PublicKey, "1.2"
	b, err := bot.New(c)
	require.NoError(t, err)
	p.Fault(platformtest.RouteCommands, 1, platformtest.RateLimit(10*time.Millisecond))
	_, err = b.Register(t.Context(), "", false)
	require.NoError(t, err)
	for range 50 {
		w := httptest.NewRecorder()
		b.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodPost, "/interactions", strings.NewReader("{}")))
		require.Equal(t, http.StatusUnauthorized, w.Code)
	}
	require.Equal(t, 1, strings.Count(log.String(), "request of a stranger refused"), "a stranger fills no log")
	w := httptest.NewRecorder()
	b.StatusHandler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	for _, line := range []string{
		`larkfold_platform_requests_total{purpose="commands",status="429"} 1`,
		`larkfold_platform_requests_total{purpose="commands",status="200"} 2`,
		`larkfold_platform_requests_total{purpose="application",status="200"} 1`,
		`larkfold_http_refused_total{status="401"} 50`,
		`version="1.2"} 1`,
	} {
		require.Contains(t, w.Body.String(), line)
	}
}
