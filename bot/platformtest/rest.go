package platformtest

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"regexp"
	"strings"
	"time"
)

// Error codes of the platform that the stand-in answers with.
const (
	codeUnknownInteraction = 10062
	codeUnknownWebhook     = 10015
	codeUnknownMessage     = 10008
	codeAcknowledged       = 40060
	codeEmptyMessage       = 50006
	codeInvalidBody        = 50035
)

var (
	pathCallback = regexp.MustCompile(`^/interactions/([^/]+)/([^/]+)/callback$`)
	pathOriginal = regexp.MustCompile(`^/webhooks/([^/]+)/([^/]+)/messages/@original$`)
	pathMessage  = regexp.MustCompile(`^/webhooks/([^/]+)/([^/]+)/messages/([0-9]+)$`)
	pathFollowUp = regexp.MustCompile(`^/webhooks/([^/]+)/([^/]+)$`)
	pathCommands = regexp.MustCompile(`^/applications/([^/]+)(?:/guilds/([^/]+))?/commands$`)
)

func fail(w http.ResponseWriter, status, code int, message string, details ...string) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	body := map[string]any{"code": code, "message": message}
	if len(details) > 0 {
		body["errors"] = details
	}
	_ = json.NewEncoder(w).Encode(body)
}

func reply(w http.ResponseWriter, body any) {
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(body)
}

func (p *Platform) serve(w http.ResponseWriter, r *http.Request) {
	if r.URL.Path == "/gw" || r.URL.Path == "/gw/" {
		p.serveGateway(w, r)
		return
	}
	path, versioned := strings.CutPrefix(r.URL.Path, "/api/v")
	_, path, found := strings.Cut(path, "/")
	path = "/" + path
	route, handle := p.route(r.Method, path)
	if !versioned || !found || handle == nil {
		p.mu.Lock()
		p.object("unexpected request %s %s", r.Method, r.URL.Path)
		p.mu.Unlock()
		fail(w, http.StatusNotFound, 0, "404: Not Found")
		return
	}
	p.mu.Lock()
	p.calls[route]++
	fault := p.takeFault(route, r)
	p.mu.Unlock()
	next := func(w http.ResponseWriter, r *http.Request) { handle(w, r) }
	if fault != nil {
		fault(w, r, next)
		return
	}
	next(w, r)
}

func (p *Platform) route(method, path string) (string, http.HandlerFunc) {
	authorized := func(next http.HandlerFunc) http.HandlerFunc {
		return func(w http.ResponseWriter, r *http.Request) {
			if r.Header.Get("Authorization") != "Bot "+p.Token {
				fail(w, http.StatusUnauthorized, 0, "401: Unauthorized")
				return
			}
			next(w, r)
		}
	}
	switch {
	case method == http.MethodGet && path == "/gateway":
		return RouteGateway, func(w http.ResponseWriter, _ *http.Request) { reply(w, map[string]any{"url": p.socketURL()}) }
	case method == http.MethodGet && path == "/gateway/bot":
		return RouteGatewayBot, authorized(p.serveGatewayBot)
	case method == http.MethodGet && path == "/oauth2/applications/@me":
		return RouteApplication, authorized(func(w http.ResponseWriter, _ *http.Request) {
			reply(w, map[string]any{"id": p.ApplicationID, "name": "stand-in", "verify_key": p.PublicKey})
		})
	}
	if m := pathCommands.FindStringSubmatch(path); m != nil && m[1] == p.ApplicationID {
		switch method {
		case http.MethodGet:
			return RouteCommands, authorized(func(w http.ResponseWriter, _ *http.Request) { p.readCommands(w, m[2]) })
		case http.MethodPut:
			return RouteCommands, authorized(func(w http.ResponseWriter, r *http.Request) { p.writeCommands(w, r, m[2]) })
		}
	}
	if m := pathCallback.FindStringSubmatch(path); m != nil && method == http.MethodPost {
		return RouteCallback, func(w http.ResponseWriter, r *http.Request) { p.callback(w, r, m[1], m[2]) }
	}
	if m := pathOriginal.FindStringSubmatch(path); m != nil && m[1] == p.ApplicationID && method == http.MethodPatch {
		return RouteEdit, func(w http.ResponseWriter, r *http.Request) { p.edit(w, r, m[2]) }
	}
	if m := pathMessage.FindStringSubmatch(path); m != nil && m[1] == p.ApplicationID && method == http.MethodPatch {
		return RouteEdit, func(w http.ResponseWriter, r *http.Request) { p.editFollowUp(w, r, m[2], m[3]) }
	}
	if m := pathFollowUp.FindStringSubmatch(path); m != nil && m[1] == p.ApplicationID && method == http.MethodPost {
		return RouteFollowUp, func(w http.ResponseWriter, r *http.Request) { p.followUp(w, r, m[2]) }
	}
	return "", nil
}

