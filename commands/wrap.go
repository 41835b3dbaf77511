package commands

import (
	"context"
	"fmt"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/fringe"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
)

func wrapCommand() command {
	return command{run: runWrap, Command: reply.Command{
		Name: "wrap", Description: "Gathering wraps and tassels: cord for so many turns, or turns for a length", Example: "/wrap ends:16 turns:5 thickness:5mm",
		Options: []reply.Option{
			{Name: "ends", Description: "how many ends are gathered", Kind: reply.Whole, Min: 2, Max: 400},
			{Name: "turns", Description: "how many times round; 5 if left out", Kind: reply.Whole, Min: 1, Max: 200},
			{Name: "length", Description: "of a wrapping cord you have, such as 50cm: tells how many turns it gives"},
			{Name: "thickness", Description: "of the ends, such as 5mm; 4 mm if left out"},
			{Name: "wrap-thickness", Description: "of the wrapping cord; like the ends if left out"},
			{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: ask.Constructions()},
			{Name: "strands", Description: "a tassel of so many strands folded over a tie, instead of ends", Kind: reply.Whole, Min: 1, Max: 200},
			{Name: "drop", Description: "how far the tassel hangs, such as 10cm"},
		},
	}}
}

// gathered is what a member asks of /wrap.
type gathered struct {
	ends, turns int
	have        length.Length // the wrapping cord at hand; zero when turns are asked for
	end, cord   cord.Cord
	tassel      fringe.Tassel // no strands when there is none
}

func runWrap(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	g, err := readGathered(req, p)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading("Gathering wrap"), reply.Facts(g.understood(p))}
	if g.tassel.Strands > 0 {
		bundled, err := g.tassel.Bundle()
		if err != nil {
			return reply.Reply{}, err
		}
		blocks = []reply.Block{reply.Heading("Tassel"), reply.Facts(append(g.understood(p), strandFacts(g.tassel, bundled, p)...))}
	}
	facts, err := wrapFacts(sit, req, g, p)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks = append(blocks, reply.Facts(facts), reply.Text("How it is tied:"), reply.Verbatim(`/knots show name:"gathering wrap"`))
	if g.tassel.Strands > 0 {
		_, cautions := fringe.BrushingOf(g.end.Construction)
		for _, c := range cautions {
			blocks = append(blocks, reply.Caution(string(c)))
		}
	}
	return reply.Reply{Blocks: append(blocks, reply.Caution(wrapCaution))}, nil
}

// wrapCaution is shown with everything that is wrapped.
const wrapCaution = "A wrap holds by friction only: it must not carry a load that can fall on anybody. Keep loose ends and tassels out of reach of small children and pets."

// readGathered reads the options.
func readGathered(req reply.Request, p sitting.Prefs) (gathered, error) {
	q := ask.Of(req, p)
	construction := q.Construction("construction", cord.SingleStrand)
	g := gathered{ends: q.Count("ends", 2, 400, 0), turns: q.Count("turns", 1, 200, 5)}
	g.have = q.Length("length", ask.Bounds("wrapping cord", 5*length.Centimetre, 100*length.Metre, "50 cm or 20 in"), 0)
	g.end = cord.Cord{Nominal: q.Thickness("thickness", 4*length.Millimetre), Construction: construction}
	g.cord = cord.Cord{Nominal: q.Thickness("wrap-thickness", g.end.Nominal), Construction: construction}
	strands := q.Count("strands", 1, 200, 0)
	drop := q.Length("drop", ask.Bounds("drop of a tassel", 2*length.Centimetre, 2*length.Metre, "10 cm or 4 in"), 10*length.Centimetre)
	switch {
	case q.Err != nil:
		return g, q.Err
	case q.Has("length") && q.Has("turns"):
		return g, &reply.UserError{Read: fmt.Sprintf("turns: %s, length: %s", q.Text("turns"), q.Text("length")), Wrong: "both are given", Right: "turns, to be told the length, or length, to be told the turns", Try: req.Retype(map[string]string{"length": ""}, "")}
	case q.Has("ends") && q.Has("strands"):
		return g, &reply.UserError{Read: fmt.Sprintf("ends: %s, strands: %s", q.Text("ends"), q.Text("strands")), Wrong: "both are given", Right: "ends for a wrap round work in hand, strands for a tassel", Try: req.Retype(map[string]string{"strands": "", "drop": ""}, "")}
	case q.Has("drop") && !q.Has("strands"):
		return g, &reply.UserError{Read: "drop: " + q.Text("drop"), Wrong: "only a tassel has a drop, and it needs strands", Right: "say how many strands it has", Try: req.Retype(map[string]string{"strands": "12", "ends": ""}, "")}
	case q.Has("strands"):
		g.ends = 2 * strands
		g.tassel = fringe.Tassel{Strands: strands, Strand: g.end.Diameter(), Soft: g.end.Construction.Softness(), Tie: g.cord.Diameter(), Drop: drop, Spare: trimmed}
	case !q.Has("ends"):
		return g, &reply.UserError{Read: "/" + req.Command, Wrong: "it is not said how many ends are gathered", Right: "ends for a wrap round work in hand, strands for a tassel", Try: req.Example()}
	}
	return g, nil
}

