package main

import (
	"context"
	"fmt"
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"larkfold/store/boltstore"
)

// figures are what an operator sees of the store: in the metrics, and in readiness.
type figures struct {
	writes   prometheus.Histogram
	faults   prometheus.Counter
	backups  *prometheus.CounterVec
	tidyings *prometheus.CounterVec

	mu      sync.Mutex
	fault   error // of the last change, if it could not be written
	faultAt time.Time
}

func newFigures() *figures {
	return &figures{
		writes: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "larkfold_store_write_seconds", Help: "Time that a change took until it was safe.",
			Buckets: []float64{.001, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 10},
		}),
		faults: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "larkfold_store_write_faults_total", Help: "Changes that the store could not write.",
		}),
		backups: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "larkfold_backups_total", Help: "Backups that were tried, by result: made or failed.",
		}, []string{"result"}),
		tidyings: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "larkfold_tidyings_total", Help: "Times that the store's file was to be written afresh, by result: made or failed.",
		}, []string{"result"}),
	}
}

// wrote notes how a change went; see [store.Options].
func (f *figures) wrote(took time.Duration, fault error) {
	if fault == nil {
		f.writes.Observe(took.Seconds())
	} else {
		f.faults.Inc()
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.fault, f.faultAt = fault, time.Now()
}

// recently is how long a change that could not be written speaks against the
// store, if no other one is tried.
const recently = time.Minute

// ready tells what is wrong with a store: it cannot be read, or a change could not
// be written just now.
func (f *figures) ready(s *opened) func(context.Context) error {
	return func(ctx context.Context) error {
		f.mu.Lock()
		fault, age := f.fault, time.Since(f.faultAt)
		f.mu.Unlock()
		if fault != nil && age < recently {
			return fmt.Errorf("a change could not be written: %w", fault)
		}
		if s.engine != nil {
			if err := s.engine.Writable(); err != nil {
				return fmt.Errorf("nothing is written any more until the bot is started again: %w", err)
			}
		}
		return s.alive(ctx)
	}
}

// result is what a try came to, as a label.
func result(err error) string {
	if err != nil {
		return "failed"
	}
	return "made"
}

// collectors are the figures and those that are read off the store when they are asked for.
func (f *figures) collectors(s *opened) []prometheus.Collector {
	for _, vec := range []*prometheus.CounterVec{f.backups, f.tidyings} { // there from the start, to be compared with
		vec.WithLabelValues("made")
		vec.WithLabelValues("failed")
	}
	if s.remote() { // the server has its own figures
		return []prometheus.Collector{f.writes, f.faults}
	}
	return []prometheus.Collector{f.writes, f.faults, f.backups, f.tidyings, sizes{s}}
}

// sizes are figures that are read off a store when they are asked for.
type sizes struct{ of *opened }

var (
	storeBytes   = prometheus.NewDesc("larkfold_store_bytes", "Size of the store's file.", nil, nil)
	storeFree    = prometheus.NewDesc("larkfold_store_free_bytes", "What of the store's file is kept for later use.", nil, nil)
	diskFree     = prometheus.NewDesc("larkfold_disk_free_bytes", "Room left on the store's disk.", nil, nil)
	backupNewest = prometheus.NewDesc("larkfold_backup_newest_timestamp_seconds", "When the newest backup was made; 0 for none.", nil, nil)
	backupBytes  = prometheus.NewDesc("larkfold_backup_newest_bytes", "Size of the newest backup.", nil, nil)
)

func (z sizes) Describe(to chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{storeBytes, storeFree, diskFree, backupNewest, backupBytes} {
		to <- d
	}
}

func (z sizes) Collect(to chan<- prometheus.Metric) {
	gauge := func(d *prometheus.Desc, value float64) {
		to <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, value)
	}
	if stats, err := z.of.engine.Stats(context.Background()); err == nil {
		gauge(storeBytes, float64(stats.Bytes))
		gauge(storeFree, float64(stats.Free))
		if stats.Disk >= 0 {
			gauge(diskFree, float64(stats.Disk))
		}
	}
	row, err := (&boltstore.Backups{Dir: z.of.backups}).List()
	if err != nil {
		return
	}
	newest := boltstore.Backup{Time: time.Unix(0, 0)}
	if len(row) > 0 {
		newest = row[len(row)-1]
	}
	gauge(backupNewest, float64(newest.Time.Unix()))
	gauge(backupBytes, float64(newest.Bytes))
}
