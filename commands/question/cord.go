package question

import (
	"context"
	"errors"
	"fmt"
	"math"
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
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
	"larkfold/store"
)

// knotworks are the arrangements that /cord can fill a panel with.
var knotworks = []reply.Choice{
	{Name: "net of alternating square knots", Value: "net"},
	{Name: "open net of alternating square knots, bare cord between the rows", Value: "open-net"},
	{Name: "full rows of square knots", Value: "rows"},
	{Name: "square-knot sinnets side by side", Value: "sinnets"},
	{Name: "half-knot spirals side by side", Value: "spirals"},
	{Name: "diagonal bars of double half hitches", Value: "bars"},
	{Name: "three-strand plaits side by side", Value: "plaits"},
	{Name: "berry knots in rows", Value: "berries"},
}

// CordCommand is /cord.
func CordCommand() handler.Command {
	return handler.Command{Run: runCord, Reads: sitting.Sheets, Command: reply.Command{
		Name: "cord", Description: "How much cord a hanging of this width and drop needs", Example: "/cord width:40cm drop:70cm thickness:4mm",
		Options: []reply.Option{
			{Name: "width", Description: "finished width, such as 40cm or 16in", Required: true},
			{Name: "drop", Description: "from the dowel to the tips of the tail, such as 70cm", Required: true},
			{Name: "thickness", Description: "of the cord, such as 4mm; " + ask.ThickLeftOut(ask.UsualThick)},
			{Name: "knotwork", Description: "what fills it; a net of square knots if left out", Choices: knotworks},
			{Name: "knot", Description: "for nets, rows and sinnets, this community's too; square knot if left out", Suggest: "knot"},
			{Name: "tail", Description: "how much of the drop hangs free; a quarter if left out"},
			{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: ask.Constructions()},
			{Name: "cord", Description: "which of your cords, by its name in /swatch list"},
			{Name: "dowel", Description: "its thickness, such as 20mm; 20 mm or 3/4 in if left out"},
			{Name: "spool", Description: "what a spool holds, such as 100m, or 100 m 900 g 24.00: tells how many to buy"},
			{Name: "price", Description: "of one spool, such as 24.00"},
			{Name: "copies", Description: "how many pieces of it; one if left out", Kind: reply.Whole, Min: 1, Max: sheet.MostCopies},
			{Name: "economy", Description: "yes cuts every cord to its own need, folded off centre", Kind: reply.YesNo},
			{Name: "save", Description: "a name to save it under"},
			{Name: "why", Description: "explain one line of the cut list by its letter"},
		},
	}}
}

// madeOf are knotworks by the knot that they are made of, whose trade names stand for
// them too.
var madeOf = map[string]string{
	"alternating net": "net", "square knot": "sinnets", "half knot": "spirals", "double half hitch": "bars",
	"three-strand plait": "plaits", "berry knot": "berries",
}

// tradeKnotwork is the question with a knotwork that was named as the trade names it
// put as one of the choices.
func tradeKnotwork(q *ask.Options, book *knot.Book) *ask.Options {
	name, _ := book.Find(q.Text("knotwork"))
	if made := madeOf[name]; made != "" {
		return q.With("knotwork", made)
	}
	return q
}

// wanted is what a member asks of /cord.
type wanted struct {
	width, drop, fringe length.Length
	cord                cord.Cord
	rod                 length.Length
	knotwork            string
	knot                *knot.Knot    // of nets, rows and sinnets; nil for the square knot
	grain               length.Length // what knotwork is measured to
	economy             bool
	copies              int
	save                string // the name to save it under
	typed               typedSizes
}

// typedSizes are the sizes of a question as they are repeated.
type typedSizes struct{ width, drop, tail, thickness, rod string }

// repeatedSizes are the sizes that were read.
func (w wanted) repeatedSizes(q *ask.Options) typedSizes {
	long, thick := length.Style.Format, length.Style.Thickness
	return typedSizes{
		width: q.Repeat("width", q.Unit, w.width, long), drop: q.Repeat("drop", q.Unit, w.drop, long), tail: q.Repeat("tail", q.Unit, w.fringe, long),
		thickness: q.Repeat("thickness", length.Millimetre, w.cord.Nominal, thick), rod: q.Repeat("dowel", length.Millimetre, w.rod, thick),
	}
}

