package sheet

import (
	"fmt"

	"larkfold/sizing/length"
)

// The amounts that several steps share.

func knotAmount(name *string) Amount {
	return Amount{Kind: Named, What: "the knot", Like: "square", Must: true, Fixed: true, Text: name}
}

func rowsAmount(c *Count, must bool, lot int) Amount {
	return Amount{Kind: Often, Word: "rows", What: "rows", Like: "rows 6", Must: must, Lot: lot, Count: c}
}

func timesAmount(c *Count, must bool) Amount {
	return Amount{Kind: Often, Word: "times", What: "times", Like: "times 12", Must: must, Lot: 1, Count: c}
}

func ofAmount(n *int, least int) Amount {
	return Amount{Kind: Whole, Word: "of", What: "ends in a group", Like: "of 4", Low: least, High: MostEnds, Number: n}
}

func onAmount(e *Ends) Amount {
	return Amount{Kind: Some, Word: "on", What: "the ends", Like: "on 1-4, 9-12", Ends: e}
}

func apartAmount(l *length.Length) Amount {
	return Amount{Kind: Long, Word: "apart", What: "the bare cord between two rows", Like: "apart 2 cm", Role: Texture, Length: l}
}

func cordAmount(name *string) Amount {
	return Amount{Kind: Stuff, What: "the cord", Like: "main", Fixed: true, Text: name}
}

// long is a length that stands in its place and cannot be left out.
func long(what, like string, role Role, l *length.Length) Amount {
	return Amount{Kind: Long, What: what, Like: like, Must: true, Fixed: true, Role: role, Length: l}
}

func (s Mount) lay() Facts {
	return Facts{Word: "mount", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		{Kind: Lots, What: "cords", Like: "12 folded main", Must: true, Fixed: true, Hung: &s.Hung},
	}}
}

func (s Gap) lay() Facts {
	return Facts{Word: "gap", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		long("the bare rod before the panel", "4 cm", Across, &s.Length),
	}}
}

func (s Row) lay() Facts {
	return Facts{Word: "row", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		knotAmount(&s.Knot),
		ofAmount(&s.Of, 1),
		{Kind: Whole, Word: "skip", What: "ends to skip at both edges", Like: "skip 2", High: MostEnds, Number: &s.Skip},
		{Kind: Whole, Word: "shift", What: "ends to shift by", Like: "shift 2", High: MostEnds, Number: &s.Shift},
		onAmount(&s.On),
	}, check: func(r *reader, l *line) {
		if s.Shift > 0 && !r.panel.Round {
			l.failMend(l.said("shift"), fmt.Sprint("skip ", s.Shift), "shifts a flat panel: only a round one can be turned, a flat one can skip")
		}
	}}
}

func (s Net) lay() Facts {
	return Facts{Word: "net", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		knotAmount(&s.Knot),
		rowsAmount(&s.Rows, true, 2),
		ofAmount(&s.Of, 1),
		{Kind: Said, Word: "shifted", What: "whether it begins with a shifted row", Like: "shifted", Flag: &s.Shifted},
		apartAmount(&s.Apart),
		onAmount(&s.On),
	}}
}

func (s Taper) lay() Facts {
	word := "taper"
	if s.Widen {
		word = "widen"
	}
	return Facts{Word: word, Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		knotAmount(&s.Knot), rowsAmount(&s.Rows, false, 0), ofAmount(&s.Of, 1), apartAmount(&s.Apart), onAmount(&s.On),
	}}
}

func (s Sinnet) lay() Facts {
	return Facts{Word: "sinnet", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		knotAmount(&s.Knot), timesAmount(&s.Times, true), ofAmount(&s.Of, 1), apartAmount(&s.Apart), onAmount(&s.On),
	}}
}

