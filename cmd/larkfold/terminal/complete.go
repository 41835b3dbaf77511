package terminal

import (
	"context"
	"strings"
	"unicode"

	"larkfold/commands"
	"larkfold/commands/reply"
)

// completer completes commands, options, closed choices and saved names.
type completer struct {
	ctx context.Context
	app *commands.App
	req func() reply.Request
}

// Do implements readline.AutoCompleter.
func (c *completer) Do(text []rune, at int) ([][]rune, int) {
	candidates, typed := c.candidates(string(text[:at]))
	length := len([]rune(typed))
	rest := make([][]rune, len(candidates))
	for i, candidate := range candidates {
		rest[i] = []rune(candidate)[length:]
	}
	return rest, length
}

// candidates lists what the last, unfinished word of a text may become. Every one
// begins with that word, upper and lower case being the same.
func (c *completer) candidates(text string) (candidates []string, typed string) {
	r := []rune(text)
	word := len(r)
	for word > 0 && !unicode.IsSpace(r[word-1]) {
		word--
	}
	last := string(r[word:])
	found, path := c.command(strings.Fields(string(r[:word])))
	if name, value, ok := openOption(r); ok {
		if candidates = c.values(found, path, name, value); len(candidates) > 0 {
			return candidates, value
		}
		return starting(optionNames(found, text), last), last
	}
	switch {
	case path == "" && word == 0:
		return starting(commandNames(c.app.Commands(), "/"), last), last
	case len(found.Sub) > 0:
		return starting(commandNames(found.Sub, ""), last), last
	}
	return starting(optionNames(found, text), last), last
}

// command follows the words as far as they name a command.
func (c *completer) command(words []string) (found reply.Command, path string) {
	level := c.app.Commands()
	for _, word := range words {
		next, ok := reply.Named(level, strings.ToLower(strings.TrimPrefix(word, "/")))
		if !ok {
			break
		}
		found, level = next, next.Sub
		path = strings.TrimSpace(path + " " + next.Name)
	}
	return found, path
}

// openOption is the last option of an unfinished line, with the value so far.
func openOption(r []rune) (name, value string, ok bool) {
	for at := reply.NextOption(r, 0); at < len(r); {
		colon := at + reply.NameLength(r[at:])
		name, ok = strings.ToLower(string(r[at:colon])), true
		from := reply.SkipBlanks(r, colon+1)
		if _, end, wrong := reply.ReadValue(r, from); wrong == nil && end < len(r) {
			at = reply.SkipBlanks(r, end)
			ok = false
			continue
		}
		if from < len(r) && reply.Quotes[r[from]] != "" {
			from++
		}
		return name, string(r[from:]), true
	}
	return name, value, ok
}

// values completes an option's value.
func (c *completer) values(command reply.Command, path, option, typed string) []string {
	var values []string
	for _, o := range command.Options {
		if o.Name != option {
			continue
		}
		for _, choice := range o.Choices {
			values = append(values, choice.Value)
		}
		if o.Kind == reply.YesNo {
			values = append(values, "yes", "no")
		}
		if o.Suggest == "" {
			continue
		}
		req := c.req()
		req.Command = path
		suggested, err := c.app.Complete(c.ctx, req, option, typed)
		if err != nil {
			continue // what cannot be looked up cannot be completed; the command itself will tell
		}
		for _, choice := range suggested {
			values = append(values, choice.Value)
		}
	}
	return starting(values, typed)
}

func commandNames(level []reply.Command, before string) []string {
	var names []string
	for _, c := range level {
		if !c.MessageMenu {
			names = append(names, before+c.Name+" ")
		}
	}
	return names
}

// optionNames lists the options that the line does not give yet.
func optionNames(c reply.Command, text string) []string {
	var names []string
	for _, o := range c.Options {
		if !strings.Contains(strings.ToLower(text), " "+o.Name+":") {
			names = append(names, o.Name+":")
		}
	}
	return names
}

// starting picks the candidates that begin with what is typed.
func starting(candidates []string, typed string) []string {
	var fit []string
	want := []rune(typed)
	for _, candidate := range candidates {
		have := []rune(candidate)
		if len(have) >= len(want) && strings.EqualFold(string(have[:len(want)]), typed) {
			fit = append(fit, candidate)
		}
	}
	return fit
}
