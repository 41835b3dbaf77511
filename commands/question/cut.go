package question

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/commands/takeup"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/formula"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// CutCommand is /cut.
func CutCommand() handler.Command {
	return handler.Command{Run: runCut, Reads: sitting.Sheets | sitting.Rules, Command: reply.Command{
		Name: "cut", Description: "Finished length to cut length: doubling rules beside what the knots take up", Example: "/cut finished:1.2m count:8 folded:yes",
		Options: []reply.Option{
			{Name: "finished", Description: "how long it will be, tail and all, such as 1.2m", Required: true},
			{Name: "count", Description: "how many to cut; 1 if left out", Kind: reply.Whole, Min: 1, Max: 2000},
			{Name: "folded", Description: "yes when each is folded in half and hung, two ends of one piece", Kind: reply.YesNo},
			{Name: "knot", Description: "that fills it, such as square knot; square knot if left out", Suggest: "knot"},
			{Name: "thickness", Description: "of the cord, such as 4mm; " + ask.ThickLeftOut(ask.UsualThick)},
			{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: ask.Constructions()},
			{Name: "cord", Description: "which of your cords, by its name in /swatch list"},
			{Name: "tail", Description: "how much of the finished length hangs free; nothing if left out"},
			{Name: "dowel", Description: "what it hangs on, its thickness; " + ask.ThickLeftOut(trace.UsualRod)},
			{Name: "rule", Description: "one doubling rule only, such as medium; see /rule list", Suggest: "rule"},
			{Name: "width", Description: "the finished width, for rules that ask for it"},
		},
	}}
}

// doubling is what a member asks of /cut.
type doubling struct {
	finished, fringe, width, rod length.Length
	cord                         cord.Cord
	pieces                       int
	folded                       bool
	knot                         *knot.Knot // nil when all of it is fringe
	rules                        []takeup.Rule
	typed, tail                  string // the finished length and the tail as they were typed
}

// legs is how many ends a piece has.
func (d doubling) legs() length.Length {
	if d.folded {
		return 2
	}
	return 1
}

// worked is the length of the knotwork below the mounts.
func (d doubling) worked() length.Length {
	return wanted{drop: d.finished, fringe: d.fringe, rod: d.rod, cord: d.cord}.worked()
}

// runCut sets doubling rules beside what the knots take up.
func runCut(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	d, err := wantDoubling(sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	sized, err := design.SizeSheet(ctx, sit, d.sheet(false))
	var faults sheet.Faults
	if errors.As(err, &faults) {
		return reply.Reply{}, &reply.UserError{Read: "finished: " + d.typed, Wrong: faults.Shown[0].Text, Right: "something longer, or with less fringe", Try: req.Example(), Cause: err}
	}
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading("To cut for " + d.typed), reply.Facts(d.understood(p)), d.table(sized, p), reply.Facts(d.takeUp(sized, p))}
	saving, err := offCentre(ctx, sit, d, sized, p)
	if err != nil {
		return reply.Reply{}, err
	}
	if saving != "" {
		blocks = append(blocks, reply.Text(saving))
	}
	if !p.Short {
		for _, n := range sized.Notes {
			blocks = append(blocks, reply.Text("· "+n.Text))
		}
		blocks = append(blocks, reply.Text(d.advice()), reply.Verbatim(p.Sample("/cord width:40cm")+" drop:"+reply.QuotedIfSpaced(ask.Compact(p.Style.Format(max(d.finished, 20*length.Centimetre))))))
	}
	return reply.Reply{Blocks: blocks}, nil
}

// advice is how to read the table and what else to ask.
func (d doubling) advice() string {
	if d.knot == nil {
		return "Twice the fringe is what hangs; the knot that each piece hangs by takes the rest. A whole hanging:"
	}
	return "Rules of thumb are for work in which ends tie and run in turn, as in a net; where the same ends tie all the way they need more. Another knot, cord or tail: knot:, thickness:, tail:. A rule of your own: /rule add. A whole hanging:"
}

