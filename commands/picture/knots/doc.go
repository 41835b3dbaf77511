// Package knots draws one knot: how it is tied, a picture for every step, and drawn up,
// as it looks in a piece.
//
// Its nouns: a [Dye] is how a cord is drawn, its colour with the pattern that tells it
// from others; a thread is one strand of a diagram about to be painted; a [Symbol] is
// a knot at the size that it has in a piece. All shapes come from the diagrams of
// the knot book; what lies over what follows from their depths.
//
// What will hurt you: a symbol is drawn about an origin and kept by its look, which must
// name everything that its shapes depend on.
package knots
