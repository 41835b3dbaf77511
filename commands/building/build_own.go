package building

import (
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/making"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// ownCords are the cords that the member has, as a cord line says them: those that
// they have swatches of, the latest first, then what lies on the shelf.
func ownCords(sit sitting.Sitting) []string {
	var own []string
	add := func(thickness length.Length, construction string) {
		text := strings.TrimSpace(length.Style{}.Thickness(thickness) + " " + construction)
		if thickness > 0 && !slices.Contains(own, text) {
			own = append(own, text)
		}
	}
	if swatches, err := sit.Swatches(sit.Standard); err == nil {
		for _, s := range slices.Backward(swatches) {
			add(s.Thickness, s.Construction)
		}
	}
	if shelf, err := sit.Leftovers(); err == nil {
		for _, e := range shelf.Entries {
			w := ask.CordIn(e.Cord)
			add(w.Thickness, w.Construction)
		}
	}
	return own
}

// ownMenu offers the member's own cords: to take the place of the first, or besides.
func (b *building) ownMenu() reply.Menu {
	menu := reply.Menu{Placeholder: "One of my own cords", Do: b.control("build.do", "")}
	first := b.sized.Sheet.Cords[0].Name
	for i, text := range ownCords(b.sit) {
		if len(menu.Choices)+2 > mostChoices {
			break
		}
		menu.Choices = append(menu.Choices,
			reply.Choice{Name: text, Value: fmt.Sprintf("own %d", i+1), Note: "for " + first},
			reply.Choice{Name: text + ", besides", Value: fmt.Sprintf("besides %d", i+1), Note: "as one more cord"})
	}
	return menu
}

// ownCord is the edit that makes the first cord one of the member's own, or adds it.
func (b *building) ownCord(n int, besides bool) (making.Edit, bool) {
	own := ownCords(b.sit)
	if n < 1 || n > len(own) {
		return nil, false
	}
	if besides {
		return making.SetHead("", "cord "+b.unused("cord")+" "+own[n-1]), true
	}
	name := b.sized.Sheet.Cords[0].Name
	return making.SetHead("cord "+name, "cord "+name+" "+own[n-1]), true
}

// unused is a name that no cord and no panel has yet: kind-2, kind-3, ...
func (b *building) unused(kind string) string {
	for i := 2; ; i++ {
		name := fmt.Sprintf("%s-%d", kind, i)
		if !slices.ContainsFunc(b.sized.Sheet.Cords, func(c sheet.Cord) bool { return c.Name == name }) &&
			!slices.ContainsFunc(b.sized.Sheet.Panels, func(p sheet.Panel) bool { return p.Name == name }) {
			return name
		}
	}
}
