package making

import (
	"cmp"
	"slices"
	"strings"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// AddPanel puts a panel of its own beside the others: its head line and its steps.
func AddPanel(lines ...string) Edit {
	return func(p Page) ([]string, error) {
		at := 0
		for _, panel := range p.Sheet.Panels {
			at = max(at, p.last(panel)+1)
		}
		return p.with(at, block(lines)...), nil
	}
}

// block is a panel's lines with a blank one before them.
func block(lines []string) []string {
	out := []string{""}
	for i, l := range lines {
		if i > 0 {
			l = "  " + strings.TrimSpace(l)
		}
		out = append(out, l)
	}
	return out
}

// rows are the lines of a panel.
func (p Page) rows(panel sheet.Panel) []string {
	return slices.Clone(p.Lines[line(panel.Place) : p.last(panel)+1])
}

// CopyPanel puts the panel at hand a second time beside itself, under another name.
func CopyPanel(name string) Edit {
	return func(p Page) ([]string, error) {
		panel := p.Panel()
		if len(panel.From) > 0 {
			return nil, wrong("panel %s joins the ends of others, which are there only once", panel.Name)
		}
		rows := p.rows(panel)
		rows[0] = strings.Replace(rows[0], "panel "+panel.Name, "panel "+name, 1)
		return p.with(p.last(panel)+1, block(rows)...), nil
	}
}

// MirrorPanel turns the panel at hand left to right: what its steps take from the
// left they take from the right. Knots keep the way they are tied.
func MirrorPanel() Edit {
	return func(p Page) ([]string, error) {
		panel := p.Panel()
		ends, err := endsAt(p.Sheet, panel)
		if err != nil {
			return nil, err
		}
		var hung []sheet.Hung
		for _, s := range panel.Steps {
			if lots := sheet.FactsOf(s).Hung(); lots != nil {
				hung = append(hung, *lots...)
			}
		}
		slices.Reverse(hung)
		lines := slices.Clone(p.Lines)
		for i, s := range panel.Steps {
			f := sheet.FactsOf(s)
			if lots := f.Hung(); lots != nil {
				n := len(*lots)
				*lots, hung = hung[:n:n], hung[n:]
			} else {
				mirror(f, ends[i])
			}
			lines[line(s.At())] = "  " + sheet.StepText(f.Step(), length.Metric)
		}
		return lines, nil
	}
}

// endsAt is how many ends a panel has when each of its steps begins.
func endsAt(s sheet.Sheet, panel sheet.Panel) ([]int, error) {
	n, err := endsBefore(s, panel)
	if err != nil {
		return nil, err
	}
	ends := make([]int, len(panel.Steps))
	repeating := false
	for i, step := range panel.Steps {
		ends[i] = n
		f := sheet.FactsOf(step)
		if f.Opens != nil || f.Closes {
			repeating = f.Opens != nil
		}
		brought := endsBrought(f)
		if brought > 0 && repeating {
			return nil, wrong("panel %s is given cords again and again, so that its ends cannot be counted from the right", panel.Name)
		}
		n += brought
	}
	return ends, nil
}

// endsBefore is how many ends a panel begins with: those of the panels it joins.
func endsBefore(s sheet.Sheet, panel sheet.Panel) (int, error) {
	n := 0
	for _, name := range panel.From {
		i := slices.IndexFunc(s.Panels, func(one sheet.Panel) bool { return one.Name == name })
		if i < 0 {
			continue
		}
		before, err := endsAt(s, s.Panels[i])
		if err != nil {
			return 0, err
		}
		if last := len(before) - 1; last >= 0 {
			n += before[last] + endsBrought(sheet.FactsOf(s.Panels[i].Steps[last]))
		}
	}
	return n, nil
}

// endsBrought is how many ends a step brings into the work.
func endsBrought(f sheet.Facts) int {
	n := 0
	if lots := f.Hung(); lots != nil {
		for _, h := range *lots {
			n += h.Ends()
		}
	}
	return n + f.Adds
}

// mirror exchanges left and right in a copy of a step that has so many ends.
func mirror(f sheet.Facts, ends int) {
	carrier := -1
	for _, a := range f.Amounts {
		switch {
		case a.Ends != nil:
			parts := slices.Clone(a.Ends.Parts)
			for i, part := range parts {
				switch part.Kind {
				case sheet.Leftmost:
					parts[i].Kind = sheet.Rightmost
				case sheet.Rightmost:
					parts[i].Kind = sheet.Leftmost
				case sheet.Numbers:
					parts[i].From, parts[i].To = ends+1-part.To, ends+1-part.From
				}
			}
			slices.Reverse(parts)
			a.Ends.Parts = parts
		case a.Position != nil:
			from := a.Word == "from"
			at := a.Position.Among(ends, carrier)
			if from {
				carrier = at
			}
			*a.Position = across(*a.Position, at+1, ends, from)
		case a.Kind == sheet.Choice && *a.Text == "left":
			*a.Text = "right"
		case a.Kind == sheet.Choice && *a.Text == "right":
			*a.Text = "left"
		}
	}
}

// across is a position seen from the other side.
func across(p sheet.Position, number, ends int, from bool) sheet.Position {
	switch {
	case p.Anchor == sheet.Left:
		return sheet.Position{Anchor: sheet.Right}
	case p.Anchor == sheet.Right:
		return sheet.Position{Anchor: sheet.Left}
	case p.Anchor == sheet.Middle && p.Number == 0 && !from:
		return p
	}
	return sheet.Position{Number: ends + 1 - number}
}

// beside are the panels that hang on the same rod, from left to right, this one
// among them; none for one that does not hang on a rod itself.
func (p Page) beside(panel sheet.Panel) []sheet.Panel {
	rod := func(panel sheet.Panel) string {
		if p.Sheet.Rod != nil && panel.On == p.Sheet.Rod.Name {
			return "rod"
		}
		return cmp.Or(panel.On, "rod")
	}
	hangs := func(panel sheet.Panel) bool { return len(panel.From) == 0 && !panel.BothWays }
	if !hangs(panel) {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(p.Sheet.Panels), func(other sheet.Panel) bool { return !hangs(other) || rod(other) != rod(panel) })
}

// inPlaceOf are the lines of a panel that takes the place of another: bare rod belongs
// to the place, so that it stays between the same two places.
func (p Page) inPlaceOf(other, panel sheet.Panel) []string {
	rows := p.rows(panel)
	if at, ok := gapAt(panel); ok {
		at -= line(panel.Place)
		rows = slices.Delete(rows, at, at+1)
	}
	if at, ok := gapAt(other); ok {
		rows = slices.Insert(rows, 1, p.Lines[at])
	}
	return rows
}

// gapAt is the index of the line of the bare rod before a panel, which is its first
// step; false for none.
func gapAt(panel sheet.Panel) (int, bool) {
	if len(panel.Steps) == 0 {
		return 0, false
	}
	first := panel.Steps[0]
	return line(first.At()), sheet.FactsOf(first).Word == "gap"
}

// RemovePanel takes the panel at hand out. Where it was the first on its rod, the next
// one takes its place.
func RemovePanel() Edit {
	return func(p Page) ([]string, error) {
		panel, lines := p.Panel(), p.Lines
		if len(p.Sheet.Panels) == 1 {
			return nil, wrong("panel %s is the only one", panel.Name)
		}
		if on := p.beside(panel); len(on) > 1 && on[0].Name == panel.Name {
			next := on[1]
			lines = slices.Concat(lines[:line(next.Place)], p.inPlaceOf(panel, next), lines[p.last(next)+1:])
		}
		return slices.Delete(slices.Clone(lines), line(panel.Place), p.last(panel)+1), nil
	}
}

// MovePanel exchanges the panel at hand with the one before it or behind it. What
// there is of bare rod stays where it is, when they hang on the same.
func MovePanel(before bool) Edit {
	return func(p Page) ([]string, error) {
		other := p.at + 1
		if before {
			other = p.at - 1
		}
		if other < 0 || other >= len(p.Sheet.Panels) {
			return nil, wrong("panel %s has no other panel on that side", p.Panel().Name)
		}
		first, second := p.Sheet.Panels[min(p.at, other)], p.Sheet.Panels[max(p.at, other)]
		left, right := p.rows(second), p.rows(first)
		if slices.ContainsFunc(p.beside(first), func(one sheet.Panel) bool { return one.Name == second.Name }) {
			left, right = p.inPlaceOf(first, second), p.inPlaceOf(second, first)
		}
		between := p.Lines[p.last(first)+1 : line(second.Place)]
		return slices.Concat(p.Lines[:line(first.Place)], left, between, right, p.Lines[p.last(second)+1:]), nil
	}
}

// NameOf is a name as a panel can have it: one word.
func NameOf(typed string) string { return strings.Join(strings.Fields(typed), "-") }

// RenamePanel writes the head line of the panel at hand anew. Where its name
// changes, the lines that speak of it follow.
func RenamePanel(text string) Edit {
	return func(p Page) ([]string, error) {
		words := strings.Fields(text)
		if len(words) < 2 {
			return nil, wrong("the panel has no name: one word was expected")
		}
		lines := slices.Clone(p.Lines)
		if old := p.Panel().Name; words[1] != old {
			for i, l := range lines {
				lines[i] = renamed(l, old, words[1])
			}
		}
		lines[line(p.Panel().Place)] = strings.Join(words, " ")
		return lines, nil
	}
}

// renamed is a line with another name for a panel, where it names that panel:
// behind from, under, of, or a comma between panels.
func renamed(text, old, name string) string {
	words := strings.Split(text, " ")
	joins := strings.HasPrefix(text, "panel ")
	for i := 1; i < len(words); i++ {
		bare := strings.TrimSuffix(words[i], ",")
		before := words[i-1]
		if bare == old && (before == "from" || before == "under" || before == "of" || joins && strings.HasSuffix(before, ",")) {
			words[i] = name + strings.TrimPrefix(words[i], bare)
		}
	}
	return strings.Join(words, " ")
}
