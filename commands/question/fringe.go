package question

import (
	"context"
	"fmt"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/cutting"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/fringe"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/stock"
	"larkfold/sizing/swatch"
)

var edgeSides = []reply.Choice{{Name: "both edges", Value: "both"}, {Name: "the left edge", Value: "left"}, {Name: "the right edge", Value: "right"}}

// FringeCommand is /fringe.
func FringeCommand() handler.Command {
	return handler.Command{Run: runFringe, Reads: sitting.Sheets | sitting.Design | sitting.Leftovers, Command: reply.Command{
		Name: "fringe", Description: "Fringe on an edge: pieces, length, and which of your scraps serve", Example: "/fringe drop:22cm loops:12 per-loop:2 thickness:4mm",
		Options: []reply.Option{
			{Name: "drop", Description: "finished fringe below the edge, such as 22cm"},
			{Name: "piece", Description: "or the length of the pieces you have, such as 50cm: tells the drop they give"},
			{Name: "loops", Description: "how many loops the edge has", Kind: reply.Whole, Min: 1, Max: 2000},
			{Name: "project", Description: "or a saved design whose edge loops are counted", Suggest: "project"},
			{Name: "panel", Description: "of that design; its first if left out"},
			{Name: "side", Description: "which edge; both if left out", Choices: edgeSides},
			{Name: "per-loop", Description: "pieces to a loop, 2 if left out", Kind: reply.Whole, Min: 1, Max: 20},
			{Name: "thickness", Description: "of the fringe's cord; as the design's edge, or 4 mm, if left out"},
			{Name: "construction", Description: "single-strand, plied or braided", Choices: ask.Constructions()},
			{Name: "far", Description: "for a sloped trim: the drop at the far end of the edge"},
			{Name: "spool", Description: "what a new spool holds, when your scraps do not suffice"},
		},
	}}
}

// fringed is a fringe that was asked for.
type fringed struct {
	edge  fringe.Edge
	gives length.Length // what pieces of a length give, rounded down; zero where the drop was asked
	cord  cord.Cord
	where string

	typed, far string // the drop and that at the far end, as they were typed
}

func runFringe(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	f, err := fringeWanted(ctx, sit, req, q, p)
	if err != nil {
		return reply.Reply{}, err
	}
	spool := q.Spool("spool").Length
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	supply, err := scraps(sit, f.cord, spool)
	if err != nil {
		return reply.Reply{}, err
	}
	ctx, cancel := context.WithTimeout(ctx, cutting.Budget)
	defer cancel()
	filling, err := f.edge.Fill(ctx, supply)
	if err != nil {
		return reply.Reply{}, &reply.UserError{Wrong: err.Error(), Right: "a smaller fringe, edge by edge", Try: req.Example(), Cause: err}
	}
	blocks := []reply.Block{reply.Heading("Fringe on " + f.where), reply.Facts(f.facts(p)), pieceTable(filling.Cuts, p), reply.Facts(fillFacts(filling, p))}
	if len(filling.Plan.Patterns) > 0 {
		for _, pattern := range filling.Plan.Patterns {
			for i := range pattern.Cuts {
				pattern.Cuts[i].Label = cutlist.Label(pattern.Cuts[i].Piece)
			}
		}
		blocks = append(blocks, say.Strips(filling.Plan, p))
	}
	way, cautions := fringe.BrushingOf(f.cord.Construction)
	blocks = append(blocks, reply.Text(brushing(way, f.cord.Construction)))
	for _, c := range cautions {
		blocks = append(blocks, reply.Caution(string(c)))
	}
	return reply.Reply{Blocks: blocks}, nil
}

func brushing(way fringe.Brushing, c cord.Construction) string {
	switch way {
	case fringe.BrushesFreely:
		return say.Sentence(c.String() + " cord brushes out freely: comb from the tips upwards, then trim")
	case fringe.UnlayFirst:
		return say.Sentence(c.String() + " cord must be untwisted ply by ply before it brushes out")
	}
	return say.Sentence(c.String() + " cord does not brush out; bind its tips so that they do not fray")
}