func (s Bar) lay() Facts {
	word := "bar"
	if s.Gather {
		word = "gather"
	}
	return Facts{Word: word, Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		{Kind: Spot, Word: "from", What: "where the carrier comes from", Like: "left", Must: true, Fixed: true, Position: &s.From},
		{Kind: Spot, Word: "to", What: "where it goes", Like: "to middle", Must: true, Fixed: true, Position: &s.To},
		timesAmount(&s.Times, false),
		{Kind: Incline, Word: "slope", What: "the slope below the horizontal", Like: "slope 30", Slope: &s.Slope},
		apartAmount(&s.Apart),
	}, check: func(_ *reader, l *line) {
		if s.From == s.To {
			right := s
			right.To = Position{Anchor: Middle}
			if s.From.Anchor == Middle {
				right.To = Position{Anchor: Right}
			}
			l.failLike(l.step(right), l.said(""), "goes nowhere: the carrier ends where it began")
		}
	}}
}

func (s Onto) lay() Facts {
	return Facts{Word: "onto", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		{Kind: Stick, What: "the dowel or ring", Like: "foot", Must: true, Fixed: true, Text: &s.Rod},
	}}
}

func (s Plait) lay() Facts {
	ties := ThreeStrandPlait
	if s.Strands == 4 {
		ties = FourStrandPlait
	}
	return Facts{Word: "plait", Ties: ties, Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		{Kind: Whole, What: "strands", Like: "4", Low: 3, High: 4, Fixed: true, Number: &s.Strands},
		ofAmount(&s.Of, 3),
		{Kind: Long, Word: "for", What: "the braided length", Like: "for 20 cm", Must: true, Role: Down, Length: &s.Length},
		{Kind: Said, Word: "tight", What: "whether it is drawn tight", Like: "tight", Flag: &s.Tight},
		{Kind: Said, Word: "loose", What: "whether it is left loose", Like: "loose", Flag: &s.Loose},
		onAmount(&s.On),
	}, check: func(_ *reader, l *line) {
		if s.Tight && s.Loose {
			right := s
			right.Loose = false
			l.failLike(l.step(right), l.said(""), "is tight and loose at once: say one of them, or neither for the usual")
		}
		const usual = 3
		if s.Strands == usual {
			s.Strands = 0
		}
	}}
}

func (s Add) lay() Facts {
	return Facts{Word: "add", Adds: s.Count * s.Way.Ends(), Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		{Kind: Whole, What: "cords", Like: "4", Must: true, Fixed: true, Low: 1, High: MostEnds, Number: &s.Count},
		{Kind: Choice, What: "folded or single", Like: "folded", Must: true, Fixed: true, Words: []string{string(Folded), string(Single)}, Text: (*string)(&s.Way)},
		cordAmount(&s.Cord),
		{Kind: Spot, Word: "at", What: "where", Like: "left", Must: true, Fixed: true, Position: &s.Where},
	}, check: func(*reader, *line) {
		if s.Way == Folded {
			s.Way = ""
		}
	}}
}

func (s Bead) lay() Facts {
	return Facts{Word: "bead", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		long("the length of the bead", "15 mm", Fixed, &s.Length),
		{Kind: Long, Word: "hole", What: "the bead's hole", Like: "hole 8 mm", Length: &s.Hole},
		ofAmount(&s.Of, 1),
		onAmount(&s.On),
	}, check: func(_ *reader, l *line) {
		if s.Hole > 200*length.Millimetre {
			l.fail(l.said("hole"), "is too much for a bead's hole: the most is 200 mm")
		}
	}}
}

func (s Wrap) lay() Facts {
	const size = "how long"
	return Facts{Word: "wrap", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		{Kind: Whole, Word: "turns", What: "turns", Like: "turns 6", Must: true, Only: size, Low: 1, High: 1000, Number: &s.Turns},
		{Kind: Long, Word: "for", What: "how much the wrap covers", Like: "for 3 cm", Must: true, Only: size, Role: Texture, Length: &s.Length},
		{Kind: Long, Word: "cord", What: "the cord to wrap with", Like: "cord 60 cm", Must: true, Only: size, Role: Fixed, Length: &s.Cut},
		onAmount(&s.On),
		{Kind: Stuff, Word: "with", What: "the cord", Like: "with main", Text: &s.Cord},
	}}
}

