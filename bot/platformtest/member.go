package platformtest

import (
	"bytes"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"
)

// Member is somebody who uses the bot's commands.
type Member struct {
	p       *Platform
	id      string
	name    string
	guild   string // empty in a private chat
	group   bool   // a private chat with others
	manages bool
	late    time.Duration
}

// Member returns a member of the server, by name; the same name is the same member.
func (p *Platform) Member(name string) *Member {
	id := uint64(800_000_000_000_000_000)
	for _, r := range name {
		id = id*31 + uint64(r)
		id = 800_000_000_000_000_000 + id%100_000_000_000_000_000
	}
	return &Member{p: p, id: strconv.FormatUint(id, 10), name: name, guild: p.Guild}
}

// ID is the member's id.
func (m Member) ID() string { return m.id }

// Manager is the member with the manage-server permission.
func (m Member) Manager() *Member { m.manages = true; return &m }

// Direct is the member in a private chat with the bot.
func (m Member) Direct() *Member { m.guild = ""; return &m }

// Late is the member whose doings reach the bot so long after the platform made them.
func (m Member) Late(by time.Duration) *Member { m.late = by; return &m }

// Group is the member in a private chat with others.
func (m Member) Group() *Member { m.guild, m.group = "", true; return &m }

// In is the member in another server.
func (m Member) In(guild string) *Member { m.guild = guild; return &m }

// Slash types a command, such as `/cord width:40cm drop:70cm`, and waits for the
// answer. Command and options must be registered.
func (m *Member) Slash(line string) *Exchange {
	m.p.t.Helper()
	return m.wait(m.Type(line))
}

// Type types a command and does not wait.
func (m *Member) Type(line string) *Exchange {
	m.p.t.Helper()
	data, err := m.typed(line, "")
	if err != nil {
		m.p.t.Fatalf("typing %q: %v", line, err)
	}
	return m.send(2, data, nil)
}

// Autocomplete types a command up to an option that is being filled in, and
// returns the completions of that option's text.
func (m *Member) Autocomplete(line, option string) *Exchange {
	m.p.t.Helper()
	return m.wait(m.TypeAhead(line, option))
}

// MessageMenu picks a command from the menu of a message with that text.
func (m *Member) MessageMenu(name, text string) *Exchange {
	m.p.t.Helper()
	command := m.command(3, name)
	if command == nil {
		m.p.t.Fatalf("no message menu command %q is registered", name)
	}
	return m.wait(m.send(2, map[string]any{
		"id": command["id"], "name": name, "type": 3, "target_id": "700000000000000001",
		"resolved": map[string]any{"messages": map[string]any{"700000000000000001": map[string]any{
			"id": "700000000000000001", "content": text, "author": map[string]any{"id": "1", "username": "somebody"},
		}}},
	}, nil))
}

// Click presses the button of that label under an answer, and waits.
func (m *Member) Click(ex *Exchange, label string) *Exchange {
	m.p.t.Helper()
	for _, message := range append([]*Message{ex.Message}, ex.FollowUps...) {
		if message == nil {
			continue
		}
		for _, b := range message.Buttons {
			if b.Label == label {
				return m.Press(b.ID)
			}
		}
	}
	m.p.t.Fatalf("no button %q under %q", label, ex.Text())
	return nil
}

// Press presses a button of a custom id, there or not, and waits.
func (m *Member) Press(customID string) *Exchange {
	m.p.t.Helper()
	return m.wait(m.PressOn(customID))
}

// Choose picks values from the menu of that placeholder under an answer, and waits.
func (m *Member) Choose(ex *Exchange, placeholder string, values ...string) *Exchange {
	m.p.t.Helper()
	for _, menu := range ex.Message.Menus {
		if menu.Placeholder != placeholder {
			continue
		}
		for _, v := range values {
			known := false
			for _, o := range menu.Options {
				known = known || o.Value == v
			}
			if !known {
				m.p.t.Fatalf("menu %q has no value %q", placeholder, v)
			}
		}
		return m.wait(m.send(3, map[string]any{"custom_id": menu.ID, "component_type": 3, "values": values}, m.message()))
	}
	m.p.t.Fatalf("no menu %q under %q", placeholder, ex.Text())
	return nil
}

