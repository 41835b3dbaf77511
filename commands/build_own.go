package commands

import (
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/making"
	"larkfold/sizing/length"
)

// ownCords are the cords that the member has, as a cord line says them: those that
// they have swatches of, then what lies on the shelf.
func (b *building) ownCords() []string {
	var own []string
	add := func(thickness length.Length, construction string) {
		if thickness == 0 {
			return
		}
		text := strings.TrimSpace(length.Style{}.Thickness(thickness) + " " + construction)
		if !slices.Contains(own, text) {
			own = append(own, text)
		}
	}
	if swatches, err := b.sit.Swatches(b.book); err == nil {
		for _, s := range swatches {
			add(s.Thickness, s.Construction)
		}
	}
	if shelf, err := b.sit.Leftovers(); err == nil {
		for _, e := range shelf.Entries {
			w := ask.CordIn(e.Cord)
			add(w.Thickness, w.Construction)
		}
	}
	return own
}

// ownCord is the edit that makes the first cord one of the member's own.
func (b *building) ownCord(n int) (making.Edit, bool) {
	own := b.ownCords()
	if n < 1 || n > len(own) {
		return nil, false
	}
	name := b.sized.Sheet.Cords[0].Name
	return making.SetHead("cord "+name, "cord "+name+" "+own[n-1]), true
}
