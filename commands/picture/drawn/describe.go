package drawn

import (
	"fmt"
	"strings"

	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// looks is what a step looks like, by its word; %s stands for its knots. A step that
// is not here leaves nothing to be seen of itself.
var looks = map[string]string{
	"net": "a net of %s", "row": "a row of %s", "taper": "%s narrowing to a point", "widen": "%s widening", "sinnet": "sinnets of %s",
	"bar": "a bar of double half hitches", "gather": "ends gathered into a bar of double half hitches", "onto": "ends hitched onto another rod",
	"plait": "plaits", "add": "cords added", "wrap": "a gathering wrap", "bead": "beads", "tassel": "tassels", "leaf": "leaves", "tail": "ends hanging free",
}

// makeup says what a panel is made of, from the top down: "a net of square knots, a
// bar of double half hitches falling to the right, ends hanging free".
func makeup(r trace.Result, panel int, units length.Style) string {
	if panel >= len(r.Sheet.Panels) || r.Sheet.Panels[panel].Name != r.Panels[panel].Name {
		return ""
	}
	bars := barsOf(r, panel)
	var parts []string
	for _, step := range r.Sheet.Panels[panel].Steps {
		f := sheet.FactsOf(step)
		part := looks[f.Word]
		if k := f.Knot(); k != nil {
			part = fmt.Sprintf(part, noun.Plural(*k))
		}
		if long := f.Lengths(sheet.Down); f.Ties != "" && len(long) > 0 {
			part += " " + units.Format(*long[0]) + " long"
		}
		if f.Falls() && len(bars) > 0 {
			part, bars = part+" "+bars[0], bars[1:]
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

// describe writes the alternative text of the piece.
func describe(d *paint.Drawing, sized sizing.Sized, units length.Style) {
	d.Say(fmt.Sprintf("Drawing of %s: %s.", d.Title, Line(sized, units)))
	for i, p := range sized.Panels {
		words := fmt.Sprintf("Panel %s: %s wide, drop %s, %s", p.Name, units.Format(p.Width.Tidy()), units.Format(p.Drop.Tidy()), noun.Count(p.Tied(), "knot"))
		if made := makeup(sized.Result, i, units); made != "" {
			words += ": " + made
		}
		d.Say(words + ".")
	}
	for _, words := range around(sized.Sheet) {
		d.Say(words)
	}
	for _, c := range sized.List.Cuts {
		d.Say(fmt.Sprintf("%s: %d × %s, %s.", c.Label, c.Count, units.Cut(c.Length), CutWords(sized, c, units)))
	}
	if d.Outline {
		d.Say("Shown in outline, without single knots.")
	}
}
