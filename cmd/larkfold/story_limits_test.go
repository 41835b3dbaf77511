package main

import (
	"flag"
	"fmt"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/bot/platformtest"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

var projects = flag.Int("projects", 4, "random projects for TestEveryAnswerFitsThePlatform")

// TestEveryAnswerFitsThePlatform takes random projects, and the largest sensible
// ones, through everything that shows them. The stand-in refuses what the platform
// documents to refuse, and a refused answer fails the test.
func TestEveryAnswerFitsThePlatform(t *testing.T) {
	t.Parallel()
	s := raise(t)
	sheets := map[string]string{"many cuts": manyCuts(), "long words": longWords(), "eight panels": manyPanels()}
	valid := rapid.Custom(sheettest.Valid)
	for seed := range *projects {
		sheets[fmt.Sprint("random ", seed)] = sheet.Format(valid.Example(seed))
		if raced() {
			break
		}
	}
	var overflowed atomic.Int64
	t.Run("shown", func(t *testing.T) {
		for name, text := range sheets {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				overflowed.Add(int64(through(t, s.Member(name), text)))
			})
		}
	})
	if !t.Failed() {
		require.Positive(t, overflowed.Load(), "some answers are longer than a message")
	}
}

// through saves a sheet, asks for everything that can be had of it, and returns how
// many of the answers were longer than a message.
func through(t *testing.T, m *platformtest.Member, text string) (overflowed int) {
	t.Helper()
	saved := m.Slash("/project new name:Kittiwake sheet:" + text)
	require.Contains(t, plain(saved), "saved: Kittiwake", text)
	for _, ex := range []*platformtest.Exchange{
		saved,
		m.Slash("/project share name:Kittiwake"),
		m.Slash("/project resize name:Kittiwake thickness:3mm"),
		m.Slash("/plan project:Kittiwake spool:500m"),
		m.Slash("/dowel project:Kittiwake"),
	} {
		if whole(t, ex) {
			overflowed++
		}
	}
	for _, menu := range saved.Message.Menus {
		for _, o := range menu.Options {
			says(t, m.Choose(saved, menu.Placeholder, o.Value))
			break
		}
	}
	says(t, m.Click(saved, "see the sheet"))
	m.Click(saved, "edit") // a form, or a file where the sheet is too long for one
	m.Click(saved, "in my cord")
	require.NotEmpty(t, says(t, m.Slash("/project print name:Kittiwake")).Message.Files)
	says(t, m.Slash("/mydata export"))
	if faulty := m.Slash("/project edit name:Kittiwake sheet:" + text + "\nrow nonsense\n"); faulty.Message != nil {
		require.Contains(t, plain(faulty), "Not saved yet")
		m.Click(faulty, "mend it")
	}
	return overflowed
}

// whole insists that a message tells its caution, and that one which leaves
// something out says so and brings all of it along as a file. It reports whether this one does.
func whole(t *testing.T, ex *platformtest.Exchange) (overflowed bool) {
	t.Helper()
	says(t, ex)
	file := ex.File("answer.txt")
	require.Equal(t, file != nil, strings.Contains(plain(ex), "the whole answer is in the attached answer.txt"))
	if file == nil {
		return false
	}
	require.Equal(t, strings.Contains(string(file.Data), "Caution:"), strings.Contains(plain(ex), "Caution:"), "a caution is never left out")
	require.Greater(t, len(file.Data), 1000)
	return true
}

// manyCuts is a sheet whose every mount is a line of the cut list of its own.
func manyCuts() string {
	var b strings.Builder
	b.WriteString("piece Many Cuts\ndowel 300 cm x 30 mm\n")
	for i := range 20 {
		fmt.Fprintf(&b, "cord c%d %d mm single-strand, spool 500 m 2 kg 60.00\n", i, 3+i%3)
	}
	b.WriteString("economy\npanel front\n")
	for i := range 20 {
		fmt.Fprintf(&b, "  mount 6 folded c%d\n", i)
	}
	b.WriteString("  net square rows 12\n  bar left to middle\n  bar right to middle\n  tail 20 cm\n")
	return b.String()
}

// longWords is a sheet of names as long as they may be, of characters that count
// double for the platform, and of markup.
func longWords() string {
	name := strings.Repeat("𝕜", 20) + "*_@everyone_*"
	return "piece " + name + " <@1> https://example.org `x`\ncord " + strings.Repeat("k", 30) + " 4 mm single-strand, spool 100 m 640 g 24.00\ndowel 60 cm x 20 mm\n" +
		"panel " + strings.Repeat("p", 30) + "\n  mount 24 folded\n  net square rows 9\n  tail 20 cm\n" + strings.Repeat("# *remark* ||hidden|| @here "+strings.Repeat("ü", 60)+"\n", 30)
}

func manyPanels() string {
	var b strings.Builder
	b.WriteString("piece Eight Panels\ncord main 4 mm single-strand, spool 500 m 3 kg 60.00\ndowel 300 cm x 30 mm\n")
	for i := range 8 {
		fmt.Fprintf(&b, "panel p%d\n  mount %d folded\n  net square rows %d\n  sinnet half times 10\n  tail %d cm\n", i, 16+2*i, 6+3*i, 10+i)
	}
	b.WriteString("hanger angle 50\n")
	return b.String()
}
