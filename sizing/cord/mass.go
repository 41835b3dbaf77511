package cord

import (
	"math"
	"strings"

	"larkfold/sizing/length"
)

// Fibre is what a cord is spun from. The zero value is cotton.
type Fibre int

// The fibres with a published density.
const (
	Cotton Fibre = iota
	Viscose
	Wool
	Silk
	Nylon
	Polyester
	Polyethylene
	Polypropylene
)

// VolumeDensity is a mass per volume in kilograms per cubic metre.
type VolumeDensity float64

const fibreSource = "W. E. Morton and J. W. S. Hearle, Physical Properties of Textile Fibres, 4th ed. (2008, edition from memory), Table 5.1, at 65 % relative humidity"

// fibres are indexed by Fibre.
var fibres = [...]struct {
	name    string
	density VolumeDensity
	source  string
}{
	Cotton:        {"cotton", 1520, fibreSource},
	Viscose:       {"viscose", 1490, fibreSource},
	Wool:          {"wool", 1310, fibreSource},
	Silk:          {"silk", 1340, fibreSource},
	Nylon:         {"nylon", 1140, fibreSource},
	Polyester:     {"polyester", 1390, fibreSource},
	Polyethylene:  {"polyethylene", 950, fibreSource},
	Polypropylene: {"polypropylene", 910, fibreSource},
}

func (f Fibre) known() bool { return f >= 0 && int(f) < len(fibres) }

// String returns the fibre's name.
func (f Fibre) String() string {
	if !f.known() {
		return "unknown fibre"
	}
	return fibres[f].name
}

// Density returns the density of the fibre substance itself; zero when unknown.
func (f Fibre) Density() VolumeDensity {
	if !f.known() {
		return 0
	}
	return fibres[f].density
}

// Source returns where the density comes from.
func (f Fibre) Source() string {
	if !f.known() {
		return ""
	}
	return fibres[f].source
}

func fibreNames() string {
	names := make([]string, len(fibres))
	for i, row := range fibres {
		names[i] = row.name
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// Packing is the share of a hard yarn's cross-section that is fibre: a specific
// volume of 1.1 cm3/g for cotton yarn (F. T. Peirce, The geometry of cloth
// structure, J. Textile Institute 28, 1937, T45, the paper itself from memory)
// over cotton's density of 1.52 g/cm3 gives 0.598.
const Packing Ratio = 1 / (1.1 * 1.52)

// YarnDensity returns the mass per length of a round yarn of this diameter:
// pi/4 diameter^2 density packing; zero where that has no meaning.
func YarnDensity(diameter length.Length, f Fibre, packing Ratio) length.Density {
	metres := float64(diameter) / float64(length.Metre)
	kilogramsPerMetre := math.Pi / 4 * metres * metres * float64(f.Density()) * float64(packing)
	x := kilogramsPerMetre * 1000 * float64(length.GramsPerMetre)
	if !(x > 0) || x > math.MaxInt64/2 {
		return 0
	}
	return length.Density(math.RoundToEven(x))
}

// MassPerLength is the mass per length of a cord and how far to trust it.
type MassPerLength struct {
	Density length.Density
	// Spread is the share by which the true value may differ: zero from a label.
	Spread Ratio
}

// MassPerLength returns the label's mass over the label's length where both are
// known, else an estimate: the section at working diameter, where the hand has
// pressed the air out, filled as a hard yarn is (see [Packing]). A squeeze that was
// measured or given thus says how much fibre there is: of two cords of one label, the one
// that stays thicker when knotted is the heavier.
func (c Cord) MassPerLength() MassPerLength {
	if d, err := length.DensityOf(c.Spool.Mass, c.Spool.Length); err == nil {
		return MassPerLength{Density: d}
	}
	return MassPerLength{
		Density: YarnDensity(c.Diameter(), c.Fibre, Packing),
		Spread:  0.3, // common practice, no source: soft cords of one thickness differ this much
	}
}
