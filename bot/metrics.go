package bot

import (
	"context"
	"runtime"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
)

// metrics are the bot's own; each bot has its own registry.
type metrics struct {
	registry     *prometheus.Registry
	register     prometheus.Registerer // into registry, with the replica's name
	interactions *prometheus.CounterVec
	deferred     prometheus.Counter
	first        *prometheus.HistogramVec
	duration     *prometheus.HistogramVec
	reconnects   prometheus.Counter
	refusedHTTP  *prometheus.CounterVec
	calls        *prometheus.CounterVec
	pictures     *prometheus.CounterVec
}

// newMetrics makes the metrics of a version and of a replica, which name it if it has a name.
func newMetrics(version, replica string, inFlight, connected func() float64) *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		interactions: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "larkfold_interactions_total", Help: "Interactions by kind and outcome.",
		}, []string{"kind", "outcome"}),
		deferred: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "larkfold_interactions_deferred_total", Help: "Interactions whose answer was not ready at the acknowledgement clock.",
		}),
		first: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "larkfold_first_answer_seconds", Help: "Time from receipt to the first answer, which the platform waits 3 s for; the command, where one was typed, and the lane that it was done in by then.",
			Buckets: []float64{.005, .01, .025, .05, .1, .25, .5, 1, 1.5, 2, 2.5, 3},
		}, []string{"kind", "command", "lane"}),
		duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "larkfold_interaction_seconds", Help: "Time from receipt to the last answer; the command, where one was typed.",
			Buckets: []float64{.005, .01, .025, .05, .1, .25, .5, 1, 1.5, 3, 10, 60},
		}, []string{"kind", "command"}),
		reconnects: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "larkfold_gateway_reconnects_total", Help: "Gateway connections that were lost.",
		}),
		refusedHTTP: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "larkfold_http_refused_total", Help: "Requests to the interactions endpoint that were refused, by status.",
		}, []string{"status"}),
		calls: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "larkfold_platform_requests_total", Help: "Calls to the platform by purpose and HTTP status; none where no answer came.",
		}, []string{"purpose", "status"}),
	}
	m.pictures = prometheus.NewCounterVec(prometheus.CounterOpts{
		Name: "larkfold_pictures_total", Help: "Pictures that were asked for: drawn, kept from before, or failed.",
	}, []string{"how"})
	for _, how := range []string{"drawn", "kept", "failed"} { // there from the start, to be compared with
		m.pictures.WithLabelValues(how)
	}
	build := prometheus.NewGauge(prometheus.GaugeOpts{
		Name: "larkfold_build_info", Help: "1, with the version.", ConstLabels: prometheus.Labels{"version": version, "go": runtime.Version()},
	})
	build.Set(1)
	m.register = m.registry
	if replica != "" {
		m.register = prometheus.WrapRegistererWith(prometheus.Labels{"replica": replica}, m.registry)
	}
	m.register.MustRegister(m.interactions, m.deferred, m.first, m.duration, m.reconnects, m.refusedHTTP, m.calls, m.pictures, build,
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "larkfold_interactions_in_flight", Help: "Interactions being answered.",
		}, inFlight),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "larkfold_gateway_shards_connected", Help: "Shards with a live connection.",
		}, connected),
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// observe adds what is read off a bot when it is asked for.
func (m *metrics) observe(b *Bot) {
	m.register.MustRegister(
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "larkfold_clock_ahead_seconds", Help: "How far this machine's clock is ahead of the platform's, as last seen.",
		}, func() float64 { return b.ClockAhead().Seconds() }),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{
			Name: "larkfold_ready", Help: "1 if /readyz says so: the way in is open and the store can be used.",
		}, func() float64 {
			if b.ready.check(context.Background()) != "" {
				return 0
			}
			return 1
		}))
}

func (m *metrics) called(purpose, status string) {
	m.calls.WithLabelValues(purpose, status).Inc()
}

func (m *metrics) pictured(how string) { m.pictures.WithLabelValues(how).Inc() }

// done notes an interaction. first is how long its first answer took, 0 for none, and
// lane where it was done.
func (m *metrics) done(kind, command, lane string, end outcome, deferred bool, first, took time.Duration) {
	m.interactions.WithLabelValues(kind, string(end)).Inc()
	m.duration.WithLabelValues(kind, command).Observe(took.Seconds())
	if first > 0 {
		m.first.WithLabelValues(kind, command, lane).Observe(first.Seconds())
	}
	if deferred {
		m.deferred.Inc()
	}
}

// watch adds the figures of the lanes.
func (m *metrics) watch(d *dispatcher) {
	for _, l := range d.lanes() {
		figure := func(name, help string, value func() float64) {
			m.register.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{
				Name: name, Help: help, ConstLabels: prometheus.Labels{"lane": l.name},
			}, value))
		}
		figure("larkfold_lane_waiting", "Tasks that wait for their turn.", func() float64 { n, _, _ := l.figures(); return float64(n) })
		figure("larkfold_lane_busy", "Tasks that are being done.", func() float64 { _, n, _ := l.figures(); return float64(n) })
		figure("larkfold_lane_expected_wait_seconds", "How long a newcomer would wait.", func() float64 { return l.expected().Seconds() })
		m.register.MustRegister(prometheus.NewCounterFunc(prometheus.CounterOpts{
			Name: "larkfold_lane_turned_away_total", Help: "Tasks that would have waited for too long.", ConstLabels: prometheus.Labels{"lane": l.name},
		}, func() float64 { _, _, n := l.figures(); return float64(n) }))
	}
}