// fringeWanted reads what is asked.
func fringeWanted(ctx context.Context, sit sitting.Sitting, req reply.Request, q *ask.Options, p sitting.Prefs) (fringed, error) {
	f := fringed{cord: cord.Cord{Nominal: q.UsualThickness("thickness"), Construction: q.Construction("construction", cord.SingleStrand)}}
	f.edge = fringe.Edge{
		Loops: q.Count("loops", 1, 2000, 0), PerLoop: q.Count("per-loop", 1, 20, 2),
		Drop: q.Length("drop", ask.FringeDrops, 0), FarDrop: q.Length("far", ask.FringeDrops, 0), Spare: fringe.Trimmed, RoundUp: length.Centimetre,
	}
	if f.edge.FarDrop > 0 {
		f.edge.Trim = fringe.Slope
	}
	if p.Style.System == length.Imperial {
		f.edge.RoundUp = length.Inch / 2
	}
	piece := q.Length("piece", ask.Pieces, 0)
	if q.Err != nil {
		return f, q.Err
	}
	f.typed, f.far = q.Repeat("drop", q.Unit, f.edge.Drop, length.Style.Format), q.Repeat("far", q.Unit, f.edge.FarDrop, length.Style.Format)
	for _, two := range [][2]string{{"loops", "project"}, {"drop", "piece"}, {"far", "piece"}} {
		if q.Has(two[0]) && q.Has(two[1]) {
			return f, &reply.UserError{Read: two[0] + ": " + q.Text(two[0]) + ", " + two[1] + ": " + q.Text(two[1]), Wrong: "one follows from the other", Right: "give one of the two", Try: req.Retype(nil, two[1])}
		}
	}
	f.where = noun.Count(f.edge.Loops, "loop")
	book, err := sit.Book()
	if err != nil {
		return f, err
	}
	var hands swatch.Hands
	if f.cord, hands, err = sit.Knotted(book, f.cord); err != nil {
		return f, err
	}
	edge := f.cord.Diameter()
	if q.Has("project") {
		sized, name, err := design.SizeSaved(ctx, sit, req)
		if err != nil {
			return f, err
		}
		if edge, err = f.countLoops(sized, name, q); err != nil {
			return f, err
		}
		if f.cord, hands, err = sit.Knotted(book, f.cord); err != nil {
			return f, err
		}
	}
	if f.edge.Loops == 0 {
		return f, &reply.UserError{Read: "/fringe", Wrong: "it needs the number of loops, or a saved design whose edge is counted", Right: "count the loops between the knots along the edge", Try: req.Retype(map[string]string{"loops": "12"}, "")}
	}
	take, err := fringeTake(sit, f.cord.Diameter(), edge, hands)
	if err != nil {
		return f, err
	}
	f.edge.Take = take
	if f.edge.Drop == 0 && piece > 0 {
		f.edge.Drop, f.edge.RoundUp = f.edge.DropOf(piece), 0
		f.gives = f.edge.Drop - f.edge.Drop%length.Millimetre
		if p.Imperial() {
			f.gives = f.edge.Drop - f.edge.Drop%(length.Inch/8)
		}
		if f.edge.Drop < length.Centimetre {
			return f, &reply.UserError{Read: "piece: " + q.Text("piece"), Wrong: "the knot alone takes all of it", Right: "a piece of twice the drop and " + p.Style.Format((2 * (take + fringe.Trimmed)).RoundUp(length.Millimetre)) + " more", Try: req.Retype(map[string]string{"piece": "50cm"}, "")}
		}
	}
	if f.edge.Drop == 0 {
		return f, &reply.UserError{Read: "/fringe", Wrong: "it needs the finished drop of the fringe, or the length of your pieces", Right: "give one of the two", Try: req.Retype(map[string]string{"drop": "22cm"}, "")}
	}
	return f, nil
}

// countLoops counts the loops along a panel's edge and returns the working
// thickness of the edge cord.
func (f *fringed) countLoops(sized sizing.Sized, name string, q *ask.Options) (length.Length, error) {
	names := make([]string, len(sized.Panels))
	for i, panel := range sized.Panels {
		names[i] = panel.Name
		if q.Has("panel") && !strings.EqualFold(panel.Name, q.Text("panel")) || !q.Has("panel") && i > 0 {
			continue
		}
		side := q.Choice("side", edgeSides, "both")
		if q.Err != nil {
			return 0, q.Err
		}
		if side != "right" {
			f.edge.Loops += panel.LeftLoops
		}
		if side != "left" {
			f.edge.Loops += panel.RightLoops
		}
		f.where = fmt.Sprintf("%s of %s, %s of %s", noun.Count(f.edge.Loops, "loop"), name, panel.Name, side)
		if f.edge.Loops == 0 {
			return 0, &reply.UserError{Read: panel.Name, Wrong: "its edge has no loops: the edge ends tie no two knots one below the other", Right: "another panel, or a count of your own with loops", Try: "/fringe drop:22cm loops:12"}
		}
		f.where = strings.TrimSuffix(f.where, " of "+side) + map[string]string{"both": ", both edges", "left": ", left edge", "right": ", right edge"}[side]
		edge := sized.Cords[sized.Strands[panel.Strands[0]].Cord]
		if !q.Has("thickness") && !q.Has("construction") {
			f.cord = edge
		}
		return edge.Diameter(), nil
	}
	return 0, &reply.UserError{Read: "panel: " + q.Text("panel"), Wrong: "the design has no panel of that name", Right: strings.Join(names, ", "), Try: q.Request.Retype(map[string]string{"panel": names[0]}, "")}
}

