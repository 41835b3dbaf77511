package sheet_test

import (
	"fmt"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
)

func ExampleParse() {
	_, faults := sheet.Parse("cord main 4\npanel wave\n  mount 12 folded\n  nett square rows 6\n", knot.Standard())
	fmt.Println(faults.Err())
	// Output:
	// line 4, column 3: “nett” is no word that a line begins with; did you mean net?
	//   4 |   nett square rows 6
	//     |   ^^^^
	// right: net square rows 6
}

func ExampleFormat() {
	s, _ := sheet.Parse("CORD main 4\npanel wave\nmount 12 folded # twenty-four ends\nnet square, rows 6, on left 12\ntail 1,5 m", knot.Standard())
	fmt.Print(sheet.Format(s))
	// Output:
	// cord main 4 mm
	//
	// panel wave
	//   mount 12 folded  # twenty-four ends
	//   net square knot rows 6 on left 12
	//   tail 1.5 m
}
