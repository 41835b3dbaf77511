// Package trace follows every cord end through a sheet: where it runs, what each
// knot swallows, what hangs free when all is done.
//
// Its nouns: an [End] is one end of a [Strand] (a hung cord); what it uses is
// itemised in [Parts] (mount, straight runs, take-up, tail). A [Panel] collects
// ends; a [Placed] knot has its place in the panel's plane. What is cut besides
// the hung cords (wraps, fringe, swags, hanger) is an [Extra].
//
// The plane: x runs right from the left edge of the mounted work along the rod, y
// runs down from the axis of the rod. The ends of a panel stand in columns; a
// knot is tied below the lowest of its ends, over the middle of their columns,
// and each end runs straight to it. A round panel is unrolled.
//
// What will hurt you: the needs are what tight cord uses, without any margin;
// package cutlist adds that. Places in the plane of a panel that has been joined
// are those before it leans; [Panel.Lean] turns them about its mount.
package trace

import (
	"context"
	"math"
	"slices"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
)

// Maker is what a sheet is traced with.
type Maker struct {
	Book  *knot.Book
	Hands map[string]Hand // a maker's own factors by cord name; absent means the book's
	Ways  Ways            // how the maker works where the sheet is silent
	Style length.Style    // how notes and faults write lengths
	Loose bool            // cords hang relaxed even where they do not fit their rod so: for whoever looks for a rod
	Bare  bool            // knots are counted and not kept in Result.Placed: for whoever only measures, in a fraction of the memory
}

// Ways are how a maker ties, hangs and plaits; an empty one is the usual.
type Ways struct {
	Tie   sheet.Tying   `json:"tie,omitempty"`
	Hang  sheet.Hanging `json:"hang,omitempty"`
	Plait Plaiting      `json:"plait,omitempty"`
}

// Plaiting is how tightly a maker plaits, where it is not the usual.
type Plaiting string

// The ways of plaiting, as the sheet says them.
const (
	Tight Plaiting = "tight"
	Loose Plaiting = "loose"
)

// Pitch is from one knot of this size to the next as it is tied or plaited in these
// ways; zero for the book's own pitch.
func (w Ways) Pitch(k *knot.Knot, size knot.Size) length.Length {
	pushed, relaxed := w.Tie == sheet.PushedUp, w.Tie == sheet.Slack
	if k.Shape == knot.Plait {
		pushed, relaxed = w.Plait == Tight, w.Plait == Loose
	}
	switch {
	case pushed:
		return size.Pushed
	case relaxed:
		return size.Relaxed
	}
	return 0
}

// Size evaluates a knot as it is tied in these ways. Hitches are evaluated as the book
// has them: how close they come, their bar decides.
func (w Ways) Size(k *knot.Knot, g knot.Gauge) (knot.Size, error) {
	size, err := k.Size(g)
	if err != nil || g.Pitch != 0 || k.Shape != knot.Group && k.Shape != knot.Plait {
		return size, err
	}
	if g.Pitch = w.Pitch(k, size); g.Pitch == 0 {
		return size, nil
	}
	return k.Size(g)
}

// over are the ways with what a sheet says itself.
func (w Ways) over(s sheet.Sheet) Ways {
	if s.Tie != "" {
		w.Tie = s.Tie
	}
	if s.Hang != "" {
		w.Hang = s.Hang
	}
	return w
}

// Hand is how a maker's work in one cord differs from the book.
type Hand struct {
	Knots   swatch.Hands // by family of knots; absent means the book's
	Squeeze cord.Ratio   // working over nominal diameter; zero for the construction's own
}

// Parts is what one end uses, itemised.
type Parts struct {
	Mount, Run, TakeUp, Tail length.Length
}

// Total is the sum of the parts.
func (p Parts) Total() length.Length { return p.Mount + p.Run + p.TakeUp + p.Tail }

// Side tells which end of a folded cord is meant.
type Side int

// The sides; a single cord has only a Left end.
const (
	Left Side = iota
	Right
)

func (s Side) String() string { return [...]string{"left", "right"}[s] }

// End is one end of a strand and what it uses.
type End struct {
	Parts
	Panel  int // the panel it was hung in
	Strand int
	Side   Side
	Number int   // its place among the ends of its panel when hung, from 1
	Uses   []Use // take-up by knot and role
	Knots  int   // how many knots it took part in

	X, Y length.Length // where it leaves its last knot
}

