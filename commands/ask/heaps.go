package ask

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"larkfold/commands/reply"
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Heap is so many pieces of one length.
type Heap struct {
	Count  int
	Length length.Length
	Spool  bool
	Worth  bool   // a spool's mass or price was named too
	typed  string // the length as it was typed
}

// Repeat writes how long its pieces are: as it was typed, with its unit, and in the
// units of a style.
func (h Heap) Repeat(s length.Style) string {
	if r, err := length.Read(h.typed, 0); err == nil {
		return r.Repeat(s, length.Style.Cut)
	}
	return s.Cut(h.Length)
}

// The ways people write a heap: "2 spools of 100 m", "12 x 45cm", "3 of 1.2 m",
// "45cm x12", "1.2 m".
var (
	spoolsOf   = regexp.MustCompile(`(?i)^(?:(\d+)\s*[x×*]?\s*)?spools?\b\s*(?:of\s+)?(.*?)(?:\s*[x×*]\s*(\d+))?$`)
	spoolLast  = regexp.MustCompile(`(?i)^(?:(\d+)\s*[x×*]\s*)?(.*?)\s*\bspools?(?:\s*[x×*]\s*(\d+))?$`)
	countFirst = regexp.MustCompile(`(?i)^(\d+)\s*(?:[x×*]|of\b|pieces? of\b)\s*(.+)$`)
	countLast  = regexp.MustCompile(`(?i)^(.+?)\s*[x×*]\s*(\d+)$`)
	unitCount  = regexp.MustCompile(`[^\d\s]\s*[x×*]\s*\d+$`)
)

// Items splits a list at semicolons, new lines and commas. A comma between two
// digits belongs to a number, unless a count such as the 12 of "45cm x12" ends there.
func Items(text string) []string {
	var list []string
	begin := 0
	for i, r := range text {
		switch {
		case r == ';', r == '\n':
		case r == ',' && !(digitAt(text, i-1) && digitAt(text, i+1)), r == ',' && unitCount.MatchString(text[max(begin, i-countLooks):i]):
		default:
			continue
		}
		list = append(list, strings.TrimSpace(text[begin:i]))
		begin = i + 1
	}
	list = append(list, strings.TrimSpace(text[begin:]))
	return slices.DeleteFunc(list, func(item string) bool { return item == "" })
}

// Spoolfuls splits a list of spools: an item that is a mass or a price belongs to the
// spool before it.
func Spoolfuls(text string) []string {
	var list []string
	for _, item := range Items(text) {
		_, heavy := length.ParseMass(item, 0)
		_, price := cord.ParsePrice(item)
		if len(list) > 0 && (heavy == nil || price == nil && strings.Contains(list[len(list)-1], " ")) {
			list[len(list)-1] += " " + item
			continue
		}
		list = append(list, item)
	}
	return list
}

// countLooks is how many bytes before a comma a count is looked for.
const countLooks = 40

func digitAt(text string, i int) bool {
	return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9'
}

// MostPieces is the most that one list may hold, and MostListed how many characters
// it may have: as many as a chat lets anybody type.
const (
	MostPieces = 5000
	MostListed = 6000
)

// Pieces are the lengths that are worth naming (common practice, no source).
var Pieces = length.Bounds{Noun: "piece", Least: length.Centimetre, Most: 5 * length.Kilometre, Usual: length.Unit{Symbol: "cm", Length: length.Centimetre}, Sample: "45 cm or 1 1/2 ft"}

// Heaps reads a list of pieces. Everything that is wrong with it is said at once.
func Heaps(text string) ([]Heap, error) {
	if n := utf8.RuneCountInString(text); n > MostListed {
		return nil, &reply.UserError{Read: string([]rune(text)[:60]) + "…", Wrong: fmt.Sprintf("that list has %d characters; I read %d at most", n, MostListed), Right: "name equal pieces once, with how many, such as 45cm x12, or make two lists of it"}
	}
	var heaps []Heap
	var wrong []string
	total := 0
	for _, item := range Items(text) {
		h, err := parseHeap(item)
		if err != nil {
			wrong = append(wrong, itemWrong(item, err))
			continue
		}
		total += h.Count
		heaps = append(heaps, h)
	}
	e := &reply.UserError{Read: text, Right: "lengths with how many of each, such as 45cm x12, 1.2m x3, 2 spools 100m"}
	switch {
	case len(wrong) > 0:
		e.Wrong = strings.Join(wrong, "\n")
	case len(heaps) == 0:
		e.Wrong = "it names no piece"
	case total > MostPieces:
		e.Wrong = fmt.Sprintf("that is %d pieces; I work with %d at most", total, MostPieces)
	default:
		return heaps, nil
	}
	return nil, e
}

