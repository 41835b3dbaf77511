package knots

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/knot"
)

// tied is a knot of the book as a symbol in cord of a width.
func tied(t *testing.T, name string, ends int, cord paint.Points, toLeft bool) Symbol {
	t.Helper()
	s := Symbol{Drawing: &paint.Drawing{Width: 100, Height: 100}, Frame: paint.Upright(paint.Point{}), Wide: 6 * cord, High: 4 * cord, Thick: cord, ToLeft: toLeft}
	for i := range ends {
		s.Cords = append(s.Cords, i%2)
		s.Sides = append(s.Sides, (paint.Points(i)-paint.Points(ends-1)/2)*cord)
	}
	return s
}

// A knot that the book has a diagram of is drawn as itself in a piece, never as a box
// with its name.
func TestKnotsWithADiagramAreDrawnAsThemselves(t *testing.T) {
	shapes := map[string]string{}
	for _, k := range knot.Standard().Knots() {
		if k.Shape != knot.Group && k.Shape != knot.Hitch && k.Shape != knot.Plait {
			continue
		}
		s := tied(t, k.Name, k.Ends, 5, false)
		require.True(t, s.drawnUp(k), k.Name)
		require.Greater(t, len(s.Shapes), 4*k.Ends, k.Name)
		for _, shape := range s.Shapes {
			require.Empty(t, shape.Words.Text, k.Name)
		}
		shape := fmt.Sprint(s.Shapes)
		require.Empty(t, shapes[shape], k.Name)
		shapes[shape] = k.Name
	}
	require.GreaterOrEqual(t, len(shapes), 14)
}

// In cord of a pixel knots are still told apart: by how many strokes lie over their
// mass, which way those fall, and whether it is round.
func TestSmallKnotsKeepTheirCharacter(t *testing.T) {
	shapes := map[string]string{}
	for _, name := range []string{"square knot", "half knot", "right half knot", "right square knot", "overhand knot", "double half hitch"} {
		k, ok := knot.Standard().Knot(name)
		require.True(t, ok)
		s := tied(t, name, k.Ends, 0.3, false)
		s.small(k)
		shape := fmt.Sprint(s.Shapes)
		require.Empty(t, shapes[shape], "%s looks like %s", name, shapes[shape])
		shapes[shape] = name
		left, right := paint.Points(100), paint.Points(-100)
		for _, shape := range s.Shapes {
			left, right = min(left, shape.Box().Left), max(right, shape.Box().Right)
		}
		require.Less(t, float64(right-left), 6*0.3*1.3, name)
	}
	k, _ := knot.Standard().Knot("double half hitch")
	right, left := tied(t, k.Name, 2, 0.3, false), tied(t, k.Name, 2, 0.3, true)
	right.small(k)
	left.small(k)
	require.NotEqual(t, right.Shapes, left.Shapes)
}

// The drawn-up shapes are kept for all pictures: drawing a knot changes none of them.
func TestDrawingLeavesTheBookAsItIs(t *testing.T) {
	for _, k := range knot.Standard().Knots() {
		before, _ := k.DrawnUp()
		was := fmt.Sprint(before)
		for _, toLeft := range []bool{false, true} {
			s := tied(t, k.Name, max(k.Ends, 2), 5, toLeft)
			s.drawnUp(k)
			after, _ := k.DrawnUp()
			require.Equal(t, was, fmt.Sprint(after), k.Name)
		}
	}
}
