// Package dowel answers what a maker asks about the rod: does the work fit on
// it, where does each group go, how far will it sag, and how long is the cord it
// hangs from.
//
// Its nouns: a [Group] is cords hung side by side; an [Arrangement] is groups on
// a rod, and [Arrangement.Fit] measures it; a [Rod] has a [Wood] and sags under
// [Load]s between two hangers; a [Hanger] is the cord from the rod up to its
// fixing; a [Caution] is a sentence that is always shown. Places along a rod
// are measured from its left end.
//
// What will hurt you: sag grows with the fourth power of the span and falls with
// the fourth power of the thickness, so a wrong thickness spoils everything;
// table stiffness is of clear straight-grained wood, and a shop dowel or a
// branch may have two thirds of it; a ring is treated as a straight rod between
// two hanging points (see [Ring]); and nothing here says how much a rod or a
// fixing carries before it breaks.
package dowel

import (
	"fmt"

	"larkfold/sizing/length"
)

// BareEnd is the bare rod to leave at each end for the hanger (common practice, no source).
const BareEnd = 3 * length.Centimetre

const (
	longestRod  = 10 * length.Metre
	thinnestRod = 1 * length.Millimetre
	thickestRod = 200 * length.Millimetre
	mostCords   = 10_000
	mostGroups  = 200
	largestLot  = 100
	widestCord  = 10 * length.Centimetre
)

func checkRodLength(l length.Length) error {
	if l <= 0 || l > longestRod {
		return fmt.Errorf("rod length %v: it must be more than zero and at most %v", l, longestRod)
	}
	return nil
}
