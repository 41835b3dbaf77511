package say

import (
	"fmt"
	"strconv"
	"strings"

	"larkfold/commands/picture/drawn"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// finishing is what comes after the panels.
func finishing(r trace.Result, units length.Style) drawn.Instructions {
	s := r.Sheet
	after := drawn.Instructions{Name: "to finish"}
	for _, f := range s.Fringes {
		pieces := "one piece"
		if f.Pieces > 1 {
			pieces = fmt.Sprintf("%d pieces", f.Pieces)
		}
		where := f.Rod
		switch {
		case f.Rod == "rod":
			where = "the rod"
		case f.Rod == "":
			where = "the " + [...]string{"left edge", "right edge", "edges", "foot"}[f.Side] + " of " + f.Panel
		}
		to := "to a loop"
		if f.Each > 0 {
			to = "to each " + units.Format(f.Each)
		}
		after.Steps = append(after.Steps, fmt.Sprintf("Hang fringe on %s: %s %s%s, each folded and drawn through; trim to %s.", where, pieces, to, named(f.Cord), units.Format(f.Drop)))
	}
	for _, g := range s.Swags {
		after.Steps = append(after.Steps, fmt.Sprintf("Hang %s%s in an arc over %s, %s deep.", noun.Count(g.Count, "cord"), named(g.Cord), units.Format(g.Over), units.Format(g.Drop)))
	}
	switch h := s.Hanger; {
	case h == nil:
	case h.Rise > 0:
		after.Steps = append(after.Steps, fmt.Sprintf("Tie the hanger to both ends of the rod so that it rises %s.", units.Format(h.Rise)))
	default:
		after.Steps = append(after.Steps, fmt.Sprintf("Tie the hanger to both ends of the rod so that its two sides stand at %s degrees.", number(h.Angle)))
	}
	for i := range after.Steps { // each cuts one thing, the last of all that is cut besides
		extra := len(r.Extras) - len(after.Steps) + i
		after.Spans = append(after.Spans, drawn.Span{Panel: -1, From: extra, To: extra + 1})
	}
	return after
}

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// named is the cord of a step, when the step names one.
func named(cord string) string {
	if cord == "" {
		return ""
	}
	return " of " + cord
}

func stepWords(step sheet.Step, units length.Style) string {
	long := units.Format
	switch s := step.(type) {
	case sheet.Mount:
		lots := make([]string, len(s.Hung))
		for i, h := range s.Hung {
			lots[i] = noun.Count(h.Count, "cord") + named(h.Cord)
			switch h.Way {
			case sheet.Single:
				lots[i] += ", tied on singly"
			case sheet.Laid:
				lots[i] += ", laid over without a knot"
			default:
				lots[i] += ", folded, by lark's heads"
			}
		}
		return "hang " + strings.Join(lots, "; then ")
	case sheet.Gap:
		return fmt.Sprintf("leave %s of bare rod before this panel", long(s.Length))
	case sheet.Add:
		how := "folded"
		if s.Way == sheet.Single {
			how = "single"
		}
		return fmt.Sprintf("add %s%s, %s, %s", noun.Count(s.Count, "cord"), named(s.Cord), how, position(s.Where, "at"))
	case sheet.Tassel:
		return fmt.Sprintf("fold %s%s over and wrap them to a tassel of %s%s", noun.Count(s.Strands, "strand"), named(s.Cord), long(s.Length), onEnds(s.On))
	case sheet.Leaf:
		return fmt.Sprintf("knot %s of short cords%s, the first reaching %s and the last %s%s", noun.Count(s.Pairs, "pair"), named(s.Cord), long(s.First), long(s.Last), onEnds(s.On))
	case sheet.Space:
		return fmt.Sprintf("leave %s free of knots%s", long(s.Length), onEnds(s.On))
	case sheet.Tail:
		if s.To > 0 {
			return fmt.Sprintf("trim so that %s hang free, running to %s at the %s%s", long(s.Length), long(s.To), s.Peak, onEnds(s.On))
		}
		return fmt.Sprintf("trim so that %s hang free%s", long(s.Length), onEnds(s.On))
	}
	return fmt.Sprintf("a step that has no words yet (%T)", step)
}

func between(apart length.Length, units length.Style) string {
	if apart == 0 {
		return ""
	}
	return fmt.Sprintf(", %s of bare cord between one and the next", units.Format(apart))
}

// onEnds names the ends that a step works on, counted from the left.
func onEnds(e sheet.Ends) string {
	if len(e.Parts) == 0 {
		return ""
	}
	parts := make([]string, len(e.Parts))
	for i, p := range e.Parts {
		switch {
		case p.Kind == sheet.Leftmost:
			parts[i] = "the left " + noun.Count(p.To, "end")
		case p.Kind == sheet.Rightmost:
			parts[i] = "the right " + noun.Count(p.To, "end")
		case p.Kind == sheet.Middlemost:
			parts[i] = "the middle " + noun.Count(p.To, "end")
		case p.From == p.To:
			parts[i] = fmt.Sprintf("end %d", p.From)
		default:
			parts[i] = fmt.Sprintf("ends %d to %d", p.From, p.To)
		}
	}
	return " on " + noun.List(parts)
}

// position names a place among the ends.
func position(p sheet.Position, at string) string {
	place := ""
	switch p.Anchor {
	case sheet.Left:
		place = "the left"
	case sheet.Right:
		place = "the right"
	case sheet.Middle:
		place = "the middle"
		if p.Number != 0 {
			way := "right"
			if p.Number < 0 {
				way = "left"
			}
			place = fmt.Sprintf("%d to the %s of the middle", max(p.Number, -p.Number), way)
		}
	default:
		place = fmt.Sprintf("place %d", p.Number)
	}
	return strings.TrimSpace(at + " " + place)
}
