package length

import (
	"math/big"
	"strings"
	"unicode/utf8"
)

// number is one written number: its exact value, what one step of its last
// place is worth, and, for plain whole numbers, how many digits it was written with.
type number struct {
	value, place *big.Rat
	digits       int
	fraction     bool // it has a line of division, such as 3/16 or 1 ½
}

// vulgar are the fractions that Unicode gives a character of their own.
var vulgar = map[rune][2]int64{
	'½': {1, 2}, '⅓': {1, 3}, '⅔': {2, 3}, '¼': {1, 4}, '¾': {3, 4},
	'⅕': {1, 5}, '⅖': {2, 5}, '⅗': {3, 5}, '⅘': {4, 5}, '⅙': {1, 6}, '⅚': {5, 6},
	'⅐': {1, 7}, '⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8}, '⅑': {1, 9}, '⅒': {1, 10},
}

// number = decimal | fraction | whole [" " | "-" | "and"] fraction; fraction = digits "/" digits | "½"...
// decimal = digits with "." or "," before decimals; groups of three are thousands when parted by spaces,
// or by a mark that is repeated or followed by the other mark. One comma before exactly three digits
// after a number of one to three digits is refused: it may be either.
//
// The bool is false when no number starts here.
func (s *scanner) number() (number, bool, error) {
	if n, ok := s.vulgar(); ok {
		return n, true, nil
	}
	raw := s.decimal()
	if raw == "" {
		return number{}, false, nil
	}
	if strings.ContainsAny(raw, ".,") {
		n, err := s.pointed(raw)
		return n, err == nil, err
	}
	whole, _ := new(big.Rat).SetString(raw)
	after := s.at
	if s.slash() {
		n, err := s.under(whole)
		return n, err == nil, err
	}
	s.at = after
	n, ok, err := s.fractionAfter(whole)
	if err != nil || ok {
		return n, ok, err
	}
	s.at = after
	return number{value: whole, place: big.NewRat(1, 1), digits: len(raw)}, true, nil
}

// vulgar reads one fraction character.
func (s *scanner) vulgar() (number, bool) {
	r, size := utf8.DecodeRuneInString(s.text[s.at:])
	f, ok := vulgar[r]
	if !ok {
		return number{}, false
	}
	s.at += size
	return number{value: big.NewRat(f[0], f[1]), place: big.NewRat(1, f[1]), fraction: true}, true
}

// fractionAfter reads the fraction of a mixed number; the bool is false when
// what follows the whole number is not one.
func (s *scanner) fractionAfter(whole *big.Rat) (number, bool, error) {
	s.spaces()
	if !s.take("-") {
		s.takeWord("and")
	}
	s.spaces()
	part, ok := s.vulgar()
	if !ok {
		raw := s.digits()
		if raw == "" || !s.slash() {
			return number{}, false, nil
		}
		top, _ := new(big.Rat).SetString(raw)
		var err error
		if part, err = s.under(top); err != nil {
			return number{}, false, err
		}
	}
	if part.value.Cmp(big.NewRat(1, 1)) >= 0 {
		return number{}, false, s.fault("the fraction after a whole number must be less than one", "write it like 1 1/2")
	}
	part.value.Add(part.value, whole)
	return part, true, nil
}

// under reads the denominator and divides.
func (s *scanner) under(top *big.Rat) (number, error) {
	raw := s.digits()
	if raw == "" {
		return number{}, s.fault("the fraction has nothing under its line", "write it like 1/2")
	}
	bottom, _ := new(big.Rat).SetString(raw)
	if bottom.Sign() == 0 {
		return number{}, s.fault("a fraction cannot have 0 under its line", "write it like 1/2")
	}
	return number{value: new(big.Rat).Quo(top, bottom), place: new(big.Rat).Inv(bottom), fraction: true}, nil
}

// pointed works out a number that has dots or commas in it.
func (s *scanner) pointed(raw string) (number, error) {
	first := strings.IndexAny(raw, ".,")
	last := strings.LastIndexAny(raw, ".,")
	mark := raw[last]
	plain := raw
	switch {
	case first != last && raw[first] == mark: // 1,500,000
		if !grouped(raw, mark) {
			return number{}, s.fault(quote(raw)+" has too many dots or commas", "use one dot for decimals")
		}
		plain = strings.ReplaceAll(raw, string(mark), "")
	case first != last: // 1,500.5
		if !grouped(raw[:last], raw[first]) {
			return number{}, s.fault(quote(raw)+" has too many dots or commas", "use one dot for decimals")
		}
		plain = strings.ReplaceAll(raw[:last], string(raw[first]), "") + "." + raw[last+1:]
	case mark == ',' && grouped(raw, ','): // 1,500
		return number{}, s.fault(quote(raw)+" could mean "+strings.Replace(raw, ",", "", 1)+" or "+strings.Replace(raw, ",", ".", 1),
			"write the one you mean")
	default:
		plain = strings.Replace(raw, ",", ".", 1)
	}
	value, _ := new(big.Rat).SetString(plain)
	place := big.NewRat(1, 1)
	if _, decimals, ok := strings.Cut(plain, "."); ok {
		place.SetFrac(big.NewInt(1), new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(len(decimals))), nil))
	}
	return number{value: value, place: place}, nil
}

// grouped tells whether text is one to three digits, not starting with 0, and
// then groups of exactly three digits parted by mark.
func grouped(text string, mark byte) bool {
	groups := strings.Split(text, string(mark))
	if len(groups[0]) < 1 || len(groups[0]) > 3 || groups[0][0] == '0' {
		return false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 || strings.ContainsAny(g, ".,") {
			return false
		}
	}
	return true
}

// decimal takes digits with the dots and commas between them; thousands parted
// by spaces come back without the spaces.
func (s *scanner) decimal() string {
	raw := s.digits()
	if len(raw) >= 1 && len(raw) <= 3 && raw[0] != '0' {
		for {
			group, ok := s.thousands()
			if !ok {
				break
			}
			raw += group
		}
	}
	for s.at < len(s.text) && (s.text[s.at] == '.' || raw != "" && s.text[s.at] == ',') {
		mark := s.at
		s.at++
		more := s.digits()
		if more == "" {
			s.at = mark
			break
		}
		raw += s.text[mark : mark+1]
		raw += more
	}
	return raw
}

// thousands takes a space and exactly three digits that no fraction line follows.
func (s *scanner) thousands() (string, bool) {
	back := s.at
	s.spaces()
	if s.at > back {
		if group := s.digits(); len(group) == 3 {
			end := s.at
			if !s.slash() {
				s.at = end
				return group, true
			}
		}
	}
	s.at = back
	return "", false
}

// digits takes a run of the digits 0 to 9.
func (s *scanner) digits() string {
	start := s.at
	for s.at < len(s.text) && s.text[s.at] >= '0' && s.text[s.at] <= '9' {
		s.at++
	}
	return s.text[start:s.at]
}

// slash takes a fraction line with any spaces round it.
func (s *scanner) slash() bool {
	back := s.at
	s.spaces()
	if s.take("/") || s.take("⁄") || s.take("∕") {
		s.spaces()
		return true
	}
	s.at = back
	return false
}
