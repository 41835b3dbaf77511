package dowel

import (
	"fmt"

	"larkfold/sizing/length"
)

// Group is cords hung side by side on the rod.
type Group struct {
	Name    string
	Cords   int           // counted on the rod, folded or single
	Lot     int           // cords come and go so many at a time, 2 for square knots on folded cords; zero for one
	Relaxed length.Length // rod that one cord takes when hung loosely side by side
	Pushed  length.Length // the same pushed together; at most Relaxed
	Gap     length.Length // bare rod before it, zero for none; before the first group, the bare left end
}

// Spread says where on the rod the groups go.
type Spread int

// The ways to spread groups over a rod.
const (
	FromLeft Spread = iota // the first group starts after the bare end
	Centred                // equal bare ends
	Shared                 // the spare rod goes, in equal parts, to the places between groups that have no Gap
)

// Arrangement is groups on a rod, left to right.
type Arrangement struct {
	Rod     length.Length
	BareEnd length.Length // to leave at each end for the hanger
	Groups  []Group
	Spread  Spread
}

// Mark is where one group goes: measured from the left end of the rod.
type Mark struct {
	Group      string
	Cords      int
	PerCord    length.Length // rod that one cord takes
	Start, End length.Length
}

// Width returns the rod that the group takes.
func (m Mark) Width() length.Length { return m.End - m.Start }

// Layout is an arrangement at one spacing.
type Layout struct {
	Width               length.Length // of all groups and the gaps they ask for, without the ends
	Spare               length.Length // rod left beyond both bare ends before it is spread; negative when the rod is too short
	LeftBare, RightBare length.Length // clearance that remains at the ends; negative when the work reaches past one
	Marks               []Mark
}

// Fit is how an arrangement fits its rod.
type Fit struct {
	Fits            bool   // at some spacing between relaxed and pushed together
	Relaxed, Pushed Layout // at the two spacings
	Use             Layout // at the loosest spacing that fits; pushed together when none does

	// RodRelaxed and RodPushed are the shortest rods that take the groups as they are.
	RodRelaxed, RodPushed length.Length
	// MostRelaxed and MostPushed are the cords of each group that this rod
	// takes, all groups growing or shrinking in proportion by whole lots.
	MostRelaxed, MostPushed []int
}

// Fit measures the arrangement at relaxed spacing and pushed together, chooses
// the loosest spacing that fits, and tells what would fit instead.
func (a Arrangement) Fit() (Fit, error) {
	if err := a.check(); err != nil {
		return Fit{}, err
	}
	relaxed, pushed := make([]length.Length, len(a.Groups)), make([]length.Length, len(a.Groups))
	for i, g := range a.Groups {
		relaxed[i], pushed[i] = g.Relaxed, g.Pushed
	}
	fit := Fit{Relaxed: a.layout(relaxed), Pushed: a.layout(pushed)}
	fit.Fits = fit.Pushed.Spare >= 0
	switch {
	case fit.Relaxed.Spare >= 0:
		fit.Use = fit.Relaxed
	case fit.Fits:
		fit.Use = a.layout(a.between(fit.Relaxed, fit.Pushed))
	default:
		fit.Use = fit.Pushed
	}
	fit.RodRelaxed, fit.RodPushed = a.Rod-fit.Relaxed.Spare, a.Rod-fit.Pushed.Spare
	fit.MostRelaxed, fit.MostPushed = a.most(relaxed), a.most(pushed)
	return fit, nil
}

func (a Arrangement) check() error {
	if err := checkRodLength(a.Rod); err != nil {
		return err
	}
	if a.BareEnd < 0 || a.BareEnd > a.Rod/2 {
		return fmt.Errorf("bare end %v: it must be from zero to half the rod, which is %v long", a.BareEnd, a.Rod)
	}
	if len(a.Groups) == 0 || len(a.Groups) > mostGroups {
		return fmt.Errorf("%d groups on the rod: there must be from 1 to %d", len(a.Groups), mostGroups)
	}
	if a.Spread < FromLeft || a.Spread > Shared {
		return fmt.Errorf("spread %d: it must be from the left, centred or shared", a.Spread)
	}
	cords := 0
	for _, g := range a.Groups {
		if g.Cords < 1 || g.Cords > mostCords {
			return fmt.Errorf("group %q has %d cords: it must have from 1 to %d", g.Name, g.Cords, mostCords)
		}
		if g.Lot < 0 || g.Lot > largestLot {
			return fmt.Errorf("group %q comes in lots of %d cords: a lot must be from 1 to %d", g.Name, g.Lot, largestLot)
		}
		if g.Relaxed <= 0 || g.Relaxed > widestCord {
			return fmt.Errorf("group %q takes %v of rod for one cord: it must be more than zero and at most %v", g.Name, g.Relaxed, widestCord)
		}
		if g.Pushed <= 0 || g.Pushed > g.Relaxed {
			return fmt.Errorf("group %q takes %v of rod for one cord pushed together: it must be more than zero and at most the relaxed %v", g.Name, g.Pushed, g.Relaxed)
		}
		if g.Gap < 0 || g.Gap > longestRod {
			return fmt.Errorf("gap %v before group %q: it must be from zero to %v", g.Gap, g.Name, longestRod)
		}
		cords += g.Cords
	}
	if cords > mostCords {
		return fmt.Errorf("%d cords on the rod: at most %d", cords, mostCords)
	}
	return nil
}

