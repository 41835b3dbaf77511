package say

import (
	"fmt"
	"math"

	"larkfold/sizing"
	"larkfold/sizing/swatch"
)

// alike is [swatch.AlikeInPiece] in words.
const alike = "half of it from piece to piece"

// buys is what the margins of a list are worth, for all its hung cords together, and
// what that rests on.
func buys(sized sizing.Sized) string {
	words := oneIn(sized.List.Chance) + " like this has a cord that runs short"
	fewest, seen, spread := math.MaxInt, false, swatch.DefaultSpread
	for _, hands := range sized.Hands {
		for _, hand := range hands {
			fewest, seen, spread = min(fewest, hand.TakeUp.N), true, max(spread, hand.TakeUp.Spread)
		}
	}
	switch {
	case !seen:
		return words + fmt.Sprintf(", as a guess for a hand I do not know: hands differ by %s, one hand from sample to sample by %s, "+alike+". A swatch tells me yours: /swatch add", Percent(float64(swatch.SpreadOfHands)), Percent(float64(swatch.DefaultSpread)))
	case fewest < swatch.Enough:
		return words + fmt.Sprintf(", if your samples differ by no more than %s, "+alike+"; three swatches show by how much they do", Percent(float64(spread)))
	}
	return words + ", by how much your swatches differ, " + alike
}

// oneIn is a chance as so many pieces of which one is meant.
func oneIn(chance float64) string {
	switch {
	case chance < 0.005:
		return "less than one piece in 200"
	case chance > 0.4:
		return "every second piece or more"
	}
	return fmt.Sprintf("about one piece in %d", int(math.Round(1/chance)))
}
