package commands

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"larkfold/commands/reply"
	"larkfold/store"

	"github.com/stretchr/testify/require"
)

// A long list comes in pages, each name whole and with its day; words and buttons lead
// to the others.
func TestListsComeInPages(t *testing.T) {
	a := newQuickApp(t)
	long := "A Name That Is Longer Than A Phone Is Wide"
	for n := range 2*pageRows + 1 {
		_, err := a.room.Store.SaveProject(context.Background(), ana.Member, now, store.Project{Name: fmt.Sprintf("%s %02d", long, n), Sheet: sheetSample}, 0)
		require.NoError(t, err)
		answered(t, a, fmt.Sprintf(`/rule add name:"Rule %02d" formula:"4*finished"`, n))
		answered(t, a, fmt.Sprintf(`/shelf add pieces:"%dcm" cord:"%d mm"`, 20+n, 1+n%9))
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
		first := answered(t, a, "/"+list)
		require.Equal(t, pageRows, rows(first), list)
		require.Contains(t, wordsOf(first), "/"+list+" page:2")
		second := press(t, a, first, "next page")
		require.Equal(t, pageRows, rows(second), list)
		require.Equal(t, wordsOf(answered(t, a, "/"+list+" page:2")), wordsOf(second))
		last := press(t, a, second, "next page")
		require.Positive(t, rows(last))
		require.NotContains(t, wordsOf(last), "next page")
		require.Equal(t, wordsOf(second), wordsOf(press(t, a, last, "previous page")))
		refused := asked(t, a, "/"+list+" page:9")
		require.True(t, refused.Refused)
		require.Contains(t, wordsOf(refused), "/"+list+" page:3")
	}
}

// Lists of one page say nothing of pages.
func TestShortListsHaveNoPages(t *testing.T) {
	a := newQuickApp(t)
	for _, line := range []string{"/project list", "/rule list", "/shelf list", "/swatch list"} {
		require.NotContains(t, wordsOf(answered(t, a, line)), "page")
	}
}

// Swatches come by cords, six on a page.
func TestSwatchesComeInPages(t *testing.T) {
	a := newQuickApp(t)
	for n := range 7 {
		answered(t, a, fmt.Sprintf("/swatch add knot:sk count:10 used:%dmm thickness:%dmm", 135*(n+1), n+1))
	}
	cords := func(answer reply.Reply) []string {
		return regexp.MustCompile(`(?m)^# \d mm single-strand$`).FindAllString(wordsOf(answer), -1)
	}
	first := answered(t, a, "/swatch list")
	require.Len(t, cords(first), 6)
	second := cords(press(t, a, first, "next page"))
	require.Len(t, second, 1)
	require.NotContains(t, cords(first), second[0])
}