// wantDoubling reads the options.
func wantDoubling(sit sitting.Sitting, req reply.Request) (doubling, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	finishes := ask.Bounds("finished length", 5*length.Centimetre, 50*length.Metre, "1.2 m or 4 ft")
	d := doubling{
		finished: q.Length("finished", finishes, 0),
		fringe:   q.Length("tail", ask.Tails, 0),
		width:    q.Length("width", ask.Widths, 0),
		rod:      q.DowelThickness("dowel", p.UsualRod()),
		cord:     cord.Cord{Name: q.CordName("cord", "main"), Nominal: q.UsualThickness("thickness"), Construction: q.Construction("construction", cord.SingleStrand)},
		pieces:   q.Count("count", 1, 2000, 1),
		folded:   q.Yes("folded"),
	}
	if q.Err != nil {
		return d, q.Err
	}
	d.typed, d.tail = q.Repeat("finished", q.Unit, d.finished, length.Style.Format), q.Repeat("tail", q.Unit, d.fringe, length.Style.Format)
	rules, err := takeup.RulesOf(sit)
	if err != nil {
		return d, err
	}
	if q.Has("rule") {
		r, err := takeup.FindRule(req, "rule", rules, q.Text("rule"))
		if err != nil {
			return d, err
		}
		d.rules = []takeup.Rule{r}
		if r.Whose == takeup.BuiltIn && r.Name == takeup.FringeRule {
			d.fringe = d.finished
			if !q.Has("dowel") {
				d.rod = d.cord.Nominal // a loop of the edge
			}
			return d, nil
		}
	} else {
		for _, r := range rules {
			if r.Whose != takeup.BuiltIn || r.Name != takeup.FringeRule {
				d.rules = append(d.rules, r)
			}
		}
	}
	if least := ask.LeastKnotted; d.worked() < least && !q.Has("tail") {
		return d, &reply.UserError{
			Read: "finished: " + q.Text("finished"), Wrong: "below the dowel that leaves less than " + p.Style.Format(least) + " for knots",
			Right: "something longer, or a thinner dowel", Try: req.Retype(map[string]string{"finished": ask.Compact(p.Style.Format(d.finished + d.rod + 2*least))}, ""),
		}
	} else if d.worked() < least {
		return d, &reply.UserError{
			Read: "tail: " + q.Text("tail"), Wrong: "that leaves less than " + p.Style.Format(least) + " of " + d.typed + " for knots",
			Right: "the finished length is the whole, the tail a part of it; for fringe alone there is rule:doubled",
			Try:   req.Retype(map[string]string{"rule": takeup.FringeRule, "tail": ""}, ""),
		}
	}
	book, err := sit.Book()
	if err != nil {
		return d, err
	}
	name := "square knot"
	if q.Has("knot") {
		name = q.Text("knot")
	}
	if d.knot, err = ask.Knot(req, "knot", book, name); err != nil {
		return d, err
	}
	if err := sinnetable(req, d); err != nil {
		return d, err
	}
	return d, d.widthGiven(req)
}

// sinnetable refuses a knot that does not go on below itself.
func sinnetable(req reply.Request, d doubling) error {
	e := &reply.UserError{Read: "knot: " + req.Options["knot"], Wrong: "the " + d.knot.Name + " does not go on below itself to make a length", Right: "name a knot for a sinnet, such as square knot", Try: req.Retype(map[string]string{"knot": "square knot"}, "")}
	panel := func(knotwork string) string { return "/cord width:40cm drop:70cm knotwork:" + knotwork }
	switch d.knot.Shape {
	case knot.Group, knot.Plait:
		return nil
	case knot.Hitch:
		e.Right, e.Try = "bars go across: /cord sizes them by width and drop", panel("bars")
	case knot.Pattern:
		e.Right, e.Try = "a net has a width: /cord sizes it by width and drop", panel("net")
	case knot.Wrap:
		e.Right, e.Try = "/wrap sizes wraps", "/wrap ends:16 turns:5"
	}
	return e
}

// widthGiven refuses the one rule asked for when it needs a width that was not given.
func (d doubling) widthGiven(req reply.Request) error {
	if len(d.rules) != 1 {
		return nil
	}
	var fault *formula.Fault
	if _, err := d.rules[0].Leg(d.quantities()); errors.As(err, &fault) {
		e := &reply.UserError{Read: "rule: " + d.rules[0].Name, Wrong: fault.Wrong, Right: fault.Right, Try: "/rule show name:" + reply.QuotedIfSpaced(d.rules[0].Name), Cause: err}
		if fault.Kind == formula.Missing {
			e.Wrong, e.Right, e.Try = "that rule asks for a width: "+d.rules[0].Formula, "give it one", req.Retype(map[string]string{"width": "40cm"}, "")
		}
		return e
	}
	return nil
}

