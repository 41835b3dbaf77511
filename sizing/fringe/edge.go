package fringe

import (
	"fmt"

	"larkfold/sizing/length"
)

// Trim says how the finished fringe is cut along its lower edge.
type Trim int

// The trims.
const (
	Level Trim = iota // every piece hangs the same Drop
	Slope             // from Drop at the first loop evenly to FarDrop at the last
)

// Trimmed is what is cut off each end of a fringe piece when the fringe is trimmed
// (common practice, no source).
const Trimmed = 5 * length.Millimetre

// Edge is a row of loops to hang a fringe on. Its lengths are finished lengths.
type Edge struct {
	Loops   int
	PerLoop int // folded pieces to a loop

	Trim    Trim
	Drop    length.Length // of the fringe below the axis of the edge cord
	FarDrop length.Length // see Trim; not looked at when it is Level

	Take    length.Length // what the knot takes of each end: the knot book's fringe lark's head
	Spare   length.Length // what is trimmed off each end at least, see Trimmed
	RoundUp length.Length // whole steps to cut in; zero for none
}

// Cut is pieces of one length.
type Cut struct {
	Length      length.Length
	Count       int
	First, Last int // the outermost loops they serve, counted from 1
}

// Pieces returns how many pieces the edge takes.
func (e Edge) Pieces() int { return e.Loops * e.PerLoop }

// Cuts returns the pieces to cut, in order of the first loop they serve: each
// twice the drop at its loop, the knot and the spare, folded in half to hang.
func (e Edge) Cuts() ([]Cut, error) {
	if err := e.check(); err != nil {
		return nil, err
	}
	var cuts []Cut
	index := map[length.Length]int{}
	for loop := range e.Loops {
		piece := (2 * (e.dropAt(loop) + e.Take + e.Spare)).RoundUp(e.RoundUp)
		i, seen := index[piece]
		if !seen {
			i = len(cuts)
			index[piece] = i
			cuts = append(cuts, Cut{Length: piece, First: loop + 1})
		}
		cuts[i].Count += e.PerLoop
		cuts[i].Last = loop + 1
	}
	return cuts, nil
}

// DropOf is the longest drop that pieces of this length give once the knot and
// the spare are taken off; negative when they are too short to knot.
func (e Edge) DropOf(piece length.Length) length.Length { return piece/2 - e.Take - e.Spare }

// dropAt is the finished drop at a loop counted from 0, never less than the
// straight line of the trim.
func (e Edge) dropAt(loop int) length.Length {
	step, steps := loop, e.Loops-1
	if e.Trim == Level || steps == 0 {
		return e.Drop
	}
	return (e.Drop*length.Length(steps-step) + e.FarDrop*length.Length(step) + length.Length(steps-1)) / length.Length(steps)
}

func (e Edge) check() error {
	if e.Loops < 1 || e.Loops > mostLoops {
		return fmt.Errorf("%d loops to hang the fringe on: there must be from 1 to %d", e.Loops, mostLoops)
	}
	if e.PerLoop < 1 || e.PerLoop > MostPieces/e.Loops {
		return fmt.Errorf("%d pieces to a loop on %d loops: there must be at least 1, and at most %d pieces in all", e.PerLoop, e.Loops, MostPieces)
	}
	if e.Trim != Level && e.Trim != Slope {
		return fmt.Errorf("trim %d: it must be level or a slope", e.Trim)
	}
	if err := within("fringe drop", e.Drop, length.Nanometre, longestDrop); err != nil {
		return err
	}
	if e.Trim != Level {
		if err := within("far drop of the fringe", e.FarDrop, length.Nanometre, longestDrop); err != nil {
			return err
		}
	}
	if err := within("cord for the knot of a fringe piece", e.Take, 0, length.Metre); err != nil {
		return err
	}
	if err := within("length to trim off", e.Spare, 0, length.Metre); err != nil {
		return err
	}
	return within("rounding step", e.RoundUp, 0, length.Metre)
}
