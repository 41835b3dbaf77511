package knot

import (
	"larkfold/sizing/diagram"
)

// hitchHigh is the height of one half hitch as it is drawn, loose.
const hitchHigh = 6

// halfHitch is the way of an end that stands at the left of a core: across the
// front, back behind, and out over itself.
func halfHitch(b Body) diagram.Path {
	h, w, f := b.Half, b.stand(), b.front()
	return diagram.Through(
		-w, 0, 0,
		-w, 1.4, 0,
		-h-1, 3.2, 0.7,
		-h, 3.8, f,
		h, 3.9, f,
		h+1.1, 3.1, 0,
		h, 2.3, -f,
		-h, 1.9, -f,
		-h-0.9, 1.5, 0.3,
		-w, 1, 1.2,
		-h-3, 2, 0.7,
		-h-3, 4.2, 0,
		-w, hitchHigh, 0,
	)
}

func halfHitches(b Body) diagram.Drawing {
	return append(diagram.Drawing{worker("1", halfHitch(b))}, b.cores(2, 0, hitchHigh)...)
}

// verticalLarksHead is a half hitch and the same met from its other end.
func verticalLarksHead(b Body) diagram.Drawing {
	first := halfHitch(b)
	second := first.Upended().Moved(0, 2*hitchHigh)
	return append(diagram.Drawing{worker("1", diagram.Join(first, second))}, b.cores(2, 0, 2*hitchHigh)...)
}

// alternatingHalfHitches are two ends that hitch round each other in turn.
func alternatingHalfHitches(b Body) diagram.Drawing {
	half := b.stand() / 2
	hitch := halfHitch(b).Moved(half, 0)
	straight := diagram.Through(-half, 0, 0, -half, hitchHigh/2, 0, -half, hitchHigh, 0)
	left := diagram.Join(hitch, straight.Moved(0, hitchHigh))
	right := diagram.Join(straight.Mirrored(), hitch.Mirrored().Moved(0, hitchHigh))
	return diagram.Drawing{worker("1", left), worker("2", right)}
}

// twoHitches is the way of an end from above down behind a level core or rod: up in
// front at its left and over, across behind itself, up in front at its right and
// over, and down.
func twoHitches(b Body) diagram.Path {
	deep, high := b.Deep+0.8, b.Half+0.9
	first := []float64{
		-0.9, -high - 3.5, -deep,
		-0.9, -high - 0.5, -deep,
		-1, 0, -deep,
		-1.5, high, -0.5 * deep,
		-2.6, high, 0.4 * deep,
		-2.9, 0, deep,
		-2.7, -high, 0.4 * deep,
		-2.1, -high - 0.2, -0.7 * deep,
		-1.2, -0.55 * high, -deep - 1.1,
		0, 0, -deep - 1.2,
	}
	path := append([]float64(nil), first...)
	for i := len(first) - 6; i >= 0; i -= 3 {
		path = append(path, -first[i], -first[i+1], first[i+2])
	}
	return diagram.Through(path...)
}

// level is the way of a strand from left to right.
func level() diagram.Path { return diagram.Through(-4.8, 0, 0, 0, 0, 0, 4.8, 0, 0) }

func doubleHalfHitch(b Body) diagram.Drawing {
	return diagram.Drawing{{Name: "1", Path: level()}, worker("2", twoHitches(b))}
}

// quarterTurn turns a path on the page and mirrors it: what ran down runs to the right.
func quarterTurn(p diagram.Path) diagram.Path {
	turn := func(points []diagram.Point) []diagram.Point {
		turned := make([]diagram.Point, len(points))
		for i, a := range points {
			turned[i] = diagram.Point{X: a.Y, Y: a.X, Z: a.Z}
		}
		return turned
	}
	return diagram.Path{Points: turn(p.Points), Line: turn(p.Line)}
}

// verticalDoubleHalfHitch is the same with the work turned a quarter: the end runs
// across and the core hangs.
func verticalDoubleHalfHitch(b Body) diagram.Drawing {
	return diagram.Drawing{worker("1", quarterTurn(twoHitches(b))), {Name: "2", Path: quarterTurn(level())}}
}

func singleMount(b Body) diagram.Drawing {
	return diagram.Drawing{{Name: "rod", Thick: 2 * b.Deep, Path: level()}, worker("1", twoHitches(b))}
}

// larksHead is a folded cord hung on a rod: both ends up in front, over, down
// behind and to the fold, which comes forward and lies over them.
func larksHead(b Body) diagram.Drawing {
	deep, high := b.Deep+0.8, b.Half+0.9
	half := []float64{
		-0.8, high + 7, 0.2 * deep,
		-0.8, high + 3, 0.2 * deep,
		-0.8, high + 0.5, 0.7 * deep,
		-0.9, 0, deep,
		-1.1, -high, 0.4 * deep,
		-1.6, -high - 0.4, -0.6 * deep,
		-2.1, 0, -deep,
		-2.3, high, -0.7 * deep,
		-2.2, high + 1.6, 0.3 * deep,
		-1.2, high + 1.9, deep + 0.9,
		0, high + 1.9, deep + 1,
	}
	path := append([]float64(nil), half...)
	for i := len(half) - 6; i >= 0; i -= 3 {
		path = append(path, -half[i], half[i+1], half[i+2])
	}
	fold := worker("1 and 2", diagram.Through(path...))
	fold.Folded = true
	return diagram.Drawing{{Name: "rod", Thick: 2 * b.Deep, Path: level()}, fold}
}

// reversedLarksHead is the lark's head from behind.
func reversedLarksHead(b Body) diagram.Drawing { return larksHead(b).Map(diagram.Path.Behind) }
