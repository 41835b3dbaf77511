package dowel_test

import (
	"fmt"

	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
)

func ExampleArrangement_Fit() {
	fit, err := dowel.Arrangement{
		Rod:     50 * length.Centimetre,
		BareEnd: dowel.BareEnd,
		Spread:  dowel.Centred,
		Groups: []dowel.Group{
			{Name: "wave", Cords: 24, Lot: 2, Relaxed: 16 * length.Millimetre, Pushed: 12 * length.Millimetre},
			{Name: "reed", Cords: 4, Relaxed: 16 * length.Millimetre, Pushed: 12 * length.Millimetre, Gap: 4 * length.Centimetre},
		},
	}.Fit()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("short at relaxed spacing by", -fit.Relaxed.Spare)
	for _, m := range fit.Use.Marks {
		fmt.Printf("%s from %s to %s\n", m.Group, length.FormatMetric(m.Start, 2), length.FormatMetric(m.End, 2))
	}
	fmt.Println("relaxed it would take a rod of", fit.RodRelaxed, "or", fit.MostRelaxed, "cords")
	// Output:
	// short at relaxed spacing by 4.8 cm
	// wave from 3 cm to 37.3 cm
	// reed from 41.3 cm to 47 cm
	// relaxed it would take a rod of 54.8 cm or [22 3] cords
}

func ExampleRod_Sag() {
	birch, err := dowel.FindWood("birch")
	if err != nil {
		fmt.Println(err)
		return
	}
	rod := dowel.Rod{Length: length.Metre, Thickness: 16 * length.Millimetre, Wood: birch}
	work := []dowel.Load{{Mass: 2 * length.Kilogram, From: 10 * length.Centimetre, To: 90 * length.Centimetre}}
	for _, h := range []dowel.Hangers{{Left: 0, Right: rod.Length}, dowel.EvenHangers(rod.Length)} {
		sag, err := rod.Sag(h, work)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s now, %s after years, straight for years: %v\n",
			length.FormatMetric(sag.Worst, 2), length.FormatMetric(sag.AfterYears, 2), sag.StraightForYears)
	}
	// Output:
	// 9 mm now, 1.8 cm after years, straight for years: false
	// -0.7 mm now, -1.4 mm after years, straight for years: true
}
