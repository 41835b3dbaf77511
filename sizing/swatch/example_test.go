package swatch_test

import (
	"fmt"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/swatch"
)

func ExampleHandsOf() {
	var swatches []swatch.Swatch
	for _, left := range []length.Length{31, 29, 34} { // of a metre, after ten square knots
		swatches = append(swatches, swatch.Swatch{
			Family: knot.Square, Cord: "main", Count: 10,
			Before: length.Metre, After: left * length.Centimetre, BookUsed: 68 * length.Millimetre,
		})
	}
	hands, err := swatch.HandsOf(swatches)
	if err != nil {
		fmt.Println(err)
		return
	}
	hand := hands[knot.Square]
	margin, err := hand.TakeUp.Margin(0.05)
	fmt.Printf("%d swatches: %.3f of the book, margin %.1f %% %v\n", hand.TakeUp.N, hand.TakeUp.Mean, 100*margin, err)
	// Output:
	// 3 swatches: 1.010 of the book, margin 12.4 % <nil>
}
