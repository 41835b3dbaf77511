package say_test

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/commands/say"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
	"larkfold/sizing/trace"
	"larkfold/sizing/vocabulary"
)

// follower does what instructions say, knowing only how many ends there are. It is
// independent of the sheet and of the trace: it counts ends from the left, ties what
// it is told to tie, and moves ends as it is told to.
type follower struct {
	t     require.TestingT
	order []int    // who stands where
	next  int      // the next new end
	tied  []string // knot and ends, as "square knot [1 2 3 4]"
}

var (
	groupForm  = regexp.MustCompile(`each (\d+) ends from (\d+) (to|round to) (\d+)|each end from (\d+) (to|round to) (\d+)|ends (\d+) (to|round to) (\d+)|ends (\d+(?:, \d+)* and \d+)|\bend (\d+)`)
	rowForm    = regexp.MustCompile(`^(\d+) (.+?) on (.+)$`)
	carryForm  = regexp.MustCompile(`^Carry end (\d+) to the (left|right)[^:]*: ends? (\d+)(?: to (\d+))? `)
	thenForm   = regexp.MustCompile(`; it is end (\d+) then`)
	timesForm  = regexp.MustCompile(`; do this (\d+) times in all`)
	addedForm  = regexp.MustCompile(`; (?:they are ends|it is end) (\d+)(?: to (\d+))? then`)
	againForm  = regexp.MustCompile(`^Do steps? (\d+)(?: to (\d+))? again, (\d+) times? more`)
	numberForm = regexp.MustCompile(`\d+`)
)

func atoi(s string) int { n, _ := strconv.Atoi(s); return n }

// groups are the groups of places that a text names.
func (f *follower) groups(text string) (groups [][]int) {
	chain := func(size, from, to int) {
		if to < from {
			to += len(f.order)
		}
		for p := from; p+size-1 <= to; p += size {
			var group []int
			for q := range size {
				group = append(group, (p+q-1)%len(f.order))
			}
			groups = append(groups, group)
		}
	}
	for _, m := range groupForm.FindAllStringSubmatch(text, -1) {
		switch {
		case m[1] != "":
			chain(atoi(m[1]), atoi(m[2]), atoi(m[4]))
		case m[5] != "":
			chain(1, atoi(m[5]), atoi(m[7]))
		case m[8] != "":
			from, to := atoi(m[8]), atoi(m[10])
			if to < from {
				to += len(f.order)
			}
			chain(to-from+1, from, to)
		case m[11] != "":
			var group []int
			for _, n := range numberForm.FindAllString(m[11], -1) {
				group = append(group, atoi(n)-1)
			}
			groups = append(groups, group)
		default:
			groups = append(groups, []int{atoi(m[12]) - 1})
		}
	}
	return groups
}

// tie ties one knot by a group of places.
func (f *follower) tie(knot string, places []int, cross bool) {
	ids := make([]int, len(places))
	for i, p := range places {
		require.Less(f.t, p, len(f.order), "there is no end %d", p+1)
		ids[i] = f.order[p]
	}
	f.tied = append(f.tied, fmt.Sprint(knot, ids))
	if last := len(places) - 1; cross && last > 0 {
		f.order[places[0]], f.order[places[last]] = f.order[places[last]], f.order[places[0]]
	}
}

// row ties "6 square knots on each 4 ends from 1 to 24".
func (f *follower) row(text string) {
	m := rowForm.FindStringSubmatch(text)
	require.NotNil(f.t, m, text)
	groups := f.groups(m[3])
	require.Len(f.t, groups, atoi(m[1]), text)
	for _, g := range groups {
		f.tie(singular(m[2]), g, strings.Contains(text, "changing sides"))
	}
}

// singular is the knot that a plural names.
func singular(name string) string {
	for _, k := range knot.Standard().Knots() {
		if name == k.Name || name == noun.Plural(k.Name) {
			return k.Name
		}
	}
	return "?" + name
}

func (f *follower) follow(steps []string) {
	for i, s := range steps {
		f.step(steps[:i], strings.TrimSuffix(s, "."))
	}
}

func (f *follower) step(before []string, s string) {
	switch {
	case strings.HasPrefix(s, "One row: "):
		f.row(strings.TrimPrefix(s, "One row: "))
	case regexp.MustCompile(`^\d+ rows? of `).MatchString(s):
		f.rows(s)
	case strings.HasPrefix(s, "One below the other, "):
		m := rowForm.FindStringSubmatch(strings.TrimPrefix(s, "One below the other, "))
		require.NotNil(f.t, m, s)
		for range atoi(m[1]) {
			for _, g := range f.groups(m[3]) {
				f.tie(singular(m[2]), g, strings.Contains(s, "changing sides"))
			}
		}
	case strings.HasPrefix(s, "Carry end "):
		f.carry(s)
	case strings.HasPrefix(s, "Hitch "):
		for _, g := range f.groups(s) {
			f.tie("double half hitch", g, false)
		}
	case strings.HasPrefix(s, "Plait "):
		name := "three-strand plait"
		if strings.Contains(s, " in four strands") {
			name = "four-strand plait"
		}
		for _, g := range f.groups(s) {
			f.tie(name, g, false)
		}
	case strings.HasPrefix(s, "A gathering wrap"):
		_, round, _ := strings.Cut(s, " round ")
		for _, g := range f.groups(round) {
			f.tie("gathering wrap", g, false)
		}
	case strings.HasPrefix(s, "Add "):
		m := addedForm.FindStringSubmatch(s)
		require.NotNil(f.t, m, s)
		from, to := atoi(m[1]), max(atoi(m[1]), atoi(m[2]))
		for p := from; p <= to; p++ {
			f.order = slices.Insert(f.order, p-1, f.next)
			f.next++
		}
	case strings.HasPrefix(s, "Do step"):
		m := againForm.FindStringSubmatch(s)
		require.NotNil(f.t, m, s)
		from, to := atoi(m[1]), max(atoi(m[1]), atoi(m[2]))
		for range atoi(m[3]) {
			f.follow(before[from-1 : to])
		}
	}
}

