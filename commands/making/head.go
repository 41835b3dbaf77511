package making

import (
	"slices"
	"strings"

	"larkfold/sizing/cord"
	"larkfold/sizing/sheet"
)

// SetHead writes a line of the head: in the place of the one that begins with the
// same words, which may be several for a cord or a rod (its word and its name), or
// as a new one before the first panel.
func SetHead(instead, text string) Edit {
	return func(p Page) ([]string, error) {
		first := line(p.Sheet.Panels[0].Place)
		for i, l := range p.Lines[:first] {
			if instead != "" && (l == instead || strings.HasPrefix(l, instead+" ")) {
				lines := slices.Clone(p.Lines)
				lines[i] = strings.TrimSpace(text)
				if lines[i] == "" {
					lines = slices.Delete(lines, i, i+1)
				}
				return lines, nil
			}
		}
		return p.with(first, strings.TrimSpace(text)), nil
	}
}

// Head are the lines of the head.
func (p Page) Head() []string {
	return filled(p.Lines[:line(p.Sheet.Panels[0].Place)])
}

// Finish are the lines behind the panels: fringes, swags and the hanger.
func (p Page) Finish() []string { return filled(p.Lines[p.behind():]) }

// filled are the lines that say something, without remarks.
func filled(lines []string) []string {
	var out []string
	for _, l := range lines {
		if l = strings.TrimSpace(l); l != "" && !strings.HasPrefix(l, "#") {
			out = append(out, l)
		}
	}
	return out
}

// behind is the index of the first line behind the panels.
func (p Page) behind() int {
	at := 0
	for _, panel := range p.Sheet.Panels {
		at = max(at, p.last(panel)+1)
	}
	return at
}

// AddFinish puts a line behind the panels; of hangers there is one.
func AddFinish(text string) Edit {
	return func(p Page) ([]string, error) {
		text := strings.TrimSpace(text)
		lines := slices.Clone(p.Lines)
		if word, _, _ := strings.Cut(text, " "); word == "hanger" && p.Sheet.Hanger != nil {
			lines[line(p.Sheet.Hanger.Place)] = text
			return lines, nil
		}
		return append(lines, text), nil
	}
}

// RemoveFinish takes a line behind the panels out, counted from 1.
func RemoveFinish(n int) Edit {
	return func(p Page) ([]string, error) {
		all := finishAt(p.Sheet)
		if n < 1 || n > len(all) {
			return p.Lines, nil
		}
		return slices.Delete(slices.Clone(p.Lines), all[n-1], all[n-1]+1), nil
	}
}

// finishAt are the indices of the lines behind the panels.
func finishAt(s sheet.Sheet) []int {
	var at []int
	for _, f := range s.Fringes {
		at = append(at, line(f.Place))
	}
	for _, g := range s.Swags {
		at = append(at, line(g.Place))
	}
	if s.Hanger != nil {
		at = append(at, line(s.Hanger.Place))
	}
	slices.Sort(at)
	return at
}

// CordSays is how the sheet writes a cord's thickness, and whatever it says of it
// besides name, thickness, make and colour.
func (p Page) CordSays(c sheet.Cord) (thickness, besides string) {
	thickness = strings.TrimPrefix(p.cordLine(sheet.Cord{Name: c.Name, Thickness: c.Thickness}), "cord "+c.Name+" ")
	c.Construction, c.Colour = "", ""
	besides = strings.TrimSpace(strings.TrimPrefix(p.cordLine(c), "cord "+c.Name+" "+thickness))
	return thickness, strings.TrimSpace(strings.TrimPrefix(besides, ","))
}

// ColourCord gives the cord of an index a colour, or with an empty one takes it from it.
func ColourCord(i int, colour cord.Colour) Edit {
	return func(p Page) ([]string, error) {
		c := p.Sheet.Cords[i]
		c.Colour = colour
		return SetHead("cord "+c.Name, p.cordLine(c))(p)
	}
}

// cordLine is how the sheet writes a cord.
func (p Page) cordLine(c sheet.Cord) string {
	says := p.Sheet
	says.Cords = []sheet.Cord{c}
	for _, l := range strings.Split(sheet.Format(says), "\n") {
		if strings.HasPrefix(l, "cord ") {
			return l
		}
	}
	return ""
}

// RodLine is which line of the head a dowel or ring line takes the place of: the one
// of its name, or the first one's; empty for one that is not there yet.
func (p Page) RodLine(text string) string {
	words := strings.Fields(text)
	for _, l := range p.Head() {
		has := strings.Fields(l)
		if len(words) < 2 || len(has) < 2 || has[0] != "dowel" && has[0] != "ring" {
			continue
		}
		named := func(w []string) string {
			if strings.IndexAny(w[1], "0123456789.,½¼¾⅛⅜⅝⅞") == 0 {
				return ""
			}
			return w[1]
		}
		if named(words) == named(has) {
			return strings.TrimSpace(has[0] + " " + named(has))
		}
	}
	return ""
}
