package say

import (
	"fmt"
	"strconv"
	"strings"

	"larkfold/commands/picture"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// Instructions puts the steps of a sheet into plain words, panel by panel.
func Instructions(s sheet.Sheet, units length.Style) []picture.Instructions {
	var all []picture.Instructions
	for _, p := range s.Panels {
		in := picture.Instructions{Name: p.Name}
		if p.Round {
			in.Name += " (round: its last end lies beside its first)"
		}
		if len(p.From) > 0 {
			in.Steps = append(in.Steps, "Take up the ends of "+noun.List(p.From)+" side by side, left to right.")
		}
		for _, step := range p.Steps {
			in.Steps = append(in.Steps, Sentence(stepWords(step, units)))
		}
		all = append(all, in)
	}
	after := picture.Instructions{Name: "to finish"}
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
		after.Steps = append(after.Steps, fmt.Sprintf("Tie the hanger to both ends of the rod so that its legs stand at %s degrees.", number(h.Angle)))
	}
	if len(after.Steps) > 0 {
		all = append(all, after)
	}
	return all
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
	case sheet.Row:
		words := "one row of " + noun.Plural(s.Knot) + group(s.Of)
		if s.Skip > 0 {
			words += fmt.Sprintf(", leaving %s at each edge", noun.Count(s.Skip, "end"))
		}
		if s.Shift > 0 {
			words += fmt.Sprintf(", beginning %s further on", noun.Count(s.Shift, "end"))
		}
		return words + onEnds(s.On)
	case sheet.Net:
		turned := noun.Plural(s.Knot) + group(s.Of) + " in turn, each row shifted by half a knot" + between(s.Apart, units) + onEnds(s.On)
		if s.Rows.N == 0 {
			return turned + ", " + counted(s.Rows, "row", units)
		}
		return counted(s.Rows, "row", units) + " of " + turned
	case sheet.Taper:
		way := "narrowing"
		if s.Widen {
			way = "widening"
		}
		rows := "as many rows as there are"
		if s.Rows != (sheet.Count{}) {
			rows = counted(s.Rows, "row", units)
		}
		return rows + " of " + noun.Plural(s.Knot) + group(s.Of) + ", " + way + " by half a knot at both edges" + between(s.Apart, units) + onEnds(s.On)
	case sheet.Sinnet:
		return "one below the other, " + tiedTimes(s.Times, s.Knot, units) + group(s.Of) + between(s.Apart, units) + onEnds(s.On)
	case sheet.Bar:
		return barWords(s, units)
	case sheet.Plait:
		of := "three ends"
		if s.Of > 0 {
			of = fmt.Sprintf("%d ends", s.Of)
		}
		return fmt.Sprintf("plait %s together for %s%s", of, long(s.Length), onEnds(s.On))
	case sheet.Add:
		how := "folded"
		if s.Way == sheet.Single {
			how = "single"
		}
		return fmt.Sprintf("add %s%s, %s, %s", noun.Count(s.Count, "cord"), named(s.Cord), how, position(s.Where, "at"))
	case sheet.Wrap:
		how := noun.Count(s.Turns, "turn")
		switch {
		case s.Cut > 0:
			how = "as far as " + long(s.Cut) + " of cord go"
		case s.Turns == 0:
			how = long(s.Length) + " long"
		}
		with := ""
		if s.Cord != "" {
			with = " with " + s.Cord
		}
		return "a gathering wrap, " + how + with + ", round " + strings.TrimPrefix(or(onEnds(s.On), "all ends"), " on ")
	case sheet.Onto:
		return "hitch every end onto " + s.Rod + " by double half hitches, level"
	case sheet.Bead:
		each := "all ends together"
		if s.Of > 0 {
			each = "each " + noun.Count(s.Of, "end")
		}
		return fmt.Sprintf("thread a bead of %s on %s%s", long(s.Length), each, onEnds(s.On))
	case sheet.Tassel:
		return fmt.Sprintf("fold %s%s over and wrap them to a tassel of %s%s", noun.Count(s.Strands, "strand"), named(s.Cord), long(s.Length), onEnds(s.On))
	case sheet.Leaf:
		return fmt.Sprintf("knot %s of short cords%s, the first reaching %s and the last %s%s", noun.Count(s.Pairs, "pair"), named(s.Cord), long(s.First), long(s.Last), onEnds(s.On))
	case sheet.Repeat:
		return fmt.Sprintf("do the steps up to the next end %d times", s.Times)
	case sheet.End:
		return "end of what is repeated"
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

func barWords(s sheet.Bar, units length.Style) string {
	words := fmt.Sprintf("a bar: the end %s crosses to %s, and every end on the way ties a double half hitch over it", position(s.From, "at"), strings.TrimPrefix(position(s.To, ""), " "))
	if s.Gather {
		words = fmt.Sprintf("gather: the end %s crosses to %s, every end on the way ties a double half hitch over it and then lies in with it", position(s.From, "at"), strings.TrimPrefix(position(s.To, ""), " "))
	}
	if s.Slope != nil {
		words += fmt.Sprintf(", falling at %s degrees", number(*s.Slope))
	}
	switch {
	case s.Times.N > 1:
		words += fmt.Sprintf("; %d times", s.Times.N)
	case s.Times != (sheet.Count{}) && s.Times.N == 0:
		words += "; " + counted(s.Times, "time", units)
	}
	return words + between(s.Apart, units)
}

func group(of int) string {
	if of == 0 {
		return ""
	}
	return fmt.Sprintf(" of %d ends each", of)
}

func between(apart length.Length, units length.Style) string {
	if apart == 0 {
		return ""
	}
	return fmt.Sprintf(", %s of bare cord between one and the next", units.Format(apart))
}

// counted is how often something is done.
func counted(c sheet.Count, what string, units length.Style) string {
	switch {
	case c.For > 0:
		return fmt.Sprintf("as many %s as reach %s", noun.Plural(what), units.Format(c.For))
	case c.Under != "" && c.By > 0:
		return fmt.Sprintf("as many %s as pass under %s by %s", noun.Plural(what), c.Under, units.Format(c.By))
	case c.Under != "":
		return fmt.Sprintf("as many %s as pass under %s", noun.Plural(what), c.Under)
	}
	return noun.Count(c.N, what)
}

func tiedTimes(c sheet.Count, knot string, units length.Style) string {
	if c.N == 1 {
		return "1 " + knot
	}
	if c.N > 0 {
		return fmt.Sprintf("%d %s", c.N, noun.Plural(knot))
	}
	return strings.Replace(counted(c, "\x00", units), "\x00s", noun.Plural(knot), 1)
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

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}