func (p *Platform) serveGatewayBot(w http.ResponseWriter, _ *http.Request) {
	reply(w, map[string]any{
		"url": p.socketURL(), "shards": p.options.Shards,
		"session_start_limit": map[string]any{
			"total": 1000, "remaining": max(0, p.options.StartsLeft), "reset_after": 3_600_000, "max_concurrency": p.options.MaxConcurrency,
		},
	})
}

func (p *Platform) readCommands(w http.ResponseWriter, guild string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	list := p.commands[guild]
	if list == nil {
		list = []map[string]any{}
	}
	reply(w, list)
}

func (p *Platform) writeCommands(w http.ResponseWriter, r *http.Request, guild string) {
	raw, err := io.ReadAll(r.Body)
	if err != nil {
		return
	}
	var list []map[string]any
	faults := checkCommands(raw, guild != "")
	if len(faults) == 0 {
		if err := json.Unmarshal(raw, &list); err != nil {
			faults = []string{err.Error()}
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(faults) > 0 {
		p.object("commands refused: %s", strings.Join(faults, "; "))
		fail(w, http.StatusBadRequest, codeInvalidBody, "Invalid Form Body", faults...)
		return
	}
	for _, c := range list {
		p.asGivenBack(c, guild)
	}
	p.commands[guild] = list
	p.writes++
	p.notify()
	reply(w, list)
}

// asGivenBack turns a written command into what the platform gives back: ids
// and defaults filled in, empty things left out. p.mu is held.
func (p *Platform) asGivenBack(c map[string]any, guild string) {
	set := func(key string, value any) {
		if c[key] == nil {
			c[key] = value
		}
	}
	set("type", 1.0)
	set("description", "")
	set("default_member_permissions", nil)
	set("nsfw", false)
	set("name_localizations", nil)
	set("description_localizations", nil)
	set("contexts", nil)
	set("integration_types", []any{0.0})
	c["id"], c["application_id"], c["version"], c["dm_permission"] = p.id(), p.ApplicationID, p.id(), true
	if guild != "" {
		c["guild_id"] = guild
	}
	withoutDefaults(c, "options")
}

func withoutDefaults(node map[string]any, key string) {
	options, _ := node[key].([]any)
	if len(options) == 0 {
		delete(node, key)
		return
	}
	for _, o := range options {
		option := o.(map[string]any)
		for k, v := range option {
			if v == nil || v == false {
				delete(option, k)
			}
		}
		withoutDefaults(option, "options")
	}
}

// upload is a body, of JSON or of several parts.
type upload struct {
	payload map[string]any
	files   []File
	size    int
	sum     [sha256.Size]byte // of the whole body
}

func readUpload(r *http.Request) (upload, error) {
	raw, err := io.ReadAll(r.Body)
	if err != nil {
		return upload{}, err
	}
	u := upload{size: len(raw), sum: sha256.Sum256(raw)}
	kind, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil {
		return u, err
	}
	if kind == "application/json" {
		return u, json.Unmarshal(raw, &u.payload)
	}
	if kind != "multipart/form-data" {
		return u, fmt.Errorf("content type %q", kind)
	}
	parts := multipart.NewReader(bytes.NewReader(raw), params["boundary"])
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return u, err
		}
		data, err := io.ReadAll(part)
		if err != nil {
			return u, err
		}
		if part.FormName() == "payload_json" {
			if err := json.Unmarshal(data, &u.payload); err != nil {
				return u, err
			}
			continue
		}
		if want := fmt.Sprintf("files[%d]", len(u.files)); part.FormName() != want {
			return u, fmt.Errorf("part %q where %q belongs", part.FormName(), want)
		}
		u.files = append(u.files, File{Name: part.FileName(), Data: data})
	}
	if u.payload == nil {
		return u, errors.New("no payload_json")
	}
	return u, nil
}

