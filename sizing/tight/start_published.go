package tight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// curve lays n points on a closed curve of period 2 pi.
func curve(n int, at func(t float64) r3.Vec) []r3.Vec {
	p := make([]r3.Vec, n)
	for i := range p {
		p[i] = at(2 * math.Pi * float64(i) / float64(n))
	}
	return p
}

func hopfLink() *rope {
	return &rope{cords: []cord{
		{points: curve(60, func(t float64) r3.Vec { return r3.Vec{X: 1.8 * math.Cos(t), Y: 1.8 * math.Sin(t)} })},
		{points: curve(60, func(t float64) r3.Vec { return r3.Vec{X: 1.8 + 1.8*math.Cos(t), Z: 1.8 * math.Sin(t)} })},
	}}
}

func trefoil() *rope {
	return &rope{cords: []cord{{points: curve(120, func(t float64) r3.Vec {
		return r3.Vec{
			X: math.Sin(t) + 2*math.Sin(2*t),
			Y: math.Cos(t) - 2*math.Cos(2*t),
			Z: -math.Sin(3 * t),
		}
	})}}}
}

func figureEight() *rope {
	return &rope{cords: []cord{{points: curve(160, func(t float64) r3.Vec {
		return r3.Vec{
			X: 1.2 * (2 + math.Cos(2*t)) * math.Cos(3*t),
			Y: 1.2 * (2 + math.Cos(2*t)) * math.Sin(3*t),
			Z: 1.2 * math.Sin(4*t),
		}
	})}}}
}
