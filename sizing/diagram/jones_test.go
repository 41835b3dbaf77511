package diagram

import (
	"encoding/csv"
	"math"
	"math/cmplx"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// braidCode is the closed braid of a word: i crosses strands i and i+1, positively
// where the left one, running down, passes over to the right.
func braidCode(word []int) Code {
	strands := 0
	for _, g := range word {
		strands = max(strands, abs(g)+1)
	}
	at := make([]int, strands)
	visits := make([][]Visit, strands) // by the place a strand starts from
	for i := range at {
		at[i] = i
	}
	for n, g := range word {
		i := abs(g) - 1
		left, right := at[i], at[i+1]
		visits[left] = append(visits[left], Visit{n + 1, g > 0, sign(g)})
		visits[right] = append(visits[right], Visit{n + 1, g < 0, sign(g)})
		at[i], at[i+1] = right, left
	}
	ends := make([]int, strands)
	for place, strand := range at {
		ends[strand] = place
	}
	var code Code
	seen := make([]bool, strands)
	for i := range strands {
		var one []Visit
		for at := i; !seen[at]; at = ends[at] {
			seen[at] = true
			one = append(one, visits[at]...)
		}
		if one != nil {
			code = append(code, one)
		}
	}
	return code
}

func abs(n int) int  { return max(n, -n) }
func sign(n int) int { return n / abs(n) }

// statesOf is Kauffman's state sum as it is written: every crossing smoothed both
// ways, the rings of every state counted.
func statesOf(c Code) Laurent {
	crossings, loose := c.arcs()
	total := Laurent{}
	for state := range 1 << len(crossings) {
		root := map[int]int{}
		var find func(int) int
		find = func(a int) int {
			if p, ok := root[a]; ok && p != a {
				return find(p)
			}
			root[a] = a
			return a
		}
		power := 0
		for i, x := range crossings {
			pairs := [2][2]int{{x[0], x[1]}, {x[2], x[3]}}
			power++
			if state>>i&1 == 1 {
				pairs = [2][2]int{{x[0], x[3]}, {x[1], x[2]}}
				power -= 2
			}
			for _, p := range pairs {
				root[find(p[0])] = find(p[1])
			}
		}
		rings := loose
		for a := range root {
			if find(a) == a {
				rings++
			}
		}
		term := Laurent{power: 1}
		for range rings - 1 {
			term = term.Times(ring())
		}
		total.add(term, 1, 0)
	}
	return total
}

func (j Jones) at(root complex128) complex128 {
	sum := complex(0, 0)
	for e, c := range j.Laurent {
		sum += complex(float64(c), 0) * cmplx.Pow(root, complex(float64(e), 0))
	}
	return sum
}

// burau is the Jones polynomial of a closed 3-braid from its reduced Burau matrix:
// V = (-sqrt t)^e (t + 1/t + trace), V. F. R. Jones, Hecke algebra representations of
// braid groups and link polynomials, Annals of Mathematics 126 (1987), there in 1/t.
func burau(word []int, t complex128) complex128 {
	m := [2][2]complex128{{1, 0}, {0, 1}}
	e := 0
	for _, g := range word {
		s := [2][2]complex128{{-t, 1}, {0, 1}}
		if abs(g) == 2 {
			s = [2][2]complex128{{1, 0}, {t, -t}}
		}
		if g < 0 {
			det := s[0][0]*s[1][1] - s[0][1]*s[1][0]
			s = [2][2]complex128{{s[1][1] / det, -s[0][1] / det}, {-s[1][0] / det, s[0][0] / det}}
		}
		var p [2][2]complex128
		for i := range 2 {
			for j := range 2 {
				p[i][j] = m[i][0]*s[0][j] + m[i][1]*s[1][j]
			}
		}
		m, e = p, e+sign(g)
	}
	return cmplx.Pow(-cmplx.Sqrt(t), complex(float64(e), 0)) * (t + 1/t + m[0][0] + m[1][1])
}

// rational is the size, at |A| = 1, of the bracket of a two-bridge link by its
// Conway notation: a tangle is a times the one of two level arcs and b times that of
// two upright ones; one more crossing at its side is a matrix, a turn on the page
// swaps a and b (J. R. Goldman, L. H. Kauffman, Rational tangles, Advances in Applied
// Mathematics 18, 1997).
func rational(notation []int, a complex128) float64 {
	level, upright := complex(1, 0), complex(0, 0)
	ring := -a*a - 1/(a*a)
	for i, n := range notation {
		if i > 0 { // reflected in the falling diagonal, every crossing with it
			level, upright = upright, level
			a = 1 / a
		}
		for range n {
			level, upright = a*level, level/a+(a+ring/a)*upright
		}
		if i == 0 {
			continue
		}
	}
	return cmplx.Abs(level*ring*1 + upright)
}

func TestTypesByOtherMeans(t *testing.T) {
	f, err := os.Open("../../testdata/knots/types.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	trefoils := func(n int) Laurent {
		left, right := braidCode([]int{-1, -1, -1}).Jones().Laurent, braidCode([]int{1, 1, 1}).Jones().Laurent
		p := Laurent{0: 1}
		for range n {
			p = p.Times(left).Times(right)
		}
		return p
	}
	for _, r := range rows[1:] {
		name, want := r[0], r[1]
		how, rest, _ := strings.Cut(r[2], " ")
		var word []int
		for _, w := range strings.Fields(rest) {
			n, err := strconv.Atoi(w)
			require.NoError(t, err)
			word = append(word, n)
		}
		switch how {
		case "braid":
			v := braidCode(word).Jones()
			if m := (Jones{v.Mirror()}); m.String() == want {
				v = m // the mirror image of a named link is named beside it
			}
			got := v.String()
			if code := braidCode(word); len(code) > 1 && strings.Contains(name, "7^2_6") {
				require.InDelta(t, 0, code.Turns(0, 1), 0, name)
			}
			require.Equal(t, want, got, name)
			three := true
			for _, g := range word {
				three = three && abs(g) < 3
			}
			if three {
				for _, angle := range []float64{0.3, 0.9, 1.4} {
					root := cmplx.Rect(1, angle)
					plain := braidCode(threeStrands(word)).Jones()
					require.InDelta(t, cmplx.Abs(plain.at(root)), cmplx.Abs(burau(threeStrands(word), root*root)), 1e-9, name)
				}
			}
			if len(word) <= 12 {
				require.Equal(t, statesOf(braidCode(word)), braidCode(word).bracket(), name)
			}
		case "conway":
			j := parse(t, want)
			for _, angle := range []float64{0.3, 0.9, 1.4} {
				a := cmplx.Rect(1, -angle/2) // t = A^-4
				require.InDelta(t, rational(word, a), cmplx.Abs(j.at(cmplx.Rect(1, angle))), 1e-9, "%s at %g", name, angle)
			}
		case "product":
			n := 1
			if strings.HasPrefix(name, "4 ") {
				n = 4
			}
			require.Equal(t, want, Jones{trefoils(n)}.String(), name)
		default:
			t.Fatalf("%s is made by %q", name, how)
		}
	}
}

// threeStrands is the same closed braid on three strands: one more crossing that
// does not knot.
func threeStrands(word []int) []int {
	for _, g := range word {
		if abs(g) == 2 {
			return word
		}
	}
	return append(append([]int{}, word...), 2)
}

// parse reads a polynomial as String writes it.
func parse(t *testing.T, text string) Jones {
	t.Helper()
	j := Jones{Laurent{}}
	text = strings.ReplaceAll(strings.ReplaceAll(text, " - ", " -"), " + ", " ")
	for _, term := range strings.Fields(text) {
		coefficient, power := 1, 0
		head, tail, has := strings.Cut(term, "t")
		switch head {
		case "":
		case "-":
			coefficient = -1
		default:
			n, err := strconv.Atoi(head)
			require.NoError(t, err, term)
			coefficient = n
		}
		if has {
			power = 2
			if tail = strings.Trim(tail, "^()"); tail != "" {
				number, half := strings.CutSuffix(tail, "/2")
				n, err := strconv.Atoi(number)
				require.NoError(t, err, term)
				power = n
				if !half {
					power = 2 * n
				}
			}
		}
		j.Laurent[power] = coefficient
	}
	require.Equal(t, text, strings.ReplaceAll(strings.ReplaceAll(j.String(), " - ", " -"), " + ", " "))
	return j
}

// A trefoil drawn as a curve is right-handed when its crossings are positive.
func TestTrefoilInSpace(t *testing.T) {
	var line []Point
	for i := 0; i <= 120; i++ {
		a := 2 * math.Pi * (float64(i) + 0.3) / 120
		line = append(line, Point{X: math.Sin(a) + 2*math.Sin(2*a), Y: -(math.Cos(a) - 2*math.Cos(2*a)), Z: -math.Sin(3 * a)})
	}
	code := CodeOf([][]Point{line})
	require.Len(t, code[0], 6)
	require.Equal(t, 3, abs(code.Writhe()))
	want := "t + t^3 - t^4"
	if code.Writhe() < 0 {
		want = "-t^-4 + t^-3 + t^-1"
	}
	require.Equal(t, want, code.Jones().String())
}

// A ring beside others, and a ring with a twist in it.
func TestRings(t *testing.T) {
	require.Equal(t, "1", Code{{}}.Jones().String())
	require.Equal(t, "-t^(-1/2) - t^(1/2)", Code{{}, {}}.Jones().String())
	require.Equal(t, "1", Code{{{1, true, 1}, {1, false, 1}}}.Jones().String())
	require.Equal(t, "1", Code{{{1, false, -1}, {1, true, -1}}}.Jones().String())
}

func TestTurns(t *testing.T) {
	require.Equal(t, 1, braidCode([]int{1, 1}).Turns(0, 1))
	require.Equal(t, -2, braidCode([]int{-1, -1, -1, -1}).Turns(0, 1))
	require.Equal(t, 0, braidCode([]int{1, -1}).Turns(0, 1))
}
