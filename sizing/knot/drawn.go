package knot

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"

	"larkfold/sizing/diagram"
)

// Drawn is a knot as it looks drawn up, in cord diameters.
type Drawn struct {
	Pitch   float64 // of a sinnet, plait or row; zero for a single knot
	Strands diagram.Drawing
}

// drawnUp are the shapes that tightening the diagrams gave (go test ./sizing/tight
// -run TestDrawnUpShapes -shapes ../knot/drawn.csv).
//
//go:embed drawn.csv
var drawnUp string

var drawnShapes = sync.OnceValue(func() map[string]Drawn {
	rows, err := csv.NewReader(strings.NewReader(drawnUp)).ReadAll()
	if err != nil {
		panic("the book's drawn-up shapes are wrong: " + err.Error())
	}
	shapes := map[string]Drawn{}
	var points []diagram.Point
	for i, r := range rows[1:] {
		number := func(column int) float64 {
			v, err := strconv.ParseFloat(r[column], 64)
			if err != nil {
				panic("the book's drawn-up shapes are wrong: " + err.Error())
			}
			return v
		}
		points = append(points, diagram.Point{X: number(5), Y: number(6), Z: number(7)})
		if next := i + 2; next < len(rows) && rows[next][0] == r[0] && rows[next][2] == r[2] {
			continue
		}
		shape := shapes[r[0]]
		shape.Pitch = number(1)
		shape.Strands = append(shape.Strands, diagram.Strand{Name: r[2], Works: r[3] == "yes", Thick: number(4), Path: diagram.Path{Points: points, Line: points}})
		shapes[r[0]] = shape
		points = nil
	}
	return shapes
})

// sameShape are knots that look like another when drawn up, or like its mirror
// image or back.
var sameShape = map[string]struct {
	as   string
	turn func(diagram.Path) diagram.Path
}{
	"right square knot":    {"square knot", diagram.Path.Mirrored},
	"right half knot":      {"half knot", diagram.Path.Mirrored},
	"reversed lark's head": {"lark's head", diagram.Path.Behind},
	"fringe lark's head":   {"lark's head", nil},
	"picot knot":           {"square knot", nil},

	"vertical double half hitch": {"double half hitch", quarterTurn},
}

// DrawnUp is how a knot looks drawn up; false for a knot that is not tightened.
func (k *Knot) DrawnUp() (Drawn, bool) {
	name := k.Name
	same := sameShape[name]
	if same.as != "" {
		name = same.as
	}
	d, ok := drawnShapes()[name]
	if ok && same.turn != nil {
		d.Strands = d.Strands.Map(same.turn)
	}
	return d, ok
}
