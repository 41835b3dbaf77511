package ask

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"larkfold/commands/reply"
	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

var heapTexts = []struct {
	text string
	want []Heap
}{
	{"45cm", []Heap{{Count: 1, Length: 45 * length.Centimetre}}},
	{"45cm x12", []Heap{{Count: 12, Length: 45 * length.Centimetre}}},
	{"12 x 45 cm", []Heap{{Count: 12, Length: 45 * length.Centimetre}}},
	{"12 of 45cm, 3 pieces of 1.2 m", []Heap{{Count: 12, Length: 45 * length.Centimetre}, {Count: 3, Length: 120 * length.Centimetre}}},
	{"12 x 3.2m,40 x 50cm", []Heap{{Count: 12, Length: 320 * length.Centimetre}, {Count: 40, Length: 50 * length.Centimetre}}},
	{"45cm x12,1.2m x3", []Heap{{Count: 12, Length: 45 * length.Centimetre}, {Count: 3, Length: 120 * length.Centimetre}}},
	{"3 x 1,2 m; 2 x 0,5 m", []Heap{{Count: 3, Length: 120 * length.Centimetre}, {Count: 2, Length: 50 * length.Centimetre}}},
	{"45cm,\n60cm,", []Heap{{Count: 1, Length: 45 * length.Centimetre}, {Count: 1, Length: 60 * length.Centimetre}}},
	{`18" x4,2 ft 6 in x2`, []Heap{{Count: 4, Length: 18 * length.Inch}, {Count: 2, Length: 30 * length.Inch}}},
	{"1,9 m, 2,0 m x3,", []Heap{{Count: 1, Length: 190 * length.Centimetre}, {Count: 3, Length: 2 * length.Metre}}},
	{"2 spools 100 m 900 g", []Heap{{Count: 2, Length: 100 * length.Metre, Spool: true, Worth: true}}},
	{"2m30 × 4", []Heap{{Count: 4, Length: 230 * length.Centimetre}}},
	{"2 spools 100m", []Heap{{Count: 2, Length: 100 * length.Metre, Spool: true}}},
	{"2 spools of 100 m", []Heap{{Count: 2, Length: 100 * length.Metre, Spool: true}}},
	{"2x spool 100m", []Heap{{Count: 2, Length: 100 * length.Metre, Spool: true}}},
	{"spool 110 yd x3", []Heap{{Count: 3, Length: 110 * 36 * length.Inch, Spool: true}}},
	{"100 m spool", []Heap{{Count: 1, Length: 100 * length.Metre, Spool: true}}},
	{"2 x 100m spools", []Heap{{Count: 2, Length: 100 * length.Metre, Spool: true}}},
	{"spool 100m 900g, 2 spools 100 m 24.00", []Heap{{Count: 1, Length: 100 * length.Metre, Spool: true, Worth: true}, {Count: 2, Length: 100 * length.Metre, Spool: true, Worth: true}}},
	{"Spool 50m, 45cm x2", []Heap{{Count: 1, Length: 50 * length.Metre, Spool: true}, {Count: 2, Length: 45 * length.Centimetre}}},
}

// BenchmarkLongestList is a list as long as may be without a plain comma; ten times
// the length of the other takes about ten times as long.
func BenchmarkLongestList(b *testing.B) {
	for _, n := range []int{MostListed / 10, MostListed} {
		text := strings.Repeat("1,", n/2)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Items(text)
			}
		})
	}
}

// A count is looked for close before its comma, so that a long list is read in step
// with its length.
func TestACountStandsCloseBeforeItsComma(t *testing.T) {
	const close = countLooks - len("m x12")
	require.Len(t, Items("1m x"+strings.Repeat(" ", close)+"12,3"), 2)
	require.Len(t, Items("1m x"+strings.Repeat(" ", close+1)+"12,3"), 1)
}

func TestListsAreOfBoundedLength(t *testing.T) {
	_, err := Heaps(strings.Repeat("1,", MostListed))
	require.ErrorContains(t, err, "12000 characters; I read 6000 at most")
	heaps, err := Heaps(strings.Repeat("1m;", MostListed/3))
	require.NoError(t, err)
	require.Len(t, heaps, MostListed/3)
}

func TestParseHeaps(t *testing.T) {
	for _, c := range heapTexts {
		got, err := Heaps(c.text)
		require.NoError(t, err, c.text)
		for i := range got {
			got[i].typed = ""
		}
		require.Equal(t, c.want, got, c.text)
	}
}

// Whatever is typed, the answer is pieces that could lie on a table, or a refusal
// that quotes what was typed and says what would be right.
func FuzzParseHeaps(f *testing.F) {
	for _, c := range heapTexts {
		f.Add(c.text)
	}
	for _, text := range []string{"", ",", "12", "0 x 45cm", "-3 x 45cm", "99999999999999999999 x 45cm", "45cm x 0", "2 spools", "2 spools 100m x3", "5000 x 1m, 1 x 1m", "12 x", "x 12", "45cm x12,1.2", "spoolspool"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		heaps, err := Heaps(text)
		if err != nil {
			var e *reply.UserError
			require.ErrorAs(t, err, &e)
			if utf8.RuneCountInString(text) <= MostListed {
				require.Equal(t, text, e.Read)
			}
			require.NotEmpty(t, e.Wrong)
			require.NotEmpty(t, e.Right)
			return
		}
		require.NotEmpty(t, heaps)
		total := 0
		for _, h := range heaps {
			require.NoError(t, Pieces.Check(h.Length))
			require.Positive(t, h.Count)
			total += h.Count
		}
		require.LessOrEqual(t, total, MostPieces)
	})
}

// A list holds so many pieces and not one more, whether one heap or all of them
// make that many.
func TestMostPieces(t *testing.T) {
	for _, text := range []string{"5000 x 45cm", "4999 x 45cm, 1 x 60cm", "1 x 45cm"} {
		_, err := Heaps(text)
		require.NoError(t, err, text)
	}
	for _, text := range []string{"5001 x 45cm", "5000 x 45cm, 1 x 60cm", "0 x 45cm"} {
		_, err := Heaps(text)
		require.Error(t, err, text)
	}
}

// Pieces are as short and as long as is worth naming, and no more.
func TestLengthsOfPieces(t *testing.T) {
	for text, fine := range map[string]bool{"1cm": true, "0.9cm": false, "5km": true, "5001m": false} {
		_, err := Heaps(text)
		require.Equal(t, fine, err == nil, text)
	}
}