// runCord sizes a panel of a width and a drop.
func runCord(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	w, err := wantPanel(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	if w.knot, err = wantKnot(sit, req, w.knotwork); err != nil {
		return reply.Reply{}, err
	}
	s, err := buildPanel(sit, w)
	if err != nil {
		return reply.Reply{}, err
	}
	sized, err := design.SizeSheet(ctx, sit, s)
	var faults sheet.Faults
	if errors.As(err, &faults) {
		return reply.Reply{}, w.tooMuch(req, p, faults)
	}
	if err != nil {
		return reply.Reply{}, err
	}
	if label := req.Options["why"]; label != "" {
		return say.Why(sized, p, label)
	}
	answer := say.Sized(sized, p, w.understood(sized, p))
	var save func(*store.Tx) error
	if name := w.save; name != "" {
		s.Piece = name
		save = design.SaveNew(name, sheet.Format(s), sit.UsedRows(sized.Book, sized.Sheet))
		answer.Blocks = append(answer.Blocks, reply.Text("Saved as "+reply.Quoted(name)+". See it again with"), reply.Verbatim("/project show name:"+reply.QuotedIfSpaced(name)))
	}
	return design.WithActions(ctx, sit, req, answer, sized, "", save)
}

// bareRod is the bare dowel that is left beside the cords, 4 cm or 1 1/2 in at each
// end (common practice, no source).
func bareRod(p sitting.Prefs) length.Length {
	if p.Imperial() {
		return 3 * length.Inch
	}
	return 8 * length.Centimetre
}

// usualTail is a quarter of the drop to whole units, or what a short drop leaves beside
// its knots.
func usualTail(drop, unit length.Length) length.Length {
	left := max(drop-ask.LeastKnotted, 0)
	return min((drop / 4).RoundHalfEven(unit), left-left%unit)
}

// wantPanel reads the options.
func wantPanel(sit sitting.Sitting, req reply.Request) (wanted, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	w := wanted{grain: length.Millimetre, width: q.Length("width", ask.Widths, 0), drop: q.Length("drop", ask.Drops, 0)}
	w.fringe = q.Length("tail", ask.Tails, usualTail(w.drop, q.Unit))
	w.cord = cord.Cord{Name: q.CordName("cord", "main"), Nominal: q.UsualThickness("thickness"), Construction: q.Construction("construction", cord.SingleStrand)}
	w.rod = q.DowelThickness("dowel", p.UsualRod())
	w.knotwork = tradeKnotwork(q, sit.Standard).Choice("knotwork", knotworks, "net")
	w.cord.Spool = q.Spool("spool")
	if q.Has("price") {
		if w.cord.Spool.Length == 0 && q.Err == nil {
			q.Err = q.NoSpool()
		}
		w.cord.Spool.Price = q.Price("price")
	}
	w.economy = q.Yes("economy")
	w.copies = q.Count("copies", 1, sheet.MostCopies, 1)
	w.save = q.SaveAs("save", "First Hanging")
	if p.Imperial() {
		w.grain = length.Inch / 16
	}
	if q.Err != nil {
		return wanted{}, q.Err
	}
	w.typed = w.repeatedSizes(q)
	if least := ask.LeastKnotted; w.drop-w.fringe < least {
		return wanted{}, &reply.UserError{
			Read:  fmt.Sprintf("drop: %s, tail: %s", w.typed.drop, w.typed.tail),
			Wrong: "that leaves less than " + p.Style.Format(least) + " for knots",
			Right: "the drop is the whole length, the tail a part of it",
			Try:   req.Retype(map[string]string{"tail": ask.Compact(p.Style.Format(w.drop / 4))}, ""),
		}
	}
	book, err := sit.Book()
	if err != nil {
		return wanted{}, err
	}
	w.cord, _, err = sit.Knotted(book, w.cord)
	return w, err
}

// tooMuch refuses a piece of more ends or knots than a sheet holds, whose sheet
// the member has not seen.
func (w wanted) tooMuch(req reply.Request, p sitting.Prefs, faults sheet.Faults) error {
	f := p.Style.Format
	return &reply.UserError{
		Read:  fmt.Sprintf("width: %s, drop: %s, thickness: %s", w.typed.width, w.typed.drop, w.typed.thickness),
		Wrong: "that is more than can be followed end by end: " + faults.Shown[0].Text,
		Right: "size a part of the width, which is cut the same, and count it as often as it goes in; or take thicker cord",
		Try:   req.Retype(map[string]string{"width": ask.Compact(f((w.width / 10).RoundHalfEven(10 * w.grain)))}, ""),
		Cause: faults,
	}
}

// wantKnot reads which knot fills a net, rows or sinnets; nil when nobody says.
func wantKnot(sit sitting.Sitting, req reply.Request, knotwork string) (*knot.Knot, error) {
	name := strings.TrimSpace(req.Options["knot"])
	if name == "" {
		return nil, nil
	}
	book, err := sit.Book()
	if err != nil {
		return nil, err
	}
	k, err := ask.Knot(req, "knot", book, name)
	if err != nil {
		return nil, err
	}
	e := &reply.UserError{Read: "knot: " + name, Right: "name a knot for a sinnet, such as square knot, or leave it out", Try: req.Retype(nil, "knot")}
	switch knotwork {
	case "net", "open-net":
		e.Wrong = "the " + k.Name + " cannot be tied in a net"
		if k.Shape == knot.Group && k.Ends%2 == 0 {
			return k, nil
		} else if k.Shape == knot.Group {
			e.Right, e.Try = "a net halves its groups, so the ends must be even; put it in sinnets", req.Retype(map[string]string{"knotwork": "sinnets"}, "")
		}
	case "rows", "sinnets":
		e.Wrong = "the " + k.Name + " does not go on below itself"
		if k.Shape == knot.Group {
			return k, nil
		}
	default:
		e.Wrong = "that knotwork has its own knot"
		e.Right, e.Try = "leave the knot out, or ask for a net, rows or sinnets", req.Retype(map[string]string{"knotwork": "sinnets"}, "")
	}
	return nil, e
}

// buildPanel is the sheet of a quick question.
func buildPanel(sit sitting.Sitting, w wanted) (sheet.Sheet, error) {
	of := 4 // ends of one repeat
	name := "square knot"
	switch {
	case w.knotwork == "plaits":
		of = 6
	case w.knot != nil:
		of, name = w.knot.Ends, w.knot.Name
	}
	unit := of // cords of one repeat, two ends each
	if of%2 == 0 {
		unit = of / 2
	}
	each, err := perCord(sit, w)
	if err != nil {
		return sheet.Sheet{}, err
	}
	cords := max(int(math.Round(float64(w.width)/float64(each)/float64(unit))), 1) * unit
	if w.knotwork == "bars" || w.knotwork == "net" || w.knotwork == "open-net" {
		cords = max(cords, 2*unit)
	}
	worked := w.worked()
	space := max(w.width, each*length.Length(cords)) + bareRod(sit.Prefs)
	s := sheet.Sheet{
		Piece:   "Hanging",
		Cords:   []sheet.Cord{{Name: w.cord.Name, Thickness: w.cord.Nominal, Construction: w.cord.Construction.String(), SpoolLength: w.cord.Spool.Length, SpoolMass: w.cord.Spool.Mass, SpoolPrice: w.cord.Spool.Price}},
		Economy: w.economy,
		Copies:  copiesOf(w.copies),
		Rod:     &sheet.Rod{Length: space.RoundUp(sizing.StepIn(sit.Prefs.Style.System)), Thickness: w.rod},
	}
	if sit.Prefs.Ways.Hang == sheet.Spread {
		s.Hang = sheet.Relaxed // the rod is made for the cords here, not they spread over it
	}
	count := sheet.Count{For: worked}
	steps := []sheet.Step{sheet.Mount{Hung: []sheet.Hung{{Count: cords}}}}
	switch w.knotwork {
	case "net":
		steps = append(steps, sheet.Net{Knot: name, Rows: count})
	case "open-net":
		steps = append(steps, sheet.Net{Knot: name, Rows: count, Apart: (3 * w.cord.Diameter()).RoundHalfEven(w.grain)})
	case "rows":
		steps = append(steps, sheet.Sinnet{Knot: name, Times: count, Of: of})
	case "sinnets":
		steps = append(steps, sheet.Sinnet{Knot: name, Times: count})
	case "spirals":
		steps = append(steps, sheet.Sinnet{Knot: "half knot", Times: count})
	case "berries":
		steps = append(steps, sheet.Sinnet{Knot: "berry knot", Times: count, Apart: (2 * w.cord.Diameter()).RoundHalfEven(w.grain)})
	case "plaits":
		steps = append(steps, trace.PlaitOf(name, of, worked))
	case "bars":
		steps = append(steps, chevrons(sit, w, cords)...)
	}
	if w.fringe > 0 {
		steps = append(steps, sheet.Tail{Length: w.fringe})
	}
	s.Panels = []sheet.Panel{{Name: "front", Steps: steps}}
	return s, nil
}

// copiesOf is what a sheet says of so many pieces: nothing of one.
func copiesOf(n int) int {
	if n == 1 {
		return 0
	}
	return n
}

// worked is the depth of the knotwork below the mounts.
func (w wanted) worked() length.Length {
	return (w.drop - w.fringe - w.rod/2 - w.cord.Diameter()).RoundHalfEven(w.grain)
}

// perCord is the width of one folded cord along the rod.
func perCord(sit sitting.Sitting, w wanted) (length.Length, error) {
	k, _ := sit.Standard.Knot("lark's head")
	size, err := k.Size(knot.Gauge{Diameter: w.cord.Diameter(), Rod: w.rod, Ends: k.Ends})
	if sit.Prefs.Ways.Hang == sheet.Touching {
		return size.Closer, err
	}
	return size.Width, err
}

// chevrons are bars from both edges to the middle, the right one over the carrier of
// the left, as many as reach the depth.
func chevrons(sit sitting.Sitting, w wanted, cords int) []sheet.Step {
	d := float64(w.cord.Diameter())
	k, _ := sit.Standard.Knot("double half hitch")
	size, err := k.Size(knot.Gauge{Diameter: w.cord.Diameter(), Ends: 2})
	if err != nil {
		return nil
	}
	pitch := size.Pitch
	if tied := sit.Prefs.Ways.Pitch(k, size); tied > 0 {
		pitch = tied
	}
	cos := math.Min(2*d/float64(pitch), 1)
	tan := math.Sqrt(1-cos*cos) / cos
	fall := float64(cords-1) * 2 * d * tan
	each := float64(size.Height)*cos + 2*d*tan // from one bar to the next that touches it
	halves := max(int(math.Round(2*(float64(w.worked())-fall)/each)), 2)
	return bars(halves)
}

// bars are bars from both edges to the middle, one below the other, so many half
// bars high in all. Now and then the right one goes on over the carrier of the
// left, so that both halves hang together: there the pair is one and a half bars high.
func bars(halves int) []sheet.Step {
	const apart, joint = 4, 3 // pairs that only meet, and half bars of a pair that is tied together
	pair := func(times, over int) []sheet.Step {
		return []sheet.Step{
			sheet.Bar{From: sheet.Position{Anchor: sheet.Left}, To: sheet.Position{Anchor: sheet.Middle}, Times: sheet.Count{N: times}},
			sheet.Bar{From: sheet.Position{Anchor: sheet.Right}, To: sheet.Position{Anchor: sheet.Middle, Number: -over}, Times: sheet.Count{N: times}},
		}
	}
	var steps []sheet.Step
	blocks, rest := min(halves/(2*apart+joint), sheet.MostRepeats), halves%(2*apart+joint)
	if blocks > 0 {
		steps = slices.Concat(pair(apart, 0), pair(1, 1))
	}
	if blocks > 1 {
		steps = slices.Concat([]sheet.Step{sheet.Repeat{Times: blocks}}, steps, []sheet.Step{sheet.End{}})
	}
	if n := (rest - joint + 1) / 2; n > 0 {
		steps = append(steps, pair(n, 0)...)
	}
	switch {
	case rest >= joint || blocks == 0:
		steps = append(steps, pair(1, 1)...)
	case rest > 1:
		steps = append(steps, pair(1, 0)...)
	}
	return steps
}

// understood is what the question was taken to be.
func (w wanted) understood(sized sizing.Sized, p sitting.Prefs) []reply.Fact {
	name := w.knotwork
	for _, c := range knotworks {
		if c.Value == w.knotwork {
			name = c.Name
		}
	}
	if w.knot != nil {
		tied := noun.Plural(w.knot.Name)
		name = strings.NewReplacer("square knots", tied, "square-knot sinnets", "sinnets of "+tied).Replace(name)
	}
	f := p.Style.Format
	got := sized.Panels[0]
	asked := fmt.Sprintf("%s wide, %s long, ", w.typed.width, w.typed.drop)
	if w.fringe > 0 {
		asked += w.typed.tail + " of it the tail"
	} else {
		asked += "without a tail"
	}
	facts := []reply.Fact{
		{Label: "asked", Value: asked},
		{Label: "knotwork", Value: name},
		{Label: "cord", Value: fmt.Sprintf("%s %s", w.typed.thickness, w.cord.Construction)},
		{Label: "hung on", Value: fmt.Sprintf("a dowel %s thick, %s or longer", w.typed.rod, f(sized.Rod.Length))},
	}
	if p.Ways.Hang == sheet.Spread {
		facts = append(facts, reply.Fact{Label: "hung", Value: "relaxed, not spread as your /prefs say: the dowel is as long as the cords need"})
	}
	if off := (got.Width - w.width).Tidy(); off > length.Centimetre || off < -length.Centimetre {
		facts = append(facts, reply.Fact{Label: "width", Value: fmt.Sprintf("whole repeats make it %s, not %s", f(got.Width.Tidy()), w.typed.width)})
	}
	return facts
}
