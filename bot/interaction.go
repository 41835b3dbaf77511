package bot

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	"larkfold/bot/fit"
	"larkfold/commands/reply"

	"github.com/bwmarrin/discordgo"
)

// Kinds of interaction.
const (
	kindPing         = 1
	kindCommand      = 2
	kindPress        = 3
	kindAutocomplete = 4
	kindForm         = 5
)

func kindName(kind int) string {
	names := map[int]string{kindPing: "ping", kindCommand: "command", kindPress: "press", kindAutocomplete: "autocomplete", kindForm: "form"}
	if name, ok := names[kind]; ok {
		return name
	}
	return "unknown"
}

const (
	menuOnMessage = 3 // kind of command

	optionSubcommand = 1
	optionGroup      = 2

	contextGroup = 2 // a private channel with others in it

	permissionAdministrator = 1 << 3
	permissionManageServer  = 1 << 5
	permissionExternalApps  = 1 << 50 // without it, what an app of the member's own posts stays private
)

// interaction is what arrives, as far as it concerns us. Unknown fields and
// unknown components are passed over.
type interaction struct {
	ID                  string           `json:"id"`
	ApplicationID       string           `json:"application_id"`
	Type                int              `json:"type"`
	Token               string           `json:"token"`
	GuildID             string           `json:"guild_id"`
	ChannelID           string           `json:"channel_id"`
	Context             *int             `json:"context"`
	AttachmentSizeLimit int              `json:"attachment_size_limit"`
	AppPermissions      string           `json:"app_permissions"`
	Member              *member          `json:"member"`
	User                *user            `json:"user"`
	Data                *interactionData `json:"data"`

	// Owners is who installed the application: the server under "0", the user under "1".
	Owners map[string]string `json:"authorizing_integration_owners"`

	received time.Time
	age      time.Duration // when it was received
	limiter  *discordgo.RateLimiter
	doneIn   atomic.Pointer[lane] // where it was done last
}

// lane names where an interaction was done, if it came that far.
func (in *interaction) lane() string {
	if l := in.doneIn.Load(); l != nil {
		return l.name
	}
	return ""
}

type member struct {
	User        *user  `json:"user"`
	Nick        string `json:"nick"`
	Permissions string `json:"permissions"`
}

type user struct {
	ID         string `json:"id"`
	Username   string `json:"username"`
	GlobalName string `json:"global_name"`
}

type interactionData struct {
	// of a command
	Name     string           `json:"name"`
	Type     int              `json:"type"`
	Options  []option         `json:"options"`
	TargetID string           `json:"target_id"`
	Resolved *resolvedObjects `json:"resolved"`

	// of a press and of a form
	CustomID   string           `json:"custom_id"`
	Values     []string         `json:"values"`
	Components []submittedInput `json:"components"`
}

type option struct {
	Name    string          `json:"name"`
	Type    int             `json:"type"`
	Value   json.RawMessage `json:"value"`
	Focused bool            `json:"focused"`
	Options []option        `json:"options"`
}

type resolvedObjects struct {
	Messages map[string]pickedMessage `json:"messages"`
}

type pickedMessage struct {
	Content string `json:"content"`
	Embeds  []struct {
		Description string `json:"description"`
	} `json:"embeds"`
}

// submittedInput is a row or a label of a form, or the text input or menu in it.
type submittedInput struct {
	CustomID   string           `json:"custom_id"`
	Value      string           `json:"value"`
	Values     []string         `json:"values"` // of a menu
	Components []submittedInput `json:"components"`
	Component  *submittedInput  `json:"component"`
}

