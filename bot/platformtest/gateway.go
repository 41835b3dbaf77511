package platformtest

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/gorilla/websocket"
)

// Script is how the stand-in treats one new gateway connection.
type Script func(c *connection)

// gateway is the state of all connections. Platform.mu guards it.
type gateway struct {
	sessions   map[string]*session // by id
	byShard    map[int]*session
	open       map[*connection]bool
	scripts    []Script
	identifies []Identify
	resumes    int
	heartbeats int
	dials      int
}

// session outlives connections: events are kept for a resume.
type session struct {
	id     string
	shard  int
	events []frame
	// forgotten counts events that Forget dropped, so that sequence numbers go on.
	forgotten int64
	conn      *connection // nil while away
	invalid   bool
}

type frame struct {
	Op   int    `json:"op"`
	Type string `json:"t,omitempty"`
	Seq  int64  `json:"s,omitempty"`
	Data any    `json:"d"`
}

// connection is one WebSocket.
type connection struct {
	p      *Platform
	socket *websocket.Conn
	write  sync.Mutex

	// How to behave; set by a Script before the first frame.
	noHello    bool
	firstOp    int // sent in place of READY or RESUMED when not 0
	refuseWith int // close code sent in answer to an identify or a resume

	mu      sync.Mutex
	session *session
	muted   bool
	closing bool // the stand-in closed first, so what the client says no longer counts
}

// Identify is what a connection said about itself.
type Identify struct {
	At      time.Time
	Shard   [2]int
	Intents int
}

// NextConnections gives scripts to the next connections, in order; later ones behave.
func (p *Platform) NextConnections(scripts ...Script) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.gateway.scripts = append(p.gateway.scripts, scripts...)
}

// Scripts for NextConnections.
func (p *Platform) Behaved() Script { return func(*connection) {} }

// SilentHello accepts a connection and says nothing.
func (p *Platform) SilentHello() Script { return func(c *connection) { c.noHello = true } }

// ReconnectFirst sends op 7 in place of READY or RESUMED.
func (p *Platform) ReconnectFirst() Script { return func(c *connection) { c.firstOp = 7 } }

// Refuse answers an identify or a resume with a close code.
func (p *Platform) Refuse(code int) Script { return func(c *connection) { c.refuseWith = code } }

// WaitReady waits until that many shards have connected.
func (p *Platform) WaitReady(shards int) {
	p.t.Helper()
	if !p.wait(p.options.Patience, func() bool { return p.connected() >= shards }) {
		p.t.Fatalf("the bot did not connect %d shards", shards)
	}
}

// Sessions counts sessions that were ever started.
func (p *Platform) Sessions() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.gateway.sessions)
}

// connected counts shards with a live connection. p.mu is held.
func (p *Platform) connected() int {
	n := 0
	for _, s := range p.gateway.byShard {
		if s.conn != nil {
			n++
		}
	}
	return n
}

// Identifies, Resumes, Heartbeats and Dials tell what has come over the gateway so far.
func (p *Platform) Identifies() []Identify {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]Identify(nil), p.gateway.identifies...)
}

// Resumes counts resumes that worked.
func (p *Platform) Resumes() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.gateway.resumes
}

// Heartbeats counts heartbeats.
func (p *Platform) Heartbeats() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.gateway.heartbeats
}

// Dials counts connections, whatever came of them.
func (p *Platform) Dials() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.gateway.dials
}

// Until waits until done returns true, looking again whenever something happens.
func (p *Platform) Until(what string, done func() bool) {
	p.t.Helper()
	late := time.After(p.options.Patience)
	for !done() {
		p.mu.Lock()
		changed := p.changed
		p.mu.Unlock()
		select {
		case <-changed:
		case <-time.After(10 * time.Millisecond):
		case <-late:
			p.t.Fatalf("waited in vain: %s", what)
		}
	}
}

func (p *Platform) live() []*connection {
	p.mu.Lock()
	defer p.mu.Unlock()
	var out []*connection
	for c := range p.gateway.open {
		out = append(out, c)
	}
	return out
}

// Drop cuts every connection without a word.
func (p *Platform) Drop() {
	for _, c := range p.live() {
		_ = c.socket.NetConn().Close()
	}
}

// CloseWith closes every connection with a close code.
func (p *Platform) CloseWith(code int) {
	for _, c := range p.live() {
		c.closeWith(code)
	}
}

// AskReconnect sends op 7 to every connection.
func (p *Platform) AskReconnect() { p.broadcast(frame{Op: 7}) }

// AskHeartbeat sends op 1 to every connection.
func (p *Platform) AskHeartbeat() { p.broadcast(frame{Op: 1}) }

