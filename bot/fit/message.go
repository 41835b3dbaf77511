package fit

import (
	"strconv"
	"unicode/utf16"

	"github.com/bwmarrin/discordgo"
)

// Ephemeral is the flag of a message that its reader alone sees.
const Ephemeral = 1 << 6

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

// Message is what a member sees. It is always sent whole: a field left out of
// an edit would keep what was there. The library's own type has no text for
// attachments, so this is ours.
type Message struct {
	Content         string                           `json:"content"`
	Embeds          []*discordgo.MessageEmbed        `json:"embeds"`
	Components      []component                      `json:"components"`
	Attachments     []attachment                     `json:"attachments"`
	AllowedMentions discordgo.MessageAllowedMentions `json:"allowed_mentions"`
	Flags           int                              `json:"flags,omitempty"`

	Files []File `json:"-"`
}

// File is the content of the attachment with the same index.
type File struct {
	Name string
	Data []byte
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
	Options     []SelectOption `json:"options,omitempty"`
	Components  []component    `json:"components,omitempty"`
	Component   *component     `json:"component,omitempty"`
}

// SelectOption is a choice of a menu.
type SelectOption struct {
	Label       string `json:"label"`
	Value       string `json:"value"`
	Description string `json:"description,omitempty"`
	Default     bool   `json:"default,omitempty"`
}

// Modal is a form as the platform opens it.
type Modal struct {
	CustomID   string      `json:"custom_id"`
	Title      string      `json:"title"`
	Components []component `json:"components"`
}

// newMessage is an empty message that mentions nobody.
func newMessage() *Message {
	return &Message{
		Embeds:          []*discordgo.MessageEmbed{},
		Components:      []component{},
		Attachments:     []attachment{},
		AllowedMentions: discordgo.MessageAllowedMentions{Parse: []discordgo.AllowedMentionType{}},
	}
}

// Sentence is a message of one plain sentence of ours.
func Sentence(text string) *Message {
	m := newMessage()
	m.Content = text
	return m
}

// attach adds a file and its alternative text.
func (m *Message) attach(name string, data []byte, alt string) {
	m.Attachments = append(m.Attachments, attachment{ID: strconv.Itoa(len(m.Files)), Filename: name, Description: alt})
	m.Files = append(m.Files, File{name, data})
}

// Size is the number of bytes of all files.
func (m *Message) Size() int {
	n := 0
	for _, f := range m.Files {
		n += len(f.Data)
	}
	return n
}

// Private returns a copy with the ephemeral flag set or cleared.
func (m Message) Private(yes bool) *Message {
	m.Flags &^= Ephemeral
	if yes {
		m.Flags |= Ephemeral
	}
	return &m
}

// Units counts a text the way that never counts less than the platform does: in
// UTF-16 units.
func Units(text string) int {
	n := 0
	for _, r := range text {
		n += utf16.RuneLen(r)
	}
	return n
}
