package length

import (
	"math/big"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is how many bytes a written quantity may have; nobody types more.
const longest = 100

// unit is one unit of a quantity and the words people write for it.
type unit struct {
	symbol string
	worth  int64 // in the quantity's smallest unit
	metric bool
	words  []string // lower case; the symbol is among them
}

// grammar is what one quantity accepts.
type grammar struct {
	noun     string // what it is called to the reader, such as width
	of       string // the quantity that its units measure
	units    []unit
	fraction int64  // what a fraction without a unit counts: nobody halves centimetres
	use      string // the units to advise, as a phrase
	sample   string // a well-written quantity
	// follow gives the unit of a number that stands without one after a part in
	// the unit named by symbol; it returns an advice instead when it cannot tell.
	follow func(symbol string, n number) (unitSymbol, advice string)
}

// quantity = part { [","] ["and"] part }; part = number unit; units get smaller from part to part, each part
// less than one of the unit before, all metric or all imperial. A lone number takes the bare unit.
func (g grammar) parse(text string, bare int64) (reading, error) {
	s := &scanner{grammar: g, text: text}
	if len(text) > longest {
		return reading{}, s.fault("it is too long to read", "write it like "+g.sample)
	}
	s.spaces()
	if s.at == len(text) {
		return reading{}, s.fault("nothing is written", "write it like "+g.sample)
	}
	if s.take("-") || s.take("−") {
		return reading{}, s.fault("a "+g.noun+" cannot be negative", "leave the minus out")
	}
	total := new(big.Rat)
	var last part
	var written []string
	for first := true; first || s.at < len(text); first = false {
		p, err := s.part(last, bare)
		if err != nil {
			return reading{}, err
		}
		if !first {
			if err := s.fits(last, p); err != nil {
				return reading{}, err
			}
		}
		total.Add(total, p.value())
		written = append(written, p.text, s.symbol(p))
		last = p
		s.joint()
	}
	value := halfEven(total)
	if !value.IsInt64() {
		return reading{}, s.fault("it is more than can be reckoned with", "write it like "+g.sample)
	}
	place := halfEven(new(big.Rat).Mul(last.place, new(big.Rat).SetInt64(last.worth)))
	if !place.IsInt64() || place.Sign() == 0 {
		place.SetInt64(1)
	}
	r := reading{value: value.Int64(), place: place.Int64(), written: strings.Join(written, " "), metric: last.metric}
	if last.first && last.symbol == "" {
		r.bare = last.worth
	}
	if last.first {
		r.number = last.number.value
	}
	return r, nil
}

// reading is the exact value of what was written, the worth of one step of its
// last place, and the number itself when it stood before a single unit.
type reading struct {
	value, place int64
	bare         int64 // what a number without a unit counted; zero for one that had it
	number       *big.Rat
	written      string // every number with its unit
	metric       bool
}

// symbol is the unit of a part, that of a bare number too.
func (s *scanner) symbol(p part) string {
	if p.symbol != "" {
		return p.symbol
	}
	for _, u := range s.units {
		if u.worth == p.worth {
			return u.symbol
		}
	}
	return ""
}

// part is a number with the unit it is in; the symbol is empty for a bare one.
type part struct {
	number
	symbol string
	worth  int64
	metric bool
	first  bool
	text   string
}

func (p part) value() *big.Rat {
	return new(big.Rat).Mul(p.number.value, new(big.Rat).SetInt64(p.worth))
}

// scanner walks over one written quantity.
type scanner struct {
	grammar
	text string
	at   int
}

// part reads a number and its unit.
func (s *scanner) part(before part, bare int64) (part, error) {
	start := s.at
	n, ok, err := s.number()
	if err != nil {
		return part{}, err
	}
	if !ok {
		what := s.rest()
		if before.worth == 0 {
			return part{}, s.fault(quote(what)+" does not start with a number", "write it like "+s.sample)
		}
		return part{}, s.fault(quote(what)+" cannot follow a "+s.noun, "write it like "+s.sample)
	}
	p := part{number: n, first: before.worth == 0, text: strings.TrimSpace(s.text[start:s.at])}
	s.spaces()
	word := s.unitWord()
	if word != "" {
		u, ok := find(s.units, word)
		if !ok {
			return part{}, s.unknown(word)
		}
		p.symbol, p.worth, p.metric = u.symbol, u.worth, u.metric
		return p, nil
	}
	if s.at < len(s.text) {
		if r, _ := utf8.DecodeRuneInString(s.text[s.at:]); !unicode.IsDigit(r) && r != ',' {
			return part{}, s.fault(quote(s.rest())+" stands where a unit should be", "use "+s.use)
		}
	}
	if p.first {
		if bare <= 0 {
			return part{}, s.fault(quote(p.text)+" has no unit", "use "+s.use+", like "+s.sample)
		}
		p.worth = bare
		if n.fraction && s.grammar.fraction > 0 {
			p.worth = s.grammar.fraction
		}
		p.metric = slices.ContainsFunc(s.units, func(u unit) bool { return u.worth == p.worth && u.metric })
		return p, nil
	}
	symbol, advice := "", "give every number its unit"
	if s.follow != nil {
		symbol, advice = s.follow(before.symbol, n)
	}
	u, ok := find(s.units, symbol)
	if !ok {
		return part{}, s.fault(quote(p.text)+" has no unit", advice)
	}
	p.symbol, p.worth, p.metric = u.symbol, u.worth, u.metric
	return p, nil
}

// fits refuses a part that cannot stand after the one before.
func (s *scanner) fits(before, p part) error {
	switch {
	case before.symbol == "":
		return s.fault(quote(before.text)+" has no unit", "give every number its unit")
	case before.metric != p.metric:
		return s.fault("it mixes "+before.symbol+" and "+p.symbol, "keep to metric or to imperial units")
	case p.worth >= before.worth:
		return s.fault(p.symbol+" cannot follow "+before.symbol, "write the larger unit first, each once")
	case p.value().Cmp(new(big.Rat).SetInt64(before.worth)) >= 0:
		return s.fault(quote(p.text+" "+p.symbol)+" is one "+before.symbol+" or more", "carry it over to the "+before.symbol)
	}
	return nil
}

// unitWord takes letters with a closing dot, or the marks for feet and inches.
func (s *scanner) unitWord() string {
	for _, mark := range []string{"''", "′′", "’’", "\"", "″", "”", "“"} {
		if s.take(mark) {
			return "in"
		}
	}
	for _, mark := range []string{"'", "′", "’", "‘"} {
		if s.take(mark) {
			return "ft"
		}
	}
	start := s.at
	for s.at < len(s.text) {
		r, size := utf8.DecodeRuneInString(s.text[s.at:])
		if !unicode.IsLetter(r) {
			break
		}
		s.at += size
	}
	word := s.text[start:s.at]
	if word != "" {
		s.take(".")
	}
	return word
}

// joint takes what may stand between two parts, when something follows.
func (s *scanner) joint() {
	s.spaces()
	if s.at == len(s.text) {
		return
	}
	back := s.at
	if s.take(",") || s.take("-") || s.takeWord("and") {
		s.spaces()
		if s.at == len(s.text) {
			s.at = back
		}
	}
}

// unknown explains a word that is not a unit of this quantity.
func (s *scanner) unknown(word string) error {
	for _, other := range []grammar{lengths, masses} {
		if _, ok := find(other.units, word); ok {
			return s.fault(quote(word)+" is a unit of "+other.of+", not of "+s.of, "use "+s.use)
		}
	}
	return s.fault(quote(word)+" is not a unit of "+s.of, "use "+s.use)
}

func find(units []unit, word string) (unit, bool) {
	if word == "" {
		return unit{}, false
	}
	word = strings.ToLower(word)
	for _, u := range units {
		for _, w := range u.words {
			if w == word {
				return u, true
			}
		}
	}
	return unit{}, false
}

func (s *scanner) spaces() {
	for s.at < len(s.text) {
		r, size := utf8.DecodeRuneInString(s.text[s.at:])
		if !unicode.IsSpace(r) {
			return
		}
		s.at += size
	}
}

func (s *scanner) take(mark string) bool {
	if !strings.HasPrefix(s.text[s.at:], mark) {
		return false
	}
	s.at += len(mark)
	return true
}

func (s *scanner) takeWord(word string) bool {
	end := s.at + len(word)
	if end > len(s.text) || !strings.EqualFold(s.text[s.at:end], word) {
		return false
	}
	if r, _ := utf8.DecodeRuneInString(s.text[end:]); unicode.IsLetter(r) {
		return false
	}
	s.at = end
	return true
}

func (s *scanner) rest() string { return strings.TrimSpace(s.text[s.at:]) }

func (s *scanner) fault(wrong, right string) error {
	return &InputError{Noun: s.noun, Input: s.text, Wrong: wrong, Right: right}
}
