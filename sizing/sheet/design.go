package sheet

import (
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Sheet is one design as a maker would dictate it.
type Sheet struct {
	Piece   string
	Copies  int           // how many of it are made; zero when silent, which is one
	Cords   []Cord        // the first is the default
	Rod     *Rod          // what carries the panels that name none; nil when the sheet names no dowel and no ring
	More    []Rod         // further dowels and rings, each with a name
	Tie     Tying         // how hard knots are pushed up
	Hang    Hanging       // how close the cords hang
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
	PieceAt, CopiesAt, TieAt, HangAt, MarginAt, RoundUpAt, EconomyAt Place
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

// Made is how the cord is made; single-strand when the sheet is silent.
func (c Cord) Made() cord.Construction {
	if made, err := cord.ParseConstruction(c.Construction); err == nil {
		return made
	}
	return cord.SingleStrand
}

// Rod is what work hangs on, or is hitched onto.
type Rod struct {
	Place
	Name      string // empty for a first one without a name
	Ring      bool
	Length    length.Length // of a dowel; for a ring its outer diameter
	Thickness length.Length
	Wood      string // empty when silent
}

// Tying is how hard a maker pushes knots up, where it is not the usual.
type Tying string

// The ways of tying; silent is the book's own pitch.
const (
	PushedUp Tying = "pushed up"
	Slack    Tying = "relaxed"
)

// Hanging is how close cords hang on a rod, where it is not the usual.
type Hanging string

// The ways of hanging; silent is relaxed.
const (
	Touching Hanging = "touching" // pushed together
	Relaxed  Hanging = "relaxed"
	Spread   Hanging = "spread" // over the ring, or the rod between its bare ends, evenly
)

// Panel is one piece of work in hand.
type Panel struct {
	Place
	Name     string
	On       string // the dowel or ring it hangs on; empty for the first
	Round    bool
	BothWays bool     // without a rod: worked from the middle of its cords to both sides
	From     []string // finished panels whose ends it joins, left to right
	Steps    []Step
}

// Step is one line of a panel: a [Mount], [Gap], [Row], [Net], [Taper], [Sinnet],
// [Bar], [Onto], [Plait], [Add], [Bead], [Wrap], [Tassel], [Leaf], [Space], [Tail],
// [Repeat] or [End]. What all steps share is asked of their [Facts].
type Step interface {
	// At is where the step stands in the text.
	At() Place
	// lay is a copy of the step laid open.
	lay() Facts
}

// At returns the place itself.
func (p Place) At() Place { return p }

// Way is how a cord is hung.
type Way string

// The ways of hanging a cord.
const (
	Folded Way = "folded" // by a lark's head, two ends each
	Single Way = "single" // tied on, one end each
	Laid   Way = "laid"   // over the rod or through, without a knot, two ends each
)

// Ends is how many ends a cord hung so has.
func (w Way) Ends() int {
	if w == Single {
		return 1
	}
	return 2
}

// Hung is some cords of one kind, side by side.
type Hung struct {
	Count int
	Way   Way    // empty is folded
	Cord  string // empty for the first cord
}

// Mount hangs cords on the rod; several lots make stripes.
type Mount struct {
	Place
	Hung []Hung
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
	Knot    string
	Rows    Count
	Of      int
	Shifted bool // begins with a shifted row
	Apart   length.Length
	On      Ends
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
	Slope    *float64 // degrees below the horizontal; 0 is level; nil for the natural slope
	Apart    length.Length
}

// Onto hitches every end onto another rod or ring, level.
type Onto struct {
	Place
	Rod string
}

// Plait is a braided length.
type Plait struct {
	Place
	Strands int // 3 or 4; zero for three
	Of      int // ends in a group; zero for one to a strand
	Length  length.Length
	On      Ends
	// How tightly it is plaited, where it is not the usual; at most one is set.
	Tight, Loose bool
}

// Add knots extra cords onto the work in hand.
type Add struct {
	Place
	Count int
	Way   Way // folded or single; empty is folded
	Cord  string
	Where Position
}

// Bead threads a bead on each group of ends.
type Bead struct {
	Place
	Length length.Length
	Hole   length.Length // zero when not given
	Of     int           // ends through one bead; zero for all
	On     Ends
}

// Wrap is a gathering wrap by a separate cord. One of Turns, Length and Cut is set.
type Wrap struct {
	Place
	Turns  int           // so many turns
	Length length.Length // so much of the bundle covered
	Cut    length.Length // as far as a cord of this length goes
	On     Ends
	Cord   string
}

// Tassel is strands folded over and wrapped below some ends.
type Tassel struct {
	Place
	Length  length.Length
	Strands int
	Cord    string
	On      Ends
}

// Leaf is pairs of short cords knotted along a spine, to be brushed and cut.
type Leaf struct {
	Place
	Pairs       int
	First, Last length.Length // how far the cords of the first and of the last pair reach aside
	Cord        string
	On          Ends
}

// Space leaves ends unknotted for a drop.
type Space struct {
	Place
	Length length.Length
	On     Ends
}

// Tail is what hangs free when trimmed. With a second length it is cut to a
// slope: that length at Peak, the first as far away from there as can be.
type Tail struct {
	Place
	Length length.Length
	To     length.Length // zero for level
	Peak   Peak
	On     Ends
}

// Peak is where a sloping tail has its second length.
type Peak string

// The peaks of a tail.
const (
	AtMiddle Peak = "middle"
	AtEdges  Peak = "edges"
	AtLeft   Peak = "left"
	AtRight  Peak = "right"
)

// Repeat begins steps that are done several times, up to the next [End].
type Repeat struct {
	Place
	Times int
}

// End closes a [Repeat].
type End struct{ Place }

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

// Among is the place among so many ends, counted from 0; it can lie beyond them. From
// is where the carrier stands that comes to it, or -1 for none: of an odd number of ends
// both halves have the middle one, of an even number the carrier comes to its own half's.
func (p Position) Among(ends, from int) int {
	switch p.Anchor {
	case Left:
		return 0
	case Right:
		return ends - 1
	case Middle:
		if lastLeft := (ends+1)/2 - 1; from <= lastLeft {
			return lastLeft + p.Number
		}
		return ends/2 + p.Number
	}
	return p.Number - 1
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

// Fringe hangs folded pieces on the edge loops of a panel, or along a width.
type Fringe struct {
	Place
	Drop   length.Length
	Pieces int           // to a loop, or to each Each of width
	Each   length.Length // zero for pieces to a loop
	Side   Side
	Panel  string // empty when it hangs on a rod
	Rod    string // the rod's name, "rod" for the first; empty when it hangs on a panel
	Cord   string
}

// Side is an edge of a panel.
type Side int

// The edges.
const (
	LeftEdge Side = iota
	RightEdge
	BothEdges
	Foot
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