// Submit fills in the form that an answer is, and waits. Fields that are not
// named keep what they started with.
func (m *Member) Submit(ex *Exchange, fields map[string]string) *Exchange {
	m.p.t.Helper()
	if ex.Modal == nil {
		m.p.t.Fatalf("the answer is no form but %q", ex.Text())
	}
	known := map[string]bool{}
	var parts []any
	for i, f := range ex.Modal.Fields {
		known[f.ID] = true
		value, given := fields[f.ID]
		if !given {
			value = f.Value
		}
		if f.Required && value == "" || f.MaxLength > 0 && length(value) > f.MaxLength {
			m.p.t.Fatalf("the app would not let field %q go with %d characters", f.ID, length(value))
		}
		input := map[string]any{"type": 4, "id": i + 101, "custom_id": f.ID, "value": value}
		if len(f.Options) > 0 {
			values := []string{}
			if value != "" {
				values = append(values, value)
			}
			if value != "" && !slices.ContainsFunc(f.Options, func(c Choice) bool { return c.Value == value }) {
				m.p.t.Fatalf("the menu %q of the form has no %q", f.ID, value)
			}
			input = map[string]any{"type": 3, "id": i + 101, "custom_id": f.ID, "values": values}
		}
		parts = append(parts, map[string]any{"type": 18, "id": i + 1, "component": input})
	}
	for name := range fields {
		if !known[name] {
			m.p.t.Fatalf("the form has no field %q", name)
		}
	}
	return m.wait(m.send(5, map[string]any{"custom_id": ex.Modal.ID, "components": parts}, nil))
}

// Again delivers an exchange's interaction a second time. It does not wait.
func (m *Member) Again(ex *Exchange) {
	m.p.mu.Lock()
	body := m.p.exchanges[ex.ID].body
	m.p.mu.Unlock()
	m.deliver(body)
}

// Send sends an interaction of any kind with any data, and does not wait. Over
// HTTP, the exchange holds the status of the response.
func (m *Member) Send(kind int, data any) *Exchange {
	m.p.t.Helper()
	return m.send(kind, data, nil)
}

// Wait waits for the answer to what was sent.
func (m *Member) Wait(ex *Exchange) *Exchange {
	m.p.t.Helper()
	return m.wait(ex)
}

func (m *Member) message() map[string]any {
	return map[string]any{"id": "700000000000000002", "content": "", "channel_id": "600000000000000001", "components": []any{}}
}

func (m *Member) send(kind int, data any, message map[string]any) *Exchange {
	m.p.t.Helper()
	p := m.p
	p.mu.Lock()
	r := &record{id: p.idOf(time.Now().Add(-m.late)), kind: kind}
	r.token = "stand-in-interaction-token-" + r.id
	p.exchanges[r.id] = r
	p.byToken[r.token] = r
	p.mu.Unlock()
	body := m.payload(r, data, message)
	p.mu.Lock()
	r.body = body
	p.mu.Unlock()
	ex := &Exchange{ID: r.id, member: m}
	ex.HTTPStatus = m.deliver(body)
	return ex
}

func (m *Member) payload(r *record, data any, message map[string]any) map[string]any {
	user := map[string]any{"id": m.id, "username": m.name, "global_name": nil, "discriminator": "0", "avatar": nil}
	body := map[string]any{
		"id": r.id, "application_id": m.p.ApplicationID, "type": r.kind, "token": r.token, "version": 1,
		"channel_id": "600000000000000001", "locale": "en-GB", "app_permissions": "0", "entitlements": []any{},
		"attachment_size_limit": m.p.options.FileLimit,
	}
	if data != nil {
		body["data"] = data
	}
	if message != nil {
		body["message"] = message
	}
	switch {
	case m.guild != "":
		permissions := 1 << 11
		if m.manages {
			permissions |= 1 << 5
		}
		body["guild_id"], body["guild_locale"], body["context"] = m.guild, "en-US", 0
		body["member"] = map[string]any{"user": user, "permissions": strconv.Itoa(permissions), "nick": nil, "roles": []any{}}
		body["authorizing_integration_owners"] = map[string]any{"0": m.guild}
	default:
		body["user"] = user
		body["context"] = 1
		if m.group {
			body["context"] = 2
		}
		body["authorizing_integration_owners"] = map[string]any{"1": m.id}
	}
	return body
}

