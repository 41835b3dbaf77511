// Package cord describes cord and what bundles of it measure: the working
// diameter under the hand, the closed loop round a bundle, the diameter of a
// bundle, and mass per length.
//
// A [Cord] has a nominal thickness, which is what its label says, a
// [Construction], a squeeze and perhaps a [Spool]. What will hurt you: every
// formula of the knot book wants the working diameter ([Cord.Diameter]), not the
// nominal thickness, and the squeezes a cord starts from are common practice with
// no published source, so a maker's own swatch should replace them.
package cord

import (
	"math"
	"strings"

	"larkfold/sizing/length"
)

// Ratio is a number without unit: a squeeze of 0.82, a packing fraction of 0.6.
type Ratio float64

// Spool is what one spool or skein holds; a zero part is not known.
type Spool struct {
	Length length.Length
	Mass   length.Mass
	Price  Price
}

// Cord is one cord as a maker buys it.
type Cord struct {
	Name         string
	Nominal      length.Length // thickness on the label
	Construction Construction
	Fibre        Fibre
	Squeeze      Ratio // working diameter / nominal thickness; zero for the construction's starting value
	Colour       Colour
	Spool        Spool
}

// The squeezes that a cord can have: below the least there is no cord left, and
// a knot never swells it by more than the most (common practice, no source).
const (
	LeastSqueeze Ratio = 0.3
	MostSqueeze  Ratio = 1.2
)

// Check returns an error for a thickness no cord has ([length.BoundsError]), an
// unknown construction or fibre, a squeeze out of range or a negative spool.
func (c Cord) Check() error {
	if err := length.Thicknesses().Check(c.Nominal); err != nil {
		return err
	}
	if !c.Construction.known() {
		return &Error{c.Name, "its construction is unknown", "use single-strand, plied or braided"}
	}
	if !c.Fibre.known() {
		return &Error{c.Name, "its fibre is unknown", "use " + fibreNames()}
	}
	if c.Squeeze != 0 && !(c.Squeeze >= LeastSqueeze && c.Squeeze <= MostSqueeze) {
		return &Error{c.Name, "its squeeze is out of range", "give one between 0.3 and 1.2 times the nominal thickness"}
	}
	if c.Spool.Length < 0 || c.Spool.Mass < 0 || c.Spool.Price < 0 {
		return &Error{c.Name, "its spool has less than nothing on it", "give a length, mass and price of zero or more"}
	}
	return nil
}

// Error says which cord is wrong, what is wrong with it and what would be right.
type Error struct{ Cord, Wrong, Right string }

// Error is one sentence.
func (e *Error) Error() string {
	name := "the cord"
	if e.Cord != "" {
		name = "the cord “" + e.Cord + "”"
	}
	return name + " cannot be used: " + e.Wrong + "; " + e.Right
}

// Diameter returns the working diameter, the squeeze times the nominal
// thickness: knotted cord flattens under the hand.
func (c Cord) Diameter() length.Length { return scaled(c.Nominal, float64(c.WorkingSqueeze())) }

// WorkingSqueeze returns the cord's own squeeze, or its construction's starting value.
func (c Cord) WorkingSqueeze() Ratio {
	if c.Squeeze != 0 {
		return c.Squeeze
	}
	return c.Construction.Squeeze()
}

// Construction is how a cord is made.
type Construction int

// The constructions. The zero value is the most usual cord for this work.
const (
	SingleStrand Construction = iota
	Plied
	Braided
)

// constructions are indexed by Construction.
var constructions = [...]struct {
	name     string
	aliases  []string
	squeeze  Ratio
	softness Ratio
	source   string
}{
	SingleStrand: {"single-strand", []string{"single", "string", "untwisted", "1 ply", "one ply", "1 strand", "one strand"}, 0.70, 1, softSource},
	Plied: {"plied", []string{"ply", "twisted", "laid", "rope", "2 ply", "two ply", "3 ply", "three ply", "4 ply", "four ply",
		"3 strand", "three strand", "4 strand", "four strand"}, 0.82, 0.5, softSource},
	Braided: {"braided", []string{"braid", "plaited", "solid braid", "hollow braid"}, 0.90, 0, softSource},
}

// softSource is where squeeze and softness come from: makers put the squeeze of soft
// cord at 0.65 to 0.85; that a soft core keeps its area and fills its voids under a
// hitch, and a firm one does not, is reasoned, and so is plied cord in the middle.
const softSource = "common practice, no source"

// Constructions returns all constructions.
func Constructions() []Construction { return []Construction{SingleStrand, Plied, Braided} }

func (c Construction) known() bool { return c >= 0 && int(c) < len(constructions) }

// String returns the name: "single-strand", "plied" or "braided".
func (c Construction) String() string {
	if !c.known() {
		return "unknown construction"
	}
	return constructions[c].name
}

// Squeeze returns the squeeze that a cord of this construction starts from; zero when unknown.
func (c Construction) Squeeze() Ratio {
	if !c.known() {
		return 0
	}
	return constructions[c].squeeze
}

// Softness returns how far cords of this construction fill the voids of a bundle
// under a loop drawn tight round it: 1 altogether, 0 not at all, see [Girth].
func (c Construction) Softness() Ratio {
	if !c.known() {
		return 0
	}
	return constructions[c].softness
}

// SqueezeSource returns where the starting squeeze comes from.
func (c Construction) SqueezeSource() string {
	if !c.known() {
		return ""
	}
	return constructions[c].source
}

// ParseConstruction finds a construction by its name or by what makers call it
// ("string", "3-ply", "rope", "braid"); an unknown word is a [length.InputError].
func ParseConstruction(text string) (Construction, error) {
	word := strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(text, "-", " "))), " ")
	for _, c := range Constructions() {
		if word == strings.ReplaceAll(c.String(), "-", " ") {
			return c, nil
		}
		for _, alias := range constructions[c].aliases {
			if word == alias {
				return c, nil
			}
		}
	}
	return 0, &length.InputError{Noun: "construction", Input: text, Wrong: "no cord is made that way here", Right: "use single-strand, plied or braided"}
}

// scaled multiplies a length, to the nearest nanometre and within range; not a
// number counts as zero.
func scaled(l length.Length, by float64) length.Length {
	const most = 1 << 62
	x := float64(l) * by
	if math.IsNaN(x) {
		return 0
	}
	return length.Length(math.RoundToEven(max(-most, min(most, x))))
}
