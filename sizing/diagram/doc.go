// Package diagram tells which knot some cord makes: from paths in space it finds
// where one strand lies over another, joins the ends far outside, and computes
// what no drawing can argue with, the Jones polynomial and the signed turns.
//
// Its nouns: a [Path] is a smooth line through a few points; a [Strand] is the
// path of one end (or a rod) with its name; a [Drawing] is the strands of one
// knot; a [Crossing] is a place where two strands cross as the viewer sees them;
// a [Code] is the signed Gauss code of closed strands.
//
// All lengths are in cord diameters: x to the right, y down, z towards the viewer.
//
// What will hurt you: those axes are left-handed, and so is everything computed
// from them without turning y round; [Code] is as the viewer sees it, so a left
// trefoil on the page is a left trefoil.
package diagram
