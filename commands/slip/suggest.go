package slip

import (
	"context"
	"errors"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/store"
)

// mostMends are the most corrections that one suggestion is made of.
const mostMends = 6

// mostRehearsed is how many lines are tried for one suggestion, besides an example and a
// page of help: each may be as much work as a command.
const mostRehearsed = 12

// Mender finds the way out of a refusal: what was meant, tried before it is suggested.
type Mender struct {
	Commands []reply.Command
	Room     *sitting.Room

	// Rehearse does what a request asks for without changing anything.
	Rehearse func(ctx context.Context, req reply.Request) error
}

// Suggested is a refusal of a typed line with a suggestion that is accepted, if there
// is one: of the corrections that lead to such a line the one that keeps most of what
// was typed.
func (m *Mender) Suggested(ctx context.Context, req reply.Request, e *reply.UserError) *reply.UserError {
	typed := ""
	if req.Command != "" && req.Action == nil {
		typed = req.AsTyped()
	}
	mended := *e
	mended.Try = ""
	most, left := -1, mostRehearsed
	for _, c := range m.corrections(req, e, typed) {
		if c.last && mended.Try != "" {
			break
		}
		mends := mostMends
		if c.asItIs {
			mends = 1
		}
		if c.last {
			left = mostMends
		}
		if c.sample {
			c.line = m.Room.Prefs(ctx, req).Sample(c.line)
		}
		line := m.accepted(ctx, req, c.line, mends, &left)
		if line == "" {
			continue
		}
		if kept := kept(typed, line); kept > most {
			mended.Try, most = line, kept
		}
		if keepsRight(typed, e.Read, line) {
			break
		}
	}
	return &mended
}

// correction is a line that a refused one may have been meant to be.
type correction struct {
	line   string
	asItIs bool // it is not corrected further
	last   bool // only when nothing else is accepted
	sample bool // it is an example, to be said in the member's units
}

// corrections are those of a refused line, the likeliest first: what the refusal
// suggests, what was meant by the whole line, a name that is free, the line without one
// of its options; or else an example, or the command's page of help.
func (m *Mender) corrections(req reply.Request, e *reply.UserError, typed string) []correction {
	all := []correction{{line: e.Try}}
	if c, ok := reply.Find(m.Commands, strings.Fields(req.Command)); ok && typed != "" && !c.MessageMenu {
		all = append(all, correction{line: m.Meant(typed)})
		for _, o := range c.Options {
			if req.Options[o.Name] == "" {
				continue
			}
			all = append(all, correction{line: nextName(req, e, o.Name), asItIs: true})
			if !o.Required && !takesAway(req.Command) {
				all = append(all, correction{line: req.Retype(nil, o.Name), asItIs: true})
			}
		}
		if takesAway(req.Command) {
			all = append(all, correction{line: m.listBeside(req.Command), last: true, asItIs: true})
		}
		if e.Try != "" {
			all = append(all, correction{line: c.Example, last: true, asItIs: true, sample: true}, correction{line: "/help topic:" + reply.QuotedIfSpaced(req.Command), last: true})
		}
	}
	return slices.DeleteFunc(all, func(c correction) bool {
		return c.line == "" || c.line == typed || takesAway(req.Command) && makes(c.line)
	})
}

// takesAway tells whether a command takes away or back what is kept: no other thing than
// the one that was typed is suggested for it.
func takesAway(command string) bool {
	words := strings.Fields(command)
	return len(words) > 1 && slices.Contains([]string{"delete", "remove", "undo"}, words[len(words)-1])
}

// makes tells whether a line makes or adds what is kept, which nobody means who takes
// something away.
func makes(line string) bool {
	words := strings.Fields(line)
	return len(words) > 1 && slices.Contains([]string{"new", "add"}, words[1])
}

// listBeside is the command that lists what a command of the same group takes away;
// empty where there is none.
func (m *Mender) listBeside(command string) string {
	words := strings.Fields(command)
	if _, ok := reply.Find(m.Commands, []string{words[0], "list"}); !ok {
		return ""
	}
	return "/" + words[0] + " list"
}

