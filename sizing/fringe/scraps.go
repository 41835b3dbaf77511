package fringe

import (
	"context"
	"fmt"
	"slices"

	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

// Filling is a fringe cut from what is at hand, scraps first.
type Filling struct {
	Cuts []Cut
	Plan stock.Plan // the pieces of the plan are named by their index in Cuts

	FromScraps, FromSpools int // pieces

	Short       []Cut // what neither scraps nor spools give; Count is what is missing
	ShortPieces int   // all of them

	// LongestDrop is the longest drop at which scraps and spools as given would
	// serve every piece of a level fringe; zero when none would, or when a spool
	// has no limit, or for other trims.
	LongestDrop length.Length
}

// Fill cuts the fringe from stock: offcuts are the scraps, the rest are spools.
// Scraps may be longer or shorter than one another; each gives as many pieces
// as it can, and on a slope the shorter ones serve the shorter loops. It fails
// on an edge or a stock that is out of range; pieces that nothing at hand can
// give are no failure but Short.
func (e Edge) Fill(ctx context.Context, at []stock.Stock) (Filling, error) {
	cuts, err := e.Cuts()
	if err != nil {
		return Filling{}, err
	}
	var longest length.Length
	for i, s := range at {
		if s.Length <= 0 || s.Count < 0 {
			return Filling{}, fmt.Errorf("scrap or spool %d: %d of %v: its length must be more than zero and its count not less", i+1, s.Count, s.Length)
		}
		longest = max(longest, s.Length)
	}
	filling := Filling{Cuts: cuts, LongestDrop: e.longestDrop(at, longest)}
	problem := stock.Problem{Stock: at}
	var cutOf []int
	for i, c := range cuts {
		if c.Length > longest {
			filling.miss(c, c.Count)
			continue
		}
		problem.Pieces = append(problem.Pieces, stock.Piece{Length: c.Length, Count: c.Count})
		cutOf = append(cutOf, i)
	}
	if len(problem.Pieces) == 0 {
		return filling, nil
	}
	filling.Plan, err = stock.Solve(ctx, problem)
	if err != nil {
		return Filling{}, err
	}
	for p, pattern := range filling.Plan.Patterns {
		for c, cut := range pattern.Cuts {
			filling.Plan.Patterns[p].Cuts[c].Piece = cutOf[cut.Piece]
		}
		pieces := pattern.Times * len(pattern.Cuts)
		if pattern.Offcut {
			filling.FromScraps += pieces
		} else {
			filling.FromSpools += pieces
		}
	}
	for u, unplaced := range filling.Plan.Unplaced {
		filling.Plan.Unplaced[u].Piece = cutOf[unplaced.Piece]
		filling.miss(cuts[cutOf[unplaced.Piece]], unplaced.Count)
	}
	return filling, nil
}

func (f *Filling) miss(c Cut, count int) {
	c.Count = count
	f.Short = append(f.Short, c)
	f.ShortPieces += count
}

// longestDrop looks for the longest piece of which the stock gives enough.
func (e Edge) longestDrop(at []stock.Stock, longest length.Length) length.Length {
	noLimit := func(s stock.Stock) bool { return s.Count == 0 }
	if e.Trim != Level || slices.ContainsFunc(at, noLimit) {
		return 0
	}
	enough := func(piece length.Length) bool {
		missing := length.Length(e.Pieces())
		for _, s := range at {
			missing -= min(s.Length/piece, missing) * min(length.Length(s.Count), missing)
			if missing <= 0 {
				return true
			}
		}
		return false
	}
	// Not sort.Search: its int has 32 bits on some machines, which are 2 m in nanometres.
	fits, tooLong := length.Length(0), longest+1
	for tooLong-fits > 1 {
		if piece := fits + (tooLong-fits)/2; enough(piece) {
			fits = piece
		} else {
			tooLong = piece
		}
	}
	if e.RoundUp > 0 {
		fits -= fits % e.RoundUp
	}
	return max(e.DropOf(fits), 0)
}
