package stock

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"larkfold/sizing/length"
)

// benchmark solves problems one after the other and reports the share proved and
// the median and worst time of one. An iteration is all of them.
func benchmark(b *testing.B, budget time.Duration, problems []Problem) {
	var times []time.Duration
	proved := 0
	for b.Loop() {
		for _, p := range problems {
			ctx, cancel := context.WithTimeout(context.Background(), budget)
			start := time.Now()
			plan, err := Solve(ctx, p)
			times = append(times, time.Since(start))
			cancel()
			if err != nil {
				b.Fatal(err)
			}
			if plan.Proved {
				proved++
			}
		}
	}
	slices.Sort(times)
	ms := func(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
	b.ReportMetric(100*float64(proved)/float64(len(times)), "%proved")
	b.ReportMetric(ms(times[len(times)/2]), "ms/median")
	b.ReportMetric(ms(times[len(times)-1]), "ms/worst")
}

func family(seeds int, make func(seed uint64) Problem) []Problem {
	var list []Problem
	for seed := range seeds {
		list = append(list, make(uint64(seed)))
	}
	return list
}

// The two classes of Falkenauer (1996), seeds 0 to 19.
func BenchmarkUniform120(b *testing.B) {
	benchmark(b, 5*time.Second, family(20, func(seed uint64) Problem { return uniform(120, seed) }))
}

func BenchmarkUniform250(b *testing.B) {
	benchmark(b, 5*time.Second, family(20, func(seed uint64) Problem { return uniform(250, seed) }))
}

func BenchmarkTriplets60(b *testing.B) {
	benchmark(b, 5*time.Second, family(20, func(seed uint64) Problem { return triplets(60, seed) }))
}

func BenchmarkTriplets120(b *testing.B) {
	benchmark(b, 5*time.Second, family(20, func(seed uint64) Problem { return triplets(120, seed) }))
}

// hanging is what a member asks in a chat: 60 pieces of 6 lengths, 40 offcuts,
// two spool sizes.
func hanging(seed uint64, short, long length.Length, priceShort, priceLong Price) Problem {
	r := rand.New(rand.NewPCG(seed, 60))
	p := Problem{Keep: 30 * length.Centimetre}
	for range 6 {
		p.Pieces = append(p.Pieces, Piece{Length: length.Length(8+r.IntN(50)) * 5 * length.Centimetre, Count: 10})
	}
	for range 40 {
		p.Stock = append(p.Stock, Stock{Length: length.Length(40+r.IntN(260)) * length.Centimetre, Count: 1, Offcut: true})
	}
	p.Stock = append(p.Stock, Stock{Length: short, Price: priceShort}, Stock{Length: long, Price: priceLong})
	return p
}

func BenchmarkChat(b *testing.B) {
	benchmark(b, time.Second, family(20, func(seed uint64) Problem {
		return hanging(seed, 50*length.Metre, 100*length.Metre, 0, 0)
	}))
}

func BenchmarkChatPriced(b *testing.B) {
	benchmark(b, time.Second, family(20, func(seed uint64) Problem {
		return hanging(seed, 50*length.Metre, 100*length.Metre, 1290, 2190)
	}))
}

// Spools hardly longer than the pieces leave much to choose.
func BenchmarkChatShortSpools(b *testing.B) {
	benchmark(b, time.Second, family(20, func(seed uint64) Problem {
		return hanging(seed, 5*length.Metre, 8*length.Metre, 0, 0)
	}))
}

// workshopOrder is far beyond a chat: 5000 pieces of 50 lengths, 500 offcuts.
func workshopOrder(seed uint64) Problem {
	r := rand.New(rand.NewPCG(seed, 5000))
	var p Problem
	for range 50 {
		p.Pieces = append(p.Pieces, Piece{Length: length.Length(300+r.IntN(3000)) * length.Millimetre, Count: 100})
	}
	for range 500 {
		p.Stock = append(p.Stock, Stock{Length: length.Length(300+r.IntN(5000)) * length.Millimetre, Count: 1, Offcut: true})
	}
	p.Stock = append(p.Stock, Stock{Length: 100 * length.Metre})
	return p
}

func BenchmarkWorkshopOrder(b *testing.B) { benchmark(b, time.Second, family(5, workshopOrder)) }