// fringeTake is what the knot that hangs a piece takes of each end, by the member's
// hands; nil for the book's.
func fringeTake(sit sitting.Sitting, d, edge length.Length, hands swatch.Hands) (length.Length, error) {
	k, _ := sit.Standard.Knot("fringe lark's head")
	size, err := k.Size(knot.Gauge{Diameter: d, Rod: edge, Ends: k.Ends})
	if err != nil {
		return 0, err
	}
	return k.Take(hands[k.Kin()].Tied(k, size), "end"), nil
}

// scraps are the pieces on the member's shelf that may serve, and a spool.
func scraps(sit sitting.Sitting, c cord.Cord, spool length.Length) ([]stock.Stock, error) {
	shelf, err := sit.Leftovers()
	if err != nil {
		return nil, err
	}
	entries, err := cutting.Serving(shelf, ask.CordOf(c), true)
	if err != nil {
		return nil, err
	}
	supply := cutting.Stock(entries)
	if spool > 0 {
		supply = append(supply, stock.Stock{Length: spool, Label: cutting.NewSpool})
	}
	return supply, nil
}

// facts are what the fringe was taken to be.
func (f fringed) facts(p sitting.Prefs) []reply.Fact {
	drop := f.typed
	if f.gives > 0 {
		drop = p.Style.Format(f.gives)
	}
	if f.edge.Trim == fringe.Slope {
		drop += " at one end to " + f.far + " at the other"
	}
	return []reply.Fact{
		{Label: "finished", Value: drop},
		{Label: "pieces", Value: fmt.Sprintf("%d: %d to a loop, folded and hung by a lark's head", f.edge.Pieces(), f.edge.PerLoop)},
		{Label: "cord", Value: fmt.Sprintf("%s %s", p.Style.Thickness(f.cord.Nominal), f.cord.Construction)},
		{Label: "allowed", Value: fmt.Sprintf("%s for the knot and %s to trim, each end", p.Style.Format(f.edge.Take.RoundUp(length.Millimetre)), p.Style.Format(f.edge.Spare))},
	}
}

func pieceTable(cuts []fringe.Cut, p sitting.Prefs) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "", Right: false}, {Title: "count", Right: true}, {Title: "cut", Right: true}, {Title: "loops", Right: false}}}
	for i, c := range cuts {
		loops := fmt.Sprint(c.First)
		if c.Last > c.First {
			loops = fmt.Sprintf("%d to %d", c.First, c.Last)
		}
		t.Rows = append(t.Rows, []string{cutlist.Label(i), fmt.Sprint(c.Count), p.Style.Cut(c.Length), loops})
		t.Short = append(t.Short, fmt.Sprintf("%-2s %3d x %s", cutlist.Label(i), c.Count, p.Style.Cut(c.Length)))
	}
	return t
}

// inAll writes what cuts come to as they are written.
func inAll(cuts []fringe.Cut, p sitting.Prefs) string {
	all := length.Cuts{Style: p.Style}
	for _, c := range cuts {
		all.Add(c.Length, c.Count)
	}
	return all.Total()
}

// fillFacts say where the pieces come from and what is missing.
func fillFacts(f fringe.Filling, p sitting.Prefs) []reply.Fact {
	var facts []reply.Fact
	if f.FromScraps > 0 {
		facts = append(facts, reply.Fact{Label: "from your shelf", Value: noun.Count(f.FromScraps, "piece")})
	}
	if f.FromSpools > 0 {
		facts = append(facts, reply.Fact{Label: "from new spools", Value: noun.Count(f.FromSpools, "piece")})
	}
	facts = append(facts, reply.Fact{Label: "in all", Value: inAll(f.Cuts, p)})
	if f.ShortPieces > 0 && f.FromScraps+f.FromSpools == 0 {
		return append(facts, reply.Fact{Label: "cut from", Value: p.Sample("nothing on your shelf serves; name a spool with spool:100m, or put scraps of this cord on the shelf")})
	}
	if f.ShortPieces > 0 {
		facts = append(facts, reply.Fact{Label: "short of", Value: fmt.Sprintf("%s, %s: put scraps of this cord on your shelf or name a spool", noun.Count(f.ShortPieces, "piece"), inAll(f.Short, p))})
		if f.LongestDrop > 0 {
			facts = append(facts, reply.Fact{Label: "what you have", Value: "would make a level fringe of " + p.Style.Format(f.LongestDrop.RoundHalfEven(length.Millimetre))})
		}
	}
	return facts
}
