package picture

// The kinds of part that show something of the work.
const (
	AKnot       Kind = "knot"
	ATied       Kind = "knot tied before" // in the picture of a step
	ACarrier    Kind = "carrying end"
	AStep       Kind = "step" // its picture on a printed page, or how far it reaches in a chart
	ASticker    Kind = "number of a step"
	ARow        Kind = "number of a row"
	AnEndNumber Kind = "number of an end"
	AScale      Kind = "scale"
	AMount      Kind = "mount"
	AnEnd       Kind = "end"
	ARod        Kind = "rod"
	AHanger     Kind = "hanger"
	AFringe     Kind = "fringe"
	AHead       Kind = "head" // of fringe, where it is tied on
	ABead       Kind = "bead"
	ASwag       Kind = "swag"
	APanel      Kind = "panel" // in outline
	ALens       Kind = "lens"  // a part of the work, enlarged
	ASeam       Kind = "seam"  // where round work is cut open
)
