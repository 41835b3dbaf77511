// Package former makes sheets and names of knots that were saved by an earlier version
// readable.
//
// What will hurt you: what is here stays here. Somebody's sheet of long ago may be
// opened tomorrow.
package former

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"larkfold/sizing/sheet"
)

// Changed begins the remarks in which [Sheet] says what it has changed.
const Changed = "# changed: "

// shiftedNow replaces the word shifted in the names of knots.
const shiftedNow = "offset"

// Knot is the name of a knot that was saved under a name which a sheet
// cannot hold any more: shifted is a word of the sheet now.
func Knot(name string) string {
	words := strings.Fields(name)
	for i, w := range words {
		if strings.ToLower(w) == "shifted" {
			words[i] = shiftedNow
		}
	}
	return strings.Join(words, " ")
}

// Sheet makes a sheet that was saved by an earlier version readable: words that
// have changed are written as they are now, and cords and panels whose names have
// become words get others. What has changed is said in remarks above the sheet. A
// text that can be read, or cannot be helped so, comes back as it is.
func Sheet(text string, knots sheet.Knots) string {
	if _, faults := sheet.Parse(text, knots); !faults.Any() {
		return text
	}
	m := migration{lines: sheet.Lines(text)}
	m.rename("cord", sheet.CordWords(), "my-", cordPlaces)
	m.rename("panel", sheet.PanelWords(), "the-", panelPlaces)
	m.replace(wrapLength, "${1}for", "wrap length is said wrap for")
	m.replace(shiftedKnot, "${1}"+shiftedNow, "shifted in the name of a knot is "+shiftedNow)
	if len(m.told) == 0 {
		return text
	}
	now := strings.Join(append(m.told, m.lines...), "\n")
	if len(m.told)+len(m.lines) > sheet.MostLines || len(now) > sheet.MostBytes {
		now = strings.Join(m.lines, "\n")
	}
	if _, faults := sheet.Parse(now, knots); faults.Any() {
		return text
	}
	return now
}

type migration struct {
	lines, told []string
}

var (
	wrapLength  = regexp.MustCompile(`(?i)^(\s*wrap\s+)length\b`)
	shiftedKnot = regexp.MustCompile(`(?i)^(\s*(?:row|net|taper|widen|sinnet)\s[^#]*\b)shifted\b`)
)

// The places in a line where the name of a cord or a panel stood; %s is the name.
var (
	cordPlaces = []string{
		`(?i)^(\s*cord\s+)%s(\s|$)`, `(?i)^(\s*(?:mount|add)\s+\d+\s+(?:folded|single)\s+)%s(\s|$)`,
		`(?i)^(\s*(?:wrap|fringe)\s[^#]*\bwith\s+)%s(\s|$)`, `(?i)^(\s*swag\s+\d+\s+)%s(\s|$)`,
	}
	panelPlaces = []string{
		`(?i)^(\s*panel\s+)%s(\s|$)`, `(?i)^(\s*panel\s[^#]*\bfrom\s(?:[^#]*[\s,])?)%s(\s|,|$)`,
		`(?i)^([^#]*\bunder\s+)%s(\s|$)`, `(?i)^(\s*fringe\s[^#]*\bof\s+)%s(\s|$)`,
	}
)

// rename gives names that have become words of the sheet another one.
func (m *migration) rename(kind string, words []string, before string, places []string) {
	declared := regexp.MustCompile(`(?i)^\s*` + kind + `\s+(\S+)`)
	for _, line := range slices.Clone(m.lines) {
		found := declared.FindStringSubmatch(line)
		if found == nil || !slices.Contains(words, strings.ToLower(found[1])) {
			continue
		}
		name, now := found[1], before+strings.ToLower(found[1])
		for i, line := range m.lines {
			for _, place := range places {
				line = regexp.MustCompile(fmt.Sprintf(place, regexp.QuoteMeta(name))).ReplaceAllString(line, "${1}"+now+"${2}")
			}
			m.lines[i] = line
		}
		m.told = append(m.told, fmt.Sprintf("%s%s %s is called %s, for %s is a word of the sheet now", Changed, kind, name, now, strings.ToLower(name)))
	}
}

// replace writes a word that has changed as it is now.
func (m *migration) replace(old *regexp.Regexp, now, told string) {
	changed := false
	for i, line := range m.lines {
		if old.MatchString(line) {
			m.lines[i], changed = old.ReplaceAllString(line, now), true
		}
	}
	if changed {
		m.told = append(m.told, Changed+told+" now")
	}
}
