package fringe_test

import (
	"context"
	"fmt"

	"larkfold/sizing/fringe"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

func ExampleEdge_Fill() {
	edge := fringe.Edge{
		Loops: 20, PerLoop: 2,
		Drop: 22 * length.Centimetre, Take: 23 * length.Millimetre, Spare: length.Centimetre,
		RoundUp: length.Centimetre,
	}
	filling, err := edge.Fill(context.Background(), []stock.Stock{
		{Length: 160 * length.Centimetre, Count: 6, Offcut: true},
		{Length: 70 * length.Centimetre, Count: 9, Offcut: true},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(filling.Cuts[0].Count, "pieces of", filling.Cuts[0].Length)
	fmt.Println(filling.FromScraps, "from scraps;", filling.ShortPieces, "short")
	// Output:
	// 40 pieces of 51 cm
	// 27 from scraps; 13 short
}
