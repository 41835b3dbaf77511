package length

// Mass is a mass in nanograms, so that the pound (453.59237 g by the 1959
// agreement) and the ounce (1/16 lb, 28.349523125 g) are exact.
type Mass int64

// The units of mass a spool's label uses.
const (
	Nanogram Mass = 1
	Gram          = 1_000_000_000 * Nanogram
	Kilogram      = 1000 * Gram
	Ounce         = 28_349_523_125 * Nanogram
	Pound         = 16 * Ounce
)

// Grams returns the mass in grams as a floating point number.
func (m Mass) Grams() float64 { return float64(m) / float64(Gram) }
