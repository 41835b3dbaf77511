package platformtest

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"time"
)

// Routes of the REST interface, for Fault and Calls.
const (
	RouteGateway     = "gateway"
	RouteGatewayBot  = "gateway/bot"
	RouteApplication = "application"
	RouteCommands    = "commands" // reading and writing the list
	RouteCallback    = "callback" // the first answer
	RouteEdit        = "edit"     // of the first answer
	RouteFollowUp    = "follow-up"
)

// Fault stands in for the right answer to one REST call; next is the right one.
type Fault func(w http.ResponseWriter, r *http.Request, next http.HandlerFunc)

type pendingFault struct {
	left  int
	fault Fault
}

// Fault makes the next calls of a route go wrong.
func (p *Platform) Fault(route string, times int, f Fault) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.faults[route] = append(p.faults[route], &pendingFault{times, f})
}

// Weather is asked for every call that no Fault is meant for, and gives the fault
// that the call meets, or nil. The request is for looking at only.
func (p *Platform) Weather(weather func(route string, r *http.Request) Fault) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.weather = weather
}

// takeFault returns the fault for a call, or nil. p.mu is held.
func (p *Platform) takeFault(route string, r *http.Request) Fault {
	queue := p.faults[route]
	for len(queue) > 0 && queue[0].left == 0 {
		queue = queue[1:]
	}
	p.faults[route] = queue
	if len(queue) == 0 {
		if p.weather == nil {
			return nil
		}
		return p.weather(route, r)
	}
	queue[0].left--
	return queue[0].fault
}

// Status answers with an error status and no useful body.
func Status(code int) Fault {
	return func(w http.ResponseWriter, _ *http.Request, _ http.HandlerFunc) {
		http.Error(w, http.StatusText(code), code)
	}
}

// RateLimit answers 429 in the platform's own words.
func RateLimit(after time.Duration) Fault {
	return func(w http.ResponseWriter, _ *http.Request, _ http.HandlerFunc) {
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("X-RateLimit-Reset-After", fmt.Sprintf("%.3f", after.Seconds()))
		w.Header().Set("X-RateLimit-Remaining", "0")
		w.WriteHeader(http.StatusTooManyRequests)
		fmt.Fprintf(w, `{"message":"You are being rate limited.","retry_after":%.3f,"global":false}`, after.Seconds())
	}
}

// RateLimitPage answers 429 with a page of HTML, as the platform's edge does.
func RateLimitPage() Fault {
	return func(w http.ResponseWriter, _ *http.Request, _ http.HandlerFunc) {
		w.Header().Set("Content-Type", "text/html")
		w.WriteHeader(http.StatusTooManyRequests)
		fmt.Fprint(w, "<html><body>error 1015</body></html>")
	}
}

// SlowBody does what was asked but drags the response out.
func SlowBody(d time.Duration) Fault {
	return func(w http.ResponseWriter, r *http.Request, next http.HandlerFunc) {
		recorded := httptest.NewRecorder()
		next(recorded, r)
		w.WriteHeader(http.StatusOK)
		_, _ = w.Write([]byte(" "))
		_ = http.NewResponseController(w).Flush()
		select {
		case <-time.After(d):
		case <-r.Context().Done():
		}
		_, _ = w.Write(recorded.Body.Bytes())
	}
}

// Late does what was asked after a while.
func Late(d time.Duration) Fault {
	return func(w http.ResponseWriter, r *http.Request, next http.HandlerFunc) {
		time.Sleep(d)
		next(w, r)
	}
}

// LostResponse does what was asked and then says that it failed.
func LostResponse() Fault {
	return func(w http.ResponseWriter, r *http.Request, next http.HandlerFunc) {
		next(httptest.NewRecorder(), r)
		http.Error(w, "Bad Gateway", http.StatusBadGateway)
	}
}

// Cut does what was asked and then cuts the connection.
func Cut() Fault {
	return func(_ http.ResponseWriter, r *http.Request, next http.HandlerFunc) {
		next(httptest.NewRecorder(), r)
		panic(http.ErrAbortHandler)
	}
}

// NotYet answers that the message does not exist, as an edit finds when it
// overtakes the first answer.
func NotYet() Fault {
	return func(w http.ResponseWriter, _ *http.Request, _ http.HandlerFunc) {
		fail(w, http.StatusNotFound, 10015, "Unknown Webhook")
	}
}

// Refuse answers that the body is invalid.
func Refuse() Fault {
	return func(w http.ResponseWriter, _ *http.Request, _ http.HandlerFunc) {
		fail(w, http.StatusBadRequest, 50035, "Invalid Form Body")
	}
}

// Right does what was asked: a place among faults where nothing goes wrong.
func Right() Fault {
	return func(w http.ResponseWriter, r *http.Request, next http.HandlerFunc) { next(w, r) }
}

// Hang does not answer for so long, unless the caller gives up.
func Hang(d time.Duration) Fault {
	return func(_ http.ResponseWriter, r *http.Request, _ http.HandlerFunc) {
		_, _ = io.Copy(io.Discard, r.Body) // else the caller's end is not seen
		select {
		case <-r.Context().Done():
		case <-time.After(d):
		}
	}
}
