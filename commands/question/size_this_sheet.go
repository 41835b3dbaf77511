package question

import (
	"context"
	"regexp"
	"strings"

	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
)

// sizeMessage answers the working sheet in somebody's message.
func sizeMessage(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	text := fenced(req.Text)
	if strings.TrimSpace(text) == "" {
		return reply.Reply{}, &reply.UserError{Wrong: "the message holds no text", Right: "pick one that holds a working sheet: a cord line, a panel and its steps"}
	}
	if !sheetLine.MatchString(text) {
		return reply.Reply{}, &reply.UserError{Read: say.Shortened(strings.TrimSpace(text), 80), Wrong: "the message holds no working sheet", Right: "pick one that does: a cord line, a panel and its steps", Try: "/help topic:sheet"}
	}
	sized, err := design.SizeText(ctx, sit, text)
	if err != nil {
		return reply.Reply{}, err
	}
	return design.WithActions(ctx, sit, req, say.Sized(sized, sit.Prefs, nil), sized, "", nil)
}

// sheetLine is a line that every working sheet has.
var sheetLine = regexp.MustCompile(`(?mi)^\s*(cord|panel)\s`)

// fenced is what stands between the code fences of a message, or all of it.
func fenced(text string) string {
	_, inside, ok := strings.Cut(text, "```")
	if !ok {
		return text
	}
	inside, _, _ = strings.Cut(inside, "```")
	first, rest, found := strings.Cut(inside, "\n")
	if found && !strings.Contains(strings.TrimSpace(first), " ") {
		return rest // the fence's language, or nothing
	}
	return inside
}

// MessageCommand is "size this sheet", in the menu of a message.
func MessageCommand() handler.Command {
	return handler.Command{Run: sizeMessage, Reads: sitting.Sheets, Command: reply.Command{Name: "size this sheet", MessageMenu: true}}
}
