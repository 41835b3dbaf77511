package making

import (
	"cmp"
	"slices"

	"larkfold/sizing"
	"larkfold/sizing/sheet"
)

// Offer is a step that can come next: its word, what a form asks for it, and what
// comes of it when the form goes as it is.
type Offer struct {
	Word   string
	Blanks []Blank
	Sized  sizing.Sized // with the step added as it is offered; empty when it was not tried
}

// mostTried is how many knots a design may have for each offer to be sized; of a
// larger one only the form of the lines is looked at.
const mostTried = 5000

// ways are what is said behind a step that does not fit all ends as they are.
var ways = []string{"", "middle 4", "left 4", "middle 2", "left 3", "middle 6", "1"}

// Next are the steps that are possible now, with amounts that fit. What goes before
// the steps that are there comes last.
func (p Page) Next(sized sizing.Sized, lists Lists, size Size, knots sheet.Knots) []Offer {
	try := size
	if sized.Tied() > mostTried {
		try = func(text string) (sizing.Sized, string, error) {
			if _, faults := sheet.Parse(text, knots); faults.Any() {
				return sizing.Sized{}, "", faults
			}
			return sizing.Sized{}, text, nil
		}
	}
	var offers, before []Offer
	for _, w := range sheet.Words() {
		if w.Part != sheet.InPanel || w.Name == "repeat" || w.Name == "end" {
			continue
		}
		o, ok := p.offer(w.Name, lists, try)
		switch {
		case !ok:
		case len(p.Panel().Steps) > 0 && (w.Name == "mount" || w.Name == "gap"):
			before = append(before, o)
		default:
			offers = append(offers, o)
		}
	}
	return append(offers, before...)
}

// offer tries a step with all ends and then with fewer.
func (p Page) offer(word string, lists Lists, try Size) (Offer, bool) {
	if word == "onto" {
		// Its own rod is what the panel hangs on already.
		own := cmp.Or(p.Panel().On, "rod")
		lists.Rods = slices.DeleteFunc(slices.Clone(lists.Rods), func(rod string) bool { return rod == own })
		if len(lists.Rods) == 0 {
			return Offer{}, false
		}
	}
	blanks := Asked(word, lists)
	on := slices.IndexFunc(blanks, func(b Blank) bool { return b.Name == "on" })
	for _, ends := range ways {
		if ends != "" {
			if on < 0 {
				break
			}
			blanks[on].Value = ends
		}
		lines, err := AddStep(Line(word, blanks, Values(blanks)))(p)
		if err != nil {
			continue
		}
		if sized, _, err := try(join(lines)); err == nil {
			return Offer{word, blanks, sized}, true
		}
	}
	return Offer{}, false
}

// Asked is what a form asks for a new step.
func Asked(word string, lists Lists) []Blank {
	f, ok := sheet.FactsFor(word)
	if !ok {
		return nil
	}
	return BlanksOf(f, sheet.Sheet{}.Says, lists, true)
}

// AskedNext is what a form asks for a next step, with amounts that fit.
func (p Page) AskedNext(word string, lists Lists, size Size) []Blank {
	if o, ok := p.offer(word, lists, size); ok {
		return o.Blanks
	}
	return Asked(word, lists)
}

// AskedOf is what a form asks for a step of the panel at hand, counted from 1.
func (p Page) AskedOf(n int, lists Lists) (word string, blanks []Blank, err error) {
	s, err := p.step(n)
	if err != nil {
		return "", nil, err
	}
	f := sheet.FactsOf(s)
	return f.Word, BlanksOf(f, p.Sheet.Says, lists, false), nil
}

// Values are what stands in blanks, by their names.
func Values(blanks []Blank) map[string]string {
	out := map[string]string{}
	for _, b := range blanks {
		out[b.Name] = b.Value
	}
	return out
}
