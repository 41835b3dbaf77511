// Package knot is the knot book: what every knot takes up, how tall and wide it
// is, and how the ends leave it, each row with its source.
package knot
