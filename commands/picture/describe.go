package picture

import (
	"fmt"
	"strings"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// makeup says what a panel is made of, from the top down: "a net of square knots, a
// bar of double half hitches falling to the right, ends hanging free".
func makeup(r trace.Result, panel int, units length.Style) string {
	if panel >= len(r.Sheet.Panels) || r.Sheet.Panels[panel].Name != r.Panels[panel].Name {
		return ""
	}
	bars := barsOf(r, panel)
	var parts []string
	for _, step := range r.Sheet.Panels[panel].Steps {
		var part string
		switch s := step.(type) {
		case sheet.Net:
			part = "a net of " + noun.Plural(s.Knot)
		case sheet.Row:
			part = "a row of " + noun.Plural(s.Knot)
		case sheet.Taper:
			part = noun.Plural(s.Knot) + " narrowing to a point"
			if s.Widen {
				part = noun.Plural(s.Knot) + " widening"
			}
		case sheet.Sinnet:
			part = "sinnets of " + noun.Plural(s.Knot)
		case sheet.Bar:
			part = "a bar of double half hitches"
			if s.Gather {
				part = "ends gathered into a bar of double half hitches"
			}
			if len(bars) > 0 {
				part, bars = part+" "+bars[0], bars[1:]
			}
		case sheet.Onto:
			part = "ends hitched onto another rod"
		case sheet.Plait:
			part = "plaits " + units.Format(s.Length) + " long"
		case sheet.Add:
			part = noun.Count(s.Count, "cord") + " added"
		case sheet.Wrap:
			part = "a gathering wrap"
		case sheet.Bead:
			part = "beads"
		case sheet.Tassel:
			part = "tassels"
		case sheet.Leaf:
			part = "leaves"
		case sheet.Tail:
			part = "ends hanging free"
		}
		if part != "" && (len(parts) == 0 || parts[len(parts)-1] != part) {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}

// barsOf says of every bar of a panel, from the top down, which way it falls.
func barsOf(r trace.Result, panel int) []string {
	var bars []string
	last := ""
	for _, p := range r.Placed {
		if p.Panel != panel {
			continue
		}
		way := ""
		if p.Knot.Shape == knot.Hitch {
			switch {
			case p.Slope > 0:
				way = "falling to the right"
			case p.Slope < 0:
				way = "falling to the left"
			default:
				way = "running level"
			}
		}
		if way != "" && way != last {
			bars = append(bars, way)
		}
		last = way
	}
	return bars
}

// around says what there is beside the panels.
func around(s sheet.Sheet) []string {
	var parts []string
	for _, f := range s.Fringes {
		where := "on the rod"
		if f.Panel != "" {
			where = fmt.Sprintf("at the %s of %s", [...]string{"left edge", "right edge", "edges", "foot"}[f.Side], f.Panel)
		}
		parts = append(parts, "Fringe "+where+".")
	}
	for _, g := range s.Swags {
		parts = append(parts, fmt.Sprintf("%s in an arc below the rod.", noun.Count(g.Count, "cord")))
	}
	if s.Hanger != nil {
		parts = append(parts, "A hanger above, tied to both ends of the rod.")
	}
	return parts
}
