package say

import (
	"fmt"

	"larkfold/commands/sitting"
	"larkfold/sizing/knot"
	"larkfold/sizing/noun"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

// HandNotes tell by whose hands each cord is sized.
func HandNotes(hands []sitting.Hand, p sitting.Prefs) []trace.Note {
	var notes []trace.Note
	for _, h := range hands {
		if h.Count == 0 {
			continue
		}
		text := fmt.Sprintf("cord %s: by your %s of %s %s", h.Cord.Name, noun.Count(h.Count, "swatch"), p.Style.Thickness(h.Cord.Thickness), h.Made)
		if h.Name != "" {
			text += " " + h.Name
		}
		fewest := h.Count
		for _, f := range knot.Families() {
			hand := h.Seen[f]
			if hand.From != f {
				continue
			}
			text += fmt.Sprintf(", %s: take-up %.2f", Family(f), float64(hand.TakeUp.Mean))
			if hand.Height.N > 0 {
				text += fmt.Sprintf(" and height %.2f", float64(hand.Height.Mean))
			}
			text += " of the book's"
			if hand.TakeUp.Disagree() {
				text += fmt.Sprintf(", which disagree (%s apart), so the margin is wide", Percent(float64(hand.TakeUp.Spread)))
			}
			fewest = min(fewest, hand.TakeUp.N)
		}
		if fewest < swatch.Enough {
			text += "; three or more would show how much your hand varies"
		}
		if len(h.Others) > 0 {
			text += fmt.Sprintf("; of your cords of that make it takes most and is used to be safe, not %s: name the one you mean, in the sheet as \"cord NAME\", in /cord as cord:NAME", noun.List(h.Others))
		}
		notes = append(notes, trace.Note{Place: h.Cord.Place, Text: text})
	}
	return notes
}

// Family is a family of knots in words.
func Family(f knot.Family) string {
	return map[knot.Family]string{knot.Square: "square and half knots", knot.Hitches: "hitches", knot.Mounts: "mounts", knot.Plaits: "plaits"}[f]
}