// Use is what one end used in one role of one knot.
type Use struct {
	Knot   string
	Role   string
	Family knot.Family
	Times  int
	Takes  length.Length
}

// Strand is one hung cord.
type Strand struct {
	Panel int
	Cord  int       // index into Result.Cords
	Way   sheet.Way // how it hangs; empty is folded
	Ends  []int     // two when folded, one when single
	Added bool      // knotted on in mid-work
	Step  int       // that hung or added it, an index into Panel.Done
	Place int       // of its first end when it was added, counted from 1
	Host  int       // the end that it was tied round when it was added
	X, Y  length.Length
	Width length.Length // along the rod
}

// Placed is one knot in its place.
type Placed struct {
	Knot          *knot.Knot
	Panel         int
	X, Y          length.Length // middle of its top
	Width, Height length.Length
	Slope         Angle // of a bar: positive falls to the right
	Ends          []int32
	Places        []int32 // where those ends stood when it was tied, counted from 1 at the left
	Step          int     // index into Panel.Done
	Round         int     // which row or repetition of the step, from 0
}

// Angle is an angle in radians.
type Angle float64

// Panel is one finished panel.
type Panel struct {
	Name                  string
	Round                 bool
	BothWays              bool
	From                  []int
	Strands               []int
	Ends                  []int // today's order, left to right, when the panel was finished
	Columns               []length.Length
	Left, Right           length.Length // outermost places of its knots and columns
	Width                 length.Length // finished width, of a round panel its girth
	Drop                  length.Length // finished drop from the rod's axis, tails included
	Worked                length.Length // depth of the lowest knot
	Knots                 map[string]int
	LeftLoops, RightLoops int           // edge loops that fringe can hang on
	Done                  []sheet.Step  // its steps, those that repeat written out
	JoinedBy              int           // the panel that joins it, or -1
	Lean                  Angle         // how it swings when joined: positive to the right
	Pivot                 length.Length // x of the middle of its mount
}

// Extra is cord cut besides the hung cords.
type Extra struct {
	For                 Purpose
	Panel               int // -1 when it belongs to none
	Cord                int
	Count               int
	Folded              bool
	Turns               int           // of a wrap round the ends of a step
	Exact               bool          // the piece is at hand, or cut to this length: nothing is added
	Need                Parts         // of one piece; Tail is what is there to hold and to trim
	About               string        // such as "6 turns round 24 ends"
	X, Y, Width, Height length.Length // where it sits, zero when it has no place
	Step                int           // index into Panel.Done of what belongs to a step; else zero
}

// Freed is the ends that a step ties nothing with: those that it leaves free for a
// drop, or trims.
type Freed struct {
	Panel int
	Step  int // index into Panel.Done
	Ends  []int32
	Trims bool
}

// Purpose is what an extra cord is for.
type Purpose string

// The purposes.
const (
	ForWrap   Purpose = "wrap"
	ForFringe Purpose = "fringe"
	ForSwag   Purpose = "swag"
	ForHanger Purpose = "hanger"
	ForTassel Purpose = "tassel"
	ForLeaf   Purpose = "leaf"
)

// Note is something the maker should know that is not a fault.
type Note struct {
	sheet.Place
	Text string
}

// Result is a traced sheet.
type Result struct {
	Sheet   sheet.Sheet
	Cords   []cord.Cord
	Hands   []swatch.Hands // by cord, nil for the book's own
	Ways    Ways           // how it is tied, hung and plaited, where a plait says nothing itself
	Rod     sheet.Rod      // what was hung on; the assumed one when the sheet names none
	Panels  []Panel
	Strands []Strand
	Ends    []End
	Placed  []Placed
	Extras  []Extra
	Beads   []Beaded
	Lowers  []Lower
	Freed   []Freed
	Rods    []Loaded // the rods that anything hangs on, the first first
	Notes   []Note
	Mounted length.Length // of the rod, taken up by mounts and gaps
	Relaxed length.Length // the same with the mounts as they hang by themselves
	Pushed  length.Length // the same with the mounts pushed together
	Room    length.Length // of the rod, for mounts and gaps; without meaning when nobody knows the rod's length
	tooFull []sheet.Fault
}

// Loaded is a rod with what hangs on it.
type Loaded struct {
	Rod     sheet.Rod
	From    length.Length // x where the work on it begins
	Mounted length.Length // of the rod, as it hangs
}

