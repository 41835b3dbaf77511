package ask

import (
	"strings"

	"github.com/agnivade/levenshtein"
)

// Nearest is the name that looks most like what was typed, or nothing when none does.
func Nearest(typed string, names []string) string {
	best, at := "", max(2, len(typed)/3)+1
	for _, n := range names {
		lower := strings.ToLower(n)
		d := levenshtein.ComputeDistance(strings.ToLower(typed), lower)
		if typed != "" && strings.HasPrefix(lower, strings.ToLower(typed)) {
			d = 1
		}
		if d < at {
			best, at = n, d
		}
	}
	return best
}
