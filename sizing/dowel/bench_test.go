package dowel

import (
	"testing"

	"larkfold/sizing/length"
)

func BenchmarkSag(b *testing.B) {
	birch, err := FindWood("birch")
	if err != nil {
		b.Fatal(err)
	}
	rod := Rod{Length: length.Metre, Thickness: 20 * length.Millimetre, Wood: birch}
	loads := []Load{{length.Kilogram, 10 * cm, 40 * cm}, {length.Kilogram, 50 * cm, 50 * cm}, {length.Kilogram, 60 * cm, 90 * cm}}
	for b.Loop() {
		if _, err := rod.Sag(EvenHangers(rod.Length), loads); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFit(b *testing.B) {
	a := Arrangement{Rod: 60 * cm, BareEnd: BareEnd, Spread: Centred, Groups: []Group{
		{Name: "wave", Cords: 24, Lot: 2, Relaxed: mm(16), Pushed: mm(12)},
		{Name: "reed", Cords: 8, Relaxed: mm(12), Pushed: mm(9), Gap: 4 * cm},
	}}
	for b.Loop() {
		if _, err := a.Fit(); err != nil {
			b.Fatal(err)
		}
	}
}
