package sheet

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// stops are the words that end a length or a knot's name.
var stops = map[string]bool{
	"of": true, "skip": true, "shift": true, "on": true, "rows": true, "times": true, "apart": true, "for": true,
	"until": true, "by": true, "with": true, "slope": true, "level": true, "over": true, "drop": true, "spool": true,
	"colour": true, "color": true, "squeeze": true, "to": true, "at": true, "hole": true, "each": true, "from": true,
}

// most words that a length or a knot's name may have.
const mostWords = 12

// bounds is what lengths of one kind may be.
type bounds struct {
	what      string        // "the tail"
	bare      length.Length // the unit of a bare number; zero when it must be said
	low, high length.Length
	doubt     string // asked when it is more than high; in inches only the high is told
}

func boundsOf(what string) bounds {
	return bounds{what: what, low: length.Millimetre / 10, high: length.Kilometre, doubt: "the most is 1 km"}
}

func cordThickness(what string) bounds {
	return bounds{
		what: what, bare: length.Millimetre, low: length.Millimetre / 10, high: 100 * length.Millimetre,
		doubt: "thickness is mostly given in mm, such as 5 mm, and the most is 100 mm",
	}
}

func rodThickness() bounds {
	return bounds{
		what: "the thickness of the rod", bare: length.Millimetre, low: length.Millimetre, high: 50 * length.Centimetre,
		doubt: "thickness is mostly given in mm, such as 20 mm, and the most is 500 mm",
	}
}

// parse reads a length of the sheet. A fraction without unit counts what any bare number
// does, as it always did here; inches where that would be thinner than any cord.
func (b bounds) parse(text string) (length.Length, error) {
	if l, err := length.ParsePlain(text, b.bare); err == nil && l >= length.Thicknesses().Least {
		return l, nil
	}
	return length.Parse(text, b.bare)
}

// length reads a length, blanks and all: the longest run of words that is one.
func (l *line) length(b bounds) length.Length {
	first := l.peek()
	var ends []int
	for l.bad == nil && len(ends) < mostWords {
		w := l.peek()
		text := w.plain()
		if w.raw == "" || w.raw == "," || stops[text] || l.splits != nil && (text == "x" || text == "×") {
			break
		}
		ends = append(ends, l.take().end())
	}
	if l.bad != nil {
		return 0
	}
	if len(ends) == 0 {
		l.fail(first, "%s", misplaced(first, b.what))
		return 0
	}
	if !startsLength(first.raw) {
		l.fail(first, "%s", misplaced(first, b.what))
		return 0
	}
	all := l.code[first.at:ends[len(ends)-1]]
	for i := len(ends) - 1; i >= 0; i-- {
		text := l.code[first.at:ends[i]]
		if isBare(text) && b.bare == 0 {
			continue
		}
		read, err := b.parse(text)
		if err != nil {
			continue
		}
		l.pos = ends[i]
		return l.within(b, word{text, first.at}, read)
	}
	whole := word{all, first.at}
	if isBare(all) && b.bare == 0 {
		if _, err := length.Parse(all, length.Centimetre); err == nil {
			l.failMend(whole, all+l.unit(" cm", " in"), "has no unit: cm, mm, m, in or ft was expected behind the number")
			return 0
		}
	}
	_, err := length.Parse(all, b.bare)
	l.fail(whole, "%s", notA("a length", b.what, err))
	return 0
}

// notA explains why a text is no length or mass, in the words of whoever read it.
func notA(kind, what string, err error) string {
	var input *length.InputError
	if errors.As(err, &input) {
		return fmt.Sprintf("is not %s for %s: %s; %s", kind, what, input.Wrong, input.Right)
	}
	return fmt.Sprintf("is not %s for %s", kind, what)
}

func misplaced(w word, what string) string {
	if w.raw == "" {
		return what + " is missing here: a length was expected"
	}
	return "stands where a length was expected: " + what
}

