package commands

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"larkfold/commands/picture"
	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/dowel"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
	"larkfold/store"
)

// bench is what a member's sheets are sized with; own are the knots that a saved
// design took along.
func (a *App) bench(ctx context.Context, req reply.Request, p Prefs, own ...knot.Row) (sizing.Bench, error) {
	book, err := a.bookFor(ctx, req, own...)
	return sizing.Bench{Book: book, Style: p.Style, Margin: p.margin(), Step: p.step()}, err
}

// size sizes a member's sheet, by their swatches where they have some of its cords.
func (a *App) size(ctx context.Context, req reply.Request, text string, own ...knot.Row) (sizing.Plan, Prefs, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return sizing.Plan{}, p, err
	}
	b, err := a.bench(ctx, req, p, own...)
	if err != nil {
		return sizing.Plan{}, p, err
	}
	s, faults := sheet.Parse(text, b.Book)
	if faults.Any() {
		return sizing.Plan{}, p, faults
	}
	hands, notes, err := a.hands(ctx, req, p, b.Book, s.Cords)
	if err != nil {
		return sizing.Plan{}, p, err
	}
	b.Hands = hands
	plan, err := sizing.Sheet(ctx, s, text, b)
	plan.Notes = append(notes, plan.Notes...)
	return plan, p, err
}

// planReply shows a plan: cut list, totals, what it came from, what to watch for,
// and its picture.
func planReply(plan sizing.Plan, p Prefs, understood []reply.Fact) reply.Reply {
	blocks := planWords(plan, p, understood)
	blocks = append(blocks, drawn(picture.Piece(plan, p.Style), fileName(title(plan))+".png"))
	return reply.Reply{Blocks: append(blocks, planCautions(plan)...)}
}

// Summary is a plan in words with its cautions, for whoever sizes a sheet without
// a member: in metric units, by the book.
func Summary(plan sizing.Plan) []reply.Block {
	return append(planWords(plan, Prefs{}, nil), planCautions(plan)...)
}

// planWords is all that is said of a plan but its cautions.
func planWords(plan sizing.Plan, p Prefs, understood []reply.Fact) []reply.Block {
	blocks := []reply.Block{reply.Heading(title(plan))}
	if len(understood) > 0 {
		blocks = append(blocks, reply.Facts(understood))
	}
	blocks = append(blocks, cutTable(plan, p), reply.Facts(totals(plan, p)))
	if order := hangingOrder(plan); len(order) > 0 {
		blocks = append(blocks, reply.Facts(order))
	}
	if !p.Short {
		blocks = append(blocks, reply.Facts(assumptions(plan, p)))
	}
	if notes := notes(plan, p); notes != "" {
		blocks = append(blocks, reply.Text(notes))
	}
	return blocks
}

// planCautions are shown with everything that will hang.
func planCautions(plan sizing.Plan) []reply.Block {
	var words []string
	for _, c := range dowel.Cautions(dowel.Hanging{Brushed: true}) {
		words = append(words, string(c))
	}
	cautions := []reply.Block{reply.Caution(strings.Join(words, " "))}
	if picture.HoldsPot(plan) {
		cautions = append(cautions, reply.Caution(picture.PotCaution))
	}
	return cautions
}

// hangingOrder says, where a panel's cords are cut to several lengths, which hangs
// next to which: "2 A, 1 B, 2 A".
func hangingOrder(plan sizing.Plan) []reply.Fact {
	label := map[int]string{}
	for _, c := range plan.List.Cuts {
		for _, s := range c.Strands {
			label[s] = c.Label
		}
	}
	var facts []reply.Fact
	for _, panel := range plan.Panels {
		hung := slices.DeleteFunc(slices.Clone(panel.Strands), func(s int) bool { return plan.Strands[s].Added })
		var order []string
		kinds := map[string]bool{}
		for i := 0; i < len(hung); {
			j := i
			for j < len(hung) && label[hung[j]] == label[hung[i]] {
				j++
			}
			kinds[label[hung[i]]] = true
			order = append(order, fmt.Sprintf("%d %s", j-i, label[hung[i]]))
			i = j
		}
		if len(kinds) > 1 {
			facts = append(facts, reply.Fact{Label: "hang " + panel.Name, Value: strings.Join(order, ", ") + ", from the left"})
		}
	}
	return facts
}

