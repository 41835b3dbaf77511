package swatch

import (
	"fmt"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Squeeze finds how much a cord is squeezed from one measured length: the squeeze,
// between cord.LeastSqueeze and cord.MostSqueeze, at which predict gives that
// length. Predict must grow with the squeeze, as every length in the knot book
// does; it is called about 40 times. The error is an *Error.
func Squeeze(measured length.Length, predict func(squeeze cord.Ratio) length.Length) (cord.Ratio, error) {
	low, high := cord.LeastSqueeze, cord.MostSqueeze
	least, most := predict(low), predict(high)
	if least >= most {
		return 0, &Error{"squeeze", "", "this measurement does not depend on how much the cord is squeezed", "measure the cord used"}
	}
	if measured < least || measured > most {
		return 0, &Error{"measurement", measured.String(), fmt.Sprintf("no cord of this thickness gives that; squeezed to %.3g to %.3g of its thickness it gives %v to %v",
			float64(low), float64(high), least, most), "check the number of knots and the cord's thickness"}
	}
	const halvings = 40 // to 1e-12
	for range halvings {
		if middle := (low + high) / 2; predict(middle) < measured {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, nil
}
