package knot

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEveryRowSaysWhereItsNumbersComeFrom(t *testing.T) {
	for _, k := range Standard().Knots() {
		require.NotEmpty(t, k.Source, k.Name)
		require.Contains(t, []Trust{High, Medium, Low}, k.Trust, k.Name)
		require.NotEmpty(t, k.About, k.Name)
		require.NotEmpty(t, k.HowTo, k.Name)
		require.Regexp(t, `^[A-Z0-9]{2,3}$`, k.Short, k.Name)
	}
}

// sample is a row that is right.
func sample() Row {
	return Row{
		Name: "bead knot", Shape: Group, Ends: 4, Fewest: 3, Most: 12,
		Roles:  []Role{{Name: "worker", Works: true, Takes: "turn(k) + 8*d"}, {Name: "filler", Takes: "pitch"}},
		Places: []string{"worker", "filler...", "worker"}, Pitch: "4*d", Height: "pitch", Width: "6*d",
		Source: "measured by its finder, 12 samples", Trust: Low,
	}
}

func TestRowsRefused(t *testing.T) {
	_, err := Compile(sample())
	require.NoError(t, err)
	for _, c := range []struct {
		name   string
		change func(*Row)
		want   string
	}{
		{"no name", func(r *Row) { r.Name = " " }, "a knot needs a name"},
		{"no source", func(r *Row) { r.Source = "" }, `names no source`},
		{"a blank source", func(r *Row) { r.Source = "  " }, `names no source`},
		{"a pattern without a source", func(r *Row) { r.Shape, r.Source = Pattern, "" }, `names no source`},
		{"no roles", func(r *Row) { r.Roles = nil }, "it has no roles"},
		{"a range of no ends", func(r *Row) { r.Fewest = 0 }, "which is no range"},
		{"a usual number outside its range", func(r *Row) { r.Ends = 20 }, "which is no range"},
		{"a place without a role", func(r *Row) { r.Places[1] = "core..." }, `the place "core..." names no role; the roles are worker, filler`},
		{"no places", func(r *Row) { r.Places = nil }, "which end does what"},
		{"two fills", func(r *Row) { r.Places = []string{"worker...", "filler..."} }, "only one can fill"},
		{"places that do not fill", func(r *Row) { r.Places = []string{"worker", "filler", "worker"} }, "its places name 3 ends, but it takes 3 to 12"},
		{"fewer ends than places", func(r *Row) { r.Fewest = 1 }, "its places name 2 ends beside those that fill, but it takes 1 to 12"},
		{"no height", func(r *Row) { r.Height = "" }, "it has no height"},
		{"an unknown shape", func(r *Row) { r.Shape = "blob" }, `"blob" is no shape`},
		{"a formula that is none", func(r *Row) { r.Roles[0].Takes = "turn(" }, `knot "bead knot", what the worker takes`},
		{"a height that is no length", func(r *Row) { r.Height = "4" }, `knot "bead knot", its height`},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := sample()
			c.change(&r)
			_, err := Compile(r)
			require.ErrorContains(t, err, c.want)
		})
	}
	_, err = Standard().With(sample(), sample())
	require.ErrorContains(t, err, `the name "bead knot" already means the bead knot`)
	_, err = Standard().With(Row{Name: "Flat Knot", Shape: Pattern, Source: "x"})
	require.ErrorContains(t, err, "already means the square knot")
}

// Every number of ends that fits is cast: one role for each end, the same workers
// however many fill.
func TestCast(t *testing.T) {
	for _, k := range Standard().Knots() {
		if k.Shape != Group {
			continue
		}
		for n := 1; n <= 80; n++ {
			if k.Fits(n) != nil {
				continue
			}
			roles, cores := k.Cast(n)
			require.Len(t, roles, n, k.Name)
			works := 0
			for _, r := range roles {
				if k.Roles[r].Works {
					works++
				}
			}
			require.Equal(t, n, works+cores)
			require.Positive(t, works)
		}
	}
	square, _ := Standard().Knot("sk")
	roles, cores := square.Cast(5)
	require.Equal(t, []int{0, 1, 1, 1, 0}, roles)
	require.Equal(t, 3, cores)
	hitch, _ := Standard().Knot("half hitch")
	roles, cores = hitch.Cast(3)
	require.Equal(t, []int{0, 1, 1}, roles)
	require.Equal(t, 2, cores)
}

func TestNamesAreFound(t *testing.T) {
	for name, want := range map[string]string{
		"SK": "square knot", "square": "square knot", "Square Knots": "square knot", "larks-head": "lark's head", "lark’s head": "lark's head",
		"half hitches": "half hitch", "dhh": "double half hitch", "braid": "three-strand plait", "net": "alternating net",
	} {
		got, ok := Standard().Find(name)
		require.True(t, ok, name)
		require.Equal(t, want, got, name)
	}
	for _, name := range []string{"", "  ", "knot", "granny", "s"} {
		_, ok := Standard().Find(name)
		require.False(t, ok, name)
	}
	require.Equal(t, "square knot", Standard().Nearest("sqare knot")[0])
	require.Empty(t, Standard().Nearest("xylophone"))
}

