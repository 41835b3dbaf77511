package fringe

import (
	"fmt"
	"math"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

const mostTurns = 1_000

// Wrap is a cord that binds a bundle of ends: a loop is laid along them, the
// cord is wound round both, passed through the loop and pulled under. What of the
// loop shows beyond the turns until it is pulled is cord of the tails.
type Wrap struct {
	Ends int           // that are bound
	End  length.Length // working thickness of one
	Cord length.Length // working thickness of the wrapping cord
	Tail length.Length // of each of two, long enough to be pulled; the knot book's gathering wrap says how long
}

// Wrapped is a wrap worked out.
type Wrapped struct {
	Turns   int
	PerTurn length.Length // cord of one turn
	Height  length.Length // covered, the turns lying close
	Cut     length.Length // the whole wrapping cord
}

// ForTurns is the wrap with so many turns.
func (w Wrap) ForTurns(turns int) (Wrapped, error) {
	if err := w.check(); err != nil {
		return Wrapped{}, err
	}
	if turns < 1 || turns > mostTurns {
		return Wrapped{}, fmt.Errorf("%d turns: a wrap must have from 1 to %d", turns, mostTurns)
	}
	return w.wrapped(turns), nil
}

// FromCord is the wrap with the most turns that a cord of this length gives.
func (w Wrap) FromCord(cut length.Length) (Wrapped, error) {
	if err := w.check(); err != nil {
		return Wrapped{}, err
	}
	least := w.wrapped(1)
	if err := within("wrapping cord", cut, least.Cut, longestDrop*100); err != nil {
		return Wrapped{}, fmt.Errorf("%w for one turn and the tails", err)
	}
	more := (cut - least.Cut) / (w.perTurn() + 2*w.Cord)
	return w.wrapped(int(min(1+more, mostTurns))), nil
}

func (w Wrap) wrapped(turns int) Wrapped {
	height := length.Length(turns) * w.Cord
	return Wrapped{
		Turns:   turns,
		PerTurn: w.perTurn(),
		Height:  height,
		// The loop goes down the bundle under the wraps and up again.
		Cut: length.Length(turns)*w.perTurn() + 2*height + 2*w.Tail,
	}
}

// perTurn is one turn of a helix that climbs by the cord's own thickness round
// the fold line of the bundle.
func (w Wrap) perTurn() length.Length {
	return roundUp(math.Hypot(float64(cord.Turn(w.Ends, w.Cord, w.End)), float64(w.Cord)))
}

func (w Wrap) check() error {
	if w.Ends < 1 || w.Ends > mostPieces {
		return fmt.Errorf("%d ends to wrap: there must be from 1 to %d", w.Ends, mostPieces)
	}
	if err := checkThickness("thickness of an end", w.End); err != nil {
		return err
	}
	if err := checkThickness("thickness of the wrapping cord", w.Cord); err != nil {
		return err
	}
	return within("tail of a wrap", w.Tail, 0, length.Metre)
}