// trimmed is what a tassel loses when it is trimmed level, at each end (common
// practice, no source).
const trimmed = length.Centimetre

func (g gathered) understood(p sitting.Prefs) []reply.Fact {
	round := fmt.Sprintf("%s of %s %s, a bundle %s thick", noun.Count(g.ends, "end"), p.Style.Thickness(g.end.Nominal), g.end.Construction, p.Style.Format(cord.BundleDiameter(g.ends, g.end.Diameter(), g.end.Construction.Softness())))
	facts := []reply.Fact{{Label: "round", Value: round}, {Label: "with", Value: fmt.Sprintf("%s %s", p.Style.Thickness(g.cord.Nominal), g.cord.Construction)}}
	if g.have > 0 {
		return append(facts, reply.Fact{Label: "at hand", Value: p.Style.Format(g.have)})
	}
	return append(facts, reply.Fact{Label: "turns", Value: fmt.Sprint(g.turns)})
}

// strandFacts are the strands of a tassel.
func strandFacts(t fringe.Tassel, b fringe.Bundled, p sitting.Prefs) []reply.Fact {
	cut := b.Cut.RoundUp(length.Centimetre)
	if p.Style.System == length.Imperial {
		cut = b.Cut.RoundUp(length.Inch / 2)
	}
	return []reply.Fact{
		{Label: "strands", Value: fmt.Sprintf("%d x %s, folded over the tie, hang %s", t.Strands, p.Cut(cut), p.Style.Format(t.Drop))},
		{Label: "in all", Value: fmt.Sprintf("%s; the fold of the outermost takes %s, %s is trimmed off each end", p.Cut(cut*length.Length(t.Strands)), p.Cut(b.Fold), p.Style.Format(t.Spare))},
	}
}

func wrapOf(sit sitting.Sitting, g gathered) (fringe.Wrap, error) {
	k, _ := sit.Standard.Knot("gathering wrap")
	return fringe.WrapOf(k, g.ends, g.end.Diameter(), g.end.Construction.Softness(), g.cord.Diameter())
}

// wrapFacts is the cord that the wrap takes, or the turns that a cord gives.
func wrapFacts(sit sitting.Sitting, req reply.Request, g gathered, p sitting.Prefs) ([]reply.Fact, error) {
	w, err := wrapOf(sit, g)
	if err != nil {
		return nil, err
	}
	margin := float64(p.Spare())
	tails := reply.Fact{Label: "of that", Value: fmt.Sprintf("%s of tails to pull", p.Cut(w.Tails))}
	if g.have == 0 {
		wrapped, err := w.ForTurns(g.turns)
		if err != nil {
			return nil, err
		}
		need := wrapped.Cut
		cut := (need + length.Length(margin*float64(need))).RoundUp(p.RoundsTo())
		return []reply.Fact{
			{Label: "cut", Value: p.Cut(cut)},
			{Label: "needs", Value: fmt.Sprintf("%s: %s a turn, with the loop that is buried under it", p.Cut(need), p.Cut(w.Turn))},
			tails,
			{Label: "covers", Value: fmt.Sprintf("%s of the bundle", p.Style.Format(wrapped.Height))},
			{Label: "allowed", Value: fmt.Sprintf("%s margin, rounded up to %s", say.Percent(margin), p.StepWords(p.RoundsTo()))},
		}, nil
	}
	least, err := w.ForTurns(1)
	if err != nil {
		return nil, err
	}
	sure := length.Length(float64(g.have) / (1 + margin))
	if sure < least.Cut {
		need := (least.Cut + length.Length(margin*float64(least.Cut))).RoundUp(p.RoundsTo())
		return nil, &reply.UserError{Read: "length: " + req.Options["length"], Wrong: fmt.Sprintf("one turn and the tails take %s with your margin", p.Cut(need)), Right: "a longer cord, or fewer ends", Try: req.Retype(map[string]string{"length": ask.Compact(p.Cut(need))}, "")}
	}
	wrapped, err := w.FromCord(sure)
	if err != nil {
		return nil, err
	}
	most, err := w.FromCord(g.have)
	if err != nil {
		return nil, err
	}
	turns := fmt.Sprint(wrapped.Turns)
	if most.Turns > wrapped.Turns {
		turns += fmt.Sprintf(" for sure, %d if your hand is as tight as the book's", most.Turns)
	}
	return []reply.Fact{
		{Label: "turns", Value: turns},
		{Label: "a turn takes", Value: p.Cut(w.Turn) + ", with the loop that is buried under it"},
		tails,
		{Label: "covers", Value: fmt.Sprintf("%s of the bundle", p.Style.Format(wrapped.Height))},
		{Label: "allowed", Value: say.Percent(margin) + " margin"},
	}, nil
}
