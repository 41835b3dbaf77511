package tight

import (
	"context"
	"fmt"
	"math"
)

// Progress says which row of a derivation is begun.
type Progress struct {
	Knot string
	Row  int // of Rows, from 1
	Rows int // of this knot
}

// Derive tightens every specimen of the named knot and returns a row for each.
// The name is one of Names, however its
// case, hyphens and apostrophes are written; progress may be nil. The context stops it.
func Derive(ctx context.Context, name string, settings Settings, progress func(Progress)) (Table, error) {
	if err := settings.check(); err != nil {
		return Table{}, err
	}
	specimens, err := specimensOf(name)
	if err != nil {
		return Table{}, err
	}
	table := Table{Settings: settings.String()}
	for i, s := range specimens {
		if progress != nil {
			progress(Progress{Knot: s.row.Knot, Row: i + 1, Rows: len(specimens)})
		}
		row, err := s.derive(ctx, settings)
		if err != nil {
			return table, fmt.Errorf("%s, row %d: %w", name, i+1, err)
		}
		table.Rows = append(table.Rows, row)
	}
	return table, nil
}

// derive tightens the starts at the coarsest edge, goes on with the one that
// became shortest, and fills the row.
func (s specimen) derive(ctx context.Context, settings Settings) (Row, error) {
	best := s.starts[0]
	if len(s.starts) > 1 {
		least := math.Inf(1)
		first := settings
		first.Edges, first.Stiffness = settings.Edges[:1], settings.Stiffness[:min(2, len(settings.Stiffness))]
		for _, start := range s.starts {
			stages, err := tighten(ctx, start, first)
			if err != nil {
				return Row{}, err
			}
			if l := stages[0].length - start.pass(); l < least-1e-6 {
				least, best = l, start
			}
		}
	}
	stages, err := tighten(ctx, best, settings)
	if err != nil {
		return Row{}, err
	}
	row := s.row
	last := stages[len(stages)-1]
	length, doubt := limit(stages)
	row.Length = Diameters((length - best.pass()) / s.share)
	row.Error = Diameters(doubt / s.share)
	row.Edge = Diameters(last.edge)
	if r := last.rope.repeat; r.freePitch {
		row.Pitch = Diameters(r.pitch)
	}
	if r := last.rope.repeat; r.freeTwist {
		row.Twist = Degrees(math.Remainder(r.twist*180/math.Pi, 180))
	}
	if s.across[0] != s.across[1] {
		row.Width = Diameters(last.rope.extent(s.across[0]))
		row.Depth = Diameters(last.rope.extent(s.across[1]))
	}
	row.compare()
	return row, nil
}

// limit carries the length to an edge of zero, the error being as the edge
// squared, and says how much it is in doubt: by half that step, by what two
// successive such limits differ, and by a tenth of the correction for overlaps.
func limit(stages []stage) (length, doubt float64) {
	n := len(stages)
	last := stages[n-1]
	if n == 1 {
		return last.length, 0.01 * last.length
	}
	length = toZero(stages[n-2], last)
	doubt = math.Abs(length-last.length) / 2
	if n > 2 {
		doubt = math.Abs(length - toZero(stages[n-3], stages[n-2]))
	}
	return length, doubt + last.owed/10
}

func toZero(coarse, fine stage) float64 {
	c, f := coarse.edge*coarse.edge, fine.edge*fine.edge
	return fine.length + (fine.length-coarse.length)*f/(c-f)
}

// pass is how far the open cords would go if they went straight from end to
// end, or, when both ends hang, down from the axis of the rod twice.
func (r *rope) pass() float64 {
	sum := 0.0
	for _, c := range r.cords {
		if c.ending == open {
			sum += math.Abs(coordinate(c.points[0], c.held)) + math.Abs(coordinate(c.points[len(c.points)-1], c.held))
		}
	}
	return sum
}
