package sheet

import "larkfold/sizing/length"

// Facts is a copy of a step laid open: the word it begins with and its amounts in
// the order in which they are written. Amounts and Place point into the copy, so that
// changing them changes what Step returns; Ties and Adds are as the step was laid open.
type Facts struct {
	Word    string
	Amounts []Amount
	Place   *Place
	Step    func() Step
	Ties    string                   // the knot that the word itself stands for; empty where it names one, or ties none
	Adds    int                      // ends that it brings into the work in hand
	Opens   *int                     // how often the steps up to the one that closes are done; nil for a step that opens nothing
	Closes  bool                     // it closes what another has opened
	check   func(r *reader, l *line) // finds what no amount alone can tell
}

// FactsOf lays a step open.
func FactsOf(s Step) Facts { return s.lay() }

// FactsFor lays open an empty step by the word it begins with; false for a word that
// begins none.
func FactsFor(word string) (Facts, bool) {
	empty, ok := blank[word]
	if !ok {
		return Facts{}, false
	}
	return empty(Place{}).lay(), true
}

// Kind is what kind of thing an amount is.
type Kind int

// The kinds of amounts. Each tells which of an Amount's pointers is set.
const (
	Whole   Kind = iota // Number: how many
	Long                // Length
	Named               // Text: a knot's canonical name
	Often               // Count
	Some                // Ends
	Spot                // Position
	Stuff               // Text: the name of a cord
	Stick               // Text: the name of a rod
	Choice              // Text: one of Words
	Said                // Flag: the word is there or not
	Incline             // Slope: degrees, or the word level
	Lots                // Hung
)

// Role is how a length goes with the size of the work.
type Role int

// The roles of lengths.
const (
	Fixed   Role = iota // as it is: a bought part, a piece of cord at hand
	Down                // bare or braided cord down the work
	Texture             // goes with the thickness of the cord
	Across              // what reaches aside: bare rod, cord
)

// Amount is one thing that a step says.
type Amount struct {
	Kind  Kind
	Word  string   // the word in front of it; empty for none
	After string   // a word behind it that may be there; empty for none
	What  string   // what it is: "ends in a group"
	Like  string   // an example, with its word
	Must  bool     // the step cannot do without
	Fixed bool     // it stands in its place; the others stand in any order behind the fixed ones
	Only  string   // of the amounts that share this, one is said
	Words []string // of a Choice
	Low   int      // of a Whole
	High  int
	Role  Role // of a Long
	Lot   int  // of an Often: by how many it comes and goes as the work gets longer; zero where that follows from its ends

	Number   *int
	Length   *length.Length
	Text     *string
	Count    *Count
	Ends     *Ends
	Position *Position
	Flag     *bool
	Slope    **float64
	Hung     *[]Hung
}

// first is the first amount of a kind, or nil.
func (f Facts) first(k Kind) *Amount {
	for i := range f.Amounts {
		if f.Amounts[i].Kind == k {
			return &f.Amounts[i]
		}
	}
	return nil
}

// Knot is the knot that the step ties, as a pointer into the copy; nil for a step
// that names none.
func (f Facts) Knot() *string {
	if a := f.first(Named); a != nil {
		return a.Text
	}
	return nil
}

// Count is how often it repeats; nil for a step that does not.
func (f Facts) Count() *Count {
	if a := f.first(Often); a != nil {
		return a.Count
	}
	return nil
}

// On are the ends that it takes; nil for a step that names none.
func (f Facts) On() *Ends {
	if a := f.first(Some); a != nil {
		return a.Ends
	}
	return nil
}

// Lot is by how many its count comes and goes as the work gets longer; zero where that
// follows from its ends, and for a step that does not repeat.
func (f Facts) Lot() int {
	if a := f.first(Often); a != nil {
		return a.Lot
	}
	return 0
}

// Of is how many ends make a group; nil for a step without groups.
func (f Facts) Of() *int { return f.number("of") }

// Skip is how many ends it leaves at both edges; nil for a step that leaves none.
func (f Facts) Skip() *int { return f.number("skip") }

// number is a number behind a word; nil where the step has none.
func (f Facts) number(word string) *int {
	for i := range f.Amounts {
		if a := &f.Amounts[i]; a.Kind == Whole && a.Word == word {
			return a.Number
		}
	}
	return nil
}

// Hung are the cords that it hangs; nil for a step that hangs none.
func (f Facts) Hung() *[]Hung {
	if a := f.first(Lots); a != nil {
		return a.Hung
	}
	return nil
}

// Falls reports whether the step lays a carrier across, at a slope or level.
func (f Facts) Falls() bool { return f.first(Incline) != nil }

// Spots are the places among the ends that it names.
func (f Facts) Spots() []*Position {
	var all []*Position
	for _, a := range f.Amounts {
		if a.Kind == Spot {
			all = append(all, a.Position)
		}
	}
	return all
}

// Lengths are the lengths that go so with the size of the work. Those of a count
// are not among them.
func (f Facts) Lengths(role Role) []*length.Length {
	var all []*length.Length
	for _, a := range f.Amounts {
		if a.Kind == Long && a.Role == role {
			all = append(all, a.Length)
		}
	}
	return all
}

// HungBy are all cords that the mounts of a panel hang, from left to right.
func (p Panel) HungBy() []Hung {
	var all []Hung
	for _, s := range p.Steps {
		if m, ok := s.(Mount); ok {
			all = append(all, m.Hung...)
		}
	}
	return all
}

// Ends is how many ends so many cords have.
func (h Hung) Ends() int { return h.Count * h.Way.Ends() }

// EndsEach is how many ends of one cord hung so are worked side by side: of one
// that is worked both ways, one on each side.
func (p Panel) EndsEach(w Way) int {
	if p.BothWays {
		return 1
	}
	return w.Ends()
}
