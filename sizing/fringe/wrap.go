package fringe

import (
	"fmt"

	"larkfold/sizing/length"
)

const mostTurns = 1_000

// Wrap is a gathering wrap round one bundle, as the knot book sizes it.
type Wrap struct {
	Turn  length.Length // cord of one turn and of the loop buried under it
	Tails length.Length // cord of both tails, to be pulled
	Cover length.Length // of the bundle by one turn, the turns lying close
}

// Wrapped is a wrap worked out.
type Wrapped struct {
	Turns int
	Cut   length.Length // the whole wrapping cord
}

// ForTurns is the wrap with so many turns.
func (w Wrap) ForTurns(turns int) (Wrapped, error) {
	if turns < 1 || turns > mostTurns {
		return Wrapped{}, fmt.Errorf("%d turns: a wrap must have from 1 to %d", turns, mostTurns)
	}
	n := length.Length(turns)
	return Wrapped{Turns: turns, Cut: n*w.Turn + w.Tails}, nil
}

// FromCord is the wrap with the most turns that a cord of this length gives.
func (w Wrap) FromCord(cut length.Length) (Wrapped, error) {
	if err := within("wrapping cord", cut, w.Turn+w.Tails, longestDrop*100); err != nil {
		return Wrapped{}, fmt.Errorf("%w for one turn and the tails", err)
	}
	return w.ForTurns(int(min((cut-w.Tails)/w.Turn, mostTurns)))
}