// drawn is a drawing as a block. One that cannot be rendered is said in its words.
func drawn(d *picture.Drawing, name string) reply.Block {
	png, err := d.PNG()
	if err != nil {
		return reply.Text("The picture could not be drawn. It would show: " + d.Alt())
	}
	return reply.Picture{Name: name, PNG: png, Alt: d.Alt()}
}

// fileName is a name as a file may have it: small letters, digits and hyphens.
func fileName(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case b.Len() >= 60:
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if trimmed := strings.Trim(b.String(), "-"); trimmed != "" {
		return trimmed
	}
	return "hanging"
}

func title(plan sizing.Plan) string {
	if plan.Sheet.Piece != "" {
		return plan.Sheet.Piece
	}
	return "Cut list"
}

// cutTable is the cut list.
func cutTable(plan sizing.Plan, p Prefs) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "", Right: false}, {Title: "count", Right: true}, {Title: "cut", Right: true}, {Title: "fold", Right: false}, {Title: "for", Right: false}}}
	several := len(plan.Cords) > 1
	for _, c := range plan.List.Cuts {
		use := c.For
		if several {
			use += " (" + plan.Cords[c.Cord].Name + ")"
		}
		fold := foldWords(c, p)
		t.Rows = append(t.Rows, []string{c.Label, fmt.Sprint(c.Count), p.cut(c.Length), fold, use})
		t.Short = append(t.Short, shortCut(c, p))
	}
	return t
}

// cut writes a length to be cut, never rounded down.
func (p Prefs) cut(l length.Length) string { return p.Style.Cut(l) }

func foldWords(c cutlist.Cut, p Prefs) string {
	switch {
	case !c.Folded:
		return ""
	case c.Fold == 0:
		return "in the middle"
	}
	return fmt.Sprintf("%s from one end, short leg %s", p.cut(c.Fold), c.Short)
}

// shortCut is one line of the list for a narrow screen.
func shortCut(c cutlist.Cut, p Prefs) string {
	what, _, _ := strings.Cut(c.For, " ")
	if c.Folded && !strings.HasPrefix(c.For, string(trace.ForFringe)) {
		what = "fold"
	}
	narrow := p
	if narrow.Style.System == length.Both {
		narrow.Style.System = length.Metric
	}
	line := fmt.Sprintf("%-2s %3d x %s  %s", c.Label, c.Count, narrow.cut(c.Length), what)
	return strings.TrimRight(string([]rune(line)[:min(26, len([]rune(line)))]), " ")
}

// totals adds up what to buy.
func totals(plan sizing.Plan, p Prefs) []reply.Fact {
	var facts []reply.Fact
	for _, t := range plan.List.Totals {
		c := plan.Cords[t.Cord]
		value := fmt.Sprintf("%s, about %s", p.Style.Format(t.Length), p.Style.Mass(t.Mass))
		if c.Spool.Length > 0 {
			if t.Spools == 0 {
				value += fmt.Sprintf("; a piece is longer than the spool of %s", p.Style.Format(c.Spool.Length))
			} else {
				value += fmt.Sprintf("; %s of %s, %s left over", count(t.Spools, "spool"), p.Style.Format(c.Spool.Length), p.Style.Format(t.Spare))
			}
			if t.Cost > 0 {
				value += "; cost " + t.Cost.String()
			}
		}
		label := "to buy"
		if len(plan.List.Totals) > 1 {
			label = "of " + c.Name
		}
		facts = append(facts, reply.Fact{Label: label, Value: value})
	}
	for _, panel := range plan.Panels {
		width := "wide"
		if panel.Round {
			width = "around"
		}
		label := "finished"
		if len(plan.Panels) > 1 {
			label = panel.Name
		}
		facts = append(facts, reply.Fact{Label: label, Value: fmt.Sprintf("%s %s, %s long, %s", p.Style.Format(tidy(panel.Width)), width, p.Style.Format(tidy(panel.Drop)), knots(panel.Knots))})
	}
	return facts
}

