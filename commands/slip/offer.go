package slip

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"larkfold/commands/ask"
	"larkfold/commands/pages"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
)

// Buttons that stand for a typed line: "line.try" for the suggestion of a refusal,
// which is kept as a draft, since no member's text travels in a button; "line.run" for
// the example of a command, whose path the button carries.
const (
	tryLine = "line.try"
	RunLine = "line.run"
)

// triedFor is how long the button of a suggestion works.
const triedFor = 24 * time.Hour

// Offered puts a button under a refusal that does what it suggests. Where the
// suggestion cannot be kept the words are there without it.
func (m *Mender) Offered(ctx context.Context, req reply.Request, answer reply.Reply, try string) reply.Reply {
	if line := m.lineOf(try); line.Command == "" || mustBeTyped(line, req.AsTyped(), try) {
		return answer
	}
	key, err := sitting.Remembered{Kind: tryLine, Holds: try, For: triedFor}.KeepAlone(ctx, m.Room.Store, req)
	if StoreFailed(err) {
		answer.Faults = append(answer.Faults, err)
	}
	if err != nil {
		return answer
	}
	answer.Blocks = append(answer.Blocks, reply.Actions{Buttons: []reply.Button{{Label: "do that", Do: reply.Do(tryLine, key, ""), Main: true}}})
	return answer
}

// mustBeTyped tells whether a line would erase, book, overwrite or remove something, or
// keep for true what is an example, which has figures that nobody typed: a press is too
// little for that.
func mustBeTyped(line reply.Request, typed, try string) bool {
	switch line.Command {
	case "knots remove", "rule remove":
		return true
	case "swatch add", "shelf add":
		return slices.ContainsFunc(saidWords.FindAllString(try, -1), func(w string) bool { return startsWithFigure(w) && !strings.Contains(typed, w) })
	}
	return line.Options["confirm"] != "" || line.Options["book"] == "yes" || strings.EqualFold(line.Options["save"], ask.InPlace)
}

// lineOf is a typed line as a request; one that names no command is empty.
func (m *Mender) lineOf(text string) reply.Request {
	line, wrong := m.Read(text)
	if wrong != nil {
		return reply.Request{}
	}
	if c, ok := reply.Find(m.Commands, strings.Fields(line.Command)); !ok || len(c.Sub) > 0 {
		return reply.Request{}
	}
	return line
}

// TypedBy turns the press of a button that stands for a typed line into that line.
func (m *Mender) TypedBy(ctx context.Context, req reply.Request) (reply.Request, error) {
	if req.Action == nil || req.Action.Name != tryLine && req.Action.Name != RunLine && req.Action.Name != pages.Show {
		return req, nil
	}
	gone := &reply.UserError{Wrong: "this button belongs to somebody else's answer, or is more than a day old", Right: "type the command, or ask again"}
	text := ""
	if c, ok := reply.Find(m.Commands, strings.Fields(req.Action.Key)); ok && req.Action.Name == RunLine {
		text = m.Room.Prefs(ctx, req).Sample(c.Example)
	} else if at := strings.LastIndex(req.Action.Key, " "); at > 0 && req.Action.Name == pages.Show {
		text = "/" + req.Action.Key[:at] + " page:" + req.Action.Key[at+1:]
	} else if req.Action.Name == tryLine {
		d, err := m.Room.Store.Draft(ctx, req.Member, req.Now, req.Action.Key)
		if err != nil || d.Kind != tryLine {
			gone.Cause = err
			return req, gone
		}
		if err := json.Unmarshal(d.Payload, &text); err != nil {
			return req, err
		}
	}
	line := m.lineOf(text)
	if line.Command == "" {
		return req, gone
	}
	req.Action, req.Command, req.Options = nil, line.Command, line.Options
	return req, nil
}
