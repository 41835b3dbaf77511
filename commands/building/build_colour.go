package building

import (
	"fmt"
	"strconv"
	"strings"

	"larkfold/commands/making"
	"larkfold/commands/reply"
	"larkfold/sizing/cord"
)

// huesAtOnce is how many groups of colours are shown at once: a menu each, under the
// buttons.
const huesAtOnce = 4

// huePages are the groups of colours, page by page.
func huePages() [][]cord.Hue {
	var pages [][]cord.Hue
	for hues := cord.Hues(); len(hues) > 0; {
		n := min(huesAtOnce, len(hues))
		pages, hues = append(pages, hues[:n]), hues[n:]
	}
	return pages
}

// colourMenu leads to the colours for each of the cords.
func (b *building) colourMenu() reply.Menu {
	menu := reply.Menu{Placeholder: "Colour of a cord", Do: b.control("build.view", "")}
	pages := huePages()
	for i, c := range b.sized.Sheet.Cords {
		for j, page := range pages {
			if len(menu.Choices) == mostChoices {
				return menu
			}
			var names []string
			for _, hue := range page {
				names = append(names, hue.Name)
			}
			menu.Choices = append(menu.Choices, reply.Choice{Name: c.Name + ": " + strings.Join(names, ", "), Value: fmt.Sprintf("colours %d %d", i+1, j+1)})
		}
	}
	return menu
}

// colours are the colours of one page for one cord, "1 2" for the first cord and the
// second page.
func (b *building) colours(p pressing) reply.Reply {
	cords, pages := b.sized.Sheet.Cords, huePages()
	var i, j int
	if n, err := fmt.Sscan(p.of, &i, &j); n != 2 || err != nil || i < 1 || i > len(cords) || j < 1 || j > len(pages) {
		return b.view("")
	}
	now := "No colour is said yet."
	if c := cords[i-1].Colour; c != "" {
		now = "It is " + string(c) + " now."
	}
	a := reply.Actions{Buttons: []reply.Button{b.backButton()}}
	for k := range pages {
		if k+1 != j {
			a.Buttons = append(a.Buttons, reply.Button{Label: "other colours", Do: b.control("build.view", fmt.Sprintf("colours %d %d", i, k+1))})
		}
	}
	a.Buttons = append(a.Buttons, reply.Button{Label: "no colour", Do: b.control("build.do", fmt.Sprintf("colour %d", i))})
	for _, hue := range pages[j-1] {
		menu := reply.Menu{Placeholder: hue.Name, Do: b.control("build.do", "")}
		for _, c := range hue.Colours {
			menu.Choices = append(menu.Choices, reply.Choice{Name: string(c), Value: fmt.Sprintf("colour %d %s", i, c)})
		}
		a.Menus = append(a.Menus, menu)
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("Colour of " + cords[i-1].Name),
		reply.Text(now + " Any other, as #2f6f6f, is typed: back to the design, cord and rod, Change or add."), a,
	}}
}

// colourEdit gives a cord a colour, or takes it from it.
func (b *building) colourEdit(p pressing) (making.Edit, bool) {
	which, colour, _ := strings.Cut(p.of, " ")
	n, err := strconv.Atoi(which)
	if err != nil || n < 1 || n > len(b.sized.Sheet.Cords) {
		return nil, false
	}
	return making.ColourCord(n-1, cord.Colour(colour)), true
}
