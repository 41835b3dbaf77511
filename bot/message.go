package bot

import (
	"bytes"
	"encoding/json"
	"strconv"
	"unicode/utf16"

	"github.com/bwmarrin/discordgo"
)

// Kinds of first answer.
const (
	answerPong       = 1
	answerMessage    = 4
	answerDeferred   = 5
	answerCompletion = 8
	answerModal      = 9
)

const flagEphemeral = 1 << 6

// Kinds of component and styles of button and text input.
const (
	componentRow       = 1
	componentButton    = 2
	componentMenu      = 3
	componentTextInput = 4
	componentLabel     = 18

	buttonPrimary   = 1
	buttonSecondary = 2
	buttonDanger    = 4

	inputShort = 1
	inputLong  = 2
)

// message is what a member sees. It is always sent whole: a field left out of
// an edit would keep what was there. The library's own type has no text for
// attachments, so this is ours.
type message struct {
	Content         string                           `json:"content"`
	Embeds          []*discordgo.MessageEmbed        `json:"embeds"`
	Components      []component                      `json:"components"`
	Attachments     []attachment                     `json:"attachments"`
	AllowedMentions discordgo.MessageAllowedMentions `json:"allowed_mentions"`
	Flags           int                              `json:"flags,omitempty"`

	files []file
}

// file is the content of the attachment with the same index.
type file struct {
	name string
	data []byte
}

type attachment struct {
	ID          string `json:"id"`
	Filename    string `json:"filename"`
	Description string `json:"description,omitempty"`
}

type component struct {
	Type        int            `json:"type"`
	CustomID    string         `json:"custom_id,omitempty"`
	Style       int            `json:"style,omitempty"`
	Label       string         `json:"label,omitempty"`
	Placeholder string         `json:"placeholder,omitempty"`
	Value       string         `json:"value,omitempty"`
	MaxLength   int            `json:"max_length,omitempty"`
	Required    *bool          `json:"required,omitempty"`
	Options     []selectOption `json:"options,omitempty"`
	Components  []component    `json:"components,omitempty"`
	Component   *component     `json:"component,omitempty"`
}

type selectOption struct {
	Label       string `json:"label"`
	Value       string `json:"value"`
	Description string `json:"description,omitempty"`
	Default     bool   `json:"default,omitempty"`
}

type modal struct {
	CustomID   string      `json:"custom_id"`
	Title      string      `json:"title"`
	Components []component `json:"components"`
}

type completion struct {
	Choices []completionChoice `json:"choices"`
}

type completionChoice struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// response is a first answer.
type response struct {
	Type int `json:"type"`
	Data any `json:"data,omitempty"`

	files []file
}

// newMessage is an empty message that mentions nobody.
func newMessage() *message {
	return &message{
		Embeds:          []*discordgo.MessageEmbed{},
		Components:      []component{},
		Attachments:     []attachment{},
		AllowedMentions: discordgo.MessageAllowedMentions{Parse: []discordgo.AllowedMentionType{}},
	}
}

// sentence is a message of one plain sentence of ours.
func sentence(text string) *message {
	m := newMessage()
	m.Content = text
	return m
}

// attach adds a file and its alternative text.
func (m *message) attach(name string, data []byte, alt string) {
	m.Attachments = append(m.Attachments, attachment{ID: strconv.Itoa(len(m.files)), Filename: name, Description: alt})
	m.files = append(m.files, file{name, data})
}

// size is the number of bytes of all files.
func (m *message) size() int {
	n := 0
	for _, f := range m.files {
		n += len(f.data)
	}
	return n
}

// private returns a copy with the ephemeral flag set or cleared.
func (m message) private(yes bool) *message {
	m.Flags &^= flagEphemeral
	if yes {
		m.Flags |= flagEphemeral
	}
	return &m
}

// encode returns the body of a REST call. It can be sent again, unlike a reader.
func encode(payload any, files []file) (contentType string, body []byte, err error) {
	if len(files) == 0 {
		body, err = json.Marshal(payload)
		return "application/json", body, err
	}
	parts := make([]*discordgo.File, len(files))
	for i, f := range files {
		parts[i] = &discordgo.File{Name: f.name, Reader: bytes.NewReader(f.data)}
	}
	return discordgo.MultipartBodyWithJSON(payload, parts)
}

// units counts a text the way that never counts less than the platform does: in
// UTF-16 units.
func units(text string) int {
	n := 0
	for _, r := range text {
		n += utf16.RuneLen(r)
	}
	return n
}