// InvalidateSessions sends op 9 to every connection; an identify must follow.
func (p *Platform) InvalidateSessions() {
	p.mu.Lock()
	for _, s := range p.gateway.sessions {
		s.invalid = true
	}
	p.mu.Unlock()
	p.broadcast(frame{Op: 9, Data: false})
}

// Mute makes every connection fall silent, heartbeats unanswered, as a half-dead one does.
func (p *Platform) Mute() {
	for _, c := range p.live() {
		c.mu.Lock()
		c.muted = true
		c.mu.Unlock()
	}
}

// SendEvent sends a raw dispatch to one shard's session.
func (p *Platform) SendEvent(shard int, kind string, data any) {
	p.t.Helper()
	p.mu.Lock()
	s := p.gateway.byShard[shard]
	if s == nil {
		p.mu.Unlock()
		p.t.Fatalf("no session of shard %d", shard)
		return
	}
	f := frame{Op: 0, Type: kind, Seq: s.forgotten + int64(len(s.events)+2), Data: data}
	s.events = append(s.events, f)
	conn := s.conn
	p.mu.Unlock()
	if conn != nil {
		conn.send(f)
	}
}

func (p *Platform) broadcast(f frame) {
	for _, c := range p.live() {
		c.send(f)
	}
}

func (p *Platform) hangUp() {
	for _, c := range p.live() {
		_ = c.socket.Close()
	}
}

func (c *connection) send(f frame) {
	c.mu.Lock()
	muted := c.muted
	c.mu.Unlock()
	if muted {
		return
	}
	raw, err := json.Marshal(f)
	if err != nil {
		c.p.t.Errorf("frame: %v", err)
		return
	}
	c.write.Lock()
	defer c.write.Unlock()
	_ = c.socket.WriteMessage(websocket.TextMessage, raw)
}

func (c *connection) closeWith(code int) {
	c.mu.Lock()
	c.closing = true
	c.mu.Unlock()
	c.write.Lock()
	defer c.write.Unlock()
	_ = c.socket.WriteMessage(websocket.CloseMessage, websocket.FormatCloseMessage(code, ""))
}

// serveGateway speaks with one connection until it ends.
func (p *Platform) serveGateway(w http.ResponseWriter, r *http.Request) {
	if q := r.URL.Query(); q.Get("encoding") != "json" || q.Get("v") == "" {
		p.mu.Lock()
		p.object("gateway address %s names no version or encoding", r.URL)
		p.mu.Unlock()
	}
	socket, err := (&websocket.Upgrader{}).Upgrade(w, r, nil)
	if err != nil {
		return
	}
	defer func() { _ = socket.Close() }()
	c := &connection{p: p, socket: socket}
	p.mu.Lock()
	if p.gateway.open == nil {
		p.gateway.open = map[*connection]bool{}
	}
	p.gateway.open[c] = true
	p.gateway.dials++
	if len(p.gateway.scripts) > 0 {
		p.gateway.scripts[0](c)
		p.gateway.scripts = p.gateway.scripts[1:]
	}
	p.notify()
	p.mu.Unlock()
	if !c.noHello {
		c.send(frame{Op: 10, Data: map[string]any{"heartbeat_interval": p.options.Heartbeat.Milliseconds()}})
	}
	politely := c.listen()
	p.mu.Lock()
	delete(p.gateway.open, c)
	if s := c.session; s != nil && s.conn == c {
		s.conn = nil
		s.invalid = s.invalid || politely
	}
	p.notify()
	p.mu.Unlock()
}

// listen reads frames; it reports whether the client ended the session with 1000 or 1001.
func (c *connection) listen() (politely bool) {
	for {
		_, raw, err := c.socket.ReadMessage()
		if err != nil {
			c.mu.Lock()
			defer c.mu.Unlock()
			return !c.closing && websocket.IsCloseError(err, websocket.CloseNormalClosure, websocket.CloseGoingAway)
		}
		var f struct {
			Op   int             `json:"op"`
			Data json.RawMessage `json:"d"`
		}
		if len(raw) > 4096 || json.Unmarshal(raw, &f) != nil {
			c.objectAndClose(4002, "a gateway frame of %d bytes, or not JSON", len(raw))
			continue
		}
		switch f.Op {
		case 1:
			c.heartbeat(f.Data)
		case 2:
			c.identify(f.Data)
		case 6:
			c.resume(f.Data)
		default:
			c.objectAndClose(4001, "unknown gateway op %d", f.Op)
		}
	}
}

func (c *connection) objectAndClose(code int, format string, args ...any) {
	c.p.mu.Lock()
	c.p.object(format, args...)
	c.p.mu.Unlock()
	c.closeWith(code)
}

