package cord

import (
	"cmp"
	"image/color"
	"slices"
)

// Hue is a group of colours that have a name, from the darkest to the lightest.
type Hue struct {
	Name    string
	Colours []Colour
}

// hues are where a hue begins, in degrees round the colour circle; what has hardly
// any colour is the first group (chosen by eye, no source).
var hues = []struct {
	name string
	from float64
}{
	{"black, grey, white", -1}, {"red", -15}, {"brown, orange", 15}, {"yellow", 45},
	{"green", 70}, {"turquoise", 160}, {"blue", 200}, {"purple, pink", 255},
}

// hardly is below which share of colour a colour is called grey (chosen by eye, no
// source).
const hardly = 0.12

// Hues are all colours that have a name, in groups, each colour once.
func Hues() []Hue {
	groups := make([]Hue, len(hues))
	light := map[Colour]int{}
	seen := map[color.RGBA]bool{}
	for i, h := range hues {
		groups[i].Name = h.name
	}
	for _, name := range ColourNames() {
		c := Colour(name)
		rgb, _ := c.RGBA()
		if seen[rgb] {
			continue
		}
		seen[rgb] = true
		light[c] = int(rgb.R) + int(rgb.G) + int(rgb.B)
		i := hueOf(rgb)
		groups[i].Colours = append(groups[i].Colours, c)
	}
	for _, g := range groups {
		slices.SortStableFunc(g.Colours, func(a, b Colour) int { return cmp.Compare(light[a], light[b]) })
	}
	return groups
}

// hueOf is the group of a colour: its angle on the usual circle of red, green and
// blue (as CSS Color Module Level 3, section 4.2.4, has it).
func hueOf(c color.RGBA) int {
	r, g, b := float64(c.R)/255, float64(c.G)/255, float64(c.B)/255
	most := max(r, g, b)
	chroma := most - min(r, g, b)
	if chroma < hardly {
		return 0
	}
	var angle float64
	switch most {
	case r:
		angle = 60 * (g - b) / chroma
	case g:
		angle = 60*(b-r)/chroma + 120
	default:
		angle = 60*(r-g)/chroma + 240
	}
	if angle < hues[1].from {
		angle += 360
	}
	at := 1
	for i := 1; i < len(hues); i++ {
		if angle >= hues[i].from {
			at = i
		}
	}
	return at
}
