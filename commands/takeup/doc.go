// Package takeup is what members know about how much cord knots take up: the knots of
// the book and those that a community adds, doubling rules, and the swatches of their
// own hands. Its commands are /knots, /rule and /swatch.
//
// What will hurt you: whose an entry is decides who may change it; a community's book
// is changed by whoever may manage its server, and shown to nobody outside of it.
package takeup
