package fringe

import (
	"testing"

	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

// A chat-sized fringe: 60 loops by 2 from 30 scraps and a spool, level and sloped.
func BenchmarkFill(b *testing.B) {
	var at []stock.Stock
	for i := range 10 {
		at = append(at, scrap(length.Length(45+17*i)*cm, 3))
	}
	at = append(at, stock.Stock{Length: 50 * length.Metre})
	for _, e := range []struct {
		name string
		Edge
	}{
		{"level", Edge{Loops: 60, PerLoop: 2, Drop: 22 * cm, Take: 25 * mm, RoundUp: cm}},
		{"slope", Edge{Loops: 60, PerLoop: 2, Trim: Slope, Drop: 22 * cm, FarDrop: 8 * cm, Take: 25 * mm, RoundUp: cm}},
	} {
		b.Run(e.name, func(b *testing.B) {
			proved := 0
			for b.Loop() {
				f, err := e.Fill(b.Context(), at)
				if err != nil {
					b.Fatal(err)
				}
				if f.Plan.Proved {
					proved++
				}
			}
			b.ReportMetric(float64(proved)/float64(b.N), "proved/op")
		})
	}
}
