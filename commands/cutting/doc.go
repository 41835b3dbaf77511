// Package cutting is what there is to cut from and what is cut from what: the leftovers
// and spools on a member's shelf, cutting plans over them, and the largest design that
// the cord there is makes. Its commands are /shelf and /plan.
//
// What will hurt you: a shelf changes between a plan and its booking, so that a booking
// names the revision it was planned with; a plan has a budget of time and says how far
// from the best it may be.
package cutting
