package knot

import (
	"fmt"

	"larkfold/sizing/diagram"
)

// halfHigh is the height of a half knot as it is drawn, loose.
const halfHigh = 8

// front is how far in front of a body's middle a cord lies that passes over it.
func (b Body) front() float64 { return b.Deep + 0.9 }

// stand is how far to the side a working end stands.
func (b Body) stand() float64 { return b.Half + 1.9 }

// inFront is the way of the worker that begins a half knot: from the left across
// the front of the fillers and under the other worker.
func inFront(b Body) diagram.Path {
	h, w, f := b.Half, b.stand(), b.front()
	return diagram.Through(
		-w, 0, 0,
		-w, 1.6, 0,
		-h-1.5, 3.1, 0.4,
		-h-0.6, 3.9, f-0.2,
		-h+0.4, 4.1, f,
		h-0.4, 4.2, f,
		h+0.9, 4.4, 0.3,
		h+1.8, 4.8, -0.1,
		h+2.9, 6.2, 0,
		w, halfHigh, 0,
	)
}

// roundBehind is the way of the other: from the right over the first, behind the
// fillers and out to the front through the loop at the left.
func roundBehind(b Body) diagram.Path {
	h, w, f := b.Half, b.stand(), b.front()
	return diagram.Through(
		w, 0, 0,
		w, 2, 0.4,
		w-0.1, 3.8, 1.2,
		h+1.3, 5.3, 0.7,
		h-0.2, 5.9, -f,
		-h+0.3, 5.8, -f,
		-h-0.7, 4.6, -0.9,
		-h-0.6, 3.2, -0.2,
		-h-0.9, 2.2, 1,
		-w, 1.7, 1.3,
		-h-2.9, 3, 0.8,
		-h-3.1, 5.6, 0,
		-w, halfHigh, 0,
	)
}

// cores are straight ends in the middle, numbered from first.
func (b Body) cores(first int, top, foot float64) diagram.Drawing {
	var d diagram.Drawing
	for i := range b.Cores {
		x := coreGap * (float64(i) - float64(b.Cores-1)/2)
		d = append(d, diagram.Strand{Name: fmt.Sprint(first + i), Path: diagram.Through(x, top, 0, x, (top+foot)/2, 0, x, foot, 0)})
	}
	return d
}

// worker is a strand that works.
func worker(name string, p diagram.Path) diagram.Strand {
	return diagram.Strand{Name: name, Works: true, Path: p}
}

// between puts the fillers between the two workers.
func (b Body) between(left, right diagram.Path, foot float64) diagram.Drawing {
	d := diagram.Drawing{worker("1", left)}
	d = append(d, b.cores(2, 0, foot)...)
	return append(d, worker(fmt.Sprint(b.Cores+2), right))
}

func halfKnot(b Body) diagram.Drawing { return b.between(inFront(b), roundBehind(b), halfHigh) }

// squareWorkers are both workers of a square knot whose top is at y: a half knot
// and its mirror image, the same worker in front both times.
func squareWorkers(b Body, y float64) (left, right diagram.Path) {
	f, r := inFront(b), roundBehind(b)
	left = diagram.Join(f, f.Mirrored().Moved(0, halfHigh)).Moved(0, y)
	right = diagram.Join(r, r.Mirrored().Moved(0, halfHigh)).Moved(0, y)
	return left, right
}

func squareKnot(b Body) diagram.Drawing {
	left, right := squareWorkers(b, 0)
	return b.between(left, right, 2*halfHigh)
}

// picotKnot is a square knot tied lower down, or pushed up so that what lay
// between stands out in loops.
func picotKnot(b Body) diagram.Drawing {
	left, right := squareWorkers(b, b.Slack)
	w, s := b.stand(), b.Slack
	lead := diagram.Through(-w+1, 0, 0, -w, 0.4*s, 0, -w, 0.7*s, 0, -w, s, 0)
	if s < 4 { // pushed up: the same length, bowed out
		lead = diagram.Through(-w+1, 0, 0, -w-1.6, -0.6, 0, -w-2.2, 0.6, 0, -w, s, 0)
	}
	return b.between(diagram.Join(lead, left), diagram.Join(lead.Mirrored(), right), s+2*halfHigh)
}

// berryKnot is three square knots, the fillers led up in front of them, down behind
// them between their own standing parts and the workers, and one more square knot.
func berryKnot(b Body) diagram.Drawing {
	const squash, knots = 0.5, 3
	left, right := squareWorkers(b, 0)
	flat := func(p diagram.Path) diagram.Path {
		points := append([]diagram.Point(nil), p.Points...)
		for i := range points {
			points[i].Y *= squash
		}
		return diagram.Along(points)
	}
	left, right = flat(left), flat(right)
	high := 2 * halfHigh * squash
	foot := knots*high + 4
	down := diagram.Through(-b.stand(), 0, 0, -b.stand(), 1, 0, -b.stand(), 3, 0, -b.stand(), 4, 0).Moved(0, knots*high)
	workers := func(p, down diagram.Path) diagram.Path {
		return diagram.Join(p, p.Moved(0, high), p.Moved(0, 2*high), down, p.Moved(0, foot))
	}
	filler := diagram.Through(
		-0.9, -4, 0, -0.9, 0, 0, -0.9, foot/2, 0, -0.9, foot-3.5, 0,
		-0.8, foot-2.4, 0.5, -1.5, foot-2, 2, -2.5, foot-3, 3, -2.5, foot/2, 3.2, -2.5, 0, 3, -1.8, -1.5, 1.6,
		-1.7, -2, 0, -1.5, -1.5, -1.6, -1.6, 0, -3, -1.6, foot/2, -3.2, -1.3, foot-2, -2.6, -1, foot-0.5, -0.6, -0.9, foot+1, 0, -0.9, foot+high, 0)
	top := diagram.Through(-b.stand(), -4, 0, -b.stand(), -2, 0, -b.stand(), 0, 0)
	d := diagram.Drawing{
		worker("1", diagram.Join(top, workers(left, down))),
		{Name: "2", Path: filler},
		{Name: "3", Path: filler.Mirrored()},
		worker("4", diagram.Join(top.Mirrored(), workers(right, down.Mirrored()))),
	}
	return d
}