// Tied is how many knots the panel has.
func (p Panel) Tied() int {
	n := 0
	for _, times := range p.Knots {
		n += times
	}
	return n
}

// Tied is how many knots the piece has.
func (r Result) Tied() int {
	n := 0
	for _, p := range r.Panels {
		n += p.Tied()
	}
	return n
}

// UsualRod is how thick a rod is taken to be that nobody names (common practice, no source).
const UsualRod = 20 * length.Millimetre

// Trace follows every end through the sheet. The faults say where the sheet asks
// for what cannot be tied; the result then is empty. The error is the context's.
func Trace(ctx context.Context, s sheet.Sheet, m Maker) (Result, []sheet.Fault, error) {
	t := newTracer(ctx, s, m)
	t.begin()
	return t.end()
}

func newTracer(ctx context.Context, s sheet.Sheet, m Maker) *tracer {
	t := &tracer{ctx: ctx, maker: m, sheet: s, barred: barred(s), sizes: map[sizeKey]*sized{}}
	t.result = Result{Sheet: s, Ways: m.Ways.over(s), Rod: sheet.Rod{Thickness: UsualRod}}
	t.double, _ = m.Book.Knot("double half hitch")
	return t
}

// begin hangs the cords on their rods.
func (t *tracer) begin() {
	if s := t.sheet; s.Rod != nil {
		t.result.Rod = *s.Rod
	} else if slices.ContainsFunc(s.Panels, func(p sheet.Panel) bool { return !p.BothWays && len(p.From) == 0 }) {
		t.note(sheet.Place{}, "the sheet names no dowel; sized for one of %s", t.maker.Style.Thickness(UsualRod))
	}
	t.cords()
	if len(t.faults) == 0 {
		t.hang()
	}
}

// end ties what is not tied yet and turns all into the result.
func (t *tracer) end() (Result, []sheet.Fault, error) {
	t.panels()
	if len(t.faults) == 0 {
		t.halves()
		t.extras()
	}
	if err := t.ctx.Err(); err != nil {
		return Result{}, nil, err
	}
	if len(t.faults) > 0 {
		return Result{}, t.faults, nil
	}
	t.finish()
	return t.result, nil, nil
}

// tracer is one run of Trace.
type tracer struct {
	ctx       context.Context
	maker     Maker
	sheet     sheet.Sheet
	result    Result
	faults    []sheet.Fault
	ends      []end
	works     []*work // by panel
	arena     []int32
	knots     int
	sizes     map[sizeKey]*sized
	last      sizeKey
	lastSized *sized
	double    *knot.Knot // the double half hitch
	barred    bool       // the sheet has bars, or may get them
	hangs     []int32    // for every end another that it hangs together with, or itself
	meetings  []meeting

	watched *Stand // to be noted on the way; nil for none
}

// end is an End in hand. Places are nanometres as floating point.
type end struct {
	x, y    float64 // where it leaves its last knot
	floor   float64 // nothing is tied above this
	d       float64 // working diameter
	cord    int
	trimmed bool // its tail has been given
	uses    []use
	parts   Parts
	knots   int
	panel   int
	strand  int
	side    Side
	number  int
	leaves  sheet.Place // the step that last tied it
}

type use struct {
	knot  *knot.Knot
	role  int
	times int
	takes length.Length
}

// usualUses is how many roles of knots an end of most pieces plays, so that its list
// of them grows but once.
const usualUses = 2

// charge books what a knot swallowed.
func (e *end) charge(k *knot.Knot, role int, takes length.Length) {
	e.parts.TakeUp += takes
	for i := range e.uses {
		if u := &e.uses[i]; u.knot == k && u.role == role {
			u.times++
			u.takes += takes
			return
		}
	}
	if e.uses == nil {
		e.uses = make([]use, 0, usualUses)
	}
	e.uses = append(e.uses, use{k, role, 1, takes})
}

// run books a straight run to a place and stands there.
func (e *end) run(x, y float64) {
	e.parts.Run += straight(x-e.x, y-e.y)
	e.x, e.y = x, y
}

// straight is the length of a straight run, never rounded down.
func straight(dx, dy float64) length.Length {
	return length.Length(math.Ceil(math.Sqrt(dx*dx + dy*dy)))
}

func nm(x float64) length.Length { return length.Length(math.RoundToEven(x)) }
