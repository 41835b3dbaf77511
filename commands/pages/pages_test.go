package pages_test

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/pages"
	"larkfold/commands/reply"
	"larkfold/store"
)

// A long list comes in pages, each name whole and with its day; words and buttons lead
// to the others.
func TestListsComeInPages(t *testing.T) {
	a := commandstest.New(t)
	long := "A Name That Is Longer Than A Phone Is Wide"
	for n := range 2*pages.Rows + 1 {
		_, err := a.Room.Store.SaveProject(context.Background(), commandstest.Ana.Member, commandstest.Now, store.Project{Name: fmt.Sprintf("%s %02d", long, n), Sheet: commandstest.HarbourSteps}, 0)
		require.NoError(t, err)
		commandstest.Answered(t, a, fmt.Sprintf(`/rule add name:"Rule %02d" formula:"4*finished"`, n))
		commandstest.Answered(t, a, fmt.Sprintf(`/shelf add pieces:"%dcm" cord:"%d mm"`, 20+n, 1+n%9))
	}
	for _, list := range []string{"project list", "rule list", "shelf list"} {
		seen := map[string]bool{}
		rows := func(answer reply.Reply) (n int) {
			for _, b := range answer.Blocks {
				if table, ok := b.(reply.Table); ok {
					for i, row := range table.Rows {
						n++
						require.False(t, seen[strings.Join(row, "|")], "%s shows %q twice", list, row)
						seen[strings.Join(row, "|")] = true
						if list == "project list" {
							require.Equal(t, row[0]+", 2 Jan 2026", table.Short[i])
						}
					}
				}
			}
			return n
		}
		first := commandstest.Answered(t, a, "/"+list)
		require.Equal(t, pages.Rows, rows(first), list)
		require.Contains(t, commandstest.WordsOf(first), "/"+list+" page:2")
		second := commandstest.Press(t, a, first, "next page")
		require.Equal(t, pages.Rows, rows(second), list)
		require.Equal(t, commandstest.WordsOf(commandstest.Answered(t, a, "/"+list+" page:2")), commandstest.WordsOf(second))
		last := commandstest.Press(t, a, second, "next page")
		require.Positive(t, rows(last))
		require.NotContains(t, commandstest.WordsOf(last), "next page")
		require.Equal(t, commandstest.WordsOf(second), commandstest.WordsOf(commandstest.Press(t, a, last, "previous page")))
		refused := commandstest.Asked(t, a, "/"+list+" page:9")
		require.True(t, refused.Refused)
		require.Contains(t, commandstest.WordsOf(refused), "/"+list+" page:3")
	}
}

// Lists of one page say nothing of pages.
func TestShortListsHaveNoPages(t *testing.T) {
	a := commandstest.New(t)
	for _, line := range []string{"/project list", "/rule list", "/shelf list", "/swatch list"} {
		require.NotContains(t, commandstest.WordsOf(commandstest.Answered(t, a, line)), "page")
	}
}

// Swatches come by cords, six on a page.
func TestSwatchesComeInPages(t *testing.T) {
	a := commandstest.New(t)
	for n := range 7 {
		commandstest.Answered(t, a, fmt.Sprintf("/swatch add knot:sk count:10 used:%dmm thickness:%dmm", 135*(n+1), n+1))
	}
	cords := func(answer reply.Reply) []string {
		return regexp.MustCompile(`(?m)^# \d mm single-strand$`).FindAllString(commandstest.WordsOf(answer), -1)
	}
	first := commandstest.Answered(t, a, "/swatch list")
	require.Len(t, cords(first), 6)
	second := cords(commandstest.Press(t, a, first, "next page"))
	require.Len(t, second, 1)
	require.NotContains(t, cords(first), second[0])
}

// A page begins behind the one before it, the last is as long as what is left, and a
// list of nothing has one page.
func TestPagesMeetAtTheirEdges(t *testing.T) {
	for _, tt := range []struct{ entries, page, from, to int }{
		{0, 1, 0, 0}, {1, 1, 0, 1}, {3, 1, 0, 3}, {4, 1, 0, 3}, {4, 2, 3, 4}, {6, 2, 3, 6}, {7, 3, 6, 7},
	} {
		p, err := pages.Of(reply.Request{Options: map[string]string{"page": fmt.Sprint(tt.page)}}, tt.entries, 3)
		require.NoError(t, err, tt)
		require.Equal(t, []int{tt.from, tt.to}, []int{p.From, p.To}, tt)
	}
	for _, tt := range []struct{ entries, page int }{{0, 2}, {3, 2}, {3, 0}, {6, 3}} {
		_, err := pages.Of(reply.Request{Options: map[string]string{"page": fmt.Sprint(tt.page)}}, tt.entries, 3)
		require.Error(t, err, tt)
	}
}

// From a page lead buttons to its neighbours and words to the next one, or from the
// last to the first.
func TestWaysFromAPage(t *testing.T) {
	for number, want := range map[int][]string{
		1: {"Page 1 of 3. Page 2:", "/shelf list page:2", "next page shelf list 2"},
		2: {"Page 2 of 3. Page 3:", "/shelf list page:3", "previous page shelf list 1", "next page shelf list 3"},
		3: {"Page 3 of 3. Page 1:", "/shelf list page:1", "previous page shelf list 2"},
	} {
		p, err := pages.Of(reply.Request{Options: map[string]string{"page": fmt.Sprint(number)}}, 7, 3)
		require.NoError(t, err)
		blocks := p.Others("shelf list")
		said := []string{string(blocks[0].(reply.Text)), string(blocks[1].(reply.Verbatim))}
		for _, b := range blocks[2].(reply.Actions).Buttons {
			require.Equal(t, pages.Show, b.Do.Name)
			said = append(said, b.Label+" "+b.Do.Key)
		}
		require.Equal(t, want, said)
		cut := p.Cut(reply.Table{Rows: [][]string{{"a"}, {"b"}, {"c"}, {"d"}, {"e"}, {"f"}, {"g"}}, Short: []string{"a", "b", "c", "d", "e", "f", "g"}})
		require.Equal(t, cut.Short[0], cut.Rows[0][0])
		require.Equal(t, string(rune('a'+3*(number-1))), cut.Short[0])
		require.Equal(t, []int{3, 3, 1}[number-1], len(cut.Rows))
		require.Empty(t, p.Cut(reply.Table{Rows: make([][]string, 7)}).Short)
	}
}
