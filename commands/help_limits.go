package commands

import (
	"fmt"

	"larkfold/commands/ask"
	"larkfold/commands/cutting"
	"larkfold/commands/member"
	"larkfold/commands/picture/drawn"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/formula"
	"larkfold/sizing/fringe"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/stock"
	"larkfold/store"
)

// helpLimits is how much there is room for, each number from where it is checked.
func helpLimits(p sitting.Prefs) reply.Reply {
	kept := store.DefaultLimits()
	between := func(b length.Bounds) string {
		b.System = p.Style.System
		return "from " + b.Between()
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("How much there is room for"),
		reply.Facts{
			{Label: "a working sheet", Value: fmt.Sprintf("%s, %d KiB", noun.Count(sheet.MostLines, "line"), sheet.MostBytes>>10)},
			{Label: "a piece", Value: fmt.Sprintf("%s, %s, %s of one fringe", noun.Count(sheet.MostEnds, "end"), noun.Count(sheet.MostKnots, "knot"), noun.Count(fringe.MostPieces, "piece"))},
			{Label: "its picture", Value: fmt.Sprintf("knot by knot up to %s, else in outline", noun.Count(drawn.MostKnots, "knot"))},
			{Label: "asked", Value: "width " + between(ask.Widths) + ", drop " + between(ask.Drops)},
			{Label: "a list of pieces", Value: fmt.Sprintf("%s, %s", noun.Count(ask.MostPieces, "piece"), noun.Count(ask.MostListed, "character"))},
			{Label: "a cutting plan", Value: fmt.Sprintf("%s from %s of stock and %s of spool; after %s of search it says how far from the best it may be",
				noun.Count(stock.MaxPieces, "piece"), noun.Count(stock.MaxStock, "line"), noun.Count(cutting.MostSpoolSizes, "size"), noun.Count(int(cutting.Budget.Seconds()), "second"))},
			{Label: "a formula", Value: noun.Count(formula.LongestSource, "character")},
		},
		reply.Heading("What is kept"),
		reply.Facts{
			{Label: "yours", Value: fmt.Sprintf("%s with %s each, %s that were deleted, %s, %s, %s and rules, %s; %s in all",
				noun.Count(kept.Projects, "design"), noun.Count(kept.Revisions, "earlier version"), noun.Count(kept.Bin, "design"), noun.Count(kept.Leftovers, "shelf entry"),
				noun.Count(kept.Swatches, "swatch"), noun.Count(kept.Entries, "knot"), noun.Count(kept.Shares, "share"), member.Megabytes(int64(kept.KeepBytes)))},
			{Label: "a community's", Value: fmt.Sprintf("%s, %s, %s to share in", noun.Count(kept.CommunityKnots, "knot"), noun.Count(kept.CommunityRules, "rule"), noun.Count(kept.CommunityChannels, "channel"))},
		},
		reply.Text("What goes beyond is refused with its reason, but earlier versions and deleted designs, of which the oldest give way. How much of your room is left:"), reply.Verbatim("/mydata room"),
	}}
}
