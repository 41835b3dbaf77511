package knot

import (
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/diagram"
)

// polynomials are those of the types that rows name, from testdata/knots/types.csv,
// whose every line sizing/diagram computes by other means than here.
func polynomials(t *testing.T) map[string]string {
	f, err := os.Open("../../testdata/knots/types.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	table := map[string]string{}
	for _, r := range rows[1:] {
		table[r[0]] = r[1]
	}
	return table
}

// claim is a diagram and what its strands must meet.
type claim struct {
	*Diagram
	order []string
}

// prove refuses a diagram that is not the knot it says.
func prove(d claim, polynomials map[string]string) error {
	var wrong []error
	fault := func(format string, args ...any) { wrong = append(wrong, fmt.Errorf(format, args...)) }
	for _, hand := range []bool{false, true} {
		drawn := d.Drawing(hand)
		if err := drawn.Check(); err != nil {
			fault("%v", err)
		}
		want, known := polynomials[d.TypeOf(hand)]
		if !known {
			fault("the type %q is in no table", d.TypeOf(hand))
		}
		if got := d.Code(hand).Jones().String(); got != want {
			fault("its ends joined make no %s but %s", d.TypeOf(hand), got)
		}
	}
	if order := d.Drawing(false).Order(); !slices.Equal(order, d.order) {
		fault("the order of the crossings is %s", strings.Join(order, "; "))
	}
	if a, b := d.Code(false).Jones().Laurent, d.Code(true).Jones().Laurent; !maps.Equal(a.Mirror(), b) {
		fault("its mirror image has not the mirrored polynomial")
	}
	come := make([]float64, len(d.Drawing(false)))
	for i, s := range d.Stages {
		if s.Drawn > 0 {
			continue
		}
		drawn := d.Stage(s, false)
		if err := drawn.Check(); err != nil {
			fault("step %d: %v", i+1, err)
		}
		for k := range drawn {
			reach := s.Come(drawn, k)
			if reach < come[k] {
				fault("at step %d strand %s goes back from %.1f to %.1f", i+1, drawn[k].Name, come[k], reach)
			}
			come[k] = reach
		}
	}
	for k, s := range d.Drawing(false) {
		if s.Works && come[k] < 1 {
			fault("strand %s never goes all its way", s.Name)
		}
	}
	return errors.Join(wrong...)
}

func TestEveryKnotIsTheOneItSays(t *testing.T) {
	table := polynomials(t)
	for _, k := range Standard().Knots() {
		require.NotNil(t, k.Diagram, k.Name)
		require.Len(t, k.Diagram.Stages, len(k.HowTo), "%s: a picture for every step", k.Name)
		if k.Shape == Pattern {
			continue
		}
		require.NoError(t, prove(claim{k.Diagram, orders[k.Name]}, table), k.Name)
	}
}

// The picture of a knot has the ends of the row.
func TestDiagramsHaveTheEndsOfTheRow(t *testing.T) {
	for _, k := range Standard().Knots() {
		if k.Shape != Group || k.Name == "overhand knot" || k.Name == "josephine knot" {
			continue // one strand stands for all, two for two or more
		}
		drawn := k.Diagram.Drawing(false)
		require.Len(t, drawn, k.Ends, k.Name)
		roles, _ := k.Cast(k.Ends)
		for i, s := range drawn {
			require.Equal(t, k.Roles[roles[i]].Works, s.Works, "%s, end %d", k.Name, i+1)
		}
	}
}

// Two half knots of one hand make the granny, two like trefoils in sum; a half knot
// over its mirror image the square knot (C. C. Adams, The Knot Book, 1994).
func TestTwoHalfKnotsOfOneHand(t *testing.T) {
	b := round(2)
	front, behind := inFront(b), roundBehind(b)
	left := diagram.Join(front, behind.Moved(0, halfHigh))
	right := diagram.Join(behind, front.Moved(0, halfHigh))
	_, lines := b.between(left, right, 2*halfHigh).Closed(diagram.Paired)
	trefoil := halfKnotDiagram().Code(false).Jones().Laurent
	require.Equal(t, trefoil.Times(trefoil), diagram.CodeOf(lines).Jones().Laurent)
}

// Each wrong diagram is one that a picture of this book has shown, or that a maker
// could be taught by mistake.
func TestWrongDiagramsAreRefused(t *testing.T) {
	table := polynomials(t)
	lifted := func(p diagram.Path, by float64) diagram.Path {
		points := slices.Clone(p.Points)
		for i := range points {
			points[i].Z += by * float64(i)
		}
		return diagram.Along(points)
	}
	as := func(d *Diagram, change func(*Diagram)) claim {
		right := d.Drawing(false).Order()
		change(d)
		return claim{d, right}
	}
	changed := func(d *Diagram, draw func(Body) diagram.Drawing) claim {
		return as(d, func(d *Diagram) { d.Draw = draw })
	}
	flat := func(p diagram.Path, from, to int, z float64) diagram.Path {
		points := slices.Clone(p.Points)
		for i := from; i <= to; i++ {
			points[i].Z = z
		}
		return diagram.Along(points)
	}
	for _, c := range []struct {
		name  string
		wrong claim
		want  string
	}{
		{"an overhand knot whose later parts all lie over the earlier pulls out", changed(overhandDiagram(), func(b Body) diagram.Drawing {
			d := overhand(b)
			d[0].Path = lifted(flat(d[0].Path, 0, len(d[0].Points)-1, 0), 0.3)
			return d
		}), "its ends joined make no right-handed trefoil (3_1) but 1"},
		{"a half hitch that never crosses itself is a coil", changed(halfHitchDiagram(), func(b Body) diagram.Drawing {
			w, h, f := b.stand(), b.Half, b.front()
			coil := diagram.Through(-w, 0, 0, -h-1, 1, 0.7, 0, 1.6, f, h+1, 2.4, 0, 0, 3.4, -f, -h-1, 4.2, 0, -w, hitchHigh, 0)
			return append(diagram.Drawing{worker("1", coil)}, b.cores(2, 0, hitchHigh)...)
		}), "the order of the crossings is 1: over 2, under 2"},
		{"a vertical lark's head that never crosses itself", changed(verticalLarksHeadDiagram(), func(b Body) diagram.Drawing {
			w, h, f := b.stand(), b.Half, b.front()
			coil := diagram.Through(-w, 0, 0, 0, 1.6, f, h+1, 2.4, 0, 0, 3.4, -f, -w, 5, 0, -w, 7, 0, 0, 8.4, -f, h+1, 9.2, 0, 0, 10.2, f, -w, 12, 0)
			return append(diagram.Drawing{worker("1", coil)}, b.cores(2, 0, 2*hitchHigh)...)
		}), "the order of the crossings is 1: over 2, under 2, under 2, over 2"},
		{"both workers in front of the fillers", changed(halfKnotDiagram(), func(b Body) diagram.Drawing {
			return b.between(inFront(b), flat(roundBehind(b), 4, 6, b.front()+1.2), halfHigh)
		}), "4: over 1, over 3, over 2"},
		{"a half knot whose second worker does not come out through the loop", changed(halfKnotDiagram(), func(b Body) diagram.Drawing {
			return b.between(inFront(b), flat(roundBehind(b), 7, 11, -1.2), halfHigh)
		}), "its ends joined make no left-handed trefoil (3_1) but"},
		{"a square knot whose second half is like its first is a granny", changed(squareDiagram(), func(b Body) diagram.Drawing {
			front, behind := inFront(b), roundBehind(b)
			return b.between(diagram.Join(front, behind.Moved(0, halfHigh)), diagram.Join(behind, front.Moved(0, halfHigh)), 2*halfHigh)
		}), "its ends joined make no left-handed trefoil # right-handed trefoil but"},
		{"fillers painted over the worker", changed(squareDiagram(), func(b Body) diagram.Drawing {
			d := squareKnot(b)
			for i := range d {
				if !d[i].Works {
					d[i].Path = lifted(flat(d[i].Path, 0, 2, 3), 0)
				}
			}
			return d
		}), "1: under 4, over 4, under 2, under 3"},
		{"a double half hitch whose second hitch is the mirror image of its first is a lark's head", changed(doubleHalfHitchDiagram(), func(b Body) diagram.Drawing {
			head := larksHead(b)
			head[0].Name, head[1].Name, head[1].Folded = "1", "2", false
			return head
		}), "its ends joined make no link 6^2_3, turned -2 but"},
		{"a double half hitch whose slanting part lies over the ends", changed(doubleHalfHitchDiagram(), func(b Body) diagram.Drawing {
			d := doubleHalfHitch(b)
			d[1].Path = flat(d[1].Path, 8, 10, b.Deep+1.4)
			return d
		}), "2: under itself, under 1, over 1, over itself"},
		{"a single mount wound on like a coil", changed(singleMountDiagram(), func(b Body) diagram.Drawing {
			d := singleMount(b)
			d[1].Path = flat(d[1].Path, 8, 10, -b.Deep)
			return d
		}), "its ends joined make no link 6^2_3, turned -2 but"},
		{"a lark's head with its bar behind the ends", changed(larksHeadDiagram(), func(b Body) diagram.Drawing {
			d := larksHead(b)
			d[1].Path = flat(d[1].Path, 8, 12, -b.Deep-1.5)
			return d
		}), "1 and 2: over itself"},
		{"a reversed lark's head drawn like the other", changed(reversedLarksHeadDiagram(), larksHead), "1 and 2: under itself, over rod"},
		{"a berry whose fillers never go up in front", changed(berryDiagram(), func(b Body) diagram.Drawing {
			d := berryKnot(b)
			for _, i := range []int{1, 2} {
				d[i].Path = flat(d[i].Path, 4, 9, -2.2)
			}
			return d
		}), "the order of the crossings is"},
		{"a picot knot with its worker behind the fillers both times", changed(picotDiagram(), func(b Body) diagram.Drawing {
			d := picotKnot(b)
			d[0].Path = flat(d[0].Path, 6, 8, -3)
			return d
		}), "1: under 4, under 4"},
		{"a gathering wrap whose end passes beside the loop", changed(wrapDiagram(), func(b Body) diagram.Drawing {
			d := wound(b)
			n := len(d[0].Points)
			d[0].Path = flat(d[0].Path, n-4, n-1, b.front()+3)
			return d
		}), "its ends joined make no 9_2 but"},
		{"a plait whose strands all lie over one way is a coil", changed(threeStrandDiagram(), func(Body) diagram.Drawing {
			return braid(3, 1.7, 2.2, []int{1}, []int{2}, []int{1}, []int{2}, []int{1}, []int{2})
		}), "its ends joined make no Borromean rings (6^3_2) but"},
		{"a step that takes back what the one before it tied", as(doubleHalfHitchDiagram(), func(d *Diagram) {
			d.Stages = []Stage{{Reach: []float64{All, 10}}, {Reach: []float64{All, 4}}, {}, {Drawn: 4}}
		}), "at step 2 strand 2 goes back"},
		{"steps that never finish", as(squareDiagram(), func(d *Diagram) { d.Stages[3] = d.Stages[2] }), "never goes all its way"},
		{"two crossings in one place", changed(threeStrandDiagram(), func(Body) diagram.Drawing {
			return diagram.Drawing{worker("1", diagram.Through(-2, 0, 1, 2, 4, 1)), worker("2", diagram.Through(2, 0, 0, -2, 4, 0)), worker("3", diagram.Through(0, 0, -1, 0, 4, -1))}
		}), "two crossings share the place 0.0, 2.0"},
		{"strands inside one another", changed(halfHitchDiagram(), func(b Body) diagram.Drawing {
			return append(diagram.Drawing{worker("1", flat(halfHitch(b), 0, 12, 0))}, b.cores(2, 0, hitchHigh)...)
		}), "diameters apart in depth"},
	} {
		err := prove(c.wrong, table)
		require.Error(t, err, c.name)
		require.ErrorContains(t, err, c.want, c.name)
	}
}
