package question

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/fringe"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// WrapCommand is /wrap.
func WrapCommand() handler.Command {
	return handler.Command{Run: runWrap, Reads: sitting.Sheets, Command: reply.Command{
		Name: "wrap", Description: "Gathering wraps and tassels: cord for so many turns or so much covered, or turns for a cord", Example: "/wrap ends:16 turns:5 thickness:5mm",
		Options: []reply.Option{
			{Name: "ends", Description: "how many ends are gathered", Kind: reply.Whole, Min: 2, Max: 400},
			{Name: "turns", Description: "how many times round: tells the cord; 5 if nothing is said", Kind: reply.Whole, Min: 1, Max: 200},
			{Name: "for", Description: "or how much of the ends it covers, such as 4cm: tells the turns and the cord"},
			{Name: "cord", Description: "or the length of a wrapping cord at hand, such as 50cm: tells the turns"},
			{Name: "thickness", Description: "of the ends, such as 5mm; " + ask.ThickLeftOut(ask.UsualThick)},
			{Name: "wrap-thickness", Description: "of the wrapping cord; like the ends if left out"},
			{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: ask.Constructions()},
			{Name: "strands", Description: "a tassel of so many strands folded over a tie, instead of ends", Kind: reply.Whole, Min: 1, Max: 200},
			{Name: "drop", Description: "how far the tassel hangs, such as 10cm"},
			{Name: "length", Description: "the former name of cord"},
		},
	}}
}

// gathered is what a member asks of /wrap: a wrap as a sheet has it, round so many ends.
type gathered struct {
	ends      int
	wrap      sheet.Wrap
	end, with cord.Cord
	strands   int // of a tassel; none when there is none
	drop      length.Length
	typed     string // the length that the wrap is asked by, as it was typed
	hangs     string // the drop, as it was typed
}

