package cord

import (
	"image/color"
	"maps"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/image/colornames"

	"larkfold/sizing/length"
	"larkfold/sizing/near"
)

// Colour is the colour of a cord: one of the web's colour names in small letters
// (the named colours of SVG 1.1, which CSS took over) or "#rrggbb". It is empty
// when nobody has said.
type Colour string

var hexForm = regexp.MustCompile(`^#[0-9a-f]{6}$`)

// ParseColour reads a colour's name, blanks and capitals aside, or six hexadecimal
// digits behind a "#". Anything else is a [length.InputError].
func ParseColour(text string) (Colour, error) {
	if c, ok := ColourNamed(text); ok {
		return c, nil
	}
	plain := plainColour(text)
	if hexForm.MatchString(plain) {
		return Colour(plain), nil
	}
	e := &length.InputError{Noun: "colour", Input: text, Wrong: "it is not one of the web's colour names", Right: "use a name such as teal, or six hexadecimal digits such as #2f6f7a"}
	if meant := near.Word(plain, ColourNames()); meant != "" {
		e.Right = "did you mean " + meant + "?"
	}
	return "", e
}

// ColourNamed finds a colour by its name, blanks and capitals aside.
func ColourNamed(name string) (Colour, bool) {
	plain := plainColour(name)
	_, ok := colornames.Map[plain]
	return Colour(plain), ok
}

func plainColour(text string) string {
	return strings.ToLower(strings.Join(strings.Fields(text), ""))
}

// ColourNames returns the names of all colours that have one, sorted.
func ColourNames() []string { return slices.Sorted(maps.Keys(colornames.Map)) }

// RGBA returns the colour to paint with; it is false for the empty colour.
func (c Colour) RGBA() (color.RGBA, bool) {
	if named, ok := colornames.Map[string(c)]; ok {
		return named, true
	}
	if !hexForm.MatchString(string(c)) {
		return color.RGBA{}, false
	}
	digit := func(i int) uint8 { return uint8(strings.IndexByte("0123456789abcdef", c[i])) }
	return color.RGBA{R: digit(1)<<4 | digit(2), G: digit(3)<<4 | digit(4), B: digit(5)<<4 | digit(6), A: 0xff}, true
}