// deliver brings an interaction to the bot.
func (m *Member) deliver(body map[string]any) (status int) {
	m.p.t.Helper()
	p := m.p
	p.mu.Lock()
	id, _ := body["id"].(string)
	if r := p.exchanges[id]; r != nil && r.sent.IsZero() {
		r.sent = time.Now().Add(-m.late)
	}
	endpoint := p.endpoint
	shards := 1
	for _, s := range p.gateway.byShard {
		shards = max(shards, s.shard+1)
	}
	p.mu.Unlock()
	if endpoint == "" {
		p.SendEvent(shardOf(m.guild, shards), "INTERACTION_CREATE", body)
		return 0
	}
	raw, err := json.Marshal(body)
	if err != nil {
		p.t.Fatalf("interaction: %v", err)
	}
	resp, answer := p.Post(raw, time.Now(), nil)
	p.mu.Lock()
	defer p.mu.Unlock()
	r := p.exchanges[id]
	if resp == http.StatusOK && r != nil {
		var u upload
		u.size = len(answer)
		if err := json.Unmarshal(answer, &u.payload); err != nil {
			p.object("the response to %s is not JSON: %v", id, err)
			return resp
		}
		p.acknowledge(r, u)
	}
	return resp
}

// Post sends a body to the bot's endpoint, signed for a time, and returns status
// and body of the response. spoil may change the request after it was signed.
func (p *Platform) Post(body []byte, at time.Time, spoil func(*http.Request)) (int, []byte) {
	p.t.Helper()
	p.mu.Lock()
	endpoint := p.endpoint
	p.mu.Unlock()
	req, err := http.NewRequest(http.MethodPost, endpoint, bytes.NewReader(body))
	if err != nil {
		p.t.Fatalf("request: %v", err)
	}
	timestamp := strconv.FormatInt(at.Unix(), 10)
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("X-Signature-Timestamp", timestamp)
	req.Header.Set("X-Signature-Ed25519", hex.EncodeToString(ed25519.Sign(p.private, append([]byte(timestamp), body...))))
	if spoil != nil {
		spoil(req)
	}
	resp, err := p.client.Do(req)
	if err != nil {
		p.t.Fatalf("the endpoint: %v", err)
	}
	defer func() { _ = resp.Body.Close() }()
	answer, err := io.ReadAll(resp.Body)
	if err != nil {
		p.t.Fatalf("the endpoint: %v", err)
	}
	if kind := resp.Header.Get("Content-Type"); resp.StatusCode == http.StatusOK && kind != "application/json" {
		p.t.Errorf("the endpoint answered with content type %q", kind)
	}
	return resp.StatusCode, answer
}

// wait waits until an exchange has its answer, all of it.
func (m *Member) wait(ex *Exchange) *Exchange {
	m.p.t.Helper()
	return ex.Until("an answer to interaction "+ex.ID, func(now *Exchange) bool { return now.Took > 0 })
}

// command finds a registered command, of the server first.
func (m *Member) command(kind int, name string) map[string]any {
	m.p.mu.Lock()
	defer m.p.mu.Unlock()
	for _, scope := range []string{m.guild, ""} {
		for _, c := range m.p.commands[scope] {
			if int(number(c["type"])) == kind && c["name"] == name {
				return c
			}
		}
	}
	return nil
}

var optionStart = regexp.MustCompile(`(?:^|\s)([-_'\p{L}\p{N}]+):`)

// typed turns a typed line into the data of an interaction, the way the app does.
func (m *Member) typed(line, focused string) (map[string]any, error) {
	line = strings.TrimPrefix(strings.TrimSpace(line), "/")
	name, rest, _ := strings.Cut(line, " ")
	command := m.command(1, name)
	if command == nil {
		return nil, fmt.Errorf("no command /%s is registered", name)
	}
	options, err := typedOptions(command, strings.TrimSpace(rest), focused)
	if err != nil {
		return nil, err
	}
	return map[string]any{"id": command["id"], "name": name, "type": 1, "options": options}, nil
}

