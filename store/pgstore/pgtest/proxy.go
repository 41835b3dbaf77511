//go:build unix

package pgtest

import (
	"bytes"
	"io"
	"net"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// Proxy stands between a client and a server and breaks connections when it is told to.
type Proxy struct {
	server   *Server
	listener net.Listener

	mu     sync.Mutex
	before int // this many commits will be kept from the server
	after  int // the answers to this many commits will be kept from the client
	mute   bool
}

// NewProxy starts a proxy before a server; it ends with the test.
func (s *Server) NewProxy(t testing.TB) *Proxy {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = listener.Close() })
	p := &Proxy{server: s, listener: listener}
	go p.accept()
	return p
}

// Address puts the proxy in the place of the server in an address.
func (p *Proxy) Address(url string) string {
	return strings.Replace(url, "127.0.0.1:"+strconv.Itoa(p.server.Port), p.listener.Addr().String(), 1)
}

// CutBeforeCommit breaks the next connection that wants to commit, before the server hears of it.
func (p *Proxy) CutBeforeCommit() { p.cut(&p.before) }

// CutAfterCommit breaks the next connection that commits, before the client hears of it.
func (p *Proxy) CutAfterCommit() { p.cut(&p.after) }

// CutAll breaks, from now on, every connection as soon as it begins a transaction.
func (p *Proxy) CutAll() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.mute = true
}

func (p *Proxy) muted() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.mute
}

func (p *Proxy) cut(n *int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	*n++
}

func (p *Proxy) due(n *int) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if *n == 0 {
		return false
	}
	*n--
	return true
}

func (p *Proxy) accept() {
	for {
		client, err := p.listener.Accept()
		if err != nil {
			return
		}
		server, err := net.Dial("tcp", "127.0.0.1:"+strconv.Itoa(p.server.Port))
		if err != nil {
			_ = client.Close()
			continue
		}
		// The client's statement and the server's answer both hold the word.
		go pass(client, server, func(b []byte) bool {
			return bytes.Contains(b, []byte("COMMIT\x00")) && p.due(&p.before) || bytes.Contains(b, []byte("BEGIN")) && p.muted()
		})
		go pass(server, client, func(b []byte) bool { return bytes.Contains(b, []byte("COMMIT\x00")) && p.due(&p.after) })
	}
}

// pass hands on what comes, until either side ends or something is to be kept back.
func pass(from, to net.Conn, keep func([]byte) bool) {
	defer from.Close()
	defer to.Close()
	buffer := make([]byte, 64<<10)
	for {
		n, err := from.Read(buffer)
		if err != nil || keep(buffer[:n]) {
			return
		}
		if _, err := io.Copy(to, bytes.NewReader(buffer[:n])); err != nil {
			return
		}
	}
}
