// Package vocabulary is the words of the working sheet: what each is for, where it
// stands, and a line that holds it. The reader of sheets, their help and their forms
// all ask it.
//
// What will hurt you: every example is read in the tests, and is shown to members as it
// stands.
package vocabulary

import "slices"

// Word is one word of the notation, explained.
type Word struct {
	Name    string
	Part    Part
	Means   string // one sentence
	Example string // a line that holds it
	In      []string
	Also    []string // other words for it that a line may begin with: trade usage, no source
}

// Part is where in a sheet a word belongs.
type Part string

// The parts of a sheet. A Detail is a word inside of lines; In names them by
// their first words.
const (
	Head       Part = "head"
	PanelHead  Part = "panel"
	InPanel    Part = "step"
	AfterPanel Part = "after"
	Detail     Part = "detail"
)

// Words lists every word of the notation in the order in which a maker meets them.
func Words() []Word { return slices.Clone(words) }

var words = []Word{
	{Name: "piece", Part: Head, Example: "piece Tide Line",
		Means: "What the piece is called until it is saved; then the saved name is its title."},
	{Name: "copies", Part: Head, Example: "copies 4",
		Means: "How many of the piece are made: the cut list, the spools and the cutting plan are for all of them."},
	{Name: "cord", Part: Head, Example: "cord main 4 mm single-strand, spool 100 m 900 g 24.00",
		Means: "One cord: its name, its thickness and how it is made; the first cord is used where a line names none."},
	{Name: "dowel", Part: Head, Also: []string{"stick", "rod"}, Example: "dowel 60 cm x 20 mm birch",
		Means: "A rod that work hangs on: its length, its thickness and its wood; a second one needs a name in front of its length."},
	{Name: "ring", Part: Head, Also: []string{"hoop"}, Example: "ring 20 cm x 5 mm",
		Means: "A ring that work hangs on: its outer diameter and its thickness; a second one needs a name in front of its diameter."},
	{Name: "margin", Part: Head, Example: "margin 8%",
		Means: "How much is added to what every cord needs."},
	{Name: "round", Part: Head, Example: "round up to 5 cm",
		Means: "The step that cut lengths are rounded up to; behind a panel's name it says that the last end lies beside the first, as on a ring."},
	{Name: "economy", Part: Head, Example: "economy",
		Means: "Cuts every cord to its own need and folds it off centre, instead of one length for a panel."},
	{Name: "tie", Part: Head, Example: "tie pushed up",
		Means: "How you tie, where it is not the usual: knots pushed up against each other, or relaxed."},
	{Name: "hang", Part: Head, Example: "hang touching",
		Means: "How close the cords hang: touching, relaxed as usual, or spread over the ring, or the rod between its bare ends."},

	{Name: "panel", Part: PanelHead, Example: "panel wave",
		Means: "Begins one piece of work in hand; its steps follow, one a line."},

	{Name: "mount", Part: InPanel, Example: "mount 4 folded sand, 2 folded reed, 4 folded sand",
		Means: "Hangs cords side by side: folded by lark's heads, tied on singly, or laid without a knot; several lots make stripes."},
	{Name: "gap", Part: InPanel, Example: "gap 4 cm",
		Means: "Bare rod before the panel."},
	{Name: "row", Part: InPanel, Example: "row square",
		Means: "One row of knots side by side."},
	{Name: "net", Part: InPanel, Example: "net square rows 6",
		Means: "Alternating rows: each is shifted by half a knot, so that every knot ties two neighbours together."},
	{Name: "taper", Part: InPanel, Also: []string{"decrease"}, Example: "taper square",
		Means: "Rows that begin half a knot further in at both edges, down to a point."},
	{Name: "widen", Part: InPanel, Also: []string{"increase"}, Example: "widen square rows 3",
		Means: "Rows that begin half a knot further out at both edges."},
	{Name: "sinnet", Part: InPanel, Also: []string{"sennit"}, Example: "sinnet half times 12 on left 4",
		Means: "Knots one below the other on the same ends."},
	{Name: "bar", Part: InPanel, Also: []string{"rib"}, Example: "bar left to right level",
		Means: "One end is carried across the work, and every end on its way ties a double half hitch over it."},
	{Name: "gather", Part: InPanel, Example: "gather left to middle",
		Means: "Like a bar, but each end that has tied lies in with the carrier."},
	{Name: "onto", Part: InPanel, Example: "onto foot",
		Means: "Hitches every end onto another dowel or ring, level: a foot rod, the lower ring of a shade."},
	{Name: "plait", Part: InPanel, Example: "plait 4 for 20 cm",
		Means: "Braids three or four strands for a length."},
	{Name: "add", Part: InPanel, Example: "add 2 folded main left",
		Means: "Knots extra cords onto the end that stands at an edge or at a place."},
	{Name: "bead", Part: InPanel, Example: "bead 15 mm hole 8 mm of 2",
		Means: "Threads a bead of that length on each group of ends."},
	{Name: "wrap", Part: InPanel, Example: "wrap turns 6",
		Means: "A gathering wrap by a separate cord, which is cut for it: so many turns, so much covered, or as far as a cord goes."},
	{Name: "tassel", Part: InPanel, Example: "tassel 10 cm with 12 strands on middle 2",
		Means: "Strands folded over the ends and wrapped below them."},
	{Name: "leaf", Part: InPanel, Also: []string{"feather"}, Example: "leaf 10 from 8 cm to 3 cm on middle 2",
		Means: "Pairs of short cords knotted along a spine, longest first or last, to be brushed and cut to a leaf or feather."},
	{Name: "space", Part: InPanel, Example: "space 3 cm",
		Means: "Leaves ends unknotted for this drop."},
	{Name: "tail", Part: InPanel, Example: "tail 15 cm to 30 cm at middle",
		Means: "What hangs free when it is trimmed: level, or from one length to another at the middle, the edges, the left or the right."},
	{Name: "repeat", Part: InPanel, Example: "repeat 3",
		Means: "Does the steps between it and end so many times."},
	{Name: "end", Part: InPanel, Example: "end",
		Means: "Closes a repeat."},

	{Name: "fringe", Part: AfterPanel, Example: "fringe 22 cm by 2 on left of wave",
		Means: "Separate pieces, folded and knotted on: so many to each loop of an edge, or to each bit of width on a foot or a rod."},
	{Name: "swag", Part: AfterPanel, Also: []string{"garland"}, Example: "swag 6 over 40 cm drop 25 cm",
		Means: "Cords hung in an arc under the rod."},
	{Name: "hanger", Part: AfterPanel, Example: "hanger rise 15 cm",
		Means: "The cord that the rod hangs from, by how high it rises or the angle of its two sides."},

	{Name: "colour", Part: Detail, In: []string{"cord"}, Example: "cord sea 4 mm plied colour teal",
		Means: "The colour of a cord: one of the web's colour names, or # and six hexadecimal digits."},
	{Name: "squeeze", Part: Detail, In: []string{"cord"}, Example: "cord main 4 mm squeeze 0.7",
		Means: "How thick the cord is in a knot, as a share of what its label says."},
	{Name: "spool", Part: Detail, In: []string{"cord"}, Example: "cord main 4 mm, spool 100 m 900 g 24.00",
		Means: "What one spool holds: its length, its mass and its price, as far as you know them."},
	{Name: "pushed", Part: Detail, In: []string{"tie"}, Example: "tie pushed up",
		Means: "Knots are pushed up hard against those above."},
	{Name: "relaxed", Part: Detail, In: []string{"tie", "hang"}, Example: "tie relaxed",
		Means: "Knots, or the cords on the rod, lie as they come to lie by themselves."},
	{Name: "touching", Part: Detail, In: []string{"hang"}, Example: "hang touching",
		Means: "The cords on the rod are pushed together."},
	{Name: "spread", Part: Detail, In: []string{"hang"}, Example: "hang spread",
		Means: "The cords on the rod or ring stand evenly over the whole of it."},
	{Name: "both", Part: Detail, In: []string{"panel", "fringe"}, Example: "panel strap both ways",
		Means: "Both ways: without a rod, worked from the middle of the cords to one side and then to the other; of a fringe, both edges."},
	{Name: "from", Part: Detail, In: []string{"panel", "bar", "gather", "leaf"}, Example: "panel point from wave, reed",
		Means: "The finished panels whose ends a panel joins; where a carrier comes from; how far the first pair of a leaf reaches."},
	{Name: "folded", Part: Detail, In: []string{"mount", "add"}, Example: "mount 12 folded",
		Means: "Hung by the middle with a lark's head: two ends each."},
	{Name: "single", Part: Detail, In: []string{"mount", "add"}, Example: "mount 6 single",
		Means: "Tied on by one end: one end each to work with."},
	{Name: "laid", Part: Detail, In: []string{"mount"}, Example: "mount 6 laid",
		Means: "Laid over the rod or through the ring without a knot: two ends each."},
	{Name: "of", Part: Detail, In: []string{"row", "net", "taper", "widen", "sinnet", "plait", "bead", "fringe"}, Example: "row square of 6",
		Means: "How many ends make one group; the knot's own number when it is left out."},
	{Name: "on", Part: Detail, In: []string{"panel", "row", "net", "taper", "widen", "sinnet", "plait", "bead", "wrap", "tassel", "leaf", "space", "tail", "fringe"}, Example: "row square on 1-4, 9-12",
		Means: "Which ends a step works on: all, numbers from the left, left 4, right 4 or middle 4; of a panel, which dowel or ring; of a fringe, where it hangs."},
	{Name: "skip", Part: Detail, In: []string{"row"}, Example: "row square skip 2",
		Means: "How many ends are left at both edges."},
	{Name: "shift", Part: Detail, In: []string{"row"}, Example: "row square shift 2",
		Means: "On a round panel, by how many ends the groups are turned."},
	{Name: "shifted", Part: Detail, In: []string{"net"}, Example: "net square rows 4 shifted",
		Means: "The net begins with a shifted row."},
	{Name: "tight", Part: Detail, In: []string{"plait"}, Example: "plait 3 for 20 cm tight",
		Means: "The plait is drawn tight: more crossings and more cord to its length."},
	{Name: "loose", Part: Detail, In: []string{"plait"}, Example: "plait 3 for 20 cm loose",
		Means: "The plait is left loose: fewer crossings and less cord."},
	{Name: "rows", Part: Detail, In: []string{"net", "taper", "widen"}, Example: "net square rows 6",
		Means: "How many rows."},
	{Name: "times", Part: Detail, In: []string{"sinnet", "bar", "gather", "repeat"}, Example: "sinnet square times 8",
		Means: "How many times."},
	{Name: "for", Part: Detail, In: []string{"net", "taper", "widen", "sinnet", "bar", "gather", "plait", "wrap"}, Example: "net square for 20 cm",
		Means: "As many as reach this length, or the length itself; the answer says how many that is."},
	{Name: "until", Part: Detail, In: []string{"net", "taper", "widen", "sinnet", "bar", "gather"}, Example: "net square until under reed by 4 cm",
		Means: "As many as it takes to pass under another panel that hangs between this one and the one it will be joined to."},
	{Name: "under", Part: Detail, In: []string{"net", "taper", "widen", "sinnet", "bar", "gather"}, Example: "net square until under reed",
		Means: "Names the panel that is passed under."},
	{Name: "by", Part: Detail, In: []string{"net", "taper", "widen", "sinnet", "bar", "gather", "fringe"}, Example: "net square until under reed by 4 cm",
		Means: "How far to pass under a panel; of a fringe, how many pieces."},
	{Name: "apart", Part: Detail, In: []string{"net", "taper", "widen", "sinnet", "bar", "gather"}, Example: "net square rows 6 apart 2 cm",
		Means: "Bare cord between one row and the next: open nets, picots."},
	{Name: "to", Part: Detail, In: []string{"bar", "gather", "leaf", "tail", "round"}, Example: "bar left to middle",
		Means: "Where a carrier goes: left, right, middle, middle+1 or the number of an end; of a leaf or a tail, the second length."},
	{Name: "level", Part: Detail, In: []string{"bar", "gather"}, Example: "bar left to right level",
		Means: "The bar runs level."},
	{Name: "slope", Part: Detail, In: []string{"bar", "gather"}, Example: "bar left to middle slope 30",
		Means: "How steeply the bar falls, in degrees; without it as steeply as makes its hitches just touch."},
	{Name: "at", Part: Detail, In: []string{"add", "tail"}, Example: "add 2 folded at 5",
		Means: "The place of added cords; of a tail, where it has its second length."},
	{Name: "left", Part: Detail, In: []string{"bar", "gather", "add", "tail", "fringe", "on"}, Example: "row square on left 8",
		Means: "The first end from the left, the left edge, or so many ends from the left."},
	{Name: "right", Part: Detail, In: []string{"bar", "gather", "add", "tail", "fringe", "on"}, Example: "row square on right 8",
		Means: "The last end, the right edge, or so many ends from the right."},
	{Name: "middle", Part: Detail, In: []string{"bar", "gather", "tail", "on"}, Example: "bar right to middle",
		Means: "The last end of the left half, coming from the right the first of the right half; or so many ends in the middle."},
	{Name: "edges", Part: Detail, In: []string{"tail"}, Example: "tail 15 cm to 30 cm at edges",
		Means: "A tail that is longest at both edges."},
	{Name: "all", Part: Detail, In: []string{"on"}, Example: "space 3 cm on all",
		Means: "All ends, which is the usual."},
	{Name: "hole", Part: Detail, In: []string{"bead"}, Example: "bead 15 mm hole 8 mm of 2",
		Means: "The width of a bead's hole; what goes through is checked against it."},
	{Name: "turns", Part: Detail, In: []string{"wrap"}, Example: "wrap turns 6",
		Means: "How many turns the wrap has."},
	{Name: "with", Part: Detail, In: []string{"wrap", "tassel", "fringe"}, Example: "wrap turns 6 with main",
		Means: "Which cord is used; of a tassel, how many strands."},
	{Name: "strands", Part: Detail, In: []string{"tassel"}, Example: "tassel 10 cm with 12 strands on middle 2",
		Means: "The cords of a tassel, each folded over."},
	{Name: "each", Part: Detail, In: []string{"fringe"}, Example: "fringe 20 cm by 2 each 1 cm on foot of wave",
		Means: "The width that the pieces of a fringe take, where there are no loops to hang them on."},
	{Name: "foot", Part: Detail, In: []string{"fringe"}, Example: "fringe 20 cm by 2 each 1 cm on foot of wave",
		Means: "The lower edge of a panel."},
	{Name: "rod", Part: Detail, In: []string{"panel", "onto", "fringe"}, Example: "fringe 20 cm by 2 each 1 cm on rod",
		Means: "The first dowel or ring, which needs no name."},
	{Name: "over", Part: Detail, In: []string{"swag"}, Example: "swag 6 over 40 cm drop 25 cm",
		Means: "How far apart the two ends of a swag are tied."},
	{Name: "drop", Part: Detail, In: []string{"swag"}, Example: "swag 6 over 40 cm drop 25 cm",
		Means: "How deep a swag hangs in its middle."},
	{Name: "rise", Part: Detail, In: []string{"hanger"}, Example: "hanger rise 15 cm",
		Means: "How high the hook is above the rod."},
	{Name: "angle", Part: Detail, In: []string{"hanger"}, Example: "hanger angle 45",
		Means: "The angle of the hanger's two sides, in degrees from the horizontal."},
	{Name: "up", Part: Detail, In: []string{"round", "tie"}, Example: "round up to 5 cm",
		Means: "Belongs to round up to, and to pushed up."},
}

// Line is the word of the sheet that a word of the trade stands for at the beginning of
// a line; empty for none.
func Line(trade string) string {
	if i := slices.IndexFunc(words, func(w Word) bool { return slices.Contains(w.Also, trade) }); i >= 0 {
		return words[i].Name
	}
	return ""
}

// Behind tells whether a word belongs behind the first word of a line.
func Behind(word, first string) bool {
	return slices.ContainsFunc(words, func(w Word) bool { return w.Part == Detail && w.Name == word && slices.Contains(w.In, first) })
}
