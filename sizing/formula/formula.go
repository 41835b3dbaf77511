// Package formula compiles and evaluates the small arithmetic of the knot book,
// of a community's own knots and of doubling rules.
package formula

import "larkfold/sizing/length"

// Quantities are the named values a formula may use; a formula names only those
// that its use allows. Lengths are exact nanometres.
type Quantities struct {
	Diameter length.Length // d: working diameter of the cord that the formula charges
	Core     length.Length // c: working diameter of the cords inside; zero means the same as d
	Cores    int           // k: how many cords the knot closes round
	Rod      length.Length // D: diameter of a round rod
	Pitch    length.Length // pitch: advance from one knot to the next
	Ends     int           // n: how many ends the knot takes
	Finished length.Length // finished
	Drop     length.Length // drop
	Width    length.Length // width
	Fringe   length.Length // fringe
}
