package sitting

import (
	"time"

	"larkfold/store"
)

// A design in the making, or a piece that is being worked, is kept so long after it was
// touched last.
const (
	UnderwayDays = 30
	UnderwayLife = UnderwayDays * 24 * time.Hour
)

// The kinds of what is under way.
const (
	Build = "build" // a design in the making
	Work  = "work"  // a piece that is being worked
)

var underwayKinds = []string{Build, Work}

// Underway are the member's designs in the making, or the pieces that are being
// worked, the one touched last first.
func (s Sitting) Underway(kind string) ([]store.Draft, error) {
	var all []store.Draft
	for _, d := range s.underway {
		if d.Kind == kind {
			all = append(all, d)
		}
	}
	return all, s.mustRead(Underway)
}
