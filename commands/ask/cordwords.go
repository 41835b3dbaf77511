package ask

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// CordWords is a cord in the member's own words, as far as they say something.
type CordWords struct {
	Thickness    length.Length `json:"thickness_nm,omitempty"`
	Construction string        `json:"construction,omitempty"`
	Others       []string      `json:"others,omitempty"` // a colour, a maker; in small letters
}

var thicknessInWords = regexp.MustCompile(`(?i)[0-9][0-9 ./,½¼¾⅛⅜⅝⅞⁄]*\s*(?:mm|in\b|inch(?:es)?|"|″|”)|[½¼¾⅛⅜⅝⅞]\s*(?:in\b|inch(?:es)?|"|″|”)`)

// sayNothing are words that stand with any cord.
var sayNothing = []string{"cord", "cords", "rope", "string", "cotton", "of", "the", "my", "a", "and", "main"}

// CordIn reads what a member's words say about a cord.
func CordIn(text string) CordWords {
	var w CordWords
	if found := thicknessInWords.FindString(text); found != "" {
		if l, err := length.ParseThickness(found); err == nil {
			w.Thickness = l
			text = strings.Replace(text, found, " ", 1)
		}
	}
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(" ,;()", r) })
	for len(words) > 0 {
		n := min(2, len(words))
		for ; n > 0; n-- {
			if c, err := cord.ParseConstruction(strings.Join(words[:n], " ")); err == nil {
				w.Construction = c.String()
				break
			}
		}
		if n == 0 {
			n = 1
			w.Others = append(w.Others, otherWords(words[0])...)
		}
		words = words[n:]
	}
	return w
}

// otherWords are the parts of a hyphened word that say something.
func otherWords(word string) []string {
	return slices.DeleteFunc(strings.Split(strings.ToLower(word), "-"), func(part string) bool { return part == "" || slices.Contains(sayNothing, part) })
}

// CordOf are the words of a sheet's cord; its name is a word such as a colour.
func CordOf(c cord.Cord) CordWords {
	return CordWords{Thickness: c.Nominal, Construction: c.Construction.String(), Others: otherWords(c.Name)}
}

// Record are the words as a shelf entry keeps them.
func (w CordWords) Record() (string, json.RawMessage, error) {
	var words []string
	if w.Thickness > 0 {
		words = append(words, length.Style{}.Thickness(w.Thickness))
	}
	if w.Construction != "" {
		words = append(words, w.Construction)
	}
	data, err := json.Marshal(w)
	return strings.Join(append(words, w.Others...), " "), data, err
}

// Fits tells whether leftovers described so can serve for a cord: the thickness
// must be named and the same, the construction must not be another.
func (w CordWords) Fits(wanted CordWords) bool {
	if w.Thickness != wanted.Thickness {
		return false
	}
	return w.Construction == "" || wanted.Construction == "" || w.Construction == wanted.Construction
}

// Overlaps tells whether two cords have one of the other words in common.
func (w CordWords) Overlaps(other CordWords) bool {
	return slices.ContainsFunc(w.Others, func(word string) bool { return slices.Contains(other.Others, word) })
}
