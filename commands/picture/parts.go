package picture

import "larkfold/commands/picture/paint"

// The kinds of part of cutting plans, of bars of where the cord goes and of marks for
// the rod.
const (
	ABar   paint.Kind = "bar"
	AStrip paint.Kind = "strip"
	APiece paint.Kind = "piece"
	ARest  paint.Kind = "remainder"
	AMark  paint.Kind = "mark"
	ACheck paint.Kind = "check bar"
)