// startsLength tells whether a text begins as a length does.
func startsLength(text string) bool {
	r, _ := utf8.DecodeRuneInString(text)
	return unicode.IsNumber(r) || strings.ContainsRune(".+-−", r)
}

// isBare tells whether a text is a number without a unit.
func isBare(text string) bool {
	return !strings.ContainsFunc(text, func(r rune) bool {
		return unicode.IsLetter(r) || strings.ContainsRune("'\"’‘”“′″`´", r)
	})
}

func (l *line) within(b bounds, w word, read length.Length) length.Length {
	if amiss := b.outside(read, l.inches); amiss != "" {
		l.fail(w, "%s", amiss)
		return 0
	}
	return read
}

// outside says of a length that it is not within its bounds; empty for one that is.
func (b bounds) outside(l length.Length, inches bool) string {
	least, doubt := length.ExactMetric(b.low), b.doubt
	if inches {
		least, doubt = length.Bounds{Least: b.low, Most: b.high, System: length.Imperial}.Ends()
		doubt = "the most is " + doubt
	}
	switch {
	case l <= 0:
		return "is nothing: " + b.what + " has to be more"
	case l < b.low:
		return "is too little for " + b.what + ": the least is " + least
	case l > b.high:
		return "is too much for " + b.what + ": " + doubt
	}
	return ""
}

// spool reads `LENGTH [MASS] [PRICE]` up to the end of the line.
func (l *line) spool() (of length.Length, mass length.Mass, price cord.Price) {
	var words []word
	for l.bad == nil && l.peek().raw != "" {
		if l.accept(",") {
			continue
		}
		if len(words) == mostWords {
			l.fail(l.peek(), "is too much: a spool has a length, a mass and a price")
			return
		}
		words = append(words, l.take())
	}
	if l.bad != nil {
		return
	}
	b := boundsOf("the length on the spool")
	b.high, b.doubt = 100*length.Kilometre, "the most is 100 km"
	if len(words) == 0 {
		l.fail(l.peek(), "%s", misplaced(word{}, b.what))
		return
	}
	all := word{l.code[words[0].at:words[len(words)-1].end()], words[0].at}
	label, err := cord.ParseSpool(all.raw, 0)
	var input *length.InputError
	switch last := words[len(words)-1]; {
	case err == nil:
		return l.within(b, all, label.Length), label.Mass, label.Price
	case len(words) > 1 && isBare(last.raw) && l.price(last) == 0:
	case isBare(all.raw):
		l.failMend(all, all.raw+l.unit(" m", " yd"), "has no unit: m, yd or ft was expected behind the length on the spool")
	case errors.As(err, &input):
		l.fail(all, "is not a spool: %s; %s", input.Wrong, input.Right)
	}
	return
}

func (l *line) price(w word) cord.Price {
	price, err := cord.ParsePrice(w.raw)
	if err != nil {
		l.fail(w, "is not a price: a number with at most two decimals was expected, such as 24.00")
	} else if price == 0 {
		l.failMend(w, "", "is no price: leave it out when there is none")
	}
	return price
}

var decimalForm = regexp.MustCompile(`^\d{1,3}(?:[.,]\d{1,6})?$`)

// decimal reads an unsigned decimal number of at most six places, shifted by an
// exponent of ten; a unit that may stand behind it is dropped.
func (l *line) decimal(w word, what string, exponent int, units ...string) float64 {
	if l.bad != nil {
		return 0
	}
	digits := strings.Join(strings.Fields(w.plain()), "")
	for _, unit := range units {
		digits = strings.TrimSuffix(digits, unit)
	}
	if w.raw == "" {
		l.fail(w, "%s is missing here", what)
		return 0
	}
	if !decimalForm.MatchString(digits) {
		l.fail(w, "is not a number: %s was expected", what)
		return 0
	}
	value, err := strconv.ParseFloat(strings.Replace(digits, ",", ".", 1)+"e"+strconv.Itoa(exponent), 64)
	if err != nil {
		l.fail(w, "is not a number: %s was expected", what)
	}
	return value
}
