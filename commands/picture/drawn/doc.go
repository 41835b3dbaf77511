// Package drawn draws the work that a sheet makes: the whole piece with its cut labels,
// one picture for every step, and the chart to work from.
//
// Its nouns: a sketch is a traced sheet at one scale; a moment is the work at one step,
// what was done before pale and what is done now in full; a [Span] is what one
// sentence of the instructions is about.
//
// A round panel on a ring is drawn twice: as it hangs, seen a little from above, and
// cut open in a chart, whose parts are marked as unrolled. Where knots are too small
// to be seen, a lens shows some of them; what has more than [MostKnots] is drawn in
// outline.
//
// What will hurt you: places of the work are in nanometres from the left edge of what
// is mounted and the axis of its rod, before a panel leans; those on the page in points.
package drawn