func (s Tassel) lay() Facts {
	return Facts{Word: "tassel", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		long("the length of the tassel", "10 cm", Down, &s.Length),
		{Kind: Whole, Word: "with", After: "strands", What: "strands", Like: "with 12 strands", Must: true, Fixed: true, Low: 1, High: MostEnds, Number: &s.Strands},
		cordAmount(&s.Cord),
		onAmount(&s.On),
	}}
}

func (s Leaf) lay() Facts {
	return Facts{Word: "leaf", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		{Kind: Whole, What: "pairs of cords", Like: "12", Must: true, Fixed: true, Low: 1, High: MostEnds, Number: &s.Pairs},
		{Kind: Long, Word: "from", What: "how far the first pair reaches", Like: "from 8 cm", Must: true, Fixed: true, Role: Across, Length: &s.First},
		{Kind: Long, Word: "to", What: "how far the last pair reaches", Like: "to 3 cm", Must: true, Fixed: true, Role: Across, Length: &s.Last},
		cordAmount(&s.Cord),
		onAmount(&s.On),
	}}
}

func (s Space) lay() Facts {
	return Facts{Word: "space", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		long("the drop to leave unknotted", "3 cm", Down, &s.Length), onAmount(&s.On),
	}}
}

func (s Tail) lay() Facts {
	return Facts{Word: "tail", Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		long("the tail", "18 cm", Down, &s.Length),
		{Kind: Long, Word: "to", What: "the tail where it peaks", Like: "to 30 cm", Fixed: true, Role: Down, Length: &s.To},
		{Kind: Choice, Word: "at", What: "where it peaks", Like: "at middle", Fixed: true, Words: []string{string(AtMiddle), string(AtEdges), string(AtLeft), string(AtRight)}, Text: (*string)(&s.Peak)},
		onAmount(&s.On),
	}, check: func(_ *reader, l *line) {
		switch {
		case s.To != 0 && s.Peak == "":
			l.failMend(l.endOf("to"), " at middle", "where? say at middle, edges, left or right behind the second length")
		case s.To == 0 && s.Peak != "":
			right := s
			right.To = 2 * s.Length
			l.failLike(l.step(right), l.said("at"), "says where the tail peaks, but not how long it is there")
		}
	}}
}

// How often steps can be repeated.
const (
	LeastRepeats = 2
	MostRepeats  = 100
)

func (s Repeat) lay() Facts {
	return Facts{Word: "repeat", Opens: &s.Times, Place: &s.Place, Step: func() Step { return s }, Amounts: []Amount{
		{Kind: Whole, What: "times", After: "times", Like: "3", Must: true, Fixed: true, Low: LeastRepeats, High: MostRepeats, Number: &s.Times},
	}}
}

func (s End) lay() Facts {
	return Facts{Word: "end", Closes: true, Place: &s.Place, Step: func() Step { return s }}
}

// blank is an empty step of each word, at a place.
var blank = map[string]func(Place) Step{
	"mount":  func(p Place) Step { return Mount{Place: p} },
	"gap":    func(p Place) Step { return Gap{Place: p} },
	"row":    func(p Place) Step { return Row{Place: p} },
	"net":    func(p Place) Step { return Net{Place: p} },
	"taper":  func(p Place) Step { return Taper{Place: p} },
	"widen":  func(p Place) Step { return Taper{Place: p, Widen: true} },
	"sinnet": func(p Place) Step { return Sinnet{Place: p} },
	"bar":    func(p Place) Step { return Bar{Place: p} },
	"gather": func(p Place) Step { return Bar{Place: p, Gather: true} },
	"onto":   func(p Place) Step { return Onto{Place: p} },
	"plait":  func(p Place) Step { return Plait{Place: p} },
	"add":    func(p Place) Step { return Add{Place: p} },
	"bead":   func(p Place) Step { return Bead{Place: p} },
	"wrap":   func(p Place) Step { return Wrap{Place: p} },
	"tassel": func(p Place) Step { return Tassel{Place: p} },
	"leaf":   func(p Place) Step { return Leaf{Place: p} },
	"space":  func(p Place) Step { return Space{Place: p} },
	"tail":   func(p Place) Step { return Tail{Place: p} },
	"repeat": func(p Place) Step { return Repeat{Place: p} },
	"end":    func(p Place) Step { return End{Place: p} },
}
