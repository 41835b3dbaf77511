package fringe

import (
	"fmt"
	"math"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Tassel is a bundle of strands folded in half over a tie.
type Tassel struct {
	Strands int
	Strand  length.Length // working thickness of one
	Soft    cord.Ratio    // how soft they are, see [cord.Construction.Softness]
	Tie     length.Length // thickness of the cord that they hang over
	Drop    length.Length // finished, from the axis of the tie
	Spare   length.Length // what is trimmed off each end at least
}

// Bundled is a tassel worked out.
type Bundled struct {
	Cut  length.Length // one strand
	Fold length.Length // what the outermost strand takes over the tie
	Ends int           // hanging, to be wrapped
}

// Bundle works the strands out: each twice the drop and the spare, and half a
// turn over the tie. The outermost strand of the bundle goes the longest way, and
// all are cut like it.
func (t Tassel) Bundle() (Bundled, error) {
	if t.Strands < 1 || t.Strands > MostPieces/2 {
		return Bundled{}, fmt.Errorf("%d strands in a tassel: there must be from 1 to %d", t.Strands, MostPieces/2)
	}
	if err := checkThickness("thickness of a strand", t.Strand); err != nil {
		return Bundled{}, err
	}
	if err := checkThickness("thickness of the tie", t.Tie); err != nil {
		return Bundled{}, err
	}
	if err := within("tassel drop", t.Drop, length.Nanometre, longestDrop); err != nil {
		return Bundled{}, err
	}
	if err := within("length to trim off", t.Spare, 0, length.Metre); err != nil {
		return Bundled{}, err
	}
	outermost := float64(t.Tie)/2 + float64(cord.BundleDiameter(t.Strands, t.Strand, t.Soft)) - float64(t.Strand)/2
	fold := roundUp(math.Pi * outermost)
	cut := 2*(t.Drop+t.Spare) + fold
	return Bundled{
		Cut:  cut,
		Fold: fold,
		Ends: 2 * t.Strands,
	}, nil
}
