package making

import (
	"slices"
	"strings"

	"larkfold/sizing/sheet"
)

// Blank is one thing that a form asks for.
type Blank struct {
	Name    string   // "rows"; "more" for whatever the step can say besides
	Label   string   // what it is
	Like    string   // an example
	Value   string   // what stands there: as the step says it, or a sensible start
	Must    bool     // the step cannot do without
	Choices []string // where one of these is picked
	Long    bool     // it is written over several lines

	word   string   // that goes before the value when the value does not begin with one of begins
	begins []string // the words that a value may begin with
	after  string   // that goes behind the value
}

// mostBlanks is how many a form can ask for; the platform's forms hold five fields.
const mostBlanks = 5

// more is the blank for whatever is not asked for one by one.
const more = "more"

// Lists are the names that a blank can be picked from.
type Lists struct{ Knots, Cords, Rods []string }

// mostPicked is how long a list can be to be picked from; a longer one is typed.
const mostPicked = 25

// usual are sensible amounts to start with, where the example is none, by the word
// of the step and of the amount.
var usual = map[string]string{
	"net the knot": "square knot", "sinnet the knot": "square knot", "taper the knot": "square knot", "widen the knot": "square knot", "row the knot": "square knot",
	"bar from": "left", "bar to": "right", "gather from": "left", "gather to": "middle",
	"add at": "left", "mount lots": "12", "leaf on": "middle 2", "tassel on": "middle 2",
}

// BlanksOf is what a form asks for a step that begins with a word; amounts of a
// step that is there already stand in them.
func BlanksOf(f sheet.Facts, says func(sheet.Amount) string, lists Lists, fresh bool) []Blank {
	var asked, rest []Blank
	for _, group := range grouped(f.Amounts) {
		for _, b := range blanks(f.Word, group, says, lists, fresh) {
			if b.Must || group[0].Fixed {
				asked = append(asked, b)
			} else {
				rest = append(rest, b)
			}
		}
	}
	slices.SortStableFunc(rest, func(a, b Blank) int { return rank(a) - rank(b) })
	room := mostBlanks - len(asked)
	if len(rest) <= room {
		return append(asked, rest...)
	}
	shown, hidden := rest[:room-1], rest[room-1:]
	var said, like []string
	for _, b := range hidden {
		if text := b.text(b.Value); text != "" {
			said = append(said, text)
		}
		like = append(like, b.Like)
	}
	return append(append(asked, shown...), Blank{Name: more, Label: "anything more", Like: strings.Join(like, ", "), Value: strings.Join(said, " ")})
}

// rank puts what is asked for most first.
func rank(b Blank) int {
	if i := slices.Index([]string{"on", "of", "level", "times", "skip", "for"}, b.Name); i >= 0 {
		return i
	}
	return 9
}

// grouped puts amounts of which only one is said into one group.
func grouped(amounts []sheet.Amount) [][]sheet.Amount {
	var out [][]sheet.Amount
	for _, a := range amounts {
		if n := len(out); a.Only != "" && n > 0 && out[n-1][0].Only == a.Only {
			out[n-1] = append(out[n-1], a)
			continue
		}
		out = append(out, []sheet.Amount{a})
	}
	return out
}

