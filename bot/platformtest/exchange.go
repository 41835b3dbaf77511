package platformtest

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"strings"
	"time"
)

// record is what the stand-in knows of one interaction. Platform.mu guards it.
type record struct {
	id, token      string
	kind           int
	body           map[string]any // as it was delivered
	sent           time.Time
	acknowledged   bool
	by             [sha256.Size]byte // what it was acknowledged with, over REST
	acknowledgedAt time.Time
	settledAt      time.Time
	wordsAt        time.Time // the first message, form or list was there
	picturedAt     time.Time // and the first message with a file
	late, excused  bool
	deferred       bool
	private        bool
	edits          int
	original       *Message
	followUps      []*Message
	modal          *Modal
	choices        []Choice
}

// Exchange is one thing that a member did and what came back.
type Exchange struct {
	ID           string
	Message      *Message   // the answer, if it is a message
	FollowUps    []*Message // further messages
	Modal        *Modal     // the answer, if it is a form
	Choices      []Choice   // the answer, if it is a list of completions
	Deferred     bool       // the first answer was a deferral
	Acknowledged time.Duration
	Took         time.Duration // until the answer was complete
	Sent         time.Time
	Words        time.Duration // until the first message, form or list; 0: never
	Pictured     time.Duration // until the first message with a file; 0: never
	Edits        int
	HTTPStatus   int // of the response, over HTTP

	member *Member
}

// Message is a message as the stand-in took it.
type Message struct {
	ID      string
	Content string
	Embeds  []Embed
	Buttons []Button
	Menus   []Menu
	Files   []File
	Private bool
}

// Embed is a framed part of a message.
type Embed struct{ Title, Description, Image string }

// Button is a button under a message.
type Button struct {
	Label string
	ID    string
	Style int
}

// Menu is a menu under a message.
type Menu struct {
	Placeholder string
	ID          string
	Options     []Choice
}

// Choice is one entry of a menu or of a list of completions.
type Choice struct{ Name, Value string }

// File is an attachment.
type File struct {
	Name string
	Data []byte
	Alt  string
}

// Modal is a form.
type Modal struct {
	Title  string
	ID     string
	Fields []Field
}

// Field is one text input of a form, or a menu in it.
type Field struct {
	ID, Label, Value, Placeholder string
	Long, Required                bool
	MaxLength                     int
	Options                       []Choice // of a menu
}

// Text is everything that can be read in the message without opening a file.
func (m *Message) Text() string {
	if m == nil {
		return ""
	}
	parts := []string{}
	for _, part := range append([]string{m.Content}, m.embedTexts()...) {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, "\n")
}

func (m *Message) embedTexts() []string {
	var out []string
	for _, e := range m.Embeds {
		out = append(out, e.Title, e.Description)
	}
	return out
}

// Text is the text of the answer, whatever its kind.
func (ex *Exchange) Text() string {
	switch {
	case ex.Message != nil:
		return ex.Message.Text()
	case ex.Modal != nil:
		lines := []string{ex.Modal.Title}
		for _, f := range ex.Modal.Fields {
			lines = append(lines, f.Label+": "+f.Value)
		}
		return strings.Join(lines, "\n")
	}
	lines := []string{}
	for _, c := range ex.Choices {
		lines = append(lines, c.Name)
	}
	return strings.Join(lines, "\n")
}

// File is the attachment of that name, or nil.
func (ex *Exchange) File(name string) *File {
	if ex.Message == nil {
		return nil
	}
	for i, f := range ex.Message.Files {
		if f.Name == name {
			return &ex.Message.Files[i]
		}
	}
	return nil
}

// Unanswered takes an interaction out of the check that everything is answered.
func (ex *Exchange) Unanswered() {
	p := ex.member.p
	p.mu.Lock()
	defer p.mu.Unlock()
	p.exchanges[ex.ID].excused = true
}

// Forget frees what the stand-in keeps of the exchange, for long runs.
func (ex *Exchange) Forget() {
	p := ex.member.p
	p.mu.Lock()
	defer p.mu.Unlock()
	if r := p.exchanges[ex.ID]; r != nil {
		delete(p.byToken, r.token)
		delete(p.exchanges, ex.ID)
	}
	for _, s := range p.gateway.byShard {
		if n := len(s.events); n > 1024 {
			s.forgotten += int64(n - 64)
			s.events = append([]frame(nil), s.events[n-64:]...)
		}
	}
}

// Acknowledged tells whether an interaction has its first answer.
func (p *Platform) Acknowledged(id string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	r := p.exchanges[id]
	return r != nil && r.acknowledged
}

// Look is the exchange as it is now.
func (ex *Exchange) Look() *Exchange {
	p := ex.member.p
	p.mu.Lock()
	defer p.mu.Unlock()
	now := p.snapshot(p.exchanges[ex.ID], ex.member)
	now.HTTPStatus = ex.HTTPStatus
	return now
}

// settled notes that an answer is there, for now. p.mu is held.
func (r *record) settled() {
	r.settledAt = time.Now()
	if r.wordsAt.IsZero() {
		r.wordsAt = r.settledAt
	}
	if r.picturedAt.IsZero() && r.original != nil && len(r.original.Files) > 0 {
		r.picturedAt = r.settledAt
	}
}

