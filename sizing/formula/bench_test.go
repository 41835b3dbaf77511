package formula

import (
	"testing"

	"github.com/expr-lang/expr"

	"larkfold/sizing/length"
)

const squareKnot = "turn(k) + pitch + 1.5*pi*d + 1.5*max(0, 4*d - pitch)"

func BenchmarkLength(b *testing.B) {
	for _, source := range []string{"17*d", squareKnot, "bundle(n/3)*sqrt((pitch/bundle(n/3))^2 + 6.65^2)"} {
		f, err := Compile(source, KnotRole)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(source, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.Length(example); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkLibrary is the second sum, its turn(k) given, by the expression library's own machine.
func BenchmarkLibrary(b *testing.B) {
	environment := map[string]float64{"d": float64(4 * length.Millimetre), "pitch": float64(10 * length.Millimetre), "pi": 3.14, "turn": 1}
	program, err := expr.Compile("turn + pitch + 1.5*pi*d + 1.5*max(0, 4*d - pitch)", expr.Env(environment))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := expr.Run(program, environment); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompile(b *testing.B) {
	for b.Loop() {
		if _, err := Compile(squareKnot, KnotRole); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkHostile is to stay below 10 ms for every one.
func BenchmarkHostile(b *testing.B) {
	for name, source := range hostile() {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Compile(source, KnotRole); err != nil {
					_ = err.Error()
				}
			}
		})
	}
}