func (d doubling) quantities() formula.Quantities {
	return formula.Quantities{Finished: d.finished, Drop: d.finished, Width: d.width, Fringe: d.fringe, Diameter: d.cord.Diameter()}
}

// sheet is one group of ends that is the finished length long.
func (d doubling) sheet(economy bool) sheet.Sheet {
	of := 1
	if d.knot != nil {
		of = d.knot.Ends
	}
	pieces := of
	if d.folded && of%2 == 0 {
		pieces = of / 2
	}
	rod := d.rod
	s := sheet.Sheet{
		Cords:   []sheet.Cord{{Name: d.cord.Name, Thickness: d.cord.Nominal, Construction: d.cord.Construction.String()}},
		Economy: economy,
		Rod:     &sheet.Rod{Length: max(50*length.Centimetre, length.Length(pieces)*6*d.cord.Nominal+rod), Thickness: rod},
	}
	way := sheet.Folded
	if !d.folded {
		way = sheet.Single
	}
	steps := []sheet.Step{sheet.Mount{Hung: []sheet.Hung{{Count: pieces, Way: way}}}}
	switch {
	case d.knot == nil:
	case d.knot.Shape == knot.Plait:
		steps = append(steps, trace.PlaitOf(d.knot.Name, of, d.worked()))
	default:
		steps = append(steps, sheet.Sinnet{Knot: d.knot.Name, Times: sheet.Count{For: d.worked()}, Of: of})
	}
	if d.fringe > 0 {
		steps = append(steps, sheet.Tail{Length: d.fringe})
	}
	s.Panels = []sheet.Panel{{Name: "work", Steps: steps}}
	return s
}

// understood is what the question was taken to be.
func (d doubling) understood(p sitting.Prefs) []reply.Fact {
	what := d.typed + " altogether"
	switch {
	case d.knot == nil:
		what = d.typed + " of fringe"
	case d.fringe > 0:
		what += ", " + d.tail + " of it the tail"
	}
	how := "single"
	if d.folded {
		how = "folded in half, two ends each"
	}
	facts := []reply.Fact{
		{Label: "finished", Value: what},
		{Label: "pieces", Value: fmt.Sprintf("%d, %s", d.pieces, how)},
		{Label: "cord", Value: fmt.Sprintf("%s %s", p.Style.Thickness(d.cord.Nominal), d.cord.Construction)},
		{Label: "hung on", Value: "a dowel " + p.Style.Thickness(d.rod) + " thick"},
	}
	if d.knot == nil {
		facts[3].Value = "a rod or an edge cord " + p.Style.Thickness(d.rod) + " thick"
	}
	if d.knot != nil {
		facts = append(facts, reply.Fact{Label: "knot", Value: fmt.Sprintf("%s, %s a sinnet%s", d.knot.Name, noun.Count(d.knot.Ends, "end"), d.sinnets())})
	}
	return facts
}

// sinnets is how many sinnets the pieces make, when they make any.
func (d doubling) sinnets() string {
	ends := d.pieces * int(d.legs())
	whole, over := ends/d.knot.Ends, ends%d.knot.Ends
	switch {
	case whole == 0:
		return ""
	case over == 0:
		return ": " + noun.Count(whole, "sinnet")
	}
	return fmt.Sprintf(": %s and %s over", noun.Count(whole, "sinnet"), noun.Count(over, "end"))
}

