package drawn_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing/length"
)

func BenchmarkPiecePNG(b *testing.B) {
	for _, cords := range []int{4, 40, 200, 400} {
		sized := picturetest.NetOf(b, cords)
		b.Run(fmt.Sprintf("cords=%d", cords), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := drawn.Piece(sized, length.Style{}).PNG()
				require.NoError(b, err)
			}
		})
	}
}

func BenchmarkPieceList(b *testing.B) {
	sized := picturetest.NetOf(b, 40)
	b.ReportAllocs()
	for b.Loop() {
		drawn.Piece(sized, length.Style{})
	}
}
