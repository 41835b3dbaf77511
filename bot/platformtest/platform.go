// Package platformtest is a stand-in for the chat platform, for tests: REST over
// HTTP and the gateway over WebSocket, both on loopback, and members who type,
// press, choose and fill in forms.
//
// It is strict: it refuses what the platform documents to refuse, and a test
// whose bot was refused, answered twice, answered nothing or called an unknown
// address fails when it ends. A test that means such a thing to happen takes it
// back with Violations or Exchange.Unanswered. It knows nothing of the bot's code or library, so that
// one's mistakes are not the other's.
//
// What will hurt you: interactions reach the bot over the gateway unless
// Endpoint has named an HTTP address; a gateway bot must have connected first
// (WaitReady); and the commands that members use are the ones that the bot
// registered.
package platformtest

import (
	"crypto/ed25519"
	"encoding/hex"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strconv"
	"sync"
	"testing"
	"time"
)

// Platform is one stand-in with one application, one bot and one server.
type Platform struct {
	URL           string // to be given to the bot as the platform's address
	Token         string // the bot's, without "Bot "
	ApplicationID string
	PublicKey     string // in hexadecimal digits
	Guild         string // the server's id

	t       testing.TB
	options Options
	private ed25519.PrivateKey
	server  *httptest.Server
	client  *http.Client // of the bot's endpoint

	mu         sync.Mutex
	changed    chan struct{} // closed and replaced whenever something happens
	nextID     uint64
	endpoint   string
	exchanges  map[string]*record // by interaction id
	byToken    map[string]*record
	commands   map[string][]map[string]any
	writes     int // of command lists
	violations []string
	faults     map[string][]*pendingFault
	weather    func(route string, r *http.Request) Fault
	calls      map[string]int // by route
	gateway    gateway
}

// Options change how the stand-in behaves. A zero value means the default in the comment.
type Options struct {
	Deadline       time.Duration // 1 min: for the first answer; the platform gives 3 s, which slow machines miss by chance
	Patience       time.Duration // 2 min: that a test waits for an answer
	Heartbeat      time.Duration // 41.25 s: between heartbeats
	Shards         int           // 1: what GET gateway/bot recommends
	MaxConcurrency int           // 1
	Window         time.Duration // 0: for MaxConcurrency identifies; 0 does not check
	StartsLeft     int           // 1000: session starts; -1: none
	FileLimit      int           // 10 MiB: of one attachment
}

// Start starts a stand-in that is closed when the test ends.
func Start(t testing.TB, options Options) *Platform {
	t.Helper()
	if options.Deadline == 0 {
		options.Deadline = time.Minute
	}
	if options.Patience == 0 {
		options.Patience = 2 * time.Minute
	}
	if options.Heartbeat == 0 {
		options.Heartbeat = 41250 * time.Millisecond
	}
	if options.Shards == 0 {
		options.Shards = 1
	}
	if options.MaxConcurrency == 0 {
		options.MaxConcurrency = 1
	}
	if options.StartsLeft == 0 {
		options.StartsLeft = 1000
	}
	if options.FileLimit == 0 {
		options.FileLimit = 10 << 20
	}
	public, private, err := ed25519.GenerateKey(nil)
	if err != nil {
		t.Fatalf("making a key: %v", err)
	}
	p := &Platform{
		Token: "MTIz.stand-in.bot-token", ApplicationID: "900000000000000001", Guild: "900000000000000002",
		PublicKey: hex.EncodeToString(public),
		t:         t, options: options, private: private,
		changed:   make(chan struct{}),
		exchanges: map[string]*record{}, byToken: map[string]*record{}, commands: map[string][]map[string]any{},
		client: &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 256}},
		faults: map[string][]*pendingFault{}, calls: map[string]int{},
		gateway: gateway{sessions: map[string]*session{}, byShard: map[int]*session{}},
	}
	p.server = httptest.NewUnstartedServer(http.HandlerFunc(p.serve))
	p.URL = "http://" + p.server.Listener.Addr().String() // before anything is served
	p.server.Start()
	t.Cleanup(p.finish)
	return p
}

func (p *Platform) finish() {
	p.hangUp()
	p.server.CloseClientConnections()
	p.server.Close()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, v := range p.violations {
		p.t.Errorf("the platform objects: %s", v)
	}
	for id, r := range p.exchanges {
		if !r.acknowledged && !r.excused {
			p.t.Errorf("interaction %s was never answered", id)
		}
	}
}

// Endpoint makes interactions come as signed HTTP requests to an address
// instead of over the gateway.
func (p *Platform) Endpoint(url string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.endpoint = url
}

// Violations returns what the stand-in has objected to and forgets it.
func (p *Platform) Violations() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	v := p.violations
	p.violations = nil
	return v
}

// Calls counts the REST calls of one route; see the Route constants.
func (p *Platform) Calls(route string) int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.calls[route]
}

// CommandWrites counts how often a command list was written.
func (p *Platform) CommandWrites() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.writes
}

// Commands returns the registered commands of a server, or with an empty id those for everywhere.
func (p *Platform) Commands(guild string) []map[string]any {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.commands[guild]
}

// object notes something that the platform would not have. p.mu is held.
func (p *Platform) object(format string, args ...any) {
	p.violations = append(p.violations, fmt.Sprintf(format, args...))
}

// notify wakes everybody who waits. p.mu is held.
func (p *Platform) notify() {
	close(p.changed)
	p.changed = make(chan struct{})
}

// wait waits until done, called with p.mu held, says so.
func (p *Platform) wait(patience time.Duration, done func() bool) bool {
	late := time.After(patience)
	for {
		p.mu.Lock()
		ok, changed := done(), p.changed
		p.mu.Unlock()
		if ok {
			return true
		}
		select {
		case <-changed:
		case <-late:
			return false
		}
	}
}

// id makes an id. p.mu is held.
func (p *Platform) id() string { return p.idOf(time.Now()) }

// idOf is a new id, made at a time. p.mu is held.
func (p *Platform) idOf(made time.Time) string {
	const epoch = 1420070400000 // of the platform's ids, in milliseconds
	p.nextID++
	return strconv.FormatUint(uint64(made.UnixMilli()-epoch)<<22|p.nextID&(1<<22-1), 10)
}
