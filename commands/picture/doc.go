// Package picture sets the pages that a maker pins up or holds: the sheet to cut from,
// cutting plans, where the cord goes, marks for the rod in life size.
//
// What stands on them is drawn in its rooms, each of which knows those before it and
// none after: [larkfold/commands/picture/paint] is the list of shapes, the inks, the
// type and the three papers; [larkfold/commands/picture/knots] one knot, tied step by
// step and drawn up; [larkfold/commands/picture/drawn] the work, whole, step by step
// and as a chart.
//
// What will hurt you: places on paper are in life size, so nothing here may scale a
// page; and a step, its number and its picture must stand on one page.
package picture
