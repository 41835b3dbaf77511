package knot

import (
	"fmt"
	"math"

	"larkfold/sizing/diagram"
)

func overhand(Body) diagram.Drawing { return torus(3) }

// barrel is an overhand knot whose end goes round once more.
func barrel(Body) diagram.Drawing { return torus(5) }

// torus is one end wound twice round a ring with so many lobes, cut at the left lobe
// and opened up and down: of three lobes an overhand knot, of five one with a turn more.
func torus(lobes int) diagram.Drawing {
	n := float64(lobes)
	middle, wave, side, lead := 2.4, 1.2, 2.6, 3.0
	if lobes > 3 {
		middle, wave, side, lead = 3.6, 1.3, 5.6, 2.2
	}
	points := []diagram.Point{{X: -side, Y: -6}, {X: -side + 0.1, Y: -lead}}
	steps := 8*lobes + 2
	for i := 3; i <= steps-3; i++ {
		t := 2 * math.Pi * float64(i) / float64(steps)
		sin, cos := math.Sincos(math.Pi + 2*t)
		r := middle + wave*math.Cos(n*t)
		points = append(points, diagram.Point{X: r * cos, Y: r * sin, Z: 0.9 * math.Sin(n*t)})
	}
	points = append(points, diagram.Point{X: -side + 0.1, Y: lead}, diagram.Point{X: -side, Y: 6})
	return diagram.Drawing{worker("1", diagram.Along(points))}
}

// braid is strands that change places: i is the strand at place i (from 1) going
// over its right neighbour, -i the neighbour going over it. Changes in one row
// happen side by side. Places and rows lie the given distances apart.
func braid(strands int, wide, high float64, rows ...[]int) diagram.Drawing {
	points := make([][]diagram.Point, strands)
	at := make([]int, strands) // strand at every place
	x := func(place int) float64 { return wide * (float64(place) - float64(strands-1)/2) }
	put := func(strand int, x, y, z float64) {
		points[strand] = append(points[strand], diagram.Point{X: x, Y: y, Z: z})
	}
	for i := range at {
		at[i] = i
		put(i, x(i), 0, 0)
	}
	for r, row := range rows {
		y := high * (float64(r) + 0.5)
		for _, change := range row {
			left, depth := change-1, 0.6
			if change < 0 {
				left, depth = -change-1, -0.6
			}
			middle := (x(left) + x(left+1)) / 2
			put(at[left], middle+0.07, y, depth)
			put(at[left+1], middle-0.04, y, -depth)
			at[left], at[left+1] = at[left+1], at[left]
		}
		for place, strand := range at {
			put(strand, x(place), y+high/2, 0)
		}
	}
	d := make(diagram.Drawing, strands)
	for i := range d {
		d[i] = worker(fmt.Sprint(i+1), diagram.Along(points[i]))
	}
	return d
}

func threeStrandPlait(Body) diagram.Drawing {
	return braid(3, 1.7, 2.2, []int{1}, []int{-2}, []int{1}, []int{-2}, []int{1}, []int{-2})
}

func fourStrandPlait(Body) diagram.Drawing {
	pairs, middle := []int{1, 3}, []int{-2}
	return braid(4, 1.7, 2.2, pairs, middle, pairs, middle, pairs, middle, pairs, middle)
}

// crown is seen from above: each of four standing ends is laid over the one before
// it and under the one after it.
func crown(Body) diagram.Drawing {
	d := make(diagram.Drawing, 4)
	for i := range d {
		sin, cos := math.Sincos(float64(i) * math.Pi / 2)
		turn := func(x, y, z float64) diagram.Point { return diagram.Point{X: cos*x - sin*y, Y: sin*x + cos*y, Z: z} }
		d[i] = worker(fmt.Sprint(i+1), diagram.Along([]diagram.Point{
			turn(-2.1, -1.1, -3), turn(-2, -1.1, -1), turn(-1.7, -1.1, 0.5), turn(-1.1, -1.1, 0.8),
			turn(0, -1.1, 0.2), turn(1.1, -1.1, -0.5), turn(2.4, -1.1, -0.2), turn(5, -1.1, 0),
		}))
	}
	return d
}

// josephine is two strands (of one or several ends each) woven into the knot that
// sailors call a carrick bend: a ring of four lobes, opened at the top and at the bottom.
func josephine(Body) diagram.Drawing {
	const n = 36
	points := []diagram.Point{{X: 2, Y: -9}, {X: 2, Y: -7}}
	for i := 2; i <= n-2; i++ {
		t := 3 * math.Pi * float64(i) / n
		sin, cos := math.Sincos(t - math.Pi/2)
		r := 3.4 + 1.8*math.Cos(4*t/3)
		points = append(points, diagram.Point{X: r * cos, Y: r * sin, Z: 0.8 * math.Sin(8*t/3)})
	}
	points = append(points, diagram.Point{X: 2, Y: 7}, diagram.Point{X: 2, Y: 9})
	right := diagram.Along(points)
	left := right.Mirrored().Upended() // half a turn on the page
	return diagram.Drawing{worker("1", left), worker("2", right)}
}

// wound is the cord of a gathering wrap: a loop laid down along the ends, turns
// from the top down round ends and loop, and the end through what shows of the loop.
func wound(b Body) diagram.Drawing {
	const turns, pitch = 3, 1.6 // and one more at the end
	h, f := b.Half+0.9, b.front()
	foot := 3 + pitch*(turns+1.0)
	points := []diagram.Point{
		{X: 0.6, Y: -2.5, Z: f}, {X: 0.6, Y: 0, Z: f}, {X: 0.6, Y: foot - 0.6, Z: f}, {X: 0.6, Y: foot + 0.2, Z: f + 0.2}, {X: 0.5, Y: foot + 1.4, Z: f + 1},
		{X: 0, Y: foot + 2, Z: f + 1.3}, {X: -0.5, Y: foot + 1.4, Z: f + 1.3}, {X: -0.6, Y: foot, Z: f + 0.6}, {X: -0.6, Y: foot - 1.6, Z: f}, {X: -0.6, Y: 2.2, Z: f}, {X: -0.8, Y: 1, Z: f}, {X: -1.4, Y: 0, Z: f},
		{X: -h, Y: -0.2, Z: 0}, {X: 0, Y: 1.3, Z: -f},
	}
	for i := range turns {
		y := 2 + pitch*float64(i)
		points = append(points,
			diagram.Point{X: h, Y: y, Z: 0}, diagram.Point{X: 0, Y: y + 0.5, Z: f + 1.1}, diagram.Point{X: -h, Y: y + pitch - 0.6, Z: 0}, diagram.Point{X: 0, Y: y + pitch - 0.2, Z: -f})
	}
	points = append(points,
		diagram.Point{X: h, Y: foot - 2.6, Z: 0}, diagram.Point{X: 1.7, Y: foot - 1.6, Z: f + 1.2}, diagram.Point{X: 0.6, Y: foot - 0.9, Z: f + 1.5},
		diagram.Point{X: 0, Y: foot + 0.1, Z: f + 0.8}, diagram.Point{X: -0.5, Y: foot + 0.9, Z: f - 0.1}, diagram.Point{X: -1.4, Y: foot + 1.9, Z: f - 0.3}, diagram.Point{X: -2.2, Y: foot + 5, Z: f - 0.3})
	return append(diagram.Drawing{worker("wrap", diagram.Along(points))}, b.cores(1, -2.5, foot+5)...)
}