// decode is the one gate for everything that arrives. On an error it still
// returns what is needed to answer, if that could be read: answerable tells.
func decode(raw []byte, received time.Time) (in *interaction, err error) {
	in = &interaction{received: received, limiter: discordgo.NewRatelimiter()}
	if err := json.Unmarshal(raw, in); err != nil {
		var rescue struct {
			ID, Token     string
			Type          int
			ApplicationID string `json:"application_id"`
		}
		_ = json.Unmarshal(raw, &rescue)
		in.ID, in.Token, in.Type, in.ApplicationID = rescue.ID, rescue.Token, rescue.Type, rescue.ApplicationID
		return in, fmt.Errorf("undecodable interaction: %w", err)
	}
	if in.Type == kindPing {
		return in, nil
	}
	switch {
	case !in.answerable():
		return in, errors.New("undecodable interaction: no usable id, token or kind")
	case in.Data == nil:
		return in, errors.New("undecodable interaction: no data")
	case in.who() == nil || in.who().ID == "":
		return in, errors.New("undecodable interaction: nobody did it")
	}
	return in, nil
}

// answerable reports whether the platform can be answered.
func (in *interaction) answerable() bool {
	const longestToken, longestID = 1024, 20
	return consists(in.ID, longestID, digit) && consists(in.Token, longestToken, tokenSign) && in.Type >= kindCommand && in.Type <= kindForm
}

// consists tells whether a text is neither empty nor too long and holds such bytes only.
func consists(text string, longest int, of func(byte) bool) bool {
	for i := range len(text) {
		if i == longest || !of(text[i]) {
			return false
		}
	}
	return text != ""
}

func digit(b byte) bool { return b >= '0' && b <= '9' }

// tokenSign tells whether a byte may stand in an interaction's token.
func tokenSign(b byte) bool {
	return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || digit(b) || strings.IndexByte("_.=:-", b) >= 0
}

// who did it: a member in a server, a user elsewhere.
func (in *interaction) who() *user {
	if in.Member != nil && in.Member.User != nil {
		return in.Member.User
	}
	return in.User
}

// answerBy is when the platform takes no first answer any more.
func (in *interaction) answerBy(t Timing) time.Time { return in.received.Add(t.FirstAnswer - in.age) }

// acknowledgeBy is when an answer that is not ready is deferred: while there is
// time for another try or two.
func (in *interaction) acknowledgeBy(t Timing) time.Time {
	by, room := in.received.Add(t.Acknowledge), in.answerBy(t).Add(-t.FirstAnswer/3)
	if room.Before(by) {
		return room
	}
	return by
}

// public reports whether others can see the channel, so that answers are private by default.
func (in *interaction) public() bool {
	return in.GuildID != "" || in.Context != nil && *in.Context == contextGroup
}

// keptPrivate tells whether the platform shows what is posted here to the member
// alone: in a server where only the member installed the application, and where
// such applications may not post.
func (in *interaction) keptPrivate() bool {
	if in.GuildID == "" || len(in.Owners) == 0 || in.Owners["0"] == in.GuildID {
		return false
	}
	granted := permissions(in.AppPermissions)
	if in.Member != nil {
		granted |= permissions(in.Member.Permissions)
	}
	return granted&(permissionExternalApps|permissionAdministrator) == 0
}

func permissions(text string) uint64 {
	n, _ := strconv.ParseUint(text, 10, 64)
	return n
}

// fileLimit is the most bytes of one attachment here.
func (in *interaction) fileLimit() int {
	if in.AttachmentSizeLimit > 0 {
		return in.AttachmentSizeLimit
	}
	return fit.FileBytes
}

// reference is the short id that a member can quote and the log holds.
func (in *interaction) reference() string {
	n, err := strconv.ParseUint(in.ID, 10, 64)
	if err != nil {
		return in.ID
	}
	return strconv.FormatUint(n, 36)
}

// what names the command or the action, for the log.
func (in *interaction) what() string {
	switch {
	case in.Data == nil:
		return ""
	case in.Type == kindCommand || in.Type == kindAutocomplete:
		path, _ := in.Data.path()
		return path
	}
	do, _ := fit.DecodeAction(in.Data.CustomID)
	return do.Name
}

