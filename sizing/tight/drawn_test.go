package tight

import (
	"context"
	"encoding/csv"
	"flag"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

var shapes = flag.String("shapes", "", "write the drawn-up shapes that the knot book keeps to this file")

// TestDrawnUpShapes makes sizing/knot/drawn.csv: one period of each knot, tightened,
// as the book's drawings have it (x to the right, y down, z towards the viewer).
func TestDrawnUpShapes(t *testing.T) {
	if *shapes == "" {
		t.Skip("run with -shapes FILE to make the kept shapes anew")
	}
	down := func(p r3.Vec) r3.Vec { return r3.Vec{X: p.X, Y: p.Z, Z: p.Y} }
	over := func(p r3.Vec) r3.Vec { return r3.Vec{X: -p.Z, Y: -p.Y, Z: p.X} }
	above := func(p r3.Vec) r3.Vec { return r3.Vec{X: p.X, Y: -p.Y, Z: p.Z} }
	f, err := os.Create(*shapes)
	require.NoError(t, err)
	w := csv.NewWriter(f)
	require.NoError(t, w.Write([]string{"knot", "pitch", "strand", "works", "thick", "x", "y", "z"}))
	for _, c := range []struct {
		name string
		rope *rope
		view func(r3.Vec) r3.Vec
	}{
		{"square knot", atPitch(3.7, squareKnots(bundle(2, 0)))[0], down},
		{"half knot", upright(halfKnots(2, 2)), down},
		{"half hitch", upright(halfHitches(1)), down},
		{"vertical lark's head", freePitch(verticalLarksHead(rod(1)))[0], down},
		{"alternating half-hitch chain", freePitch(alternatingHalfHitches())[0], down},
		{"three-strand plait", atPitch(8, plait("three-strand plait"))[0], down},
		{"four-strand plait", atPitch(12, plait("four-strand plait"))[0], down},
		{"crown sinnet", freePitch(crowns())[0], down},
		{"double half hitch", atPitch(2.93, rowOfHitches(0))[0], over},
		{"single mount", doubleHalfHitch(rod(4)), over},
		{"lark's head", larksHead(4), over},
		{"overhand knot", overhand(1, 0, 0), above},
		{"barrel knot", endsIn("barrel knot", 1, 0, 0), above},
	} {
		settings := Coarse()
		stages, err := tighten(context.Background(), c.rope, settings)
		require.NoError(t, err, c.name)
		r := stages[len(stages)-1].rope
		r.resample(0.3)
		number := func(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }
		write := func(strand int, works string, thick float64, line []r3.Vec) {
			for _, p := range line {
				p = c.view(p)
				if c.name == "overhand knot" || c.name == "barrel knot" { // its ends run along x there
					p = r3.Vec{X: p.Y, Y: -p.X, Z: p.Z}
				}
				require.NoError(t, w.Write([]string{c.name, number(r.repeat.pitch), strconv.Itoa(strand), works, number(thick), number(p.X), number(p.Y), number(p.Z)}))
			}
		}
		for i, cord := range r.cords {
			works := "yes"
			if cord.filler {
				works = ""
			}
			write(i, works, 1, r.path(i))
		}
		for i, k := range r.cores {
			top, foot := 0.0, r.repeat.pitch
			if !r.periodic {
				top, foot = -6, 6
			}
			write(len(r.cords)+i, "", k.diameter, []r3.Vec{{X: k.x, Y: k.y, Z: top}, {X: k.x, Y: k.y, Z: (top + foot) / 2}, {X: k.x, Y: k.y, Z: foot}})
		}
		t.Log(c.name, r.repeat.pitch, r.repeat.twist)
	}
	w.Flush()
	require.NoError(t, w.Error())
	require.NoError(t, f.Close())
}

// upright keeps a spiral from turning, so that periods fit below each other.
func upright(r *rope) *rope {
	r.repeat.freeTwist = false
	return r
}
