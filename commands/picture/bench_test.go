package picture_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
	"larkfold/sizing"
	"larkfold/sizing/length"
)

// netOf is a plain net of square knots on so many folded cords.
func netOf(t testing.TB, cords int) sizing.Sized {
	return size(t, fmt.Sprintf(`piece Bench
cord main 4 mm
dowel %d cm x 20 mm
panel wave
  mount %d folded
  net square rows 24
  tail 20 cm
`, cords*2, cords))
}

func BenchmarkPiecePNG(b *testing.B) {
	for _, cords := range []int{4, 40, 200, 400} {
		sized := netOf(b, cords)
		b.Run(fmt.Sprintf("cords=%d", cords), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := picture.Piece(sized, length.Style{}).PNG()
				require.NoError(b, err)
			}
		})
	}
}

func BenchmarkPieceList(b *testing.B) {
	sized := netOf(b, 40)
	b.ReportAllocs()
	for b.Loop() {
		picture.Piece(sized, length.Style{})
	}
}

func BenchmarkPrint(b *testing.B) {
	sized := size(b, tideLine)
	b.ReportAllocs()
	for b.Loop() {
		_, err := picture.Print(sized, picture.Options{})
		require.NoError(b, err)
	}
}
