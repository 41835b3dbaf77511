package say

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"time"

	"larkfold/commands/reply"
	"larkfold/sizing/formula"
	"larkfold/sizing/noun"
)

// Decimals writes a number with as many decimals as its last place is worth.
func Decimals(value, place float64) string {
	n := 0
	for place < 1 && n < 6 {
		place *= 10
		n++
	}
	return strconv.FormatFloat(value, 'f', n, 64)
}

// Figures writes a number to three figures, or to the whole when it is larger.
func Figures(x float64) string {
	if x <= 0 {
		return "0"
	}
	if x < 100 {
		x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64) // 99.96 is 100 then
	}
	if x >= 100 {
		return strconv.FormatFloat(math.RoundToEven(x), 'f', 0, 64)
	}
	return strconv.FormatFloat(x, 'f', 2-int(math.Floor(math.Log10(x))), 64)
}

// Numbered writes steps with their numbers, a line each.
func Numbered(steps []string) string {
	lines := make([]string, len(steps))
	for i, s := range steps {
		lines[i] = fmt.Sprintf("%d. %s", i+1, s)
	}
	return strings.Join(lines, "\n")
}

// Percent writes a share in percent.
func Percent(share float64) string { return fmt.Sprintf("%.3g %%", share*100) }

// Sentence begins with a capital and ends with a stop.
func Sentence(text string) string {
	if text == "" {
		return ""
	}
	text = noun.Capital(text)
	if !strings.ContainsAny(text[len(text)-1:], ".?!") {
		text += "."
	}
	return text
}

// Formula is every name and function that formulas of this use may hold.
func Formula(use formula.Use) []reply.Fact {
	var facts []reply.Fact
	for _, n := range formula.Names(use) {
		facts = append(facts, reply.Fact{Label: n.Form, Value: n.Meaning})
	}
	return append(facts, reply.Fact{Label: "+ - * / ^ ( )", Value: "the signs; a bare number is not a length: write 10 cm"})
}

// byCount are the names of a count, the most frequent first.
func byCount(counts map[string]int) []string {
	names := make([]string, 0, len(counts))
	for name := range counts {
		names = append(names, name)
	}
	sort.Slice(names, func(i, j int) bool {
		if counts[names[i]] != counts[names[j]] {
			return counts[names[i]] > counts[names[j]]
		}
		return names[i] < names[j]
	})
	return names
}

// Day is a day as answers write it.
func Day(t time.Time) string { return t.Format("2 Jan 2006") }

// Shortened is a text of so many characters at most.
func Shortened(text string, most int) string {
	r := []rune(text)
	if len(r) <= most {
		return text
	}
	return string(r[:most-1]) + "…"
}