// itemWrong is one line about one item of a list.
func itemWrong(item string, err error) string {
	text := err.Error()
	var input *length.InputError
	if errors.As(err, &input) {
		text = input.Wrong + "; " + input.Right
	}
	if strings.HasPrefix(text, reply.Quoted(item)) {
		return text
	}
	return reply.Quoted(item) + ": " + text
}

var onlyCount = regexp.MustCompile(`(?i)^(?:\d+\s*[x×*]|[x×*]\s*\d+)$`)

// timesBehind is how many behind how long, where neither has a unit.
var timesBehind = regexp.MustCompile(`(?i)^(\d[\d.,/ ]*)\s+[x×*](\d+)$`)

// What stands where a comma is missing: how many of one length and how long the next
// are, or how long they are and how many of the next.
var (
	countThenSize = regexp.MustCompile(`(?i)([x×*]\s*\d+)\s+(\d[\d.,/]*\s*[a-z"']+\s*[x×*])`)
	sizeThenCount = regexp.MustCompile(`(?i)([a-z"'])\s+(\d+\s*[x×*]\s*\d)`)
)

// withCommas is a list with a comma between items that stand side by side.
func withCommas(text string) string {
	for {
		apart := sizeThenCount.ReplaceAllString(countThenSize.ReplaceAllString(text, "$1, $2"), "$1, $2")
		if apart == text {
			return text
		}
		text = apart
	}
}

// LikelyHeaps is what a list of pieces was most likely meant to say, item by item; empty
// when nothing suggests itself for one of them. A bare number counts so many of a unit.
func LikelyHeaps(text string, bare length.Length) string {
	if apart := withCommas(text); apart != text {
		if _, err := Heaps(apart); err == nil {
			return apart
		}
	}
	var likely []string
	for _, item := range Items(text) {
		if _, err := parseHeap(item); err == nil {
			likely = append(likely, item)
			continue
		}
		if strings.Contains(strings.ToLower(item), "sp") || onlyCount.MatchString(item) {
			return "" // a spool, or pieces whose length is not there
		}
		size, count := item, ""
		if m := timesBehind.FindStringSubmatch(item); m != nil {
			size, count = m[1], m[2]
		} else if m := countFirst.FindStringSubmatch(item); m != nil {
			size, count = m[2], m[1]
		} else if m := countLast.FindStringSubmatch(item); m != nil {
			size, count = m[1], m[2]
		}
		l := Likely(size, Pieces, bare)
		var bounds *length.BoundsError
		if _, err := Pieces.Parse(size, bare); errors.As(err, &bounds) && bounds.Meant != "" {
			l = Compact(bounds.Meant)
		}
		if r, err := length.Read(l, bare); err == nil && r.Bare > 0 {
			l = Compact(r.Typed)
		}
		if l == "" || len(figures.FindAllString(l, -1)) < len(figures.FindAllString(size, -1)) {
			return "" // a list with less in it than was typed would be another one
		}
		if n, err := strconv.Atoi(count); err == nil {
			l = fmt.Sprintf("%d x %s", max(1, min(n, MostPieces)), l)
		} else if count != "" {
			return "" // more than can be counted
		}
		if _, err := parseHeap(l); err != nil {
			return ""
		}
		likely = append(likely, l)
	}
	return strings.Join(likely, ", ")
}

func parseHeap(item string) (Heap, error) {
	h := Heap{Count: 1}
	size, number := item, ""
	m := spoolsOf.FindStringSubmatch(item)
	if m == nil {
		m = spoolLast.FindStringSubmatch(item)
	}
	if m != nil {
		h.Spool, size, number = true, m[2], m[1]+m[3]
		if m[1] != "" && m[3] != "" {
			return h, errors.New("it says twice how many")
		}
	} else if m = countFirst.FindStringSubmatch(item); m != nil {
		number, size = m[1], m[2]
	} else if m = countLast.FindStringSubmatch(item); m != nil {
		size, number = m[1], m[2]
	}
	if number != "" {
		n, err := strconv.Atoi(number)
		if err != nil || n < 1 || n > MostPieces {
			return h, fmt.Errorf("%s pieces; give from 1 to %d", number, MostPieces)
		}
		h.Count = n
	}
	if size == "" {
		return h, errors.New("it does not say how long")
	}
	if label, err := cord.ParseSpool(size, 0); h.Spool && err == nil {
		h.Length, h.Worth = label.Length, label.Mass > 0 || label.Price > 0
		return h, Pieces.Check(h.Length)
	}
	l, err := Pieces.Parse(size, 0)
	h.Length, h.typed = l, size
	return h, err
}
