package stock_test

import (
	"context"
	"fmt"

	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

func ExampleSolve() {
	plan, err := stock.Solve(context.Background(), stock.Problem{
		Pieces: []stock.Piece{
			{Length: 150 * length.Centimetre, Count: 4, Label: "A"},
			{Length: 70 * length.Centimetre, Count: 3, Label: "B"},
		},
		Stock: []stock.Stock{
			{Length: 220 * length.Centimetre, Count: 2, Offcut: true, Label: "basket"},
			{Length: 5 * length.Metre, Label: "spool"},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, pattern := range plan.Patterns {
		fmt.Printf("%d x %s:", pattern.Times, pattern.Label)
		for _, cut := range pattern.Cuts {
			fmt.Printf(" %s", cut.Label)
		}
		fmt.Printf(", %s left\n", pattern.Remainder)
	}
	fmt.Println("new cord", plan.NewCord, "proved", plan.Proved)
	// Output:
	// 2 x basket: A B, 0 cm left
	// 1 x spool: A A B, 1.3 m left
	// new cord 5 m proved true
}
