package drawn

import "larkfold/commands/picture/paint"

// The kinds of part that show something of the work.
const (
	AKnot       paint.Kind = "knot"
	ATied       paint.Kind = "knot tied before" // in the picture of a step
	ACarrier    paint.Kind = "carrying end"
	AStep       paint.Kind = "step" // its picture on a printed page, or how far it reaches in a chart
	ASticker    paint.Kind = "number of a step"
	ARow        paint.Kind = "number of a row"
	AnEndNumber paint.Kind = "number of an end"
	AScale      paint.Kind = "scale"
	AMount      paint.Kind = "mount"
	AnEnd       paint.Kind = "end"
	ARod        paint.Kind = "rod"
	AHanger     paint.Kind = "hanger"
	AFringe     paint.Kind = "fringe"
	AHead       paint.Kind = "head" // of fringe, where it is tied on
	ABead       paint.Kind = "bead"
	ASwag       paint.Kind = "swag"
	APanel      paint.Kind = "panel" // in outline
	ALens       paint.Kind = "lens"  // a part of the work, enlarged
	ASeam       paint.Kind = "seam"  // where round work is cut open
)
