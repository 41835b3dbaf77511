package commands

import (
	"context"
	"fmt"

	"larkfold/commands/reply"
	"larkfold/sizing/cord"
	"larkfold/sizing/fringe"
	"larkfold/sizing/length"
)

func (a *App) wrapCommand() command {
	return command{run: a.wrap, Command: reply.Command{
		Name: "wrap", Description: "Gathering wraps and tassels: cord for so many turns, or turns for a length", Example: "/wrap ends:16 turns:5 thickness:5mm",
		Options: []reply.Option{
			{Name: "ends", Description: "how many ends are gathered", Kind: reply.Whole, Min: 2, Max: 400},
			{Name: "turns", Description: "how many times round; 5 if left out", Kind: reply.Whole, Min: 1, Max: 200},
			{Name: "length", Description: "of a wrapping cord you have, such as 50cm: tells how many turns it gives"},
			{Name: "thickness", Description: "of the ends, such as 5mm; 4 mm if left out"},
			{Name: "wrap-thickness", Description: "of the wrapping cord; like the ends if left out"},
			{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: constructionChoices()},
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

func (a *App) wrap(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
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
	facts, err := a.wrapFacts(req, g, p)
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
func readGathered(req reply.Request, p Prefs) (gathered, error) {
	q := newAsk(req, p)
	construction := q.construction("construction", cord.SingleStrand)
	g := gathered{ends: q.count("ends", 2, 400, 0), turns: q.count("turns", 1, 200, 5)}
	g.have = q.length("length", boundsOf("wrapping cord", 5*length.Centimetre, 100*length.Metre, "50 cm or 20 in"), 0)
	g.end = cord.Cord{Nominal: q.thickness("thickness", 4*length.Millimetre), Construction: construction}
	g.cord = cord.Cord{Nominal: q.thickness("wrap-thickness", g.end.Nominal), Construction: construction}
	strands := q.count("strands", 1, 200, 0)
	drop := q.length("drop", boundsOf("drop of a tassel", 2*length.Centimetre, 2*length.Metre, "10 cm or 4 in"), 10*length.Centimetre)
	switch {
	case q.err != nil:
		return g, q.err
	case q.has("length") && q.has("turns"):
		return g, &reply.UserError{Read: fmt.Sprintf("turns: %s, length: %s", q.text("turns"), q.text("length")), Wrong: "both are given", Right: "turns, to be told the length, or length, to be told the turns", Try: req.Retype(map[string]string{"length": ""}, "")}
	case q.has("ends") && q.has("strands"):
		return g, &reply.UserError{Read: fmt.Sprintf("ends: %s, strands: %s", q.text("ends"), q.text("strands")), Wrong: "both are given", Right: "ends for a wrap round work in hand, strands for a tassel", Try: req.Retype(map[string]string{"strands": "", "drop": ""}, "")}
	case q.has("drop") && !q.has("strands"):
		return g, &reply.UserError{Read: "drop: " + q.text("drop"), Wrong: "only a tassel has a drop, and it needs strands", Right: "say how many strands it has", Try: req.Retype(map[string]string{"strands": "12", "ends": ""}, "")}
	case q.has("strands"):
		g.ends = 2 * strands
		g.tassel = fringe.Tassel{Strands: strands, Strand: g.end.Diameter(), Tie: g.cord.Diameter(), Drop: drop, Spare: trimmed}
	case !q.has("ends"):
		return g, &reply.UserError{Read: "/" + req.Command, Wrong: "it is not said how many ends are gathered", Right: "ends for a wrap round work in hand, strands for a tassel", Try: req.Example()}
	}
	return g, nil
}

// trimmed is what a tassel loses when it is trimmed level, at each end (common
// practice, no source).
const trimmed = length.Centimetre

func (g gathered) understood(p Prefs) []reply.Fact {
	round := fmt.Sprintf("%s of %s %s, a bundle %s thick", count(g.ends, "end"), p.Style.Thickness(g.end.Nominal), g.end.Construction, p.Style.Format(cord.BundleDiameter(g.ends, g.end.Diameter())))
	facts := []reply.Fact{{Label: "round", Value: round}, {Label: "with", Value: fmt.Sprintf("%s %s", p.Style.Thickness(g.cord.Nominal), g.cord.Construction)}}
	if g.have > 0 {
		return append(facts, reply.Fact{Label: "at hand", Value: p.Style.Format(g.have)})
	}
	return append(facts, reply.Fact{Label: "turns", Value: fmt.Sprint(g.turns)})
}

// strandFacts are the strands of a tassel.
func strandFacts(t fringe.Tassel, b fringe.Bundled, p Prefs) []reply.Fact {
	cut := b.Cut.RoundUp(length.Centimetre)
	if p.Style.System == length.Imperial {
		cut = b.Cut.RoundUp(length.Inch / 2)
	}
	return []reply.Fact{
		{Label: "strands", Value: fmt.Sprintf("%d x %s, folded over the tie, hang %s", t.Strands, p.cut(cut), p.Style.Format(t.Drop))},
		{Label: "in all", Value: fmt.Sprintf("%s; the fold of the outermost takes %s, %s is trimmed off each end", p.cut(cut*length.Length(t.Strands)), p.cut(b.Fold), p.Style.Format(t.Spare))},
	}
}

func (a *App) wrapOf(g gathered) (fringe.Wrap, error) {
	k, _ := a.book.Knot("gathering wrap")
	return fringe.WrapOf(k, g.ends, g.end.Diameter(), g.cord.Diameter())
}

// wrapFacts is the cord that the wrap takes, or the turns that a cord gives.
func (a *App) wrapFacts(req reply.Request, g gathered, p Prefs) ([]reply.Fact, error) {
	w, err := a.wrapOf(g)
	if err != nil {
		return nil, err
	}
	margin := float64(p.margin())
	tails := reply.Fact{Label: "of that", Value: fmt.Sprintf("%s of tails to pull", p.cut(w.Tails))}
	if g.have == 0 {
		wrapped, err := w.ForTurns(g.turns)
		if err != nil {
			return nil, err
		}
		need := wrapped.Cut
		cut := (need + length.Length(margin*float64(need))).RoundUp(p.step())
		return []reply.Fact{
			{Label: "cut", Value: p.cut(cut)},
			{Label: "needs", Value: fmt.Sprintf("%s: %s a turn, with the loop that is buried under it", p.cut(need), p.cut(w.Turn))},
			tails,
			{Label: "covers", Value: fmt.Sprintf("%s of the bundle", p.Style.Format(wrapped.Height))},
			{Label: "allowed", Value: fmt.Sprintf("%s margin, rounded up to %s", percent(margin), p.stepWords(p.step()))},
		}, nil
	}
	least, err := w.ForTurns(1)
	if err != nil {
		return nil, err
	}
	sure := length.Length(float64(g.have) / (1 + margin))
	if sure < least.Cut {
		need := (least.Cut + length.Length(margin*float64(least.Cut))).RoundUp(p.step())
		return nil, &reply.UserError{Read: "length: " + req.Options["length"], Wrong: fmt.Sprintf("one turn and the tails take %s with your margin", p.cut(need)), Right: "a longer cord, or fewer ends", Try: req.Retype(map[string]string{"length": compact(p.cut(need))}, "")}
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
		{Label: "a turn takes", Value: p.cut(w.Turn) + ", with the loop that is buried under it"},
		tails,
		{Label: "covers", Value: fmt.Sprintf("%s of the bundle", p.Style.Format(wrapped.Height))},
		{Label: "allowed", Value: percent(margin) + " margin"},
	}, nil
}
