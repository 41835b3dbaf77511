package dowel

// Caution is one sentence of advice about safety. Whoever answers with a figure
// of this package shows the cautions that apply.
type Caution string

// The cautions.
const (
	RatedFixing    Caution = "Use a hook, screw or anchor rated for several times the load, fixed into something solid, by its maker's instructions and your local code."
	OverPeople     Caution = "Over a bed, a cot or a walkway, have a licensed installer hang it."
	LooseCords     Caution = "Keep loops and loose cords out of small children's reach: they can strangle."
	BrushedBurns   Caution = "Brushed-out cotton catches fire readily: keep it away from candles, stoves, heaters and lamps."
	FlatHanger     Caution = "A hanger flatter than 30 degrees pulls on its cord and knots with more than the whole load: raise the fixing or tie it closer together."
	UncertainWood  Caution = "The stiffness of this wood is a guess: load the rod by hand before you trust it, and throw out one that cracks or is rotten."
	NoBreakingLoad Caution = "Sag says how the rod looks, not what it carries before it breaks."
)

// Hanging is what [Cautions] must know of a piece.
type Hanging struct {
	Brushed      bool // has brushed-out cotton
	FlatHanger   bool // see [Hung].TooFlat
	GuessedWood  bool // see [Wood].Guess
	SagComputed  bool // a sag is shown
	NoLooseCords bool // nothing hangs free and no loop is open
	Lies         bool // it does not hang: a runner, a strap
}

// Cautions returns the cautions that apply to a piece, the gravest first.
func Cautions(h Hanging) []Caution {
	var cautions []Caution
	if !h.Lies {
		cautions = append(cautions, RatedFixing, OverPeople)
	}
	if !h.NoLooseCords {
		cautions = append(cautions, LooseCords)
	}
	for _, c := range []struct {
		applies bool
		caution Caution
	}{
		{h.Brushed, BrushedBurns},
		{h.FlatHanger, FlatHanger},
		{h.GuessedWood, UncertainWood},
		{h.SagComputed, NoBreakingLoad},
	} {
		if c.applies {
			cautions = append(cautions, c.caution)
		}
	}
	return cautions
}
