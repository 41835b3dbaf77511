package dowel

import (
	"math"

	"larkfold/sizing/length"
)

// Room is how much of a rod work can hang on: all of it but the bare ends for the
// hanger. It is negative where the rod is shorter than those.
func Room(rod length.Length) length.Length { return rod - 2*BareEnd }

// RodFor is the shortest rod that has room for work so wide.
func RodFor(work length.Length) length.Length { return work + 2*BareEnd }

// Round is how much of a ring work can hang on: all the way round its middle. Across
// is its outer diameter.
func Round(across, thick length.Length) length.Length {
	return length.Length(float64(across-thick) * math.Pi)
}