// request is the interaction in the words of commands.
func (in *interaction) request() (reply.Request, error) {
	who := in.who()
	req := reply.Request{
		ID: in.ID, Member: who.ID, MemberName: who.GlobalName,
		Community: in.GuildID, Channel: in.ChannelID, KeptPrivate: in.keptPrivate(), Now: in.received,
	}
	if req.MemberName == "" {
		req.MemberName = who.Username
	}
	if in.Member != nil {
		if in.Member.Nick != "" {
			req.MemberName = in.Member.Nick
		}
		req.CanManage = permissions(in.Member.Permissions)&(permissionManageServer|permissionAdministrator) != 0
	}
	switch in.Type {
	case kindCommand, kindAutocomplete:
		path, options := in.Data.path()
		req.Command = path
		req.Options = map[string]string{}
		for _, o := range options {
			text, given, err := o.text()
			if err != nil {
				return req, err
			}
			if given {
				req.Options[o.Name] = unquoted(text)
			}
		}
		if in.Data.Type == menuOnMessage {
			req.Text = in.Data.picked()
		}
	case kindPress, kindForm:
		do, err := fit.DecodeAction(in.Data.CustomID)
		if err != nil {
			return req, err
		}
		req.Action = &do
		req.Values = in.Data.Values
		if in.Type == kindForm {
			req.Fields = map[string]string{}
			collect(in.Data.Components, req.Fields)
		}
	}
	return req, nil
}

// path joins command, group and subcommand, and returns the options under them.
func (d *interactionData) path() (string, []option) {
	path, options := d.Name, d.Options
	for len(options) == 1 && (options[0].Type == optionSubcommand || options[0].Type == optionGroup) {
		path += " " + options[0].Name
		options = options[0].Options
	}
	return path, options
}

// picked is the text of the message that a message-menu command was used on.
func (d *interactionData) picked() string {
	if d.Resolved == nil {
		return ""
	}
	m := d.Resolved.Messages[d.TargetID]
	texts := []string{}
	if m.Content != "" {
		texts = append(texts, m.Content)
	}
	for _, e := range m.Embeds {
		if e.Description != "" {
			texts = append(texts, e.Description)
		}
	}
	return strings.Join(texts, "\n")
}

// text is an option's value as it was typed. Autocomplete sends numbers as text, possibly empty.
func (o option) text() (text string, given bool, err error) {
	raw := strings.TrimSpace(string(o.Value))
	switch {
	case raw == "" || raw == "null":
		return "", false, nil
	case raw[0] == '"':
		err := json.Unmarshal(o.Value, &text)
		return text, true, err
	case raw[0] == '{' || raw[0] == '[':
		return "", false, fmt.Errorf("option %q is not a plain value", o.Name)
	}
	return raw, true, nil
}

// unquoted takes off the quotes around a value. A line pasted from an example
// has them where a value holds blanks, and the platform passes them on.
func unquoted(text string) string {
	for _, pair := range [][2]string{{`"`, `"`}, {"“", "”"}} {
		inner, opened := strings.CutPrefix(text, pair[0])
		inner, closed := strings.CutSuffix(inner, pair[1])
		if opened && closed && !strings.ContainsAny(inner, `"“”`) {
			return inner
		}
	}
	return text
}

// focused is the option being typed in.
func (d *interactionData) focused() (name, typed string) {
	_, options := d.path()
	for _, o := range options {
		if o.Focused {
			text, _, _ := o.text()
			return o.Name, strings.TrimPrefix(unquoted(text), `"`)
		}
	}
	return "", ""
}

func collect(inputs []submittedInput, into map[string]string) {
	for _, in := range inputs {
		if in.CustomID != "" {
			into[in.CustomID] = in.Value
			if len(in.Values) > 0 {
				into[in.CustomID] = in.Values[0]
			}
		}
		collect(in.Components, into)
		if in.Component != nil {
			collect([]submittedInput{*in.Component}, into)
		}
	}
}
