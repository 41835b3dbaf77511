package fringe

import (
	"larkfold/sizing/cord"
	"larkfold/sizing/dowel"
)

// Brushing is how the ends of a cord are brushed out into a soft fringe.
type Brushing int

// The ways (common practice, no source).
const (
	DoesNotBrush Brushing = iota
	BrushesFreely
	UnlayFirst // the plies must be untwisted before they brush
)

// BrushingOf returns how a cord of this construction is brushed out, and the
// caution to show with it; there is none when it does not brush.
func BrushingOf(c cord.Construction) (Brushing, []dowel.Caution) {
	switch c {
	case cord.SingleStrand:
		return BrushesFreely, []dowel.Caution{dowel.BrushedBurns}
	case cord.Plied:
		return UnlayFirst, []dowel.Caution{dowel.BrushedBurns}
	}
	return DoesNotBrush, nil
}
