package slip

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/sizing/length"
	"larkfold/sizing/near"
)

// Meant is the command that a line was most likely meant to be, with every number and
// word that goes with one of its options; what the command needs and the line does not
// say is filled in. It is empty when the line does not look like any command.
func (m *Mender) Meant(text string) string {
	given := parts(text)
	path, c, rest := m.commandMeant(given)
	if path == "" {
		return ""
	}
	line := meantLine{mender: m, command: c, options: map[string]string{}}
	for i, p := range hyphened(c, append([]part{{value: rest}}, given[1:]...)) {
		o, known := OptionMeant(c, p.name, p.value)
		switch {
		case i > 0 && known:
			line.say(o, p.value)
		case i > 0 && OfTheShelf(p.name):
		case p.value != "":
			line.words(p.value)
		}
	}
	line.place()
	for _, o := range c.Options {
		if o.Required && line.options[o.Name] == "" {
			line.options[o.Name] = sampleOf(c, o)
		}
	}
	req := reply.Request{Command: path, Options: line.options}
	return req.As(c).Retype(nil, "")
}

// hyphened joins the two halves of an option's name that were typed apart.
func hyphened(c reply.Command, given []part) []part {
	for i := 1; i < len(given); i++ {
		words := strings.Fields(given[i-1].value)
		if n := len(words); n > 0 && c.Takes(strings.ToLower(words[n-1])+"-"+given[i].name) {
			given[i].name = strings.ToLower(words[n-1]) + "-" + given[i].name
			given[i-1].value = strings.Join(words[:n-1], " ")
		}
	}
	return given
}

// sampleOf is a value of an option: the one in the command's example, or what it is like.
func sampleOf(c reply.Command, o reply.Option) string {
	if line, wrong := reply.ParseLine(c.Example); wrong == nil && line.Options[o.Name] != "" {
		return line.Options[o.Name]
	}
	return meanings[o.Name].like
}

// part is an option as it was typed, with or without its colon; what stands before
// the first option has no name.
type part struct{ name, value string }

var namedPart = regexp.MustCompile(`^([A-Za-z][A-Za-z_-]*)\s*[:=]+\s*`)

// parts takes a line apart at its options, generously: a name may be followed by an
// equals sign, and a quote that is never closed ends with the line.
func parts(text string) []part {
	all := []part{{}}
	rest := strings.TrimLeft(strings.TrimSpace(text), "/ ")
	for rest != "" {
		if m := namedPart.FindString(rest); m != "" {
			all = append(all, part{name: strings.ToLower(namedPart.FindStringSubmatch(rest)[1])})
			rest = rest[len(m):]
		}
		if namedPart.MatchString(rest) {
			continue // nothing stands behind the name before
		}
		var value string
		value, rest = firstValue(rest)
		last := &all[len(all)-1]
		last.value = strings.TrimSpace(last.value + " " + value)
	}
	for i := range all { // options may be listed with commas; within a value they part its items
		all[i].value = strings.TrimRight(all[i].value, " ,;")
	}
	return all
}

// firstValue is the word or the quoted text that begins a text, and what follows it.
func firstValue(text string) (value, rest string) {
	r := []rune(text)
	end := slices.IndexFunc(r, unicode.IsSpace)
	if closers, quoted := "", false; len(r) > 0 {
		if closers, quoted = reply.Quotes[r[0]]; quoted {
			closed := slices.IndexFunc(r[1:], func(c rune) bool { return strings.ContainsRune(closers, c) })
			if closed < 0 {
				return strings.TrimSpace(string(r[1:])), ""
			}
			return string(r[1 : closed+1]), strings.TrimSpace(string(r[closed+2:]))
		}
	}
	if end < 0 {
		end = len(r)
	}
	return string(r[:end]), strings.TrimSpace(string(r[end:]))
}

