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
		text := fmt.Sprintf("cord %s: by your %s of %s %s", h.Cord.Name, noun.Count(h.Count, "swatch"), p.Style.Thickness(h.Cord.Thickness), h.Made)
		fewest := h.Count
		for _, f := range knot.Families() {
			if hand := h.Hands[f]; hand.From == f {
				text += fmt.Sprintf(", %s: take-up %.2f and height %.2f of the book's", Family(f), float64(hand.TakeUp.Mean), float64(hand.Height.Mean))
				fewest = min(fewest, hand.TakeUp.N)
			}
		}
		if fewest < swatch.Enough {
			text += "; three or more would show how much your hand varies"
		}
		notes = append(notes, trace.Note{Place: h.Cord.Place, Text: text})
	}
	return notes
}

// Family is a family of knots in words.
func Family(f knot.Family) string {
	return map[knot.Family]string{knot.Square: "square and half knots", knot.Hitches: "hitches", knot.Mounts: "mounts", knot.Plaits: "plaits"}[f]
}