// leftEnd is the bare rod to leave at the left: the first group's gap when it has one.
func (a Arrangement) leftEnd() length.Length {
	if gap := a.Groups[0].Gap; gap > 0 {
		return gap
	}
	return a.BareEnd
}

// room is what the cords themselves may take.
func (a Arrangement) room() length.Length {
	room := a.Rod - a.leftEnd() - a.BareEnd
	for _, g := range a.Groups[1:] {
		room -= g.Gap
	}
	return room
}

func (a Arrangement) layout(perCord []length.Length) Layout {
	spare := a.room()
	for i, g := range a.Groups {
		spare -= length.Length(g.Cords) * perCord[i]
	}
	l := Layout{
		Width: a.Rod - a.leftEnd() - a.BareEnd - spare,
		Spare: spare,
		Marks: make([]Mark, 0, len(a.Groups)),
	}
	start, extra := a.leftEnd(), a.split(spare)
	for i, g := range a.Groups {
		if i > 0 {
			start += g.Gap
		}
		start += extra[i]
		end := start + length.Length(g.Cords)*perCord[i]
		l.Marks = append(l.Marks, Mark{g.Name, g.Cords, perCord[i], start, end})
		start = end
	}
	l.LeftBare, l.RightBare = l.Marks[0].Start, a.Rod-start
	return l
}

// split is the extra bare rod before each group.
func (a Arrangement) split(spare length.Length) []length.Length {
	extra := make([]length.Length, len(a.Groups))
	var free []int
	for i, g := range a.Groups {
		if i > 0 && g.Gap == 0 {
			free = append(free, i)
		}
	}
	switch {
	case a.Spread == Shared && len(free) > 0 && spare > 0:
		n := length.Length(len(free))
		for j, i := range free {
			extra[i] = spare*length.Length(j+1)/n - spare*length.Length(j)/n
		}
	case a.Spread != FromLeft && a.Groups[0].Gap == 0:
		extra[0] = spare / 2
	}
	return extra
}

// between is the loosest spacing that fits, every group giving way in the same
// proportion, when relaxed is too wide and pushed is not.
func (a Arrangement) between(relaxed, pushed Layout) []length.Length {
	ratio := float64(-relaxed.Spare) / float64(pushed.Spare-relaxed.Spare)
	perCord := make([]length.Length, len(a.Groups))
	for i, g := range a.Groups {
		give := length.Length(float64(g.Relaxed-g.Pushed)*ratio) + 1
		perCord[i] = max(g.Relaxed-give, g.Pushed)
	}
	return perCord
}

// most is how many cords of each group fit at the given spacing.
func (a Arrangement) most(perCord []length.Length) []int {
	room := a.room()
	scaled := func(scale float64) ([]int, length.Length) {
		counts, width := make([]int, len(a.Groups)), length.Length(0)
		for i, g := range a.Groups {
			lot := max(g.Lot, 1)
			counts[i] = lot * int(scale*float64(g.Cords)/float64(lot))
			width += length.Length(counts[i]) * perCord[i]
		}
		return counts, width
	}
	taken, lots := 0.0, 0.0
	for i, g := range a.Groups {
		taken += float64(g.Cords) * float64(perCord[i])
		lots = max(lots, float64(max(g.Lot, 1))/float64(g.Cords))
	}
	fits, tooMany := 0.0, max(float64(room), 0)/taken+lots
	for range 60 {
		scale := (fits + tooMany) / 2
		if _, width := scaled(scale); width <= room {
			fits = scale
		} else {
			tooMany = scale
		}
	}
	counts, _ := scaled(fits)
	return counts
}
