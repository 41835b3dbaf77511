package reply

import (
	"fmt"
	"strings"
	"unicode"
)

// Line is one typed command.
type Line struct {
	Words   []string // the command and its subcommand
	Options map[string]string
}

// Quotes pairs every mark that opens a quoted value with those that close it.
var Quotes = map[rune]string{
	'"': `"”“`, '“': `”"“`, '”': `”"`, '„': `“”"`, '«': `»`, '»': `«`,
	'\'': `'’`, '‘': `’'`,
}

// ParseLine reads a command as it is typed:
//
//	line   = ["/"] word {word} {option}
//	option = name ":" (quote value quote | value)
//
// A value without quotes runs to the next option or to the end. A quoted value
// ends at the first closing quote that the next option or the end follows, so
// that inch and foot marks may stand in it.
func ParseLine(text string) (Line, *UserError) {
	r := []rune(strings.TrimSpace(strings.TrimPrefix(text, "\ufeff")))
	if len(r) > 0 && r[0] == '/' {
		r = r[1:]
	}
	l := Line{Options: map[string]string{}}
	at := NextOption(r, 0)
	l.Words = strings.Fields(string(r[:at]))
	if len(l.Words) == 0 {
		return l, &UserError{Read: string(r), Wrong: "it names no command", Right: "a command stands first", Try: "/cord width:40cm drop:70cm"}
	}
	for at < len(r) {
		colon := at + NameLength(r[at:])
		name := strings.ToLower(string(r[at:colon]))
		from := SkipBlanks(r, colon+1)
		value, end, wrong := ReadValue(r, from)
		shown := strings.TrimSpace(string(r[at:end]))
		if wrong != nil {
			wrong.Read = shown
			return l, wrong
		}
		if value == "" {
			return l, &UserError{Read: shown, Wrong: "nothing stands behind " + name + ":", Right: "give it a value or leave it out"}
		}
		if before, twice := l.Options[name]; twice {
			return l, &UserError{Read: shown, Wrong: fmt.Sprintf("%s was given before as “%s”", name, before), Right: "give every option once"}
		}
		l.Options[name] = value
		at = SkipBlanks(r, end)
	}
	return l, nil
}

// ReadValue reads the value at from and returns where it ends.
func ReadValue(r []rune, from int) (string, int, *UserError) {
	if from == len(r) {
		return "", from, nil
	}
	closers, quoted := Quotes[r[from]]
	if !quoted {
		end := from
		if NameLength(r[from:]) == 0 {
			end = NextOption(r, from)
		}
		return strings.TrimSpace(string(r[from:end])), end, nil
	}
	last := 0
	for i := from + 1; i < len(r); i++ {
		if !strings.ContainsRune(closers, r[i]) {
			continue
		}
		last = i
		if after := SkipBlanks(r, i+1); after == len(r) || after > i+1 && NameLength(r[after:]) > 0 {
			return string(r[from+1 : i]), i + 1, nil
		}
	}
	if last > 0 {
		end := NextOption(r, last)
		rest := strings.TrimSpace(string(r[last+1 : end]))
		return "", end, &UserError{Wrong: fmt.Sprintf("“%s” follows the closing quote", rest), Right: "the whole value stands between the quotes"}
	}
	return "", len(r), &UserError{Wrong: fmt.Sprintf("the quote %c is opened and never closed", r[from]), Right: "close it, or leave both away"}
}

// NextOption is where the first option at or after from begins, or the end.
func NextOption(r []rune, from int) int {
	for i := from; i < len(r); i++ {
		if (i == 0 || unicode.IsSpace(r[i-1])) && NameLength(r[i:]) > 0 {
			return i
		}
	}
	return len(r)
}

// NameLength is the length of the option's name that stands here before a colon,
// or zero.
func NameLength(r []rune) int {
	for i, c := range r {
		switch {
		case c == ':':
			return i
		case c > unicode.MaxASCII || !unicode.IsLetter(c) && c != '_' && c != '-':
			return 0
		}
	}
	return 0
}

func SkipBlanks(r []rune, at int) int {
	for at < len(r) && unicode.IsSpace(r[at]) {
		at++
	}
	return at
}

// Path finds the command that the words name. Words that are left over are a
// value whose option was not named.
func (l Line) Path(all []Command) (string, *UserError) {
	var found Command
	rest := l.Words
	for level := all; len(rest) > 0 && len(level) > 0; {
		next, ok := Named(level, strings.ToLower(rest[0]))
		if !ok {
			break
		}
		found, level, rest = next, next.Sub, rest[1:]
	}
	if len(rest) == 0 || found.Name == "" || len(found.Options) == 0 {
		return strings.ToLower(strings.Join(l.Words, " ")), nil
	}
	return "", &UserError{
		Read:  strings.Join(rest, " "),
		Wrong: "it does not say which option it is",
		Right: fmt.Sprintf("an option's name and a colon before it, such as %s:", l.open(found)[0]),
	}
}

// open are the names of a command's options that still want a value: the required
// ones that were not given, or else its first.
func (l Line) open(c Command) []string {
	var names []string
	for _, o := range c.Options {
		if _, given := l.Options[o.Name]; o.Required && !given {
			names = append(names, o.Name)
		}
	}
	if len(names) == 0 {
		names = append(names, c.Options[0].Name)
	}
	return names
}

func Named(level []Command, name string) (Command, bool) {
	for _, c := range level {
		if c.Name == name && !c.MessageMenu {
			return c, true
		}
	}
	return Command{}, false
}
