package tight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// overhand ties n ends together in one overhand knot; they run along x, side
// by side as in a bundle turned by some degrees, which twists by the lay on its way.
func overhand(n int, degrees, lay float64) *rope { return endsIn("overhand knot", n, degrees, lay) }

// endsIn ties n ends together in a knot of one strand.
func endsIn(name string, n int, degrees, lay float64) *rope {
	path := drawn(name, 0)[0]
	spine := make([]r3.Vec, len(path.Line))
	for i, p := range path.Line {
		spine[i] = r3.Vec{X: p.Y, Y: p.X, Z: p.Z}
	}
	places, radius := bundle(n, degrees)
	scale := 1.3 * (radius + 0.6)
	r := &rope{}
	for _, c := range places {
		r.cords = append(r.cords, cord{points: beside(spine, scale, c.x, c.y, lay*math.Pi/180), ending: open, held: xAxis})
	}
	return r
}

// beside scales a line and moves it sideways in a frame that is carried along it
// turning only by the lay.
func beside(line []r3.Vec, scale, across, up, lay float64) []r3.Vec {
	dense := equalSteps(append(append([]r3.Vec{line[0]}, line...), line[len(line)-1]), 100, true)
	normal := r3.Vec{Z: 1}
	out := make([]r3.Vec, len(dense))
	for i, p := range dense {
		tangent := r3.Unit(r3.Sub(dense[min(i+1, len(dense)-1)], dense[max(i-1, 0)]))
		normal = r3.Unit(r3.Sub(normal, r3.Scale(r3.Dot(normal, tangent), tangent)))
		side := r3.Cross(tangent, normal)
		sin, cos := math.Sincos(lay * float64(i) / float64(len(dense)-1))
		x, y := across*cos-up*sin, across*sin+up*cos
		out[i] = r3.Add(r3.Scale(scale, p), r3.Add(r3.Scale(x, side), r3.Scale(y, normal)))
	}
	return out
}

// plait is three or four strands over and under in turn; its period has six or
// twelve crossings.
func plait(name string) *rope { return sinnetOf(name, nil, 0) }

// crowns is a sinnet of crowns, one upon the other, along z. Each strand, once laid
// under the next one, rises to where that one's root was.
func crowns() *rope {
	const pitch = 5.5
	r := &rope{repeat: repeat{pitch: pitch}, periodic: true}
	for i, p := range drawn("crown sinnet", 0) {
		laid := p.Points[1:6]
		root := drawn("crown sinnet", 0)[(i+1)%4].Points[1]
		// outwards past the next strand, then up and in
		side := r3.Sub(laid[4], laid[3])
		out := r3.Add(laid[4], r3.Vec{X: side.X, Y: side.Y, Z: 0.6})
		points := append(append([]r3.Vec{}, laid...), out, r3.Vec{X: (out.X + root.X) / 2, Y: (out.Y + root.Y) / 2, Z: root.Z + pitch - 1.5}, r3.Vec{X: root.X, Y: root.Y, Z: root.Z + pitch - 0.7})
		for k := range points {
			points[k].Y = -points[k].Y
		}
		r.cords = append(r.cords, cord{points: points, ending: chain, next: (i + 1) % 4})
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