// What the trade calls its knots, and books and patterns before it (common
// practice, no source): each name finds the knot it means.
func TestTradeNamesAreFound(t *testing.T) {
	for name, want := range map[string]string{
		"flat knot": "square knot", "reef knot": "square knot", "solomon's knot": "square knot", "cobra knot": "square knot", "left square knot": "square knot",
		"reverse square knot": "right square knot", "right-handed square knot": "right square knot",
		"spiral stitch": "half knot", "half square knot": "half knot", "twisted knot": "half knot", "left half knot": "half knot", "reverse half knot": "right half knot",
		"cow hitch": "lark's head", "girth hitch": "lark's head", "reverse lark's head": "reversed lark's head",
		"clove hitch": "double half hitch", "horizontal double half hitch": "double half hitch", "diagonal double half hitch": "double half hitch", "diagonal clove hitch": "double half hitch",
		"vertical clove hitch": "vertical double half hitch", "buttonhole stitch": "half hitch", "tatting knot": "vertical lark's head",
		"popcorn knot": "berry knot", "bobble": "berry knot", "thumb knot": "overhand knot", "barrel knot": "barrel knot", "coil knot": "barrel knot",
		"4 strand braid": "four-strand plait", "crown knot": "crown sinnet", "josephine": "josephine knot", "carrick bend": "josephine knot",
		"chain knot": "alternating half-hitch chain", "gathering knot": "gathering wrap", "whipping": "gathering wrap", "wrapping knot": "gathering wrap",
		"alternating square knots": "alternating net", "rya knot": "fringe lark's head",
	} {
		got, ok := Standard().Find(name)
		require.True(t, ok, name)
		require.Equal(t, want, got, name)
	}
}

// A knot that a community named before the book had one of that name goes on
// meaning it, its formulas and all.
func TestKeptRowsKeepTheirNames(t *testing.T) {
	own := sample()
	own.Name = "Josephine"
	_, err := Standard().With(own)
	require.ErrorContains(t, err, "already means the josephine knot")
	book, err := Standard().Kept(own)
	require.NoError(t, err)
	k, ok := book.Knot("josephine")
	require.True(t, ok)
	require.Equal(t, own.Pitch, k.Pitch)
	require.Nil(t, k.Diagram)
	k, ok = book.Knot("josephine knot")
	require.True(t, ok)
	require.NotNil(t, k.Diagram, "the book's own is still there by its full name")
	own.Name = "josephine knot"
	book, err = Standard().Kept(own)
	require.NoError(t, err)
	require.Len(t, book.Knots(), len(Standard().Knots()), "one takes the other's place")
}

// A row is right up to the edge of what it may say, and wrong one step beyond.
func TestEdgesOfARow(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(r *Row, beyond int)
	}{
		{"a name of 40 letters", func(r *Row, beyond int) { r.Name = strings.Repeat("n", 40+beyond) }},
		{"usually as few ends as can be", func(r *Row, beyond int) { r.Ends = r.Fewest - beyond }},
		{"usually as many ends as can be", func(r *Row, beyond int) { r.Ends = r.Most + beyond }},
		{"one end", func(r *Row, beyond int) { r.Places, r.Fewest = []string{"worker..."}, 1-beyond }},
		{"nothing that fills", func(r *Row, beyond int) { r.Fewest = 2 - beyond }},
		{"a place for every end", func(r *Row, beyond int) {
			r.Places, r.Fewest, r.Ends, r.Most = []string{"worker", "filler", "worker"}, 3, 3, 3+beyond
		}},
		{"an end for every place", func(r *Row, beyond int) {
			r.Places, r.Fewest, r.Ends, r.Most = []string{"worker", "filler", "worker"}, 3-beyond, 3, 3
		}},
		{"one place that fills", func(r *Row, beyond int) { r.Places = append(r.Places, []string{"filler..."}[:beyond]...) }},
	} {
		for beyond := range 2 {
			r := sample()
			tt.change(&r, beyond)
			_, err := Compile(r)
			require.Equal(t, beyond > 0, err != nil, "%s and %d beyond: %v", tt.name, beyond, err)
		}
	}
}

// How many ends fit, and how it is said when they do not.
func TestFits(t *testing.T) {
	r := Row{Name: "overhand knot", Fewest: 2, Most: 8, Step: 2}
	for n, want := range map[int]string{
		1: "an overhand knot takes 2 to 8 ends, not 1", 2: "", 3: "an overhand knot takes a multiple of 2 ends, not 3", 8: "", 9: "an overhand knot takes 2 to 8 ends, not 9",
	} {
		if want == "" {
			require.NoError(t, r.Fits(n))
			continue
		}
		require.EqualError(t, r.Fits(n), want)
	}
	r.Step = 1
	require.NoError(t, r.Fits(3))
	r.Most = 2
	require.EqualError(t, r.Fits(3), "an overhand knot takes 2 ends, not 3")
}
