package say

import (
	"fmt"

	"larkfold/commands/sitting"
	"larkfold/sizing/trace"
)

// enoughSwatches is how many show a spread of their own (see package swatch).
const enoughSwatches = 3

// HandNotes tell by whose hands each cord is sized.
func HandNotes(hands []sitting.Hand, p sitting.Prefs) []trace.Note {
	var notes []trace.Note
	for _, h := range hands {
		text := fmt.Sprintf("cord %s: by your %s of %s %s, take-up %.2f and height %.2f of the book's", h.Cord.Name, Count(h.Count, "swatch"), p.Style.Thickness(h.Cord.Thickness), h.Made, float64(h.Hand.TakeUp.Mean), float64(h.Hand.Height.Mean))
		if h.Count < enoughSwatches {
			text += "; three or more would show how much your hand varies"
		}
		notes = append(notes, trace.Note{Place: h.Cord.Place, Text: text})
	}
	return notes
}