// commandMeant is the command that a line names, or the one nearest to what it
// names, and the words that are left over.
func (m *Mender) commandMeant(given []part) (path string, c reply.Command, rest string) {
	words := strings.Fields(given[0].value)
	if len(words) == 0 {
		words = []string{given[min(1, len(given)-1)].name} // "width:40cm drop:70cm"
	}
	top, ok := nearest(m.Commands, words[0])
	if !ok && len(words) > 1 { // "show project", "add shelf"
		if other, found := nearest(m.Commands, words[1]); found {
			if _, under := nearest(other.Sub, words[0]); under {
				return m.commandMeant(append([]part{{value: strings.Join(append([]string{words[1], words[0]}, words[2:]...), " ")}}, given[1:]...))
			}
		}
	}
	if !ok {
		measures := values(given[0].value)
		if len(measures) == 0 && len(given) > 1 && meanings[given[1].name].read == asLength || len(measures) > 0 && startsWithFigure(measures[0]) {
			top, _ = reply.Find(m.Commands, []string{"cord"})
			return "cord", top, given[0].value
		}
		return "", reply.Command{}, ""
	}
	words = words[1:]
	if len(top.Sub) == 0 {
		return top.Name, top, strings.Join(words, " ")
	}
	if len(words) > 0 {
		if sub, under := nearest(top.Sub, words[0]); under {
			return top.Name + " " + sub.Name, sub, strings.Join(words[1:], " ")
		}
	}
	sub := usualUnder(top, words, given)
	return top.Name + " " + sub.Name, sub, strings.Join(words, " ")
}

// usualUnder is the subcommand of a group that what was typed goes with: one that takes the
// options that were named, or shows the record that was; or else its list.
func usualUnder(group reply.Command, words []string, given []part) reply.Command {
	for _, verb := range []string{"show", "add", "here"} {
		sub, ok := reply.Named(group.Sub, verb)
		if !ok || len(words) == 0 && len(given) == 1 {
			continue
		}
		if !slices.ContainsFunc(given[1:], func(p part) bool { return !sub.Takes(p.name) }) {
			return sub
		}
	}
	for _, sub := range group.Sub {
		if len(given) > 1 && !slices.ContainsFunc(given[1:], func(p part) bool { return !sub.Takes(p.name) }) {
			return sub
		}
	}
	if list, ok := reply.Named(group.Sub, "list"); ok {
		return list
	}
	return group.Sub[0]
}

// otherVerbs are other words for commands and what stands under them.
var otherVerbs = map[string][]string{
	"remove": {"delete"}, "delete": {"remove"}, "erase": {"delete", "remove", "forget"}, "drop": {"delete", "remove"},
	"create": {"new", "add"}, "make": {"new", "add"}, "new": {"add"}, "add": {"new"}, "view": {"show"}, "see": {"show"}, "open": {"show"}, "get": {"show"},
	"change": {"edit"}, "all": {"list"}, "preferences": {"prefs"}, "settings": {"prefs"}, "shelves": {"shelf"}, "leftovers": {"shelf"},
	"designs": {"project"}, "design": {"project"}, "swatches": {"swatch"}, "stash": {"shelf"}, "duplicate": {"copy"}, "empty": {"clear"}, "scale": {"resize"},
}

// nearest is the command of a name, or the one with the nearest.
func nearest(level []reply.Command, typed string) (reply.Command, bool) {
	typed = strings.ToLower(typed)
	if c, ok := reply.Named(level, typed); ok {
		return c, true
	}
	for _, other := range otherVerbs[typed] {
		if c, ok := reply.Named(level, other); ok {
			return c, true
		}
	}
	var names []string
	for _, c := range level {
		if !c.MessageMenu {
			names = append(names, c.Name)
		}
	}
	return reply.Named(level, near.Word(typed, names))
}

// meantLine is a command while what was typed is put into its options.
type meantLine struct {
	mender  *Mender
	command reply.Command
	options map[string]string
	loose   []string // values that no option has yet
	prose   []string // words that are no value of a measure
}

// say gives an option what stands behind its name. What is more than one measure, or
// was said before, is left over.
func (m *meantLine) say(o reply.Option, value string) {
	read := meanings[o.Name].read
	single := read != inWords || o.Kind != reply.Words || len(o.Choices) > 0
	if all := values(value); single && len(all) > 1 && startsWithFigure(all[0]) {
		value = all[0]
		for i := 1; i < len(all); i++ {
			named, ok := OptionMeant(m.command, all[i], "")
			switch {
			case ok && named.Kind == reply.YesNo:
				m.say(named, "yes")
				continue
			case ok && i+1 < len(all):
				m.say(named, all[i+1])
				i++
				continue
			}
			m.loose = append(m.loose, all[i])
		}
	}
	if m.options[o.Name] == "" {
		m.options[o.Name] = value
	}
}

// lists are the options that take several values, and what such a list is like.
var lists = map[string]*regexp.Regexp{"pieces": regexp.MustCompile(`^[\d½¼¾.]`), "cords": regexp.MustCompile(`^\d+(?:\s*[,+]\s*\d+)*$`)}

