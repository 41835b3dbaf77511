package bot

import (
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus/promhttp"
)

const (
	bodyLimit   = 1 << 20         // of an interaction; real ones stay far below
	clockAllows = 5 * time.Minute // between the platform's clock and ours
)

// Handler serves the HTTP way in: signed interactions at POST /interactions,
// and /healthz and /readyz.
func (b *Bot) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("POST /interactions", b.serveInteraction)
	b.health(mux, func(string) string { return "not ready" })
	return mux
}

// StatusHandler serves /healthz, /readyz and /metrics, for private eyes.
func (b *Bot) StatusHandler() http.Handler {
	mux := http.NewServeMux()
	b.health(mux, func(why string) string { return why })
	mux.Handle("GET /metrics", promhttp.HandlerFor(b.metrics.registry, promhttp.HandlerOpts{}))
	return mux
}

// health serves /healthz and /readyz; told is what the latter says of why not.
func (b *Bot) health(mux *http.ServeMux, told func(why string) string) {
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) {
		_, _ = io.WriteString(w, "ok\n")
	})
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, r *http.Request) {
		if why := b.ready.check(r.Context()); why != "" {
			http.Error(w, told(why), http.StatusServiceUnavailable)
			return
		}
		_, _ = io.WriteString(w, "ready\n")
	})
}

func (b *Bot) serveInteraction(w http.ResponseWriter, r *http.Request) {
	received := time.Now()
	turnAway := func(code int, why string) {
		b.metrics.refusedHTTP.WithLabelValues(strconv.Itoa(code)).Inc()
		http.Error(w, why, code)
	}
	refuse := func(code int, why string) {
		b.log.Warn("request refused", "status", code, "why", why)
		turnAway(code, why)
	}
	// Anybody can send what is not signed, as often as they like.
	refuseStranger := func(code int, why string) {
		if more, ok := b.unsigned.allow(received); ok {
			b.log.Warn("request of a stranger refused; more within a minute are only counted", "status", code, "why", why, "counted", more)
		}
		turnAway(code, why)
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, bodyLimit))
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		refuseStranger(http.StatusRequestEntityTooLarge, "the body is too large")
		return
	}
	if err != nil {
		refuseStranger(http.StatusBadRequest, "the body could not be read")
		return
	}
	if why := b.verify(r.Header, body, received); why != "" {
		refuseStranger(http.StatusUnauthorized, why)
		return
	}
	via := &httpResponder{rest: b.rest, first: make(chan httpAnswer), gone: r.Context()}
	ended := make(chan outcome, 1)
	// The work may outlive this request, which ends with the first answer.
	go func() {
		ended <- b.dispatcher.receive(context.WithoutCancel(r.Context()), body, received, via)
	}()
	select {
	case answer := <-via.first:
		defer close(answer.written)
		if b.ready.leaving() {
			w.Header().Set("Connection", "close") // the next request is to go to another replica
		}
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(answer.body)
		_ = http.NewResponseController(w).Flush()
	case end := <-ended:
		switch end {
		case outcomeReplayed:
			refuse(http.StatusConflict, "this interaction was answered before")
		case outcomeForeign:
			refuse(http.StatusBadRequest, "this interaction is for another application")
		default:
			refuse(http.StatusBadRequest, "this interaction could not be read")
		}
	}
}

// verify returns why a request is not the platform's, or nothing.
func (b *Bot) verify(header http.Header, body []byte, now time.Time) string {
	signature, err := hex.DecodeString(header.Get("X-Signature-Ed25519"))
	if err != nil || len(signature) != ed25519.SignatureSize {
		return "the signature is missing or malformed"
	}
	timestamp := header.Get("X-Signature-Timestamp")
	seconds, err := strconv.ParseInt(timestamp, 10, 64)
	if err != nil {
		return "the timestamp is missing or malformed"
	}
	if !ed25519.Verify(b.publicKey, append([]byte(timestamp), body...), signature) {
		return "the signature is wrong"
	}
	if age := now.Sub(time.Unix(seconds, 0)); age > clockAllows || age < -clockAllows {
		return "the timestamp is stale"
	}
	return ""
}

// httpResponder puts the first answer into the response to the request, where no
// fault of the platform's REST interface can lose it. Files cannot go there: they
// are edited in, like whatever is deferred.
type httpResponder struct {
	rest  *rest
	first chan httpAnswer
	gone  context.Context
}

type httpAnswer struct {
	body    []byte
	written chan struct{} // closed once the response is out
}

func (h *httpResponder) answer(ctx context.Context, in *interaction, resp response) error {
	answer := httpAnswer{written: make(chan struct{})}
	var err error
	if answer.body, err = json.Marshal(resp); err != nil {
		return err
	}
	select {
	case h.first <- answer:
		<-answer.written
		return nil
	case <-h.gone.Done(): // dropped before it was answered
		return h.rest.answer(ctx, in, resp)
	}
}

func (h *httpResponder) takesFiles() bool { return false }

// serve answers at a listener until ctx ends, then lets open requests finish for a moment.
func (b *Bot) serve(ctx context.Context, listener net.Listener, handler http.Handler) error {
	server := &http.Server{
		Handler: handler, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second,
		WriteTimeout: 30 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 16 << 10,
	}
	stop := context.AfterFunc(ctx, func() {
		closing, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
		defer cancel()
		_ = server.Shutdown(closing)
	})
	defer stop()
	b.log.Info("listening", "address", listener.Addr().String())
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
