package sitting

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// Books are made once and kept, but never more than so many at a time.
func TestBooksAreKeptWithinBounds(t *testing.T) {
	var c bookCache
	made := 0
	get := func(i byte) {
		_, err := c.get([32]byte{i}, func() (*knot.Book, error) { made++; return knot.Standard(), nil })
		require.NoError(t, err)
	}
	for i := range mostBooks {
		get(byte(i))
		get(byte(i))
	}
	require.Equal(t, mostBooks, made)
	require.Len(t, c.made, mostBooks)
	get(mostBooks)
	require.Equal(t, mostBooks+1, made)
	require.Len(t, c.made, 1)
	get(0)
	require.Equal(t, mostBooks+2, made)
}

// A design is sized by the knots that it took along, then by the community's, then by
// the book; a row that cannot be read as a knot any more is passed over, and a name
// that holds a word of the sheet today is changed. Books are made once.
func TestWhichKnotANameMeans(t *testing.T) {
	row := func(name, takes string) knot.Row {
		r := pebble(takes)
		r.Name = name
		return r
	}
	s := Sitting{Standard: knot.Standard(), cache: &bookCache{}, reads: Knots, troubles: &Troubles{}}
	book, err := s.Book()
	require.NoError(t, err)
	require.Same(t, s.Standard, book, "nobody added anything")

	for _, r := range []knot.Row{row("pebble knot", "5*d"), row("shell knot", "6*d"), row("square knot", "7*d"), row("broken knot", "8*q"), row("shifted knot", "9*d")} {
		s.knots = append(s.knots, store.Entry{Name: r.Name, AddedBy: "22", Data: asJSON(t, r)})
	}
	own := []knot.Row{row("pebble knot", "4*d"), row("pebble knot", "3*d")}
	book, err = s.Book(own...)
	require.NoError(t, err)
	for name, takes := range map[string]string{"pebble knot": "4*d", "shell knot": "6*d", "square knot": "7*d", "offset knot": "9*d", "broken knot": "", "shifted knot": ""} {
		k, ok := book.Knot(name)
		require.Equal(t, takes != "", ok, name)
		if ok {
			require.Equal(t, takes, k.Roles[0].Takes, name)
		}
	}
	again, err := s.Book(own...)
	require.NoError(t, err)
	require.Same(t, book, again)
	other, err := s.Book(own[1:]...)
	require.NoError(t, err)
	k, _ := other.Knot("pebble knot")
	require.Equal(t, "3*d", k.Roles[0].Takes, "another design took another one along")

	one := Sitting{Standard: s.Standard, cache: &bookCache{}, reads: Knots, knots: s.knots[:1]}
	other, err = one.Book(own[1])
	require.NoError(t, err)
	k, _ = other.Knot("pebble knot")
	require.Equal(t, "3*d", k.Roles[0].Takes, "the design's own comes before the community's")

	// What a saved design takes along is each of its knots once, but those of the standard book.
	design, faults := sheet.Parse("cord main 4 mm\npanel a\n  mount 4 folded\n  row shell knot on left 2\n  row shell knot on right 2\n  row square knot\n  sinnet half knot times 2 on left 4\n  tail 9 cm\n", book)
	require.False(t, faults.Any(), "%v", faults)
	rows := s.UsedRows(book, design)
	require.Len(t, rows, 2)
	require.Equal(t, []string{"shell knot", "square knot"}, []string{rows[0].Name, rows[1].Name})

	packed, err := PackKnots(rows)
	require.NoError(t, err)
	back, err := KnotsOf(store.Project{Data: packed})
	require.NoError(t, err)
	require.Equal(t, rows, back)
	packed, err = PackKnots(nil)
	require.NoError(t, err)
	require.Nil(t, packed)
	back, err = KnotsOf(store.Project{})
	require.NoError(t, err)
	require.Empty(t, back)
	_, err = KnotsOf(store.Project{Name: "Gull", Data: json.RawMessage("{")})
	require.ErrorContains(t, err, `the project "Gull"`)

	listed, err := s.CommunityKnots()
	require.NoError(t, err)
	require.Len(t, listed, 5)
	require.Equal(t, "22", listed[0].AddedBy)
	s.knots[0].Data = json.RawMessage("{")
	_, err = s.CommunityKnots()
	require.ErrorContains(t, err, `the knot "pebble knot" of a community cannot be read`)
	_, err = s.Book()
	require.ErrorContains(t, err, `the knot "pebble knot" of a community cannot be read`)
}

// A saved design is read as it was written, with the knots that it took along; where
// they cannot be read, or where it cannot be helped, its sheet is as it was saved.
func TestASavedDesignInTheWordsOfToday(t *testing.T) {
	s := Sitting{Standard: knot.Standard(), cache: &bookCache{}, reads: Knots, troubles: &Troubles{}}
	before := "cord main 4 mm\npanel a\n  mount 4 folded\n  wrap length 3 cm\n  tail 9 cm\n"
	require.Contains(t, s.opened(store.Project{Sheet: before}), "  wrap for 3 cm\n")
	s.reads |= Design | Share
	s.design.record.Sheet, s.share.record.Sheet = before, before
	design, err := s.Design()
	require.NoError(t, err)
	require.Contains(t, design.Sheet, "  wrap for 3 cm\n")
	shared, err := s.Share()
	require.NoError(t, err)
	require.Contains(t, shared.Sheet, "  wrap for 3 cm\n")
	require.Equal(t, before, s.opened(store.Project{Sheet: before, Data: json.RawMessage("{")}))
	require.Equal(t, "no sheet", s.opened(store.Project{Sheet: "no sheet"}))
	s.knots = []store.Entry{{Name: "pebble knot", Data: json.RawMessage("{")}}
	require.Equal(t, before, s.opened(store.Project{Sheet: before}))
}