// words sorts what stands without an option: a name and a value behind it, a measure
// and what it is, or anything else.
func (m *meantLine) words(text string) {
	if o, ok := m.takesAll(); ok && m.options[o.Name] == "" && !m.chooses(text) {
		for list, like := range lists {
			if m.command.Takes(list) && like.MatchString(text) && m.options[list] == "" {
				m.options[list] = text
				return
			}
		}
		if startsWithFigure(text) && !o.Required {
			m.loose = append(m.loose, text)
			return
		}
		m.prose = append(m.prose, text)
		return
	}
	all := m.knots(values(text))
	postfix := len(all) > 1 && startsWithFigure(all[0]) && !startsWithFigure(all[len(all)-1])
	for i := 0; i < len(all); i++ {
		v := all[i]
		next := ""
		if i+1 < len(all) {
			next = all[i+1]
		}
		o, named := OptionMeant(m.command, v, next)
		switch {
		case startsWithFigure(v) && i+1 < len(all) && m.describes(all[i+1]) && (postfix || !m.command.Takes(strings.ToLower(all[i+1]))):
			described, _ := OptionMeant(m.command, all[i+1], v)
			m.say(described, v)
			i++
		case named && i+1 < len(all) && m.mender.fits(o, all[i+1]) > 0:
			m.say(o, all[i+1])
			i++
		case named && o.Kind == reply.YesNo:
			m.say(o, "yes")
			if i+1 < len(all) && slices.Contains([]string{"yes", "no"}, strings.ToLower(all[i+1])) {
				m.options[o.Name] = all[i+1]
				i++
			}
		default:
			m.loose = append(m.loose, v)
		}
	}
}

// chooses tells whether a text is one of the choices of an option, or the name of one
// that is said by itself.
func (m *meantLine) chooses(text string) bool {
	return slices.ContainsFunc(m.command.Options, func(o reply.Option) bool {
		return len(o.Choices) > 0 && choiceFits(o, strings.ToLower(text)) > 0 || o.Kind == reply.YesNo && strings.EqualFold(o.Name, text)
	})
}

// describes tells whether a word behind a measure says which one it is: 40cm wide.
func (m *meantLine) describes(word string) bool {
	o, ok := OptionMeant(m.command, word, "")
	return ok && o.Kind != reply.YesNo && !startsWithFigure(word)
}

// knots joins the words that are together the name of a knot.
func (m *meantLine) knots(words []string) []string {
	var all []string
	for i := 0; i < len(words); {
		taken := 1
		for n := 2; n <= 4 && i+n <= len(words); n++ {
			if _, known := m.mender.Room.Book.Knot(strings.Join(words[i:i+n], " ")); known {
				taken = n
			}
		}
		all = append(all, strings.Join(words[i:i+taken], " "))
		i += taken
	}
	return all
}

// takesAll is the option that takes any words, where a command wants no others first.
func (m *meantLine) takesAll() (reply.Option, bool) {
	for _, o := range m.command.Options {
		any := meanings[o.Name].read == inWords && o.Kind == reply.Words && len(o.Choices) == 0 && o.Suggest != "knot"
		if o.Required || o.Name == m.command.Options[0].Name {
			return o, any
		}
	}
	return reply.Option{}, false
}

// place gives what is left over to the options that it goes with best, the needed ones
// first.
func (m *meantLine) place() {
	if o, ok := m.takesAll(); ok && len(m.prose) > 0 {
		m.options[o.Name] = strings.Join(m.prose, " ")
	}
	lacking := m.lackingLengths()
	for _, value := range m.loose {
		best, weight := "", 0
		isBare := bareNumber.MatchString(value)
		for _, o := range m.command.Options {
			w := 2 * m.mender.fits(o, value)
			if w > 0 && o.Required {
				w++
				if isBare && lacking > 0 {
					w += 2 * needed
				}
			}
			if m.options[o.Name] == "" && w > weight {
				best, weight = o.Name, w
			}
		}
		if best != "" {
			m.options[best] = value
		}
		if isBare {
			lacking--
		}
	}
}

// needed is what it weighs that an option is, for a number that may be what is lacking.
const needed = 2

var bareNumber = regexp.MustCompile(`^\d+(?:[.,]\d+)?$`)

// lackingLengths is how many of the needed lengths none of what is left over can be but a
// number without a unit.
func (m *meantLine) lackingLengths() int {
	lacking := 0
	var length reply.Option
	for _, o := range m.command.Options {
		if o.Required && m.options[o.Name] == "" && meanings[o.Name].read == asLength {
			lacking, length = lacking+1, o
		}
	}
	for _, value := range m.loose {
		if lacking > 0 && !bareNumber.MatchString(value) && m.mender.fits(length, value) > 1 {
			lacking--
		}
	}
	return lacking
}

