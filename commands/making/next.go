package making

import (
	"cmp"
	"slices"

	"larkfold/sizing"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
	"larkfold/sizing/vocabulary"
)

// Offer is a step that can come next: its word, what a form asks for it, and what
// comes of it when the form goes as it is.
type Offer struct {
	Word   string
	Blanks []Blank
	Then   trace.Result // with the step added as it is offered; empty when it was not tried
}

// Ahead follows a sheet up to a step of a panel, both by their index.
type Ahead func(text string, panel, step int) (*sizing.Further, error)

// mostTried is how many knots a design may have for each offer to be tried; of a
// larger one only the form of the lines is looked at.
const mostTried = 5000

// ways are what is said behind a step that does not fit all ends as they are.
var ways = []string{"", "middle 4", "left 4", "middle 2", "left 3", "middle 6", "1"}

// Next are the steps that are possible now, with amounts that fit. What goes before
// the steps that are there comes last.
func (p Page) Next(sized sizing.Sized, lists Lists, size Size, ahead Ahead, knots sheet.Knots) []Offer {
	try := p.tries(size, ahead)
	if sized.Tied() > mostTried {
		try = p.whole(func(text string) (sizing.Sized, string, error) {
			_, faults := sheet.Parse(text, knots)
			if faults.Any() {
				return sizing.Sized{}, "", faults
			}
			return sizing.Sized{}, text, nil
		})
	}
	var offers, before []Offer
	for _, w := range vocabulary.Words() {
		if w.Part != vocabulary.InPanel || w.Name == "repeat" || w.Name == "end" {
			continue
		}
		o, ok := p.offer(w.Name, lists, try)
		switch {
		case !ok:
		case len(p.Panel().Steps) > 0 && hangs(w.Name):
			before = append(before, o)
		default:
			offers = append(offers, o)
		}
	}
	return append(offers, before...)
}

// trying tells what comes of a line that is added to the panel at hand, and whether
// that is possible.
type trying func(word, line string) (trace.Result, bool)

// whole tries lines with the whole sheet.
func (p Page) whole(size Size) trying {
	return func(_, line string) (trace.Result, bool) {
		lines, err := AddStep(line)(p)
		if err != nil {
			return trace.Result{}, false
		}
		sized, _, err := size(join(lines))
		return sized.Result, err == nil
	}
}

// tries tries lines from where they stand on, and with the whole sheet where they
// change what it hangs from.
func (p Page) tries(size Size, ahead Ahead) trying {
	whole := p.whole(size)
	further, err := ahead(join(p.Lines), p.at, p.place(""))
	if err != nil {
		return whole
	}
	return func(word, line string) (trace.Result, bool) {
		if hangs(word) {
			return whole(word, line)
		}
		then, ok, err := further.With("  "+line, p.place(word))
		return then, ok && err == nil
	}
}

// offer tries a step with all ends and then with fewer.
func (p Page) offer(word string, lists Lists, try trying) (Offer, bool) {
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
		if then, ok := try(word, Line(word, blanks, Values(blanks))); ok {
			return Offer{word, blanks, then}, true
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
func (p Page) AskedNext(word string, lists Lists, size Size, ahead Ahead) []Blank {
	if o, ok := p.offer(word, lists, p.tries(size, ahead)); ok {
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
