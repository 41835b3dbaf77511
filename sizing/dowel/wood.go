package dowel

import (
	"fmt"
	"slices"
	"strings"

	"larkfold/sizing/near"
)

// Modulus is a modulus of elasticity in megapascals.
type Modulus float64

// SpecificGravity is the oven-dry mass of wood over that of as much water as
// its volume at 12 % moisture, a pure number.
type SpecificGravity float64

// Wood is one kind of rod.
type Wood struct {
	Name      string
	Gravity   SpecificGravity
	Stiffness Modulus
	Source    string
	Guess     bool // the figures are from memory or assumed, not read in a table
}

const (
	woodHandbook = "D. E. Kretschmann, Mechanical Properties of Wood, in Wood Handbook, FPL-GTR-190 (2010), Table 5-3a"
	bambooSource = "from memory: the lower end of 10 to 20 GPa, as if solid"
	branchSource = "assumed: the lowest stiffness and the highest weight in the table"
)

// Woods returns the table, table woods first in alphabetical order, then guesses.
func Woods() []Wood {
	return []Wood{
		{"American basswood", 0.37, 10_100, woodHandbook, false},
		{"American beech", 0.64, 11_900, woodHandbook, false},
		{"black ash", 0.49, 11_000, woodHandbook, false},
		{"black cherry", 0.50, 10_300, woodHandbook, false},
		{"black walnut", 0.55, 11_600, woodHandbook, false},
		{"coast Douglas-fir", 0.48, 13_400, woodHandbook, false},
		{"eastern white pine", 0.35, 8_500, woodHandbook, false},
		{"loblolly pine", 0.51, 12_300, woodHandbook, false},
		{"lodgepole pine", 0.41, 9_200, woodHandbook, false},
		{"longleaf pine", 0.59, 13_700, woodHandbook, false},
		{"northern red oak", 0.63, 12_500, woodHandbook, false},
		{"paper birch", 0.55, 11_000, woodHandbook, false},
		{"ponderosa pine", 0.40, 8_900, woodHandbook, false},
		{"quaking aspen", 0.38, 8_100, woodHandbook, false},
		{"red maple", 0.54, 11_300, woodHandbook, false},
		{"red pine", 0.46, 11_200, woodHandbook, false},
		{"shagbark hickory", 0.72, 14_900, woodHandbook, false},
		{"silver maple", 0.47, 7_900, woodHandbook, false},
		{"Sitka spruce", 0.40, 10_800, woodHandbook, false},
		{"sugar maple", 0.63, 12_600, woodHandbook, false},
		{"sweet birch", 0.65, 15_000, woodHandbook, false},
		{"western red cedar", 0.32, 7_700, woodHandbook, false},
		{"white ash", 0.60, 12_000, woodHandbook, false},
		{"white oak", 0.68, 12_300, woodHandbook, false},
		{"yellow birch", 0.62, 13_900, woodHandbook, false},
		{"yellow-poplar", 0.42, 10_900, woodHandbook, false},
		{"bamboo", 0.60, 10_000, bambooSource, true},
		{"branch", 0.72, 7_700, branchSource, true},
	}
}

// aliases are the names that shops use. A name shared by several species means
// the least stiff of them in the table.
func aliases() map[string]string {
	return map[string]string{
		"ash":              "black ash",
		"aspen":            "quaking aspen",
		"basswood":         "American basswood",
		"beech":            "American beech",
		"birch":            "paper birch",
		"cedar":            "western red cedar",
		"cherry":           "black cherry",
		"douglas fir":      "coast Douglas-fir",
		"driftwood":        "branch",
		"fir":              "coast Douglas-fir",
		"hard maple":       "sugar maple",
		"hardwood":         "silver maple",
		"hickory":          "shagbark hickory",
		"lime":             "American basswood",
		"linden":           "American basswood",
		"maple":            "silver maple",
		"oak":              "white oak",
		"pine":             "eastern white pine",
		"poplar":           "quaking aspen",
		"red cedar":        "western red cedar",
		"red oak":          "northern red oak",
		"softwood":         "western red cedar",
		"spruce":           "Sitka spruce",
		"tulipwood":        "yellow-poplar",
		"unknown":          "branch",
		"walnut":           "black walnut",
		"white pine":       "eastern white pine",
		"white birch":      "paper birch",
		"soft maple":       "silver maple",
		"tulip poplar":     "yellow-poplar",
		"american linden":  "American basswood",
		"canoe birch":      "paper birch",
		"rock maple":       "sugar maple",
		"trembling aspen":  "quaking aspen",
		"western redcedar": "western red cedar",
	}
}

// UnknownWood is the error of [FindWood]: the name that was read, and the known
// names, nearest first.
type UnknownWood struct {
	Read  string
	Names []string
}

func (e UnknownWood) Error() string {
	return fmt.Sprintf("wood %q is not in the table; the nearest names are %s; for any other wood say %q",
		e.Read, strings.Join(e.Names[:3], ", "), "unknown")
}

// longestName is more than any wood's; the rest of a longer one is not read.
const longestName = 60

// FindWood looks up a wood by the table's name or a shop's, whatever the case,
// hyphens and word order. A name that several species share, such as "birch",
// gives the least stiff of them in the table. The empty name is an unknown
// wood: the branch. Anything else fails with [UnknownWood].
func FindWood(name string) (Wood, error) {
	if runes := []rune(name); len(runes) > longestName {
		name = string(runes[:longestName]) + "…"
	}
	key := woodKey(name)
	if key == "" {
		key = "branch"
	}
	for alias, meant := range aliases() {
		if woodKey(alias) == key {
			key = woodKey(meant)
			break
		}
	}
	woods := Woods()
	for _, wood := range woods {
		if woodKey(wood.Name) == key {
			return wood, nil
		}
	}
	return Wood{}, UnknownWood{Read: name, Names: nearestWoods(key, woods)}
}

// nearestWoods are the table's names, those that are near to the key, or have a
// word that is, first.
func nearestWoods(key string, woods []Wood) []string {
	byWord := map[string][]string{}
	var words []string
	for _, wood := range woods {
		whole := woodKey(wood.Name)
		for _, word := range append(strings.Fields(whole), whole) {
			if byWord[word] == nil {
				words = append(words, word)
			}
			byWord[word] = append(byWord[word], wood.Name)
		}
	}
	var names []string
	for _, word := range near.Words(key, words) {
		names = append(names, byWord[word]...)
	}
	for _, wood := range woods {
		names = append(names, wood.Name)
	}
	seen := map[string]bool{}
	return slices.DeleteFunc(names, func(name string) bool {
		again := seen[name]
		seen[name] = true
		return again
	})
}

// woodKey is a name in lower case with its words in alphabetical order.
func woodKey(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r == ' ' || r == '\t' || r == ',' || r == '-' || r == '_'
	})
	words = slices.DeleteFunc(words, func(w string) bool {
		return w == "wood" || w == "dowel" || w == "rod" || w == "stick"
	})
	slices.Sort(words)
	return strings.Join(words, " ")
}