// names tells whether a typed line says all values of another.
func names(typed string, line reply.Request) bool {
	have := saidWords.FindAllString(strings.ToLower(typed), -1)
	for _, value := range line.Options {
		for _, w := range saidWords.FindAllString(strings.ToLower(value), -1) {
			if !slices.Contains(have, w) {
				return false
			}
		}
	}
	return true
}

// nextName is a line with a number behind a name that is taken, where this option says
// that name.
func nextName(req reply.Request, e *reply.UserError, option string) string {
	var taken *store.NameTaken
	if !errors.As(e.Cause, &taken) || !strings.EqualFold(req.Options[option], taken.Name) || option == "name" && req.Takes("to") {
		return ""
	}
	base, n := taken.Name, 2
	if at := strings.LastIndex(taken.Name, " "); at > 0 {
		if last, err := strconv.Atoi(taken.Name[at+1:]); err == nil {
			base, n = taken.Name[:at], last+1
		}
	}
	return req.Retype(map[string]string{option: base + " " + strconv.Itoa(n)}, "")
}

var saidWords = regexp.MustCompile(`\d+(?:[.,/]\d+)*|[\p{L}']+`)

// kept weighs how much of a typed line another one keeps: a number is worth more than
// a word, the name of a command more than that of an option.
func kept(typed, line string) int {
	const number, word, command = 6, 3, 8
	left := map[string]int{}
	for _, w := range saidWords.FindAllString(strings.ToLower(typed), -1) {
		left[w]++
	}
	score := 0
	for i, w := range saidWords.FindAllString(strings.ToLower(line), -1) {
		switch {
		case left[w] == 0:
			score--
			continue
		case startsWithFigure(w):
			score += number
		case i == 0:
			score += command
		default:
			score += word
		}
		left[w]--
	}
	return max(score, 0)
}

// keepsRight tells whether a line keeps all that was typed but the one word that was
// read as wrong.
func keepsRight(typed, read, line string) bool {
	_, wrong, _ := strings.Cut(read, ": ")
	if strings.Contains(wrong, " ") {
		wrong = ""
	}
	have := saidWords.FindAllString(strings.ToLower(line+" "+wrong), -1)
	for _, w := range saidWords.FindAllString(strings.ToLower(typed), -1) {
		if !slices.Contains(have, w) {
			return false
		}
	}
	return typed != ""
}

// accepted is a line, corrected as its own refusals suggest until it is none, in so many
// steps and with so many rehearsals left; empty when that leads nowhere.
func (m *Mender) accepted(ctx context.Context, req reply.Request, text string, steps int, left *int) string {
	seen := map[string]bool{}
	typed := text
	if req.Command != "" && req.Action == nil {
		typed = req.AsTyped()
	}
	for range steps {
		if seen[text] {
			return ""
		}
		seen[text] = true
		line, wrong := m.Read(text)
		if wrong == nil {
			if strings.HasSuffix(line.Command, " remove") && strings.HasSuffix(req.Command, " add") {
				return "" // nobody spoke of removing
			}
			if takesAway(line.Command) && !names(typed, line) {
				return ""
			}
			if *left == 0 {
				return ""
			}
			*left--
			err := m.rehearsed(ctx, req, line)
			if err == nil || StoreFailed(err) {
				return text
			}
			if wrong = Mendable(err); wrong == nil {
				return ""
			}
		}
		if text = wrong.Try; text == "" {
			return ""
		}
	}
	return ""
}

// rehearsed does what a typed line asks for without changing anything.
func (m *Mender) rehearsed(ctx context.Context, req, line reply.Request) error {
	req.Action, req.Values, req.Fields = nil, nil, nil
	req.Command, req.Options = line.Command, line.Options
	return m.Rehearse(ctx, req)
}

// Read is the request of a typed line. What cannot be read comes with the command
// that it was most likely meant to be.
func (m *Mender) Read(text string) (reply.Request, *reply.UserError) {
	l, wrong := reply.ParseLine(text)
	path := ""
	if wrong == nil {
		path, wrong = l.Path(m.Commands)
	}
	if wrong != nil {
		wrong.Try = m.Meant(text)
		return reply.Request{}, wrong
	}
	return reply.Request{Command: path, Options: l.Options}, nil
}
