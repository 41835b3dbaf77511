package cord_test

import (
	"fmt"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

func Example() {
	sand := cord.Cord{
		Name: "sand", Nominal: 4 * length.Millimetre, Construction: cord.SingleStrand,
		Spool: cord.Spool{Length: 100 * length.Metre, Mass: 500 * length.Gram},
	}
	d := sand.Diameter()
	style := length.Style{}
	fmt.Println("working diameter:", style.Thickness(d))
	fmt.Println("24 ends gathered:", style.Thickness(cord.BundleDiameter(24, d, sand.Construction.Softness()).RoundHalfEven(length.Millimetre)))
	fmt.Printf("weighs: %.2f g/m\n", sand.MassPerLength().Density.GramsPerMetre())
	// Output:
	// working diameter: 2.8 mm
	// 24 ends gathered: 14 mm
	// weighs: 5.00 g/m
}
