package commands

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/store"
)

// cordWords is a cord in the member's own words, as far as they say something.
type cordWords struct {
	Thickness    length.Length `json:"thickness_nm,omitempty"`
	Construction string        `json:"construction,omitempty"`
	Others       []string      `json:"others,omitempty"` // a colour, a maker; in small letters
}

var thicknessInWords = regexp.MustCompile(`(?i)[0-9][0-9 ./,½¼¾⅛⅜⅝⅞⁄]*\s*(?:mm|in\b|inch(?:es)?|"|″|”)|[½¼¾⅛⅜⅝⅞]\s*(?:in\b|inch(?:es)?|"|″|”)`)

// sayNothing are words that stand with any cord.
var sayNothing = []string{"cord", "cords", "rope", "string", "cotton", "of", "the", "my", "a", "and", "main"}

// wordsOfCord reads what a member's words say about a cord.
func wordsOfCord(text string) cordWords {
	var w cordWords
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

// ofCord are the words of a sheet's cord; its name is a word such as a colour.
func ofCord(c cord.Cord) cordWords {
	return cordWords{Thickness: c.Nominal, Construction: c.Construction.String(), Others: otherWords(c.Name)}
}

// store are the words as a shelf entry keeps them.
func (w cordWords) store() (string, json.RawMessage, error) {
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

// fits tells whether leftovers described so can serve for a cord: the thickness
// must be named and the same, the construction must not be another.
func (w cordWords) fits(wanted cordWords) bool {
	if w.Thickness != wanted.Thickness {
		return false
	}
	return w.Construction == "" || wanted.Construction == "" || w.Construction == wanted.Construction
}

// shares tells whether two cords have one of the other words in common.
func (w cordWords) shares(other cordWords) bool {
	return slices.ContainsFunc(w.Others, func(word string) bool { return slices.Contains(other.Others, word) })
}

// onShelf is an entry of a shelf with its words read.
type onShelf struct {
	store.Leftover
	words cordWords
}

// label names the entry in a cutting plan: "your cream offcut".
func (e onShelf) label() string {
	return strings.Join(slices.Concat([]string{"your"}, e.words.Others, []string{string(e.Kind)}), " ")
}

// serving are the entries of a shelf that may serve for a cord. Other words, such
// as a colour, must agree where both sides have some. An only cord's name is often
// no colour: it counts only when a piece on the shelf bears it.
func serving(shelf store.Leftovers, wanted cordWords, only bool) ([]onShelf, error) {
	var fitting []onShelf
	named := false
	for _, e := range shelf.Entries {
		one := onShelf{Leftover: e}
		if len(e.Data) > 0 {
			if err := json.Unmarshal(e.Data, &one.words); err != nil {
				return nil, fmt.Errorf("the shelf entry %s cannot be read: %w", e.ID, err)
			}
		}
		if one.words.fits(wanted) {
			fitting = append(fitting, one)
			named = named || one.words.shares(wanted)
		}
	}
	if only && !named {
		return fitting, nil
	}
	return slices.DeleteFunc(fitting, func(e onShelf) bool {
		return len(e.words.Others) > 0 && len(wanted.Others) > 0 && !e.words.shares(wanted)
	}), nil
}
