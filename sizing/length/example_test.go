package length_test

import (
	"fmt"

	"larkfold/sizing/length"
)

func ExampleParse() {
	for _, text := range []string{"1,5 m", "2m30", "4'11½\"", "1 1/2 yd", "200"} {
		l, err := length.Parse(text, length.Centimetre)
		fmt.Println(l, err)
	}
	_, err := length.Parse("1,500 mm", length.Centimetre)
	fmt.Println(err)
	// Output:
	// 1.5 m <nil>
	// 2.3 m <nil>
	// 1.5113 m <nil>
	// 1.3716 m <nil>
	// 2 m <nil>
	// cannot read “1,500 mm” as a length: “1,500” could mean 1500 or 1.500; write the one you mean
}

func ExampleParseThickness() {
	_, err := length.ParseThickness("5 m")
	fmt.Println(err)
	// Output: a thickness of “5 m” is more than 60 mm, the most that makes sense; did you mean 5 mm?
}

func ExampleStyle() {
	l := 1550 * length.Millimetre
	style := length.Style{System: length.Both}
	fmt.Println(style.Format(l)) // for reading
	fmt.Println(style.Cut(l))    // for cutting
	// Output:
	// 1.55 m (5 ft 1 in)
	// 1.55 m (5 ft 1 1/2 in)
}

func ExampleReading_Metric() {
	r, _ := length.Read("36 ft", 0)
	fmt.Println(r.Metric())
	// Output: 11.0 m
}

func ExampleParseDensity() {
	d, _ := length.ParseDensity("80 yd/lb")
	fmt.Printf("%.1f m/kg, %.2f g/m\n", d.MetresPerKilogram(), d.GramsPerMetre())
	// Output: 161.3 m/kg, 6.20 g/m
}