func runWrap(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	g, err := readGathered(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	sized, err := design.SizeSheet(ctx, sit, g.sheet())
	var faults sheet.Faults
	if errors.As(err, &faults) {
		return reply.Reply{}, g.refused(ctx, sit, req, faults)
	}
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading("Gathering wrap"), reply.Facts(g.understood(sized, p))}
	if g.strands > 0 {
		tassel := fringe.Tassel{Strands: g.strands, Strand: sized.Cords[0].Diameter(), Soft: g.end.Construction.Softness(), Tie: sized.Cords[1].Diameter(), Drop: g.drop, Spare: fringe.Trimmed}
		bundled, err := tassel.Bundle()
		if err != nil {
			return reply.Reply{}, err
		}
		blocks = []reply.Block{reply.Heading("Tassel"), reply.Facts(append(g.understood(sized, p), g.strandFacts(tassel, bundled, p)...))}
	}
	facts, err := g.facts(ctx, sit, sized)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks = append(blocks, reply.Facts(facts))
	if q := ask.Of(req, p); q.Has("length") {
		blocks = append(blocks, reply.Text("length is called cord now, as in a sheet:"), reply.Verbatim(req.Retype(map[string]string{"cord": q.Text("length")}, "length")))
	}
	blocks = append(blocks, reply.Text("In a sheet: "+reply.Quoted(sheet.StepText(g.wrap, p.Style.System))+". How it is tied:"), reply.Verbatim(`/knots show name:"gathering wrap"`))
	if g.strands > 0 {
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
func readGathered(sit sitting.Sitting, req reply.Request) (gathered, error) {
	q := ask.Of(req, sit.Prefs)
	construction := q.Construction("construction", cord.SingleStrand)
	g := gathered{ends: q.Count("ends", 2, 400, 0)}
	g.wrap.Turns = q.Count("turns", 1, 200, 0)
	g.wrap.Length = q.Length("for", ask.Bounds("covered length", 2*length.Millimetre, length.Metre, "4 cm or 1 1/2 in"), 0)
	g.typed = q.Repeat("for", q.Unit, g.wrap.Length, length.Style.Format)
	cords := ask.Bounds("wrapping cord", 5*length.Centimetre, 100*length.Metre, "50 cm or 20 in")
	g.wrap.Cut = q.Length("cord", cords, q.Length("length", cords, 0))
	for _, o := range []string{"length", "cord"} {
		if q.Has(o) {
			g.typed = q.Repeat(o, q.Unit, g.wrap.Cut, length.Style.Format)
		}
	}
	g.end = cord.Cord{Name: "ends", Nominal: q.UsualThickness("thickness"), Construction: construction}
	g.with = cord.Cord{Name: "wrapping", Nominal: q.Thickness("wrap-thickness", g.end.Nominal), Construction: construction}
	g.strands = q.Count("strands", 1, 200, 0)
	g.drop = q.Length("drop", ask.Bounds("drop of a tassel", 2*length.Centimetre, 2*length.Metre, "10 cm or 4 in"), 10*length.Centimetre)
	g.hangs = q.Repeat("drop", q.Unit, g.drop, length.Style.Format)
	var said []string
	for _, o := range []string{"turns", "for", "cord", "length"} {
		if q.Has(o) {
			said = append(said, o)
		}
	}
	switch {
	case q.Err != nil:
		return g, q.Err
	case len(said) > 1:
		return g, &reply.UserError{Read: said[0] + ": " + q.Text(said[0]) + ", " + said[1] + ": " + q.Text(said[1]), Wrong: "one follows from the other", Right: "give one of turns, for and cord", Try: req.Retype(nil, said[1])}
	case q.Has("ends") && q.Has("strands"):
		return g, &reply.UserError{Read: fmt.Sprintf("ends: %s, strands: %s", q.Text("ends"), q.Text("strands")), Wrong: "both are given", Right: "ends for a wrap round work in hand, strands for a tassel", Try: req.Retype(map[string]string{"strands": "", "drop": ""}, "")}
	case q.Has("drop") && !q.Has("strands"):
		return g, &reply.UserError{Read: "drop: " + q.Text("drop"), Wrong: "only a tassel has a drop, and it needs strands", Right: "say how many strands it has", Try: req.Retype(map[string]string{"strands": "12", "ends": ""}, "")}
	case q.Has("strands"):
		g.ends = 2 * g.strands
	case !q.Has("ends"):
		return g, &reply.UserError{Read: "/" + req.Command, Wrong: "it is not said how many ends are gathered", Right: "ends for a wrap round work in hand, strands for a tassel", Try: req.Example()}
	}
	if len(said) == 0 {
		const usualTurns = 5
		g.wrap.Turns = usualTurns
	}
	return g, nil
}

// sheet is the smallest that has the wrap: its ends, side by side, and nothing else.
func (g gathered) sheet() sheet.Sheet {
	var s sheet.Sheet
	for _, c := range []cord.Cord{g.end, g.with} {
		s.Cords = append(s.Cords, sheet.Cord{Name: c.Name, Thickness: c.Nominal, Construction: c.Construction.String()})
	}
	hung := []sheet.Hung{{Count: g.ends / 2}}
	if g.ends%2 == 1 {
		hung = append(hung, sheet.Hung{Count: 1, Way: sheet.Single})
	}
	wrap := g.wrap
	wrap.Cord = g.with.Name
	s.Panels = []sheet.Panel{{Name: "work", Steps: []sheet.Step{sheet.Mount{Hung: hung}, wrap}}}
	return s
}

// refused says why there is no such wrap, and for a cord that is too short how long
// one must be.
func (g gathered) refused(ctx context.Context, sit sitting.Sitting, req reply.Request, faults sheet.Faults) error {
	e := &reply.UserError{Read: sheet.StepText(g.wrap, sit.Prefs.Style.System), Wrong: faults.Shown[0].Text, Right: "fewer turns, or fewer ends", Try: req.Example(), Cause: faults}
	if g.wrap.Cut == 0 {
		return e
	}
	g.wrap = sheet.Wrap{Turns: 1}
	least, err := design.SizeSheet(ctx, sit, g.sheet())
	if err != nil {
		return err
	}
	need := ask.Compact(sit.Prefs.Cut(cutOfWrap(least).Length))
	e.Wrong, e.Right = "one turn and the tails take "+need+" with your margin", "a longer cord, or fewer ends"
	e.Try = req.Retype(map[string]string{"cord": need}, "length")
	return e
}

// cutOfWrap is the line of the cut list for the only wrap of a sheet.
func cutOfWrap(sized sizing.Sized) cutlist.Cut {
	return sized.List.Cuts[slices.IndexFunc(sized.List.Cuts, func(c cutlist.Cut) bool { return strings.HasPrefix(c.For, string(trace.ForWrap)) })]
}

func (g gathered) understood(sized sizing.Sized, p sitting.Prefs) []reply.Fact {
	thick := cord.BundleDiameter(g.ends, sized.Cords[0].Diameter(), g.end.Construction.Softness())
	return []reply.Fact{
		{Label: "round", Value: fmt.Sprintf("%s of %s %s, a bundle %s thick", noun.Count(g.ends, "end"), p.Style.Thickness(g.end.Nominal), g.end.Construction, p.Style.Format(thick))},
		{Label: "with", Value: fmt.Sprintf("%s %s", p.Style.Thickness(g.with.Nominal), g.with.Construction)},
		{Label: "asked", Value: g.asked()},
	}
}

func (g gathered) asked() string {
	switch {
	case g.wrap.Cut > 0:
		return "turns for a cord of " + g.typed
	case g.wrap.Length > 0:
		return "to cover " + g.typed
	}
	return "cord for " + noun.Count(g.wrap.Turns, "turn")
}

// strandFacts are the strands of a tassel.
func (g gathered) strandFacts(t fringe.Tassel, b fringe.Bundled, p sitting.Prefs) []reply.Fact {
	cut := b.Cut.RoundUp(length.Centimetre)
	if p.Style.System == length.Imperial {
		cut = b.Cut.RoundUp(length.Inch / 2)
	}
	return []reply.Fact{
		{Label: "strands", Value: fmt.Sprintf("%d x %s, folded over the tie, hang %s", t.Strands, p.Cut(cut), g.hangs)},
		{Label: "in all", Value: fmt.Sprintf("%s; the fold of the outermost takes %s, %s is trimmed off each end", p.Cuts(cut, t.Strands), p.Cut(b.Fold), p.Style.Format(t.Spare))},
	}
}

// facts are the cord that the wrap takes, or the turns that a cord gives.
func (g gathered) facts(ctx context.Context, sit sitting.Sitting, sized sizing.Sized) ([]reply.Fact, error) {
	p := sit.Prefs
	x, cut := sized.Extras[0], cutOfWrap(sized)
	turn := x.Need.TakeUp / length.Length(x.Turns)
	each := reply.Fact{Label: "a turn takes", Value: p.Cut(turn) + ", with the loop that is buried under it"}
	covers := reply.Fact{Label: "covers", Value: fmt.Sprintf("%s of the bundle", p.Style.Format(x.Height))}
	if g.wrap.Cut == 0 {
		return []reply.Fact{
			{Label: "turns", Value: fmt.Sprint(x.Turns)},
			{Label: "cut", Value: p.Cut(cut.Length)},
			{Label: "needs", Value: fmt.Sprintf("%s, %s of it tails to pull", p.Cut(x.Need.Total()), p.Cut(x.Need.Tail))},
			each, covers,
			{Label: "allowed", Value: fmt.Sprintf("%s margin on all but the tails, rounded up to %s", say.Percent(float64(cut.Why.Fraction)), p.StepWords(p.RoundsTo()))},
		}, nil
	}
	sure, err := g.sure(ctx, sit)
	if err != nil {
		return nil, err
	}
	turns := fmt.Sprint(x.Turns)
	switch {
	case sure >= x.Turns:
		turns += ", with your margin to spare"
	case sure > 0:
		turns += fmt.Sprintf("; %d with your margin to spare", sure)
	}
	return []reply.Fact{{Label: "turns", Value: turns}, each, {Label: "tails", Value: p.Cut(x.Need.Tail) + " to pull and to trim"}, covers}, nil
}

// sure is how many turns the cord at hand gives with the margin that a wrap is cut with.
func (g gathered) sure(ctx context.Context, sit sitting.Sitting) (int, error) {
	have := g.wrap.Cut
	g.wrap = sheet.Wrap{Turns: 1}
	sized, err := design.SizeSheet(ctx, sit, g.sheet())
	if err != nil {
		return 0, err
	}
	w := cutOfWrap(sized).Why
	return int((have - w.Need.Tail) / (w.Need.TakeUp + w.Margin)), nil
}
