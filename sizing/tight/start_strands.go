package tight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// overhand ties n ends together in one overhand knot; they run along x, side
// by side as in a bundle turned by some degrees.
func overhand(n int, degrees float64) *rope {
	spine := []r3.Vec{
		{X: -5.5}, {X: -3.5}, {X: -1}, {X: 0.5}, {X: 2}, {X: 3.2, Y: 0.6}, {X: 3.4, Y: 1.8},
		{X: 2.4, Y: 3}, {X: 0.8, Y: 3.2}, {X: -0.6, Y: 2.4, Z: 0.5},
		{X: -1.2, Y: 0.8, Z: 1}, {X: -1.1, Y: -0.6, Z: 0.8}, {X: -0.3, Y: -1.3}, {X: 0.6, Y: -0.9, Z: -0.8},
		{X: 1, Y: 0.2, Z: -1}, {X: 1.4, Y: 1, Z: -0.3}, {X: 2.2, Y: 1.4, Z: 0.6},
		{X: 3.6, Y: 1.5, Z: 1}, {X: 5, Y: 1, Z: 0.6}, {X: 6.5}, {X: 7.5},
	}
	places, radius := bundle(n, degrees)
	scale := 1.3 * (radius + 0.6)
	r := &rope{}
	for _, c := range places {
		r.cords = append(r.cords, cord{points: beside(spine, scale, c.x, c.y), ending: open, held: xAxis})
	}
	return r
}

// beside scales a line and moves it sideways in a frame carried along it without turning.
func beside(line []r3.Vec, scale, across, up float64) []r3.Vec {
	dense := equalSteps(append(append([]r3.Vec{line[0]}, line...), line[len(line)-1]), 100, true)
	normal := r3.Vec{Z: 1}
	out := make([]r3.Vec, len(dense))
	for i, p := range dense {
		tangent := r3.Unit(r3.Sub(dense[min(i+1, len(dense)-1)], dense[max(i-1, 0)]))
		normal = r3.Unit(r3.Sub(normal, r3.Scale(r3.Dot(normal, tangent), tangent)))
		side := r3.Cross(tangent, normal)
		out[i] = r3.Add(r3.Scale(scale, p), r3.Add(r3.Scale(across, side), r3.Scale(up, normal)))
	}
	return out
}

// plait is three strands over and under in turn; its period has six crossings.
func plait() *rope {
	const pitch, n = 14.0, 40
	r := &rope{repeat: repeat{pitch: pitch}, periodic: true}
	for strand := range 3 {
		p := make([]r3.Vec, n)
		for i := range p {
			t := 2*math.Pi*float64(i)/n + 2*math.Pi*float64(strand)/3
			p[i] = r3.Vec{X: 1.6 * math.Sin(t), Y: 1.0 * math.Sin(2*t), Z: pitch * float64(i) / n}
		}
		r.cords = append(r.cords, cord{points: p, ending: chain, next: strand})
	}
	return r
}

// wrap winds one cord round cores.
func wrap(cores []core, radius float64) *rope {
	const n, pitch = 40, 3.0
	p := curve(n, func(t float64) r3.Vec {
		return r3.Vec{X: (radius + 0.8) * math.Cos(t), Y: (radius + 0.8) * math.Sin(t), Z: pitch * t / (2 * math.Pi)}
	})
	return &rope{
		cords:    []cord{{points: p, ending: chain}},
		cores:    cores,
		repeat:   repeat{pitch: pitch},
		periodic: true,
	}
}