func typedOptions(node map[string]any, rest, focused string) ([]any, error) {
	defined := list(node["options"])
	if len(defined) > 0 && number(object(defined[0])["type"]) <= 2 {
		name, rest, _ := strings.Cut(rest, " ")
		for _, item := range defined {
			if sub := object(item); sub["name"] == name {
				inside, err := typedOptions(sub, strings.TrimSpace(rest), focused)
				return []any{map[string]any{"name": name, "type": sub["type"], "options": inside}}, err
			}
		}
		return nil, fmt.Errorf("no subcommand %q", name)
	}
	known := map[string]map[string]any{}
	for _, item := range defined {
		name, _ := object(item)["name"].(string)
		known[name] = object(item)
	}
	// An option starts at a known name with a colon; anything else is part of a value.
	type start struct{ name, at, end int }
	var starts []start
	var names []string
	for _, span := range optionStart.FindAllStringSubmatchIndex(rest, -1) {
		if name := rest[span[2]:span[3]]; known[name] != nil {
			starts = append(starts, start{len(names), span[0], span[1]})
			names = append(names, name)
		}
	}
	if len(starts) == 0 && rest != "" || len(starts) > 0 && strings.TrimSpace(rest[:starts[0].at]) != "" {
		return nil, fmt.Errorf("%q does not start with an option; there are %s", rest, strings.Join(sortedKeys(known), ", "))
	}
	out := []any{}
	given := map[string]bool{}
	for i, s := range starts {
		end := len(rest)
		if i+1 < len(starts) {
			end = starts[i+1].at
		}
		name := names[s.name]
		option, err := typedOption(known[name], strings.TrimSpace(rest[s.end:end]), name == focused)
		if err != nil {
			return nil, err
		}
		given[name] = true
		out = append(out, option)
	}
	for name, o := range known {
		if required, _ := o["required"].(bool); required && !given[name] && focused == "" {
			return nil, fmt.Errorf("option %q is required", name)
		}
	}
	if focused != "" && !given[focused] {
		return nil, fmt.Errorf("option %q is not being typed", focused)
	}
	return out, nil
}

func typedOption(o map[string]any, text string, focused bool) (map[string]any, error) {
	name, kind := o["name"], int(number(o["type"]))
	option := map[string]any{"name": name, "type": kind, "value": text}
	if focused {
		if auto, _ := o["autocomplete"].(bool); !auto {
			return nil, fmt.Errorf("option %q has no autocomplete", name)
		}
		option["focused"] = true
		return option, nil // numbers too come as text while they are typed
	}
	if choices := list(o["choices"]); len(choices) > 0 {
		for _, item := range choices {
			if c := object(item); c["name"] == text || fmt.Sprint(c["value"]) == text {
				option["value"] = c["value"]
				return option, nil
			}
		}
		return nil, fmt.Errorf("option %q has no choice %q", name, text)
	}
	switch kind {
	case 4:
		n, err := strconv.Atoi(text)
		if err != nil {
			return nil, fmt.Errorf("option %q takes a whole number, not %q", name, text)
		}
		if least, ok := o["min_value"].(float64); ok && float64(n) < least {
			return nil, fmt.Errorf("option %q is at least %v", name, least)
		}
		if most, ok := o["max_value"].(float64); ok && float64(n) > most {
			return nil, fmt.Errorf("option %q is at most %v", name, most)
		}
		option["value"] = n
	case 5:
		// The app offers the two as a choice; yes and no stand for picking one.
		picks := map[string]bool{"true": true, "yes": true, "false": false, "no": false}
		yes, ok := picks[text]
		if !ok {
			return nil, fmt.Errorf("option %q takes true or false, not %q", name, text)
		}
		option["value"] = yes
	}
	return option, nil
}

func sortedKeys(m map[string]map[string]any) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// TypeAhead asks for the completions of an option, like Autocomplete, and does not wait.
func (m *Member) TypeAhead(line, option string) *Exchange {
	m.p.t.Helper()
	data, err := m.typed(line, option)
	if err != nil {
		m.p.t.Fatalf("typing %q: %v", line, err)
	}
	return m.send(4, data, nil)
}

// PressOn presses a button of a custom id, like Press, and does not wait.
func (m *Member) PressOn(customID string) *Exchange {
	m.p.t.Helper()
	return m.send(3, map[string]any{"custom_id": customID, "component_type": 2}, m.message())
}
