package formula_test

import (
	"fmt"

	"larkfold/sizing/formula"
	"larkfold/sizing/length"
)

func ExampleCompile() {
	worker, err := formula.Compile("turn(k) + pitch + 1.5*pi*d", formula.KnotRole)
	if err != nil {
		fmt.Println(err)
		return
	}
	fourMillimetres := 4 * length.Millimetre
	takeUp, err := worker.Length(formula.Quantities{Diameter: fourMillimetres, Cores: 2, Pitch: 4 * fourMillimetres})
	fmt.Printf("%.1f mm %v\n", takeUp.Millimetres(), err)

	_, err = formula.Compile("turn(k) + 4", formula.KnotRole)
	fmt.Println(err)
	// Output:
	// 68.0 mm <nil>
	// “+” joins a length and a bare number.
	//     turn(k) + 4
	//               ^
	// Write 4*d (diameters of the cord) or a unit, as in 4 mm.
}