// tidy rounds a finished size, which no hand keeps to the millimetre, to 5 mm.
func tidy(l length.Length) length.Length { return l.RoundHalfEven(5 * length.Millimetre) }

// knots lists a knot count in words, the commonest first.
func knots(counts map[string]int) string {
	if len(counts) == 0 {
		return "no knots"
	}
	names := byCount(counts)
	parts := make([]string, len(names))
	for i, name := range names {
		parts[i] = count(counts[name], name)
	}
	return strings.Join(parts, ", ")
}

// assumptions are the numbers that the answer rests on.
func assumptions(plan sizing.Plan, p Prefs) []reply.Fact {
	facts := []reply.Fact{}
	for _, c := range plan.Cords {
		facts = append(facts, reply.Fact{Label: "cord " + c.Name, Value: fmt.Sprintf("%s %s, %.2g of that when knotted (%s)", p.Style.Thickness(c.Nominal), c.Construction, float64(c.WorkingSqueeze()), squeezeSource(c))})
	}
	for _, total := range plan.List.Totals {
		if spread := plan.Cords[total.Cord].MassPerLength().Spread; spread > 0 {
			facts = append(facts, reply.Fact{Label: "mass", Value: "estimated from the diameter, " + percent(float64(spread)) + " either way; a spool's length and mass in the sheet are better"})
			break
		}
	}
	t := plan.List.Terms
	return append(facts, reply.Fact{Label: "allowed", Value: fmt.Sprintf("%s margin; %s at least to tie with; rounded up to %s", percent(float64(t.Margin)), p.Style.Format(t.Hands), p.stepWords(t.Step))})
}

func squeezeSource(c cord.Cord) string {
	if c.Squeeze > 0 {
		return "from your swatches"
	}
	return "common practice; your swatches correct it"
}

// notes are what the maker should know besides.
func notes(plan sizing.Plan, p Prefs) string {
	var lines []string
	for _, n := range plan.Notes {
		lines = append(lines, "· "+n.Text)
	}
	if plan.List.Saves >= 50*length.Centimetre && !plan.List.Terms.Economy {
		lines = append(lines, fmt.Sprintf("· cutting every cord to its own need would save %s: add the line `economy` to the sheet, or economy:yes to /cord", p.Style.Format(plan.List.Saves)))
	}
	return strings.Join(lines, "\n")
}

// why explains one line of the cut list.
func why(plan sizing.Plan, p Prefs, label string) (reply.Reply, error) {
	for _, c := range plan.List.Cuts {
		if strings.EqualFold(c.Label, strings.TrimSpace(label)) {
			return reply.Reply{Blocks: []reply.Block{
				reply.Heading(fmt.Sprintf("Why %s is %s", c.Label, p.cut(c.Length))), reply.Facts(whyFacts(plan, p, c)),
				drawn(picture.Use(plan, p.Style), fileName(title(plan))+"-use.png"),
			}}, nil
		}
	}
	labels := make([]string, len(plan.List.Cuts))
	for i, c := range plan.List.Cuts {
		labels[i] = c.Label
	}
	return reply.Reply{}, &reply.UserError{Read: label, Wrong: "no line of the cut list has that letter", Right: strings.Join(labels, ", ")}
}