// rows does "6 rows of …: rows 1, 3 and 5: …; rows 2, 4 and 6: …".
func (f *follower) rows(s string) {
	at := regexp.MustCompile(`: rows? \d`).FindStringIndex(s)
	require.NotNil(f.t, at, s)
	byRow := map[int]string{}
	for _, part := range strings.Split(s[at[0]+2:], "; ") {
		which, what, ok := strings.Cut(part, ": ")
		require.True(f.t, ok, part)
		var n []int
		for _, one := range numberForm.FindAllString(which, -1) {
			n = append(n, atoi(one))
		}
		if strings.Contains(which, " and so on to ") {
			step, last := n[1]-n[0], n[2]
			for n = n[:2]; n[len(n)-1] < last; {
				n = append(n, n[len(n)-1]+step)
			}
		}
		for _, row := range n {
			byRow[row] = what
		}
	}
	require.Len(f.t, byRow, atoi(numberForm.FindString(s)), s)
	for row := 1; row <= len(byRow); row++ {
		f.row(byRow[row])
	}
}

// carry takes an end over others, as often as it is told to.
func (f *follower) carry(s string) {
	m, then := carryForm.FindStringSubmatch(s), thenForm.FindStringSubmatch(s)
	require.NotNil(f.t, m, s)
	require.NotNil(f.t, then, s)
	times := 1
	if again := timesForm.FindStringSubmatch(s); again != nil {
		times = atoi(again[1])
	}
	from, first, last := atoi(m[1])-1, atoi(m[3])-1, atoi(m[3])-1
	if m[4] != "" {
		last = atoi(m[4]) - 1
	}
	step := 1
	if m[2] == "left" {
		step = -1
	}
	require.Equal(f.t, from+step, first, s)
	require.Equal(f.t, atoi(then[1])-1, last, s)
	for range times {
		carrier := f.order[from]
		for p := first; p != last+step; p += step {
			f.tied = append(f.tied, fmt.Sprint("double half hitch", []int{carrier, f.order[p]}))
		}
		f.order = slices.Delete(f.order, from, from+1)
		f.order = slices.Insert(f.order, last, carrier)
	}
}

// read checks that instructions, followed, give the knots that were traced, by the
// same ends, and leave the ends in the same order.
func read(t require.TestingT, r trace.Result) {
	told := say.Instructions(r, length.Style{})
	for i, p := range r.Sheet.Panels {
		f := &follower{t: t}
		var start []int // the ends in hand at the beginning, as the trace numbers them
		for _, from := range r.Panels[i].From {
			for _, e := range r.Panels[from].Ends {
				if !r.Panels[from].BothWays || r.Ends[e].Side == trace.Left {
					start = append(start, e)
				}
			}
		}
		added := map[int]bool{}
		for _, s := range r.Strands {
			for _, e := range s.Ends {
				if s.Panel == i && !s.Added && (!p.BothWays || r.Ends[e].Side == trace.Left) {
					start = append(start, e)
				}
				added[e] = s.Added
			}
		}
		for n := range start {
			f.order = append(f.order, n)
		}
		f.next = len(start)
		for _, s := range r.Strands {
			if s.Panel == i && s.Added {
				start = append(start, s.Ends...)
			}
		}
		f.follow(told[i].Steps)
		byTrace := map[int]int{}
		for n, e := range start {
			byTrace[e] = n
		}
		var want []string
		for _, k := range r.Placed {
			if k.Panel != i || p.BothWays && r.Ends[k.Ends[0]].Side == trace.Right {
				continue
			}
			ids := make([]int, len(k.Ends))
			for n, e := range k.Ends {
				ids[n] = byTrace[int(e)]
			}
			want = append(want, fmt.Sprint(k.Knot.Name, ids))
		}
		sort.Strings(want)
		sort.Strings(f.tied)
		require.Equal(t, want, f.tied, "%s\n%s", sheet.Format(r.Sheet), strings.Join(told[i].Steps, "\n"))
		var order []int
		for _, e := range r.Panels[i].Ends[:len(f.order)] {
			order = append(order, byTrace[e])
		}
		require.Equal(t, order, f.order, strings.Join(told[i].Steps, "\n"))
	}
}

func traced(t require.TestingT, s sheet.Sheet) trace.Result {
	r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	require.Empty(t, found, sheet.Format(s))
	return r
}

func TestInstructionsGiveWhatWasSized(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { read(t, traced(t, sheettest.Valid(t))) })
}

func TestInstructionsOfEveryExampleGiveWhatWasSized(t *testing.T) {
	for _, w := range vocabulary.Words() {
		s, faults := sheet.Parse(w.Sheet(), knot.Standard())
		require.NoError(t, faults.Err())
		read(t, traced(t, s))
	}
}