// table sets every rule beside the take-up.
func (d doubling) table(sized sizing.Sized, p sitting.Prefs) reply.Table {
	need, tying := d.need(sized)
	safe := sized.List.Cuts[0].Length
	t := reply.Table{Columns: []reply.Column{{Title: "by", Right: false}, {Title: "one piece", Right: true}, {Title: fmt.Sprintf("all %d", d.pieces), Right: true}, {Title: "", Right: false}}}
	row := func(name string, l length.Length, verdict, short string) {
		t.Rows = append(t.Rows, []string{name, p.Cut(l), p.Cuts(l, d.pieces), verdict})
		t.Short = append(t.Short, strings.TrimRight(fmt.Sprintf("%-8s %8s %s", name, shorter(p).Cut(l), short), " "))
	}
	row("take-up", safe, "with your margin, rounded up", "")
	for _, r := range d.rules {
		leg, err := r.Leg(d.quantities())
		if err != nil {
			t.Rows = append(t.Rows, []string{r.Name, "", "", "give a width to use it"})
			t.Short = append(t.Short, r.Name+": needs width:")
			continue
		}
		l := leg * d.legs()
		switch {
		case l < need-tying:
			verdict := "runs short by " + p.Cut(need-l)
			if tying > 0 {
				verdict += ", " + p.Style.Format(tying) + " of it to tie with"
			}
			row(r.Name, l, verdict, "short")
		case l < need:
			row(r.Name, l, fmt.Sprintf("runs short by %s of the %s to tie with", p.Cut(need-l), p.Style.Format(sized.List.Terms.Tying*d.legs())), "short")
		case l < safe:
			row(r.Name, l, "reaches, but eats into your margin", "tight")
		default:
			row(r.Name, l, p.Style.Format(l-safe)+" more than needed", "enough")
		}
	}
	return t
}

// shorter are preferences that write one system only, and no fractions, for
// narrow screens.
func shorter(p sitting.Prefs) sitting.Prefs {
	if p.Style.System == length.Both {
		p.Style.System = length.Metric
	}
	p.Style.Denominator = 1
	return p
}

// need is what a piece must have at least, without any margin, and how much of it is
// only there to tie with.
func (d doubling) need(sized sizing.Sized) (need, tying length.Length) {
	for _, e := range sized.Ends {
		hold := sized.List.Terms.TyingOf(e)
		if whole := (e.Total() + hold) * d.legs(); whole > need {
			need, tying = whole, hold*d.legs()
		}
	}
	return need, tying
}

// takeUp explains the take-up, role by role.
func (d doubling) takeUp(sized sizing.Sized, p sitting.Prefs) []reply.Fact {
	var facts []reply.Fact
	seen := map[string]bool{}
	for _, e := range sized.Ends {
		role := "end"
		if len(e.Uses) > 0 {
			role = e.Uses[0].Role
		}
		if seen[role] {
			continue
		}
		seen[role] = true
		sum := length.Sum{Style: p.Style}
		parts := sum.Add(e.Mount) + " mount"
		for _, u := range e.Uses {
			parts += fmt.Sprintf(" + %s in %s", sum.Add(u.Takes), noun.Count(u.Times, u.Knot))
		}
		if e.Run > 0 {
			parts += " + " + sum.Add(e.Run) + " straight"
		}
		if e.Tail > 0 {
			parts += " + " + sum.Add(e.Tail) + " fringe"
		}
		parts = sum.Total() + " = " + parts
		facts = append(facts, reply.Fact{Label: "each " + role, Value: parts})
	}
	terms := sized.List.Terms
	allowed := fmt.Sprintf("%s, rounded up to %s", say.MarginWords(sized.List), p.StepWords(terms.Step))
	if d.knot != nil && d.fringe < terms.Tying {
		allowed += fmt.Sprintf("; %s at the end to tie with", p.Style.Format(terms.Tying))
	}
	return append(facts, reply.Fact{Label: "allowed", Value: allowed})
}

// offCentre says what folding off centre saves when one leg of a piece works and
// the other only runs.
func offCentre(ctx context.Context, sit sitting.Sitting, d doubling, sized sizing.Sized, p sitting.Prefs) (string, error) {
	if !d.folded || sized.List.Saves <= 0 {
		return "", nil
	}
	thrifty, err := design.SizeSheet(ctx, sit, d.sheet(true))
	if err != nil {
		return "", err
	}
	cut := thrifty.List.Cuts[0]
	for _, c := range thrifty.List.Cuts {
		if c.Length != cut.Length || c.Fold != cut.Fold {
			return "", nil
		}
	}
	if cut.Fold == 0 {
		return "", nil
	}
	return fmt.Sprintf("One half of each piece ties and the other only runs: folded %s from one end, %s a piece is enough, %s in all.",
		p.Cut(cut.Fold), p.Cut(cut.Length), p.Cuts(cut.Length, d.pieces)), nil
}
