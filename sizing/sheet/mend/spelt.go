package mend

import (
	"regexp"
	"slices"
	"strings"

	"larkfold/sizing/near"
)

// shortest is how many letters a word has at least that is taken for a misspelt one.
const shortest = 3

// between are the words that people write between the two numbers of a range, and
// between those of a list.
var between = map[string]string{"to": "-", "till": "-", "until": "-", "through": "-", "thru": "-", "and": ", ", "&": ", ", "+": ", "}

// needless are words that people write before the ends that they count.
var needless = []string{"end", "ends", "strand", "strands", "cords", "the"}

var fromTo = regexp.MustCompile(`(\d)\s*(?:to|till|until|through|thru)\s*(\d)`)

// spelt are lines with one word of what is wrong in figures or spelt as those that may
// stand there, or with a range as the sheet writes it.
func (m mender) spelt(head, wrong, tail, verb string) []string {
	words := strings.Fields(wrong)
	names := m.Samples(verb, "", false)
	var all []string
	for i, typed := range words {
		instead := near.Words(m.Plain(typed), m.Words(verb))
		if len([]rune(typed)) < shortest || slices.Contains(instead, m.Plain(typed)) || slices.Contains(names, typed) {
			instead = nil
		}
		if figures := inFigures(m.Plain(typed)); figures != m.Plain(typed) {
			instead = []string{figures}
		}
		for _, word := range instead {
			all = append(all, tidy(head, strings.Join(slices.Concat(words[:i], []string{word}, words[i+1:]), " "), tail))
		}
	}
	if len(words) > 0 {
		from, to := strings.TrimSpace(head), strings.TrimSpace(strings.TrimPrefix(wrong, words[0])+tail)
		if slices.Contains(needless, m.Plain(words[0])) {
			all = append(all, tidy(from, fromTo.ReplaceAllString(to, "$1-$2")))
		}
		if sign := between[m.Plain(words[0])]; sign != "" && endsInDigit(from) && m.Measures(to) {
			all = append(all, tidy(from+sign+to))
		}
	}
	return all
}

func endsInDigit(text string) bool {
	return text != "" && strings.Contains("0123456789", text[len(text)-1:])
}
