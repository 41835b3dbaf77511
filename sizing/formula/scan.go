package formula

import (
	"strconv"
	"strings"
	"unicode"
)

// LongestSource is how long a formula may be, in characters.
const LongestSource = 400

const (
	largestNumber = 1_000_000 // nothing in a workshop counts further
	pi            = '\u03c0'  // Greek small letter pi
)

type tokenKind int

const (
	number tokenKind = iota
	word
	operator // + - * / ^
	open
	closing
	comma
)

// token is one word, number or sign. Text is in the spelling that the expression
// parser reads; at is where it stands in the source.
type token struct {
	kind tokenKind
	text string
	at   span
}

// scan cuts the source into tokens and refuses every character and word that a
// formula of this use may not hold.
//
//	number = digits [ "." digits ] | "." digits
//	word   = letter { letter | digit | "_" }
//	sign   = "+" | "-" | "*" | "/" | "^" | "**" | "(" | ")" | ","
func scan(source string, use Use) ([]token, *Fault) {
	if len(source) > 4*LongestSource || len([]rune(source)) > LongestSource {
		head := []rune(source[:min(len(source), 4*LongestSource)])
		head = head[:min(len(head), LongestSource+1)]
		return nil, faultAt(TooLong, string(head), span{LongestSource, LongestSource + 1},
			"The formula is longer than "+strconv.Itoa(LongestSource)+" characters.", "Shorten it: most need fewer than 60.")
	}
	runes := []rune(source)
	var tokens []token
	for i := 0; i < len(runes); {
		start := i
		r := runes[i]
		switch {
		case unicode.IsSpace(r):
			i++
			continue
		case isDigit(r) || r == '.' && i+1 < len(runes) && isDigit(runes[i+1]):
			i = digits(runes, i)
			if i+1 < len(runes) && runes[i] == '.' && isDigit(runes[i+1]) {
				i = digits(runes, i+1)
			}
			text := string(runes[start:i])
			if x, err := strconv.ParseFloat(text, 64); err != nil || x > largestNumber {
				return nil, faultAt(Implausible, source, span{start, i}, clip(text)+" is more than a formula may say.", "Write a number up to "+strconv.Itoa(largestNumber)+".")
			}
			tokens = append(tokens, token{number, text, span{start, i}})
		case isLetter(r):
			for i < len(runes) && (isLetter(runes[i]) || isDigit(runes[i]) || runes[i] == '_') {
				i++
			}
			at, text := span{start, i}, string(runes[start:i])
			if i < len(runes) && runes[i] > unicode.MaxASCII && runes[i] != pi && unicode.IsLetter(runes[i]) {
				return nil, refuseCharacter(source, runes[i], i)
			}
			if text == "in" && len(tokens) > 0 && tokens[len(tokens)-1].kind == number {
				text = "inch"
			}
			if !known(text, use) {
				say, meant := suggest(text, use)
				fault := faultAt(Unknown, source, at, clip(text)+" is not a name that a formula here may use.", say)
				if meant != "" {
					fault = fault.likely(meant)
				}
				return nil, fault
			}
			tokens = append(tokens, token{word, text, at})
		default:
			kind, text, ok := sign(r)
			if !ok {
				return nil, refuseCharacter(source, r, i)
			}
			i++
			if text == "*" && i < len(runes) && runes[i] == '*' {
				text, i = "^", i+1
			}
			tokens = append(tokens, token{kind, text, span{start, i}})
		}
	}
	return tokens, nil
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

func isLetter(r rune) bool { return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' }

func digits(runes []rune, i int) int {
	for i < len(runes) && isDigit(runes[i]) {
		i++
	}
	return i
}

// clip quotes a word and shortens a very long one.
func clip(text string) string {
	if len(text) > 24 {
		return quote(text[:20] + "...")
	}
	return quote(text)
}

// sign reads a sign, in its plain or in its typographic form where that can
// only mean one thing. Pi is a word.
func sign(r rune) (tokenKind, string, bool) {
	switch r {
	case '+', '-', '*', '/', '^':
		return operator, string(r), true
	case '(':
		return open, "(", true
	case ')':
		return closing, ")", true
	case ',':
		return comma, ",", true
	case '\u00d7', '\u00b7', '\u22c5', '\u2217': // multiplication sign, middle dot, dot operator, asterisk operator
		return operator, "*", true
	case '\u00f7', '\u2044', '\u2215': // division sign, fraction slash, division slash
		return operator, "/", true
	case '\u2212', '\u2013', '\u2010', '\u2011': // minus sign, en dash and the hyphens that phones type for it
		return operator, "-", true
	case pi:
		return word, "pi", true
	}
	return 0, "", false
}

// suggest says what to write instead of an unknown word, and writes it where that is
// one word or product.
func suggest(text string, use Use) (say, meant string) {
	for _, h := range hintTable {
		if strings.EqualFold(h.read, text) && (h.write == "" || h.write == "*" || known(h.write, use)) {
			return h.say, h.write
		}
	}
	for _, n := range Names(use) {
		if strings.EqualFold(n.Name, text) {
			return "Write " + n.Name + " (" + n.Meaning + "): capital and small letters differ.", n.Name
		}
	}
	if base := strings.TrimRight(text, "0123456789"); base != text && known(base, use) {
		if _, _, isConstant := findConstant(base); isConstant {
			return "Write the parts with a plus between them, as in 2 m + 30 cm.", ""
		}
		product := text[len(base):] + "*" + base
		return "Write " + product + ".", product
	}
	for i := 1; i < len(text); i++ {
		if known(text[:i], use) && known(text[i:], use) {
			product := text[:i] + "*" + text[i:]
			return "Write " + product + ".", product
		}
	}
	if use != Rule && known(text, Rule) {
		return "That name is only for doubling rules; here write " + strings.Join(quantityNames(use), ", ") + ".", ""
	}
	if use == Rule && known(text, KnotRole) {
		return "That name is only for knots; here write " + strings.Join(quantityNames(use), ", ") + ".", ""
	}
	if near := nearest(text, use); near != "" {
		return "Did you mean " + near + "?", near
	}
	return "Known names: " + strings.Join(allNames(use), ", ") + ".", ""
}

// hintTable is what people write for the names and for times: a hint is given only where
// the name it leads to is known.
var hintTable = []struct{ read, write, say string }{
	{"x", "*", "For times write *."},
	{"floor", "", "Lengths are never rounded down: use ceil or round."},
	{"abs", "", "Use max(0, ...) to keep a length from going below zero."},
	{"in", "inch", "Write inch, with its number before it, as in 3/4 inch."},
	{"inches", "inch", "Write inch."},
	{"foot", "ft", "Write ft."},
	{"feet", "ft", "Write ft."},
	{"yard", "yd", "Write yd."},
	{"yards", "yd", "Write yd."},
	{"metre", "m", "Write m."},
	{"meter", "m", "Write m."},
	{"metres", "m", "Write m."},
	{"meters", "m", "Write m."},
	{"cord", "d", "Write d for the working diameter of the cord."},
	{"diameter", "d", "Write d for the working diameter of the cord."},
	{"thickness", "d", "Write d for the working diameter of the cord."},
	{"rod", "D", "Write D for the diameter of the rod."},
	{"dowel", "D", "Write D for the diameter of the rod."},
	{"cores", "k", "Write k for the number of cords inside."},
	{"fillers", "k", "Write k for the number of cords inside."},
	{"core", "c", "Write c for the working diameter of the cords inside."},
	{"ends", "n", "Write n for the number of ends."},
	{"p", "pitch", "Write pitch for the advance from one knot to the next."},
	{"length", "finished", "Write finished for the finished length."},
	{"l", "finished", "Write finished for the finished length."},
	{"height", "drop", "Write drop for the finished drop."},
}