// Until waits until the exchange, looked at again whenever something happens,
// is as done wants it.
func (ex *Exchange) Until(what string, done func(*Exchange) bool) *Exchange {
	p := ex.member.p
	p.t.Helper()
	var now *Exchange
	ok := p.wait(p.options.Patience, func() bool {
		now = p.snapshot(p.exchanges[ex.ID], ex.member)
		now.HTTPStatus = ex.HTTPStatus
		return done(now)
	})
	if !ok {
		p.t.Fatalf("waited in vain: %s; so far the answer is %q", what, now.Text())
	}
	return now
}

// snapshot copies a record. p.mu is held.
func (p *Platform) snapshot(r *record, m *Member) *Exchange {
	ex := &Exchange{
		ID: r.id, Message: r.original, Modal: r.modal, Choices: r.choices, Deferred: r.deferred, Edits: r.edits,
		FollowUps: append([]*Message(nil), r.followUps...), member: m,
	}
	if r.acknowledged {
		ex.Acknowledged = r.acknowledgedAt.Sub(r.sent)
	}
	ex.Sent = r.sent
	if !r.wordsAt.IsZero() {
		ex.Words = r.wordsAt.Sub(r.sent)
	}
	if !r.picturedAt.IsZero() {
		ex.Pictured = r.picturedAt.Sub(r.sent)
	}
	if !r.settledAt.IsZero() {
		ex.Took = r.settledAt.Sub(r.sent)
	}
	return ex
}

// message reads a message that has been checked. p.mu is held.
func (p *Platform) message(data map[string]any, files []File) *Message {
	m := &Message{Private: int(number(data["flags"]))&flagEphemeral != 0, Files: files}
	m.Content, _ = data["content"].(string)
	alt := map[string]string{}
	for _, item := range list(data["attachments"]) {
		a := object(item)
		alt[fmt.Sprint(a["id"])], _ = a["description"].(string)
	}
	for i := range m.Files {
		m.Files[i].Alt = alt[fmt.Sprint(i)]
	}
	for _, item := range list(data["embeds"]) {
		e := object(item)
		embed := Embed{}
		embed.Title, _ = e["title"].(string)
		embed.Description, _ = e["description"].(string)
		image, _ := object(e["image"])["url"].(string)
		embed.Image = strings.TrimPrefix(image, "attachment://")
		m.Embeds = append(m.Embeds, embed)
	}
	for _, row := range list(data["components"]) {
		for _, item := range list(object(row)["components"]) {
			control := object(item)
			id, _ := control["custom_id"].(string)
			if number(control["type"]) == 2 {
				label, _ := control["label"].(string)
				m.Buttons = append(m.Buttons, Button{label, id, int(number(control["style"]))})
				continue
			}
			placeholder, _ := control["placeholder"].(string)
			menu := Menu{Placeholder: placeholder, ID: id}
			for _, o := range list(control["options"]) {
				label, _ := object(o)["label"].(string)
				value, _ := object(o)["value"].(string)
				menu.Options = append(menu.Options, Choice{label, value})
			}
			m.Menus = append(m.Menus, menu)
		}
	}
	return m
}

func parseChoices(data map[string]any) []Choice {
	out := []Choice{}
	for _, item := range list(data["choices"]) {
		name, _ := object(item)["name"].(string)
		out = append(out, Choice{name, fmt.Sprint(object(item)["value"])})
	}
	return out
}

func parseModal(data map[string]any) *Modal {
	raw, err := json.Marshal(data)
	if err != nil {
		return &Modal{}
	}
	type input struct {
		ID          string `json:"custom_id"`
		Label       string `json:"label"`
		Value       string `json:"value"`
		Placeholder string `json:"placeholder"`
		Style       int    `json:"style"`
		Required    *bool  `json:"required"`
		MaxLength   int    `json:"max_length"`
		Options     []struct {
			Label, Value string
			Default      bool
		} `json:"options"`
	}
	var wire struct {
		Title      string `json:"title"`
		ID         string `json:"custom_id"`
		Components []struct {
			Label      string  `json:"label"`
			Component  *input  `json:"component"`
			Components []input `json:"components"`
		} `json:"components"`
	}
	if json.Unmarshal(raw, &wire) != nil {
		return &Modal{}
	}
	m := &Modal{Title: wire.Title, ID: wire.ID}
	for _, part := range wire.Components {
		in := part.Component
		if in == nil {
			in = &part.Components[0]
		}
		label := part.Label
		if label == "" {
			label = in.Label
		}
		f := Field{
			ID: in.ID, Label: label, Value: in.Value, Placeholder: in.Placeholder,
			Long: in.Style == 2, Required: in.Required == nil || *in.Required, MaxLength: in.MaxLength,
		}
		for _, o := range in.Options {
			f.Options = append(f.Options, Choice{o.Label, o.Value})
			if o.Default {
				f.Value = o.Value
			}
		}
		m.Fields = append(m.Fields, f)
	}
	return m
}
