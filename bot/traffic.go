package bot

import (
	"net/http"
	"strconv"
	"strings"
	"sync/atomic"
	"time"
)

// traffic counts the calls to the platform by what they are for and how they
// went, and sees from the answers how far this machine's clock is from the platform's.
type traffic struct {
	next  http.RoundTripper
	count func(purpose, status string)
	ahead atomic.Int64 // of our clock, nanoseconds, as last seen
	dated atomic.Bool  // something was seen
}

func (t *traffic) RoundTrip(req *http.Request) (*http.Response, error) {
	resp, err := t.next.RoundTrip(req)
	status := "none"
	if err == nil {
		status = strconv.Itoa(resp.StatusCode)
		if date, err := http.ParseTime(resp.Header.Get("Date")); err == nil {
			t.ahead.Store(int64(beyondASecond(time.Since(date))))
			t.dated.Store(true)
		}
	}
	t.count(purpose(req.URL.Path), status)
	return resp, err
}

// beyondASecond is a difference from a clock that is told in whole seconds: what
// lies within the second is no difference.
func beyondASecond(d time.Duration) time.Duration {
	if d < 0 {
		return d
	}
	return max(0, d-time.Second)
}

// purpose is what a call to the platform is for. Ids and tokens of the path are
// left out.
func purpose(path string) string {
	switch {
	case strings.Contains(path, "/interactions/"):
		return "first answer"
	case strings.HasSuffix(path, "/messages/@original"):
		return "edit"
	case strings.Contains(path, "/webhooks/"):
		return "follow-up"
	case strings.HasSuffix(path, "/commands"):
		return "commands"
	case strings.HasSuffix(path, "/gateway"), strings.HasSuffix(path, "/gateway/bot"):
		return "gateway"
	case strings.Contains(path, "/oauth2/"):
		return "application"
	}
	return "other"
}