// callback takes a first answer that came by REST.
func (p *Platform) callback(w http.ResponseWriter, r *http.Request, id, token string) {
	u, err := readUpload(r)
	if err != nil {
		fail(w, http.StatusBadRequest, 50109, "The request body contains invalid JSON.")
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	rec := p.exchanges[id]
	if rec == nil || rec.token != token {
		fail(w, http.StatusNotFound, codeUnknownInteraction, "Unknown interaction")
		return
	}
	if rec.acknowledged && rec.by == u.sum { // sent again, as one may who did not hear of it
		fail(w, http.StatusBadRequest, codeAcknowledged, "refused")
		return
	}
	status, code, faults := p.acknowledge(rec, u)
	if status != 0 {
		fail(w, status, code, "refused", faults...)
		return
	}
	rec.by = u.sum
	w.WriteHeader(http.StatusNoContent)
}

// acknowledge takes a first answer. p.mu is held.
func (p *Platform) acknowledge(rec *record, u upload) (status, code int, faults []string) {
	if rec.acknowledged {
		p.object("interaction %s was acknowledged twice", rec.id)
		return http.StatusBadRequest, codeAcknowledged, nil
	}
	if time.Since(rec.sent) > p.options.Deadline {
		rec.late = true
		p.notify()
		return http.StatusNotFound, codeUnknownInteraction, nil
	}
	if faults := checkAnswer(rec.kind, u, p.options.FileLimit); len(faults) > 0 {
		p.object("answer to %s refused: %s", rec.id, strings.Join(faults, "; "))
		return http.StatusBadRequest, codeInvalidBody, faults
	}
	rec.acknowledged = true
	rec.acknowledgedAt = time.Now()
	kind := int(number(u.payload["type"]))
	data, _ := u.payload["data"].(map[string]any)
	switch kind {
	case 4, 7:
		rec.original = p.message(data, u.files)
		rec.settled()
	case 5:
		rec.deferred = true
		rec.private = int(number(data["flags"]))&64 != 0
	case 8:
		rec.choices = parseChoices(data)
		rec.settled()
	case 9:
		rec.modal = parseModal(data)
		rec.settled()
	default:
		rec.settled()
	}
	p.notify()
	return 0, 0, nil
}

func (p *Platform) edit(w http.ResponseWriter, r *http.Request, token string) {
	p.later(w, r, token, func(rec *record, m *Message) bool {
		m.ID = p.id()
		m.Private = rec.private || rec.original != nil && rec.original.Private
		rec.original = m
		rec.edits++
		rec.settled()
		return true
	})
}

func (p *Platform) followUp(w http.ResponseWriter, r *http.Request, token string) {
	p.later(w, r, token, func(rec *record, m *Message) bool {
		if rec.deferred && rec.original == nil {
			p.object("interaction %s: a follow-up before the deferral was filled in takes its place", rec.id)
		}
		m.ID = p.id()
		rec.followUps = append(rec.followUps, m)
		return true
	})
}

func (p *Platform) editFollowUp(w http.ResponseWriter, r *http.Request, token, id string) {
	p.later(w, r, token, func(rec *record, m *Message) bool {
		for i, before := range rec.followUps {
			if before.ID == id {
				m.ID, m.Private = id, before.Private
				rec.followUps[i] = m
				return true
			}
		}
		return false
	})
}

// later takes a message that belongs to an acknowledged interaction. keep is false
// for a message that there is not.
func (p *Platform) later(w http.ResponseWriter, r *http.Request, token string, keep func(*record, *Message) bool) {
	u, err := readUpload(r)
	if err != nil {
		fail(w, http.StatusBadRequest, 50109, "The request body contains invalid JSON.")
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	rec := p.byToken[token]
	if rec == nil || !rec.acknowledged || time.Since(rec.sent) > 15*time.Minute {
		fail(w, http.StatusNotFound, codeUnknownWebhook, "Unknown Webhook")
		return
	}
	if faults := checkMessage(u.payload, u, p.options.FileLimit); len(faults) > 0 {
		p.object("message for %s refused: %s", rec.id, strings.Join(faults, "; "))
		fail(w, http.StatusBadRequest, codeInvalidBody, "Invalid Form Body", faults...)
		return
	}
	m := p.message(u.payload, u.files)
	if !keep(rec, m) {
		fail(w, http.StatusNotFound, codeUnknownMessage, "Unknown Message")
		return
	}
	p.notify()
	reply(w, map[string]any{"id": m.ID, "channel_id": "1", "content": ""})
}

func number(v any) float64 {
	n, _ := v.(float64)
	return n
}