func (c *connection) heartbeat(data json.RawMessage) {
	c.p.mu.Lock()
	c.p.gateway.heartbeats++
	c.p.notify()
	c.p.mu.Unlock()
	if strings.TrimSpace(string(data)) == "" {
		c.objectAndClose(4002, "a heartbeat without a sequence number")
		return
	}
	c.send(frame{Op: 11})
}

func (c *connection) identify(data json.RawMessage) {
	var id struct {
		Token      string         `json:"token"`
		Intents    *int           `json:"intents"`
		Shard      []int          `json:"shard"`
		Properties map[string]any `json:"properties"`
	}
	if err := json.Unmarshal(data, &id); err != nil || id.Intents == nil || id.Properties == nil {
		c.objectAndClose(4002, "an identify that cannot be read: %s", data)
		return
	}
	shard := [2]int{0, 1}
	if len(id.Shard) == 2 {
		shard = [2]int{id.Shard[0], id.Shard[1]}
	}
	p := c.p
	p.mu.Lock()
	p.gateway.identifies = append(p.gateway.identifies, Identify{time.Now(), shard, *id.Intents})
	p.checkPace(shard[0])
	p.mu.Unlock()
	switch {
	case id.Token != "Bot "+p.Token:
		c.closeWith(4004)
		return
	case shard[0] < 0 || shard[0] >= shard[1]:
		c.closeWith(4010)
		return
	case c.refuseWith != 0:
		c.closeWith(c.refuseWith)
		return
	case c.firstOp != 0:
		c.send(frame{Op: c.firstOp})
		return
	}
	p.mu.Lock()
	s := &session{id: "session-" + p.id(), shard: shard[0], conn: c}
	p.gateway.sessions[s.id] = s
	p.gateway.byShard[shard[0]] = s
	c.mu.Lock()
	c.session = s
	c.mu.Unlock()
	p.mu.Unlock()
	c.send(frame{Op: 0, Type: "READY", Seq: 1, Data: map[string]any{
		"v": 9, "session_id": s.id, "resume_gateway_url": p.socketURL(), "guilds": []any{}, "shard": shard,
		"user": map[string]any{"id": p.ApplicationID, "username": "stand-in"}, "application": map[string]any{"id": p.ApplicationID},
	}})
	p.mu.Lock()
	p.notify()
	p.mu.Unlock()
}

// checkPace objects to identifies that come faster than allowed. p.mu is held.
func (p *Platform) checkPace(shard int) {
	if p.options.Window == 0 {
		return
	}
	key := shard % p.options.MaxConcurrency
	n := 0
	for _, other := range p.gateway.identifies {
		if other.Shard[0]%p.options.MaxConcurrency == key && time.Since(other.At) < p.options.Window {
			n++
		}
	}
	if n > 1 {
		p.object("shard %d identified within %s of another of its key", shard, p.options.Window)
	}
}

func (c *connection) resume(data json.RawMessage) {
	var r struct {
		Token     string `json:"token"`
		SessionID string `json:"session_id"`
		Seq       int64  `json:"seq"`
	}
	if err := json.Unmarshal(data, &r); err != nil {
		c.objectAndClose(4002, "a resume that cannot be read: %s", data)
		return
	}
	p := c.p
	p.mu.Lock()
	s := p.gateway.sessions[r.SessionID]
	known := s != nil && !s.invalid
	p.mu.Unlock()
	switch {
	case r.Token != "Bot "+p.Token:
		c.closeWith(4004)
		return
	case c.refuseWith != 0:
		c.closeWith(c.refuseWith)
		return
	case c.firstOp != 0:
		c.send(frame{Op: c.firstOp})
		return
	case !known:
		c.send(frame{Op: 9, Data: false})
		return
	}
	p.mu.Lock()
	s.conn = c
	c.mu.Lock()
	c.session = s
	c.mu.Unlock()
	p.gateway.resumes++
	var missed []frame
	for _, f := range s.events {
		if f.Seq > r.Seq {
			missed = append(missed, f)
		}
	}
	p.mu.Unlock()
	for _, f := range missed {
		c.send(f)
	}
	c.send(frame{Op: 0, Type: "RESUMED", Seq: r.Seq, Data: map[string]any{}})
	p.mu.Lock()
	p.notify()
	p.mu.Unlock()
}

func (p *Platform) socketURL() string { return "ws" + strings.TrimPrefix(p.URL, "http") + "/gw" }

// shardOf is the shard that a server's events go to; private chats go to shard 0.
func shardOf(guild string, count int) int {
	n, err := strconv.ParseUint(guild, 10, 64)
	if err != nil {
		return 0
	}
	return int(n >> 22 % uint64(count))
}
