// Package stock makes cutting plans: which piece to cut from which offcut or
// spool so that the least new cord is bought, and whether that is proved.
//
// Its nouns: a [Piece] is a length wanted so many times; a [Stock] is a length
// at hand, either an offcut that costs nothing or a spool; a [Pattern] is how
// one length of stock is cut, and how many times; a [Plan] is the patterns, what
// is left of each, what is short, and the bound that no plan can beat.
//
// [Solve] puts its aims in this order: leave out as little length as possible;
// open the cheapest spools (or, when prices are missing, the fewest metres of
// spool); take the least cord off the opened spools, so that offcuts go first;
// make the fewest cuts; keep the most useful remainders, one long rather than
// many short. The first two are proved best or come with a bound: a linear
// program over patterns (P. C. Gilmore and R. E. Gomory, 1961) from below, and
// rounding, diving and an exact search from above, with a search over how many of
// each spool are opened where there are several. The third is searched for in
// the same way for a short while. The last two are improved by dealing the pieces
// of two lengths of stock out again, and are not proved.
//
// What will hurt you: a spool counts as bought whole unless it is priced by the
// metre; a spool without a price makes the goal metres instead of money; a spool
// you own already is an offcut here. The answer depends on the clock only when
// the context's deadline or [Patience] cuts the search short, and then
// [Plan.Proved] is false or the last three aims are less well served. And an offcut must already be of
// the right cord, for this package knows only lengths.
package stock

import (
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Price is what cord costs.
type Price = cord.Price

// Piece is a length wanted Count times; Label is carried through to the plan.
type Piece struct {
	Length length.Length
	Count  int
	Label  string
}

// Stock is a length to cut from.
type Stock struct {
	Length   length.Length
	Count    int   // how many there are; 0 for no limit
	Price    Price // of one whole spool; 0 when unknown
	PerMetre Price // for cord bought by the metre, up to Length at a time; 0 when sold whole
	Offcut   bool  // already owned, costs nothing, and goes first
	Label    string
}

// Problem is what to cut, from what, and how the knife behaves.
type Problem struct {
	Pieces []Piece
	Stock  []Stock
	Kerf   length.Length // lost at every cut, for instance to trim or to whip an end
	Keep   length.Length // shortest remainder worth putting back on the shelf
}

// Goal is what a plan minimised first, once everything possible was placed.
type Goal int

// The goals.
const (
	LeastNewCord Goal = iota // whole length of the spools opened
	LeastCost                // price of the spools opened; every spool had a price
)

// Plan is a way to cut the pieces, with what it uses and what no plan can beat.
type Plan struct {
	Patterns []Pattern
	Unplaced []Shortage // what the stock could not give, longest first

	Goal        Goal
	Strips      int           // lengths of stock cut into, offcuts and spools
	Spools      int           // of these, spools
	NewCord     length.Length // bought: spools whole, cord by the metre as taken
	FromOffcuts length.Length // cut off offcuts, kerf included
	Cost        Price         // of what is bought, as far as prices are known, rounded up
	Cuts        int           // strokes of the knife
	Waste       length.Length // remainders below Keep, and kerf
	Short       length.Length // cord that is missing: the length of Unplaced and a kerf for each

	Bound  Bound
	Proved bool // no plan leaves out less, nor reaches the goal cheaper
}

// Bound is what no plan can go below; when pieces are left out, NewCord and Cost
// are for the pieces this plan does place.
type Bound struct {
	Short   length.Length
	NewCord length.Length // set when the goal is LeastNewCord
	Cost    Price         // set when the goal is LeastCost
}

// Pattern is one way to cut a length of stock, used Times times.
type Pattern struct {
	Stock     int           // index into Problem.Stock
	Length    length.Length // of the stock
	Label     string        // of the stock
	Offcut    bool
	Times     int
	Cuts      []Cut // in the order of cutting, longest first
	Remainder length.Length
	Keep      bool // the remainder is worth keeping
}

// Cut is one piece in a pattern.
type Cut struct {
	Piece  int           // index into Problem.Pieces
	Start  length.Length // from the beginning of the stock
	Length length.Length
	Label  string // of the piece
}

// Shortage is a piece that some or all of could not be placed.
type Shortage struct {
	Piece  int // index into Problem.Pieces
	Length length.Length
	Count  int
	Label  string
}

// Remainder is what goes back on the shelf.
type Remainder struct {
	Length length.Length
	Count  int
	Stock  int // index into Problem.Stock of what it was cut from
}
