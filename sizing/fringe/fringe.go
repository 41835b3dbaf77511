// Package fringe works out fringes, tassels and gathering wraps: how many
// pieces to cut and how long, which of them the scraps on the shelf will give,
// and how the ends brush out.
//
// Its nouns: an [Edge] is a row of loops along which folded pieces are hung by
// lark's heads; its [Cut]s are the pieces; a [Filling] is the pieces cut from
// scraps first and spools after; a [Tassel] is a bundle folded over a tie; a
// [Wrap] is the cord that binds a bundle. Every thickness here is a working
// thickness: what the cord measures under the hand.
//
// What will hurt you: a drop is measured from the axis of the cord that the
// piece hangs on; a fringe is trimmed after it is hung, so Spare must be enough for
// the least even hand; and a scrap must already be of the right cord, for
// lengths are all that is looked at.
package fringe

import (
	"fmt"
	"math"

	"larkfold/sizing/length"
)

// MostPieces is how many pieces one fringe may have, and how many ends a wrap binds.
const MostPieces = 20_000

const (
	longestDrop = 10 * length.Metre
	thickest    = 100 * length.Millimetre
	mostLoops   = 5_000
)

func checkThickness(what string, l length.Length) error {
	return within(what, l, length.Nanometre, thickest)
}

// within refuses a length that is not from least to most.
func within(what string, l, least, most length.Length) error {
	if l >= least && l <= most {
		return nil
	}
	if least == length.Nanometre {
		return fmt.Errorf("%s %v: it must be more than zero and at most %v", what, l, most)
	}
	return fmt.Errorf("%s %v: it must be from %v to %v", what, l, least, most)
}

// roundUp makes a length of nanometres, never shorter.
func roundUp(nanometres float64) length.Length { return length.Length(math.Ceil(nanometres)) }