var (
	timesEach = regexp.MustCompile(`^([\d½¼¾.,/]+\s*[A-Za-z"']*)\s*[x×*]\s*([\d½¼¾.,/]+.*)$`)
	unitOnly  = regexp.MustCompile(`[A-Za-z"'″′]+$`)
)

// values takes words apart into measures and other words: a number goes with the unit
// behind it, and both sides of an x are measures with one unit.
func values(text string) []string {
	words := strings.Fields(strings.NewReplacer(", ", " ", "; ", " ").Replace(strings.TrimRight(text, ",;")))
	var all []string
	for i := 0; i < len(words); {
		taken := 1
		for n := 2; n <= 4 && i+n <= len(words); n++ {
			together := strings.Join(words[i:i+n], " ")
			_, long := length.Parse(together, 0)
			_, heavy := length.ParseMass(together, 0)
			if startsWithFigure(together) && (long == nil || heavy == nil) {
				taken = n
			}
		}
		v := strings.Join(words[i:i+taken], " ")
		i += taken
		if both := timesEach.FindStringSubmatch(v); both != nil {
			unit := unitOnly.FindString(both[2])
			if unitOnly.FindString(both[1]) == "" {
				both[1] += unit
			} else if unit == "" {
				both[2] += unitOnly.FindString(both[1])
			}
			all = append(all, both[1], both[2])
			continue
		}
		if slices.Contains([]string{"x", "×", "by", "and", "with", "of", "in", "a", "the", "is", "for", "at"}, strings.ToLower(v)) {
			continue
		}
		all = append(all, v)
	}
	return all
}

// What tells measures apart of which nobody said what they are (common practice, no
// source).
const (
	thickest = 12 * length.Millimetre // cord is seldom thicker, and nothing is made that is shorter
	shortest = 10 * length.Metre      // no spool holds less, and nothing that hangs is longer
)

// fits weighs how well a value goes with an option, zero for not at all.
func (m *Mender) fits(o reply.Option, value string) int {
	const exactly, well, somehow = 3, 2, 1
	value = strings.ToLower(value)
	number := value != "" && (value[0] >= '0' && value[0] <= '9' || strings.ContainsAny(value[:1], "½¼¾-.") || strings.ContainsAny(value, "½¼¾"))
	switch {
	case o.Kind == reply.YesNo:
		return 0
	case len(o.Choices) > 0:
		return choiceFits(o, value)
	case o.Suggest == "knot":
		if _, known := m.Room.Book.Knot(value); known {
			return exactly
		}
		return 0
	}
	l, err := length.Parse(value, length.Nanometre)
	bare := err == nil && strings.Trim(value, "0123456789.,") == ""
	switch read := meanings[o.Name].read; {
	case read == asLength && err == nil && !bare && l > thickest:
		return well
	case read == asLength && number:
		return somehow
	case read == asThickness && o.Name == "thickness" && err == nil && !bare && l <= thickest:
		return exactly
	case read == asThickness && o.Name == "dowel" && err == nil && !bare && l > thickest && l <= ask.RodThicknesses.Most:
		return well
	case read == asThickness && o.Name != "dowel" && err == nil && !bare && l > thickest && l <= length.Thicknesses().Most:
		return somehow
	case read == asCount && bare && !strings.ContainsAny(value, ".,"):
		return well
	case read == asMass && strings.ContainsAny(value, "gb") && number:
		return well
	case o.Name == "spool" && err == nil && !bare && l >= shortest:
		return exactly
	}
	return 0
}

// choiceFits weighs how well a word goes with a closed list.
func choiceFits(o reply.Option, value string) int {
	const exactly, well = 3, 2
	if value == "" {
		return 0
	}
	q := ask.Options{Request: reply.Request{Options: map[string]string{o.Name: value}}}
	if o.Name == "construction" {
		q.Construction(o.Name, 0)
	} else {
		q.Choice(o.Name, o.Choices, "")
	}
	if q.Err == nil {
		return exactly
	}
	const longEnough = 4
	values := make([]string, len(o.Choices))
	for i, c := range o.Choices {
		values[i] = c.Value
	}
	if len(value) >= longEnough && near.Word(value, values) != "" {
		return well
	}
	return 0
}
