// Package question answers what makers ask of every day, from the options of one line:
// how much cord a hanging takes (/cord), what to cut for a length (/cut), wraps, fringe,
// the dowel and its hanger, units, and the sheet in somebody's message.
//
// What will hurt you: an answer is the one that a working sheet of the same piece gives,
// so that each builds a sheet and has it sized; nothing is worked out here beside it.
package question
