package picture_test

import (
	"bytes"
	"context"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

const tideLine = `piece Tide Line
cord main 4 mm single-strand, spool 100 m 900 g 24.00
cord deep 4 mm plied
dowel 60 cm x 20 mm birch
margin 8%

panel wave
  mount 12 folded main
  row square
  net square rows 6
  taper square
  bar left to middle
  bar right to middle
  space 3 cm
  sinnet half times 12 on 1-4, 21-24
  gather left to middle
  gather right to middle
  wrap turns 6 with deep
  tail 18 cm
fringe 12 cm by 2 on left of wave
hanger rise 15 cm
`

func size(t testing.TB, text string) sizing.Plan {
	t.Helper()
	p, err := sizing.Size(context.Background(), text, sizing.Bench{Book: knot.Standard()})
	require.NoError(t, err)
	return p
}

func TestPictureFitsAChat(t *testing.T) {
	d := picture.Piece(size(t, tideLine), length.Style{})
	data, err := d.PNG()
	require.NoError(t, err)
	require.Less(t, len(data), 1<<20)
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	require.LessOrEqual(t, img.Bounds().Dx(), 1600)
}