// blanks are the blanks of one group of amounts.
func blanks(step string, group []sheet.Amount, says func(sheet.Amount) string, lists Lists, fresh bool) []Blank {
	a := group[0]
	if a.Kind == sheet.Lots {
		return lotsBlanks(says(a), lists, fresh)
	}
	b := Blank{Name: a.Word, Label: a.What, Like: a.Like, Must: a.Must, word: a.Word, after: a.After}
	if b.Name == "" {
		b.Name = a.What
	}
	for _, one := range group {
		if text := says(one); text != "" && (!fresh || one.Kind != sheet.Spot) {
			b.Value = text
		}
		b.begins = append(b.begins, one.Word)
	}
	switch {
	case a.Only != "":
		b.Name, b.Label, b.word = "size", a.Only+"?", ""
		var like []string
		for _, one := range group {
			like = append(like, one.Like)
		}
		b.Like = strings.Join(like, ", or ")
	case a.Kind == sheet.Often:
		b.begins = append(b.begins, "for", "until", "rows", "times")
	case a.Kind == sheet.Incline:
		b.begins = append(b.begins, "slope", "level")
		b.Name, b.Like = "level", "level, or slope 30"
	case a.Kind == sheet.Named:
		b.Choices = lists.Knots
	case a.Kind == sheet.Stuff:
		b.Choices = lists.Cords
	case a.Kind == sheet.Stick:
		b.Choices = lists.Rods
	case a.Kind == sheet.Choice:
		b.Choices = a.Words
	case a.Kind == sheet.Said:
		b.Choices, b.word = []string{a.Word}, ""
	case a.Kind == sheet.Spot && a.Word == "at":
		b.begins = append(b.begins, "left", "right")
	case a.Kind == sheet.Spot && a.Word == "from":
		b.word = ""
	}
	if len(b.Choices) > mostPicked {
		b.Choices = nil
	}
	b.Value = bare(b.Value, b.word)
	if fresh {
		b.Value = start(step, a, b)
	}
	return []Blank{b}
}

// start is what stands in a blank of a new step: nothing where nothing is needed.
func start(step string, a sheet.Amount, b Blank) string {
	if said, ok := usual[step+" "+b.Name]; ok {
		return said
	}
	switch {
	case !a.Must:
		return ""
	case a.Only != "":
		return a.Like
	case len(b.Choices) > 0:
		return b.Choices[0]
	}
	return bare(a.Like, a.Word)
}

// bare is a text without the word that it begins with.
func bare(text, word string) string {
	return strings.TrimPrefix(text, word+" ")
}

// lotsBlanks ask for the cords of a mount: how many, how they are hung, of which
// cord, and any more of them beside.
func lotsBlanks(said string, lists Lists, fresh bool) []Blank {
	count := Blank{Name: "cords", Label: "how many cords", Like: "12", Must: true, Value: "12"}
	way := Blank{Name: "hung", Label: "hung how", Like: "folded", Must: true, Value: string(sheet.Folded), Choices: []string{string(sheet.Folded), string(sheet.Single), string(sheet.Laid)}}
	cord := Blank{Name: "cord", Label: "of which cord", Like: "main", Choices: lists.Cords}
	besides := Blank{Name: "beside", Label: "beside them, to the right", Like: "4 folded reed, 4 folded main", word: ",", begins: []string{","}}
	if len(cord.Choices) > mostPicked {
		cord.Choices = nil
	}
	if !fresh {
		first, rest, _ := strings.Cut(said, ",")
		words := append(strings.Fields(first), "", "", "")
		count.Value, way.Value, cord.Value, besides.Value = words[0], words[1], words[2], strings.TrimSpace(rest)
	}
	return []Blank{count, way, cord, besides}
}

// text is what a blank adds to the line.
func (b Blank) text(value string) string {
	value = strings.Join(strings.Fields(value), " ")
	if value == "" {
		return ""
	}
	first, _, _ := strings.Cut(value, " ")
	if b.word != "" && !slices.Contains(b.begins, strings.ToLower(first)) {
		value = b.word + " " + value
	}
	if b.after != "" && !strings.HasSuffix(strings.ToLower(value), " "+b.after) {
		value += " " + b.after
	}
	return value
}

// Line is the line that filled blanks make.
func Line(word string, blanks []Blank, filled map[string]string) string {
	parts := []string{word}
	for _, b := range blanks {
		if text := b.text(filled[b.Name]); text != "" {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, " ")
}

// Worded is a blank whose value stands behind a word in the line.
func Worded(word string, b Blank) Blank {
	b.word, b.begins = word, []string{word}
	return b
}
