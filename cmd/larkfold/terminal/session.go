package terminal

import (
	"context"
	"crypto/rand"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"larkfold/cmd/larkfold/files"
	"larkfold/commands"
	"larkfold/commands/lines"
	"larkfold/commands/reply"
)

// asker hands over what is typed. At the end it returns io.EOF.
type asker interface {
	ask(prompt string) (string, error)                                              // for one line
	fill(ctx context.Context, form reply.Form) (typed map[string]string, err error) // for every field; [filled] says what it means
}

// session is one talk with the app.
type session struct {
	app     *commands.App
	screen  *screen
	asker   asker
	offers  bool    // what can be done next is listed, to be picked by number
	asked   string  // the last command that was understood, as it was typed
	offered []offer // by the last reply that was no bare refusal
	offerer string  // the command that it began with
	refused bool    // some answer was a refusal
}

// offer is one button or menu.
type offer struct {
	label   string
	do      reply.Action
	choices []reply.Choice // of a menu
}

// Who talks in a terminal, and where: one member, who looks after a community of
// one, so that everything can be tried without a server.
const (
	oneMember    = "you"
	oneCommunity = "terminal"
)

func (s *session) request() reply.Request {
	return reply.Request{ID: rand.Text(), Member: oneMember, MemberName: oneMember, Community: oneCommunity, Channel: oneCommunity, CanManage: true, Now: time.Now()}
}

// typed answers one line: a command, or the number of something offered.
func (s *session) typed(ctx context.Context, text string) error {
	if number, choice, ok := s.picked(text); ok {
		switch {
		case len(s.offered) > 0:
			return s.pick(ctx, number, choice)
		case onlyPicks(choice):
			return s.refuse(&reply.UserError{Read: text, Wrong: "nothing is offered now that could be picked", Right: "a command; /help lists them", Try: "/help"})
		}
	}
	req := s.request()
	line, wrong := s.app.Slips.Read(text)
	if wrong != nil {
		return s.refuse(s.app.Slips.Suggested(ctx, req, wrong))
	}
	req.Command, s.asked = line.Command, text
	if req.Options, wrong = readFiles(line.Options); wrong != nil {
		return s.refuse(wrong)
	}
	return s.answer(ctx, req)
}

// answer does a request, and whatever form it opens.
func (s *session) answer(ctx context.Context, req reply.Request) error {
	for {
		answer, err := s.app.Do(ctx, req)
		if err != nil {
			return err
		}
		form, ok := formOf(answer)
		if !ok {
			return s.shown(answer)
		}
		req = s.request()
		if req.Fields, err = s.asker.fill(ctx, form); err != nil {
			return err
		}
		for _, f := range form.Fields {
			req.Fields[f.Name] = filled(f, req.Fields[f.Name])
		}
		req.Action = &form.Do
	}
}

// shown shows a reply and remembers what it offers. A refusal that offers nothing
// leaves what was offered before, and says by what.
func (s *session) shown(answer reply.Reply) error {
	s.refused = s.refused || answer.Refused
	if !s.offers {
		return s.screen.show(append(slices.Clone(answer.Blocks), typedInstead(answer)...))
	}
	if err := s.screen.show(answer.Blocks); err != nil {
		return err
	}
	lead := "next: "
	if now := offersOf(answer); len(now) > 0 || !answer.Refused {
		s.offered, s.offerer = now, s.asked
	} else {
		lead = "still offered after " + reply.Quoted(firstLine(s.offerer)) + ": "
	}
	if len(s.offered) == 0 {
		return nil
	}
	var parts []string
	for i, o := range s.offered {
		parts = append(parts, fmt.Sprintf("%d %s", i+1, o.label))
	}
	return s.say("\n" + lead + strings.Join(parts, " · "))
}

// firstLine is as much of a command as is repeated to name it.
func firstLine(command string) string {
	const columns = 60
	broken := lines.Break(command, "", columns, lines.Columns)
	if len(broken) > 1 {
		return broken[0] + " …"
	}
	return command
}

// offersOf are the buttons and menus of a reply.
func offersOf(answer reply.Reply) []offer {
	var all []offer
	for _, block := range answer.Blocks {
		if a, ok := block.(reply.Actions); ok {
			for _, b := range a.Buttons {
				all = append(all, offer{label: b.Label, do: b.Do})
			}
			for _, m := range a.Menus {
				all = append(all, offer{label: m.Placeholder, do: m.Do, choices: m.Choices})
			}
		}
	}
	return all
}

// typedInstead is what can be typed instead of what a reply offers to be pressed.
func typedInstead(answer reply.Reply) []reply.Block {
	var typed reply.Facts
	for _, block := range answer.Blocks {
		if a, ok := block.(reply.Actions); ok {
			for _, b := range a.Buttons {
				typed = append(typed, reply.Fact{Label: b.Label, Value: b.Line})
			}
			for _, m := range a.Menus {
				typed = append(typed, reply.Fact{Label: m.Placeholder, Value: m.Line})
			}
		}
	}
	typed = slices.DeleteFunc(typed, func(f reply.Fact) bool { return f.Value == "" })
	if len(typed) == 0 {
		return nil
	}
	return []reply.Block{typed}
}

