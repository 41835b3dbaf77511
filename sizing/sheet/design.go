package sheet

import (
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Sheet is one design as a maker would dictate it.
type Sheet struct {
	Piece   string
	Cords   []Cord        // the first is the default
	Rod     *Rod          // nil when the sheet names no dowel and no ring
	Margin  *float64      // share added to every need, 0.08 for "8%"; nil when silent
	RoundUp length.Length // zero when silent
	Economy bool
	Panels  []Panel
	Fringes []Fringe
	Swags   []Swag
	Hanger  *Hanger
	// Remarks are the comments, kept so that printing loses nothing.
	Remarks []Remark

	// Where the head lines without a type of their own stand; zero when silent.
	PieceAt, MarginAt, RoundUpAt, EconomyAt Place
}

// Place is where a word stands in the text, both counted from 1.
type Place struct{ Line, Column int }

// Cord is one `cord` line of the head.
type Cord struct {
	Place
	Name         string
	Thickness    length.Length
	Construction string        // "single-strand", "plied", "braided"; empty when silent
	Colour       cord.Colour   // empty when silent
	Squeeze      cord.Ratio    // working over nominal thickness; zero when silent
	SpoolLength  length.Length // zero when no spool is given
	SpoolMass    length.Mass   // zero when not given
	SpoolPrice   cord.Price    // zero when not given
}

// Rod is what the work hangs on.
type Rod struct {
	Place
	Ring      bool
	Length    length.Length // of a dowel; for a ring its outer diameter
	Thickness length.Length
	Wood      string // empty when silent
}

// Panel is one piece of work in hand.
type Panel struct {
	Place
	Name  string
	Round bool
	From  []string // finished panels whose ends it joins, left to right
	Steps []Step
}

// Step is one line of a panel. The concrete types are Mount, Gap, Row, Net,
// Taper, Sinnet, Bar, Plait, Add, Wrap, Space and Tail.
type Step interface{ At() Place }

// At returns the place itself, so that every step that embeds Place is a Step.
func (p Place) At() Place { return p }

// Mount hangs cords on the rod.
type Mount struct {
	Place
	Count  int
	Single bool   // tied on singly; otherwise folded, two ends each
	Cord   string // empty for the first cord
}

// Gap is bare rod before the panel.
type Gap struct {
	Place
	Length length.Length
}

// Row is one row of knots.
type Row struct {
	Place
	Knot        string // the knot's canonical name in the book
	Of          int    // ends in a group; zero for the knot's own number
	Skip, Shift int
	On          Ends
}

// Net is an alternating net: each row shifted by half a group.
type Net struct {
	Place
	Knot  string
	Rows  Count
	Of    int
	Apart length.Length
	On    Ends
}

// Taper makes each row start half a group further in, or out when Widen is set.
type Taper struct {
	Place
	Widen bool
	Knot  string
	Rows  Count // zero for as many as there are
	Of    int
	Apart length.Length
	On    Ends
}

// Sinnet is a column of knots on the same ends.
type Sinnet struct {
	Place
	Knot  string
	Times Count
	Of    int
	Apart length.Length
	On    Ends
}

// Bar is a row of double half hitches over a carrier; in a gather each end that
// has tied joins the core.
type Bar struct {
	Place
	Gather   bool
	From, To Position
	Times    Count
	Slope    *float64 // degrees below the horizontal; nil for the natural slope
	Apart    length.Length
}

// Plait is a braided length.
type Plait struct {
	Place
	Of     int // strands; zero for three
	Length length.Length
	On     Ends
}

// Add knots extra cords onto the work in hand.
type Add struct {
	Place
	Count  int
	Single bool
	Cord   string
	Where  Position
}

// Wrap is a gathering wrap by a separate cord.
type Wrap struct {
	Place
	Turns  int           // zero when a length is given
	Length length.Length // zero when turns are given
	On     Ends
	Cord   string
}

// Space leaves ends unknotted for a drop.
type Space struct {
	Place
	Length length.Length
	On     Ends
}

// Tail is what hangs free when trimmed.
type Tail struct {
	Place
	Length length.Length
	On     Ends
}

// Count says how often a step repeats: a number, as many as reach a length, or
// as many as pass under another panel. At most one of N, For and Under is set;
// all zero means the step was silent.
type Count struct {
	N     int
	For   length.Length
	Under string
	By    length.Length // only with Under
}

// Ends names some of today's ends. All is the zero value's meaning when no part is given.
type Ends struct{ Parts []Span }

// Span is one part of an Ends list.
type Span struct {
	Kind     SpanKind
	From, To int // Numbers: first and last, counted from 1; otherwise To is how many
}

// SpanKind tells how a Span counts.
type SpanKind int

// The ways of naming ends.
const (
	Numbers SpanKind = iota
	Leftmost
	Rightmost
	Middlemost
)

// Position is one place among today's ends: a number, left, right, or middle
// with an offset.
type Position struct {
	Anchor Anchor
	Number int // the number itself, or the offset from the middle
}

// Anchor is what a Position is counted from.
type Anchor int

// The anchors of a position.
const (
	Absolute Anchor = iota
	Left
	Right
	Middle
)

// Fringe hangs folded pieces on the edge loops of a panel.
type Fringe struct {
	Place
	Drop   length.Length
	Pieces int // to a loop
	Side   Side
	Panel  string
	Cord   string
}

// Side is an edge of a panel.
type Side int

// The edges.
const (
	LeftEdge Side = iota
	RightEdge
	BothEdges
)

// Swag is cords hung in an arc.
type Swag struct {
	Place
	Count int
	Cord  string
	Over  length.Length
	Drop  length.Length
}

// Hanger is the cord that the rod hangs from: one of the two is set.
type Hanger struct {
	Place
	Rise  length.Length
	Angle float64 // degrees from the horizontal
}

// Remark is a comment: whole-line ones stand before the line, others after it.
type Remark struct {
	Line int    // the line of the text it stands on
	Text string // with its "#"
}