func whyFacts(plan sizing.Plan, p Prefs, c cutlist.Cut) []reply.Fact {
	w := c.Why
	f := p.Style.Format
	add := func(facts []reply.Fact, label string, l length.Length, more string) []reply.Fact {
		if l == 0 {
			return facts
		}
		if more != "" {
			more = " (" + more + ")"
		}
		return append(facts, reply.Fact{Label: label, Value: f(l) + more})
	}
	var facts []reply.Fact
	if w.End >= 0 {
		e := plan.Ends[w.End]
		facts = append(facts, reply.Fact{Label: "the longest", Value: fmt.Sprintf("end %d of %s, %s of its cord", e.Number, plan.Panels[e.Panel].Name, sideWords(plan, e))})
		facts = add(facts, "mount", w.Need.Mount, "")
		facts = add(facts, "straight runs", w.Need.Run, "from knot to knot")
		for _, u := range e.Uses {
			facts = append(facts, reply.Fact{Label: u.Knot, Value: fmt.Sprintf("%s as %s of %d", f(u.Takes), u.Role, u.Times)})
		}
	} else {
		facts = append(facts, reply.Fact{Label: "for", Value: c.For + ": " + c.About})
		facts = add(facts, "tying on", w.Need.Mount, "")
		facts = add(facts, "straight", w.Need.Run, "")
		facts = add(facts, "winding", w.Need.TakeUp, "")
	}
	facts = add(facts, "tail", w.Need.Tail, "")
	facts = append(facts, reply.Fact{Label: "needs", Value: f(w.Need.Total())})
	facts = add(facts, "margin", w.Margin, percent(float64(plan.List.Terms.Margin))+" of all but the tail")
	facts = add(facts, "for hands", w.Hands, "the tail is too short to tie with")
	switch {
	case c.Folded && w.End >= 0 && c.Fold == 0:
		facts = append(facts, reply.Fact{Label: "folded", Value: "twice " + f(w.Need.Total()+w.Margin+w.Hands)})
	case c.Fold > 0:
		facts = append(facts, reply.Fact{Label: "folded", Value: f(c.Fold) + " from one end; the other leg takes the rest"})
	}
	return append(add(facts, "rounded up by", w.Rounded, "to "+p.stepWords(plan.List.Terms.Step)), reply.Fact{Label: "cut", Value: p.cut(c.Length)})
}

func sideWords(plan sizing.Plan, e trace.End) string {
	if len(plan.Strands[e.Strand].Ends) == 1 {
		return "all"
	}
	return "the " + e.Side.String() + " half"
}

// draftLife is how long a reply's buttons work.
const draftLife = 7 * 24 * time.Hour

// sheetDraft is what the buttons of a sized sheet remember.
type sheetDraft struct {
	Sheet string     `json:"sheet"`
	Name  string     `json:"name,omitempty"`  // the project it came from
	Knots []knot.Row `json:"knots,omitempty"` // those of its knots that are not in the standard book
}

// keep saves a draft for the buttons of a reply and returns its key.
func (a *App) keep(ctx context.Context, req reply.Request, kind string, payload any) (string, error) {
	data, err := json.Marshal(payload)
	if err != nil {
		return "", err
	}
	d, err := a.store.SaveDraft(ctx, req.Member, req.Now, store.Draft{Kind: kind, Payload: data, Expires: req.Now.Add(draftLife)})
	return d.Key, err
}

// kept reads a draft of the member's own.
func (a *App) kept(ctx context.Context, req reply.Request, kind string, into any) error {
	d, err := a.store.Draft(ctx, req.Member, req.Now, req.Action.Key)
	if err != nil || d.Kind != kind {
		return &reply.UserError{Wrong: "this button belongs to somebody else's answer, or is more than a week old", Right: "ask with the command yourself and use the new buttons", Cause: err}
	}
	return json.Unmarshal(d.Payload, into)
}

// canonical is the sheet as the one canonical form prints it.
func canonical(plan sizing.Plan) string { return sheet.Format(plan.Sheet) }
