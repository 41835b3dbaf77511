package picture

// The kinds of part of cutting plans, of bars of where the cord goes and of marks for
// the rod.
const (
	ABar   Kind = "bar"
	AStrip Kind = "strip"
	APiece Kind = "piece"
	ARest  Kind = "remainder"
	AMark  Kind = "mark"
	ACheck Kind = "check bar"
)
