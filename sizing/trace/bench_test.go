package trace_test

import (
	"context"
	"fmt"
	"testing"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// net is a sheet of an alternating net with about so many knots.
func net(cords, rows int) string {
	return fmt.Sprintf("piece Net\ncord main 4 mm single-strand\npanel net\nmount %d folded\nnet square rows %d\ntail 20 cm\n", cords, rows)
}

// The cost of one knot must not grow with the sheet: compare the two ns/knot.
func BenchmarkTrace(b *testing.B) {
	for _, size := range []struct{ cords, rows int }{{20, 129}, {500, 501}} {
		s, faults := sheet.Parse(net(size.cords, size.rows), knot.Standard())
		if len(faults.Shown) > 0 {
			b.Fatal(faults)
		}
		knots := 0
		b.Run(fmt.Sprintf("cords=%d,rows=%d", size.cords, size.rows), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
				if err != nil || len(found) > 0 {
					b.Fatal(err, found)
				}
				knots = len(r.Placed)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(knots), "ns/knot")
			b.ReportMetric(float64(knots), "knots")
		})
	}
}
