package resize_test

import (
	"context"
	"fmt"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/resize"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

func ExampleResize() {
	maker := trace.Maker{Book: knot.Standard()}
	s, _ := sheet.Parse(`piece Doorway
cord main 4 mm
dowel 50 cm x 20 mm
panel door
  mount 24 folded
  net square rows 10
  tail 40 cm
`, knot.Standard())
	before, _, _ := trace.Trace(context.Background(), s, maker)
	r, err := resize.Resize(context.Background(), s, maker, resize.Change{
		Thickness: 5 * length.Millimetre, Drop: length.Metre,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, note := range r.Notes {
		fmt.Println(note)
	}
	var style length.Style
	fmt.Println(style.Format(resize.Width(before)), "wide before,", style.Format(resize.Width(r.After)), "after")
	fmt.Println(style.Format(resize.Drop(before)), "long before,", style.Format(resize.Drop(r.After)), "after")
	// Output:
	// cord main 4 mm, now cord main 5 mm
	// dowel 50 cm x 20 mm, now dowel 63 cm x 20 mm
	// door: net square knot rows 10, now net square knot rows 16
	// door: tail 40 cm, now tail 79 cm
	// 26.6 cm wide before, 33.2 cm after
	// 51.1 cm long before, 1.00 m after
}

func ExampleError() {
	maker := trace.Maker{Book: knot.Standard()}
	s, _ := sheet.Parse("cord main 4 mm\npanel p\n  mount 12 folded\n  row square\n  bar left to middle\n", knot.Standard())
	_, err := resize.Resize(context.Background(), s, maker, resize.Change{Drop: 80 * length.Centimetre})
	fmt.Println(err)
	// Output: it cannot be made 80 cm long: it stays 9.5 cm: nothing but nets, sinnets, repeated bars, plaits, spaces and tails can be made longer or shorter, so change the rows yourself
}
