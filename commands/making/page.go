package making

import (
	"fmt"
	"slices"
	"strings"

	"larkfold/sizing/sheet"
)

// Page is a sheet in its one form, line by line, with what was read from it.
type Page struct {
	Lines []string
	Sheet sheet.Sheet
	at    int // index of the panel at hand
}

// open reads a sheet that was printed.
func open(text, panel string, knots sheet.Knots) (Page, error) {
	s, faults := sheet.Parse(text, knots)
	if faults.Any() {
		return Page{}, faults
	}
	p := Page{Lines: strings.Split(strings.TrimRight(text, "\n"), "\n"), Sheet: s}
	p.at = max(0, slices.IndexFunc(s.Panels, func(one sheet.Panel) bool { return one.Name == panel }))
	return p, nil
}

// Open is the page of a design.
func (d *Design) Open(knots sheet.Knots) (Page, error) { return open(d.Sheet, d.Panel, knots) }

func join(lines []string) string { return strings.Join(lines, "\n") + "\n" }

// Panel is the panel at hand.
func (p Page) Panel() sheet.Panel { return p.Sheet.Panels[p.at] }

// line is the index of a place's line.
func line(at sheet.Place) int { return at.Line - 1 }

// last is the index of the last line of a panel.
func (p Page) last(panel sheet.Panel) int {
	if n := len(panel.Steps); n > 0 {
		return line(panel.Steps[n-1].At())
	}
	return line(panel.Place)
}

// with puts lines in before an index.
func (p Page) with(before int, lines ...string) []string {
	return slices.Insert(slices.Clone(p.Lines), before, lines...)
}

// Rewrite writes the whole sheet anew.
func Rewrite(text string) Edit {
	return func(Page) ([]string, error) {
		return strings.Split(strings.TrimRight(text, "\n"), "\n"), nil
	}
}

// AddStep puts a step where it belongs in the panel at hand: bare rod first, then
// what is mounted, the tail last, everything else behind what is there but before
// the tail.
func AddStep(text string) Edit {
	return func(p Page) ([]string, error) {
		word, _, _ := strings.Cut(strings.TrimSpace(text), " ")
		panel, at := p.Panel(), p.place(word)
		before := line(panel.Place) + 1
		switch {
		case at == len(panel.Steps):
			before = p.last(panel) + 1
		case !hangs(word):
			before = line(panel.Steps[at].At())
		case at > 0:
			before = line(panel.Steps[at-1].At()) + 1
		}
		return p.with(before, "  "+strings.TrimSpace(text)), nil
	}
}

// place is how many steps of the panel at hand stand before a new one that begins
// with a word.
func (p Page) place(word string) int {
	steps := p.Panel().Steps
	at := len(steps)
	switch word {
	case "gap":
		return 0
	case "mount":
		for at > 0 && !hangs(sheet.FactsOf(steps[at-1]).Word) {
			at--
		}
	case "tail":
	default:
		for at > 0 && sheet.FactsOf(steps[at-1]).Word == "tail" {
			at--
		}
	}
	return at
}

// hangs tells whether a word begins what goes before the knots: bare rod, and what is
// mounted.
func hangs(word string) bool { return word == "gap" || word == "mount" }

// step is a step of the panel at hand, counted from 1.
func (p Page) step(n int) (sheet.Step, error) {
	steps := p.Panel().Steps
	if n < 1 || n > len(steps) {
		return nil, wrong("panel %s has no step %d", p.Panel().Name, n)
	}
	return steps[n-1], nil
}

// ReplaceStep writes a step anew.
func ReplaceStep(n int, text string) Edit {
	return func(p Page) ([]string, error) {
		s, err := p.step(n)
		if err != nil {
			return nil, err
		}
		lines := slices.Clone(p.Lines)
		lines[line(s.At())] = "  " + strings.TrimSpace(text)
		return lines, nil
	}
}

// RemoveStep takes a step out.
func RemoveStep(n int) Edit {
	return func(p Page) ([]string, error) {
		s, err := p.step(n)
		if err != nil {
			return nil, err
		}
		return slices.Delete(slices.Clone(p.Lines), line(s.At()), line(s.At())+1), nil
	}
}

// MoveStep exchanges a step with the one before it (up) or behind it.
func MoveStep(n int, up bool) Edit {
	return func(p Page) ([]string, error) {
		other := n + 1
		if up {
			other = n - 1
		}
		a, err := p.step(n)
		if err != nil {
			return nil, err
		}
		b, err := p.step(other)
		if err != nil {
			return nil, err
		}
		lines := slices.Clone(p.Lines)
		i, j := line(a.At()), line(b.At())
		lines[i], lines[j] = lines[j], lines[i]
		return lines, nil
	}
}

// RepeatSteps works the steps from one to another so many times in all: one step
// twice is written out, anything more stands between repeat and end.
func RepeatSteps(from, to, times int) Edit {
	return func(p Page) ([]string, error) {
		a, err := p.step(from)
		if err != nil {
			return nil, err
		}
		b, err := p.step(to)
		if err != nil {
			return nil, err
		}
		i, j := line(a.At()), line(b.At())
		if from == to && times == 2 {
			return p.with(i, p.Lines[i]), nil
		}
		lines := slices.Insert(slices.Clone(p.Lines), j+1, "  end")
		return slices.Insert(lines, i, fmt.Sprintf("  repeat %d", times)), nil
	}
}