func (s *session) refuse(wrong *reply.UserError) error {
	facts := []reply.Fact{{Label: "read", Value: wrong.Read}, {Label: "wrong", Value: wrong.Wrong}, {Label: "right", Value: wrong.Right}}
	blocks := []reply.Block{reply.Facts(facts)}
	if wrong.Try != "" {
		blocks = append(blocks, reply.Text("Try"), reply.Verbatim(wrong.Try))
	}
	return s.shown(reply.Reply{Blocks: blocks, Refused: true})
}

func (s *session) say(text string) error {
	return s.screen.show([]reply.Block{reply.Text(text)})
}

// picked reads "3" or "3 B", or what is offered as it is written: "Next step net". Of
// two labels that a line begins with, the longer one is meant.
func (s *session) picked(text string) (number int, choice string, ok bool) {
	text = strings.TrimSpace(text)
	first, choice, _ := strings.Cut(text, " ")
	if number, err := strconv.Atoi(first); err == nil {
		return number, strings.TrimSpace(choice), true
	}
	longest := 0
	for i, o := range s.offered {
		n := len(o.label)
		if n <= longest || len(text) < n || !strings.EqualFold(text[:n], o.label) {
			continue
		}
		if rest := text[n:]; rest == "" || len(o.choices) > 0 && strings.HasPrefix(rest, " ") {
			longest, number, choice, ok = n, i+1, strings.TrimSpace(rest), true
		}
	}
	return number, choice, ok
}

// onlyPicks tells that a number with a choice behind it can mean nothing but what is
// offered: it stands alone, or before a cut's letter. Any other may be a size.
func onlyPicks(choice string) bool {
	return choice == "" || len(choice) == 1 && choice[0] >= 'A' && choice[0] <= 'Z'
}

// pick presses a button, or chooses from a menu.
func (s *session) pick(ctx context.Context, number int, choice string) error {
	if number < 1 || number > len(s.offered) {
		return s.refuse(&reply.UserError{Read: strconv.Itoa(number), Wrong: "nothing has that number", Right: fmt.Sprintf("1 to %d", len(s.offered))})
	}
	o := s.offered[number-1]
	s.asked = s.offerer
	req := s.request()
	req.Action = &o.do
	if len(o.choices) > 0 {
		if choice == "" {
			var err error
			if choice, err = s.choose(o); err != nil {
				return err
			}
		}
		value, ok := chosen(o.choices, choice)
		if !ok {
			return s.refuse(&reply.UserError{Read: choice, Wrong: "it is none of the choices", Right: fmt.Sprintf("1 to %d, or a choice as it is written", len(o.choices)), Try: fmt.Sprintf("%d %s", number, o.choices[0].Value)})
		}
		req.Values = []string{value}
	}
	return s.answer(ctx, req)
}

// choose lists a menu's choices and asks for one.
func (s *session) choose(o offer) (string, error) {
	if err := s.say(o.label + "\n" + listed(o.choices)); err != nil {
		return "", err
	}
	return s.asker.ask("which? ")
}

// listed is a list of choices with the numbers they are picked by.
func listed(choices []reply.Choice) string {
	var lines []string
	for i, c := range choices {
		line := fmt.Sprintf("%2d  %s", i+1, c.Name)
		if c.Note != "" {
			line += ": " + c.Note
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}

func chosen(choices []reply.Choice, typed string) (string, bool) {
	typed = strings.TrimSpace(typed)
	if n, err := strconv.Atoi(typed); err == nil && n >= 1 && n <= len(choices) {
		return choices[n-1].Value, true
	}
	for _, c := range choices {
		if strings.EqualFold(typed, c.Value) || strings.EqualFold(typed, c.Name) {
			return c.Value, true
		}
	}
	return "", false
}

func formOf(answer reply.Reply) (reply.Form, bool) {
	for _, block := range answer.Blocks {
		if f, ok := block.(reply.Form); ok {
			return f, true
		}
	}
	return reply.Form{}, false
}

// readFiles puts the text of a file in the place of every "@file".
func readFiles(options map[string]string) (map[string]string, *reply.UserError) {
	for name, value := range options {
		file, ok := strings.CutPrefix(value, "@")
		if !ok {
			continue
		}
		text, err := files.Text(file)
		if err != nil {
			return nil, &reply.UserError{Read: name + ":" + value, Wrong: err.Error(), Right: "a text file that can be read, such as " + name + ":@sheet.txt", Cause: err}
		}
		options[name] = text
	}
	return options, nil
}
