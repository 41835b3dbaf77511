package question

import (
	"context"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/design"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/dowel"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/near"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// mostHung is the greatest load that a stick is reckoned for (our own choice: a piece
// that weighs more is no wall hanging).
const mostHung = 50 * length.Kilogram

// mostHungIn is the greatest load as it is told, never more than it is.
func mostHungIn(p sitting.Prefs) string {
	if p.Imperial() {
		return p.Style.Mass(mostHung - mostHung%length.Pound)
	}
	return p.Style.Mass(mostHung)
}

// usualAngle is that of a hanger when nobody says, in degrees (common practice, no source).
const usualAngle = 45

var spreads = []reply.Choice{{Name: "in the middle, equal bare ends", Value: "centred"}, {Name: "from the left", Value: "left"}, {Name: "spare rod between the groups", Value: "shared"}}

// DowelCommand is /dowel.
func DowelCommand() handler.Command {
	return handler.Command{Run: runDowel, Reads: sitting.Sheets | sitting.Design, Command: reply.Command{
		Name: "dowel", Description: "Does it fit the stick, where does each group go, will it bend, how to hang it", Example: "/dowel length:60cm dowel:20mm cords:30 thickness:4mm wood:birch",
		Options: []reply.Option{
			{Name: "project", Description: "a saved design", Suggest: "project"},
			{Name: "cords", Description: "or how many folded cords, in groups if you like: 12, 8, 12"},
			{Name: "thickness", Description: "of those cords, such as 4mm"},
			{Name: "length", Description: "of the stick, such as 60cm; the sheet's own if left out"},
			{Name: "dowel", Description: "how thick the stick is, such as 20mm, or 60cm x 20mm"},
			{Name: "wood", Description: "such as birch, oak, branch, bamboo"},
			{Name: "load", Description: "what hangs on it, such as 900 g; of a project its cords' own mass if left out"},
			{Name: "bare", Description: "bare stick to leave at each end; " + ask.LeftOut(dowel.BareEnd)},
			{Name: "spread", Description: "where the groups go", Choices: spreads},
			{Name: "rise", Description: "of the hanger above the stick, such as 15cm"},
			{Name: "angle", Description: "or the angle of its two sides from the stick, " + fmt.Sprint(usualAngle) + " if left out", Kind: reply.Whole, Min: 5, Max: 89},
		},
	}}
}

// hung is what hangs on a stick.
type hung struct {
	name   string
	groups []dowel.Group
	mass   length.Mass
	rod    dowel.Rod
	ring   bool

	anyWood bool          // nobody named the wood
	rise    length.Length // of the sheet's own hanger
	angle   dowel.Degrees // of the sheet's own hanger

	sheet sheet.Sheet // whose first cord the hanger is cut from, and how
}

func runDowel(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	h, err := hungBy(ctx, sit, req, q)
	if err != nil {
		return reply.Reply{}, err
	}
	h.rod.Length = q.Length("length", ask.RodLengths, h.rod.Length)
	stick := ask.Of(req, p).Repeat("length", q.Unit, h.rod.Length, length.Style.Format)
	if q.Has("load") && q.Err == nil {
		if h.mass, err = length.ParseMass(q.Text("load"), length.Gram); err != nil {
			return reply.Reply{}, &reply.UserError{Read: "load: " + q.Text("load"), Wrong: "it is not a mass", Right: "such as 900 g or 2 lb", Try: req.Retype(map[string]string{"load": "900g"}, ""), Cause: err}
		}
		if h.mass > mostHung {
			return reply.Reply{}, &reply.UserError{Read: "load: " + q.Text("load"), Wrong: "that is more than " + mostHungIn(p) + ", which no stick is reckoned for here", Right: "a smaller load; for a greater one ask whoever builds such things", Try: req.Retype(map[string]string{"load": "900g"}, "")}
		}
	}
	arrangement := dowel.Arrangement{Rod: h.rod.Length, BareEnd: q.Length("bare", ask.Bounds("bare end", 0, length.Metre, "3 cm or 1 1/4 in"), dowel.BareEnd), Groups: h.groups}
	switch q.Choice("spread", spreads, "centred") {
	case "centred":
		arrangement.Spread = dowel.Centred
	case "shared":
		arrangement.Spread = dowel.Shared
	}
	if q.Has("rise") && q.Has("angle") && q.Err == nil {
		return reply.Reply{}, &reply.UserError{Read: "rise: " + q.Text("rise") + ", angle: " + q.Text("angle"), Wrong: "one follows from the other", Right: "give one of the two", Try: req.Retype(nil, "angle")}
	}
	rise, angle := q.Length("rise", ask.Bounds("rise", length.Centimetre, 10*length.Metre, "15 cm or 6 in"), 0), dowel.Degrees(q.Count("angle", 5, 89, usualAngle))
	if !q.Has("rise") && !q.Has("angle") {
		rise = h.rise
		if h.angle > 0 {
			angle = h.angle
		}
	}
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	if along := q.AlongDowel("dowel"); along != "" && h.rod.Length == 0 {
		return reply.Reply{}, &reply.UserError{Read: "dowel: " + q.Text("dowel"), Wrong: "that was read as " + q.Text("dowel") + " mm thick, and the length of the stick is needed", Right: "a length needs its unit", Try: req.Retype(map[string]string{"dowel": along}, "")}
	}
	if h.rod.Length == 0 {
		return reply.Reply{}, &reply.UserError{Read: "/dowel", Wrong: "it needs the length of the stick", Right: "measure it, or see how long it must be by giving a guess", Try: req.Retype(map[string]string{"length": "60cm"}, "")}
	}
	if q.Has("wood") || h.rod.Wood.Name == "" {
		h.anyWood = !q.Has("wood")
		if h.rod.Wood, err = dowel.FindWood(q.Text("wood")); err != nil {
			return reply.Reply{}, unknownWood(err, req)
		}
	}
	if h.ring {
		return onRing(h, q.Has("load"), p)
	}
	if 2*arrangement.BareEnd >= h.rod.Length {
		return reply.Reply{}, &reply.UserError{Read: "stick " + p.Style.Format(h.rod.Length) + ", bare ends " + p.Style.Format(arrangement.BareEnd), Wrong: "the bare ends leave no room for cords", Right: "a longer stick or shorter ends", Try: req.Retype(map[string]string{"bare": ask.Compact(length.FormatMetric((h.rod.Length / 10).RoundHalfEven(length.Millimetre), 0))}, "")}
	}
	if h.rod.Thickness >= h.rod.Length {
		return reply.Reply{}, &reply.UserError{Read: "length: " + p.Style.Format(h.rod.Length) + ", dowel: " + p.Style.Thickness(h.rod.Thickness), Wrong: "the stick is thicker than it is long", Right: "length is along the stick, dowel is how thick it is", Try: req.Example()}
	}
	fit, err := arrangement.Fit()
	if err != nil {
		return reply.Reply{}, &reply.UserError{Wrong: err.Error(), Right: "fewer groups and cords", Try: req.Example(), Cause: err}
	}
	blocks := []reply.Block{reply.Heading(h.name + " on a stick of " + stick), reply.Facts(fitFacts(fit, p))}
	if fit.Fits {
		blocks = append(blocks, markTable(fit.Use, p))
	}
	hanging := dowel.Hanging{GuessedWood: h.rod.Wood.Guess, SagComputed: true}
	done, err := h.hung(rise, angle)
	if err != nil {
		return reply.Reply{}, &reply.UserError{Wrong: err.Error(), Right: "a longer stick, or a hanger that rises more", Try: req.Retype(map[string]string{"angle": fmt.Sprint(usualAngle)}, "rise"), Cause: err}
	}
	cut, err := h.hangerCut(ctx, sit, rise, angle)
	if err != nil {
		return reply.Reply{}, err
	}
	hanger, flat := hangerFacts(h, done, cut, p), done.TooFlat
	hanging.FlatHanger = flat
	blocks = append(blocks, reply.Facts(sagFacts(h, fit.Use, p)), reply.Facts(hanger))
	for _, c := range dowel.Cautions(hanging) {
		blocks = append(blocks, reply.Caution(string(c)))
	}
	return reply.Reply{Blocks: blocks}, nil
}

func unknownWood(err error, req reply.Request) error {
	var unknown dowel.UnknownWood
	if !errors.As(err, &unknown) {
		return err
	}
	likely := "branch" // the least stiff and the heaviest
	if first := strings.ToLower(unknown.Names[0]); near.Word(unknown.Read, append(strings.Fields(first), first)) != "" {
		likely = unknown.Names[0]
	}
	return &reply.UserError{Read: "wood: " + unknown.Read, Wrong: "I have no figures for that wood", Right: "branch for any other; or " + strings.Join(unknown.Names, ", "), Try: req.Retype(map[string]string{"wood": likely}, ""), Cause: err}
}

// hungBy is what the question is about: a saved design or groups of cords.
func hungBy(ctx context.Context, sit sitting.Sitting, req reply.Request, q *ask.Options) (hung, error) {
	rod := q.Dowel("dowel")
	if q.Err != nil {
		return hung{}, q.Err
	}
	h, err := hungOn(ctx, sit, req, q, rod.Thickness)
	if rod.Length > 0 {
		h.rod.Length = rod.Length
	}
	return h, err
}

// hungOn is that on a stick so thick; zero for the design's own, or the usual one.
func hungOn(ctx context.Context, sit sitting.Sitting, req reply.Request, q *ask.Options, thick length.Length) (hung, error) {
	switch {
	case q.Has("project"):
		sized, name, err := design.SizeSaved(ctx, sit, req)
		if err != nil {
			return hung{}, err
		}
		return hungSized(sit, name, sized, thick)
	case q.Has("cords"):
		if thick == 0 {
			thick = sit.Prefs.UsualRod()
		}
		return hungCords(sit, q, thick)
	}
	return hung{}, &reply.UserError{Read: "/dowel", Wrong: "it needs a saved project or a number of cords", Right: "give one of the two", Try: req.Retype(map[string]string{"cords": "12"}, "")}
}

// hungSized is a sized design as groups: runs of one cord in one panel.
func hungSized(sit sitting.Sitting, name string, sized sizing.Sized, thick length.Length) (hung, error) {
	h := hung{sheet: sized.Sheet, name: name, rod: dowel.Rod{Length: sized.Rod.Length, Thickness: sized.Rod.Thickness}, ring: sized.Rod.Ring}
	if thick > 0 {
		h.rod.Thickness = thick
	}
	if rod := sized.Sheet.Rod; rod != nil && rod.Wood != "" {
		if wood, err := dowel.FindWood(rod.Wood); err == nil {
			h.rod.Wood = wood
		}
	}
	if hanger := sized.Sheet.Hanger; hanger != nil {
		h.rise, h.angle = hanger.Rise, dowel.Degrees(hanger.Angle)
	}
	var way sheet.Way
	panel, of, end := -1, -1, length.Length(0)
	for _, s := range sized.Strands {
		if s.Added {
			continue
		}
		if s.Panel != panel || s.Cord != of || s.Way != way {
			relaxed, pushed, err := mountWidth(sit, sized.Cords[s.Cord], h.rod.Thickness, s.Way)
			if err != nil {
				return h, err
			}
			g := dowel.Group{Name: sized.Panels[s.Panel].Name, Lot: 2, Relaxed: relaxed, Pushed: pushed}
			if s.Cord != of && len(sized.Cords) > 1 {
				g.Name += ", " + sized.Cords[s.Cord].Name
			}
			if s.Panel != panel {
				g.Gap = max(s.X-s.Width/2-end, 0)
			}
			h.groups = append(h.groups, g)
			panel, of, way = s.Panel, s.Cord, s.Way
		}
		h.groups[len(h.groups)-1].Cords++
		end = s.X + s.Width/2
	}
	for _, t := range sized.List.Totals {
		h.mass += t.Mass
	}
	return h, nil
}

// hungCords are typed groups of folded cords of one thickness.
func hungCords(sit sitting.Sitting, q *ask.Options, thick length.Length) (hung, error) {
	c := cord.Cord{Nominal: q.UsualThickness("thickness")}
	if q.Err != nil {
		return hung{}, q.Err
	}
	book, err := sit.Book()
	if err != nil {
		return hung{}, err
	}
	if c, _, err = sit.Knotted(book, c); err != nil {
		return hung{}, err
	}
	relaxed, pushed, err := mountWidth(sit, c, thick, sheet.Folded)
	if err != nil {
		return hung{}, err
	}
	h := hung{name: "Cords", rod: dowel.Rod{Thickness: thick}, sheet: sheet.Sheet{Cords: []sheet.Cord{{Name: "main", Thickness: c.Nominal}}}}
	for i, word := range strings.FieldsFunc(q.Text("cords"), func(r rune) bool { return r == ',' || r == ' ' || r == '+' }) {
		n := q.With("cords", word)
		cords := n.Count("cords", 1, mostInGroup, 1)
		if n.Err != nil {
			return h, &reply.UserError{Read: "cords: " + q.Text("cords"), Wrong: reply.Quoted(word) + " is not a number of cords", Right: fmt.Sprintf("whole numbers from 1 to %d, one for each group", mostInGroup), Try: groupsMeant(q)}
		}
		h.groups = append(h.groups, dowel.Group{Name: fmt.Sprintf("group %d", i+1), Cords: cords, Lot: 2, Relaxed: relaxed, Pushed: pushed})
	}
	return h, nil
}

// groupsMeant is the line with the whole numbers that its groups of cords say, each as
// near to itself as a group may be.
func groupsMeant(q *ask.Options) string {
	groups := wholeNumber.FindAllString(q.Text("cords"), -1)
	for i, group := range groups {
		n, err := strconv.Atoi(group)
		if err != nil {
			n = mostInGroup
		}
		groups[i] = strconv.Itoa(max(1, min(n, mostInGroup)))
	}
	if len(groups) == 0 {
		groups = []string{"12"}
	}
	return q.Request.Retype(map[string]string{"cords": strings.Join(groups, ", ")}, "")
}

// mostInGroup is how many folded cords one group may have.
const mostInGroup = 1000

// wholeNumber is a number that no unit follows.
var wholeNumber = regexp.MustCompile(`\b\d+\b`)

// mountWidth is how much stick one cord takes, relaxed and pushed together.
func mountWidth(sit sitting.Sitting, c cord.Cord, thick length.Length, way sheet.Way) (relaxed, pushed length.Length, err error) {
	if way == sheet.Laid {
		relaxed, pushed = trace.LaidWidth(c.Diameter())
		return relaxed, pushed, nil
	}
	k, _ := sit.Standard.Knot(trace.MountName(way))
	size, err := k.Size(knot.Gauge{Diameter: c.Diameter(), Rod: thick, Ends: k.Ends})
	return size.Width, size.Closer, err
}

// fitFacts say whether the work fits, and what would.
func fitFacts(fit dowel.Fit, p sitting.Prefs) []reply.Fact {
	f := func(l length.Length) string { return p.Style.Format(l.RoundHalfEven(length.Millimetre)) }
	facts := []reply.Fact{
		{Label: "relaxed", Value: f(fit.Relaxed.Width)},
		{Label: "pushed together", Value: f(fit.Pushed.Width)},
	}
	switch {
	case fit.Relaxed.Spare >= 0:
		facts = append(facts, reply.Fact{Label: "fits", Value: "yes, relaxed, with " + f(fit.Relaxed.Spare) + " to spare"})
	case fit.Fits:
		facts = append(facts, reply.Fact{Label: "fits", Value: fmt.Sprintf("yes, pushed closer; relaxed it is %s too wide", f(-fit.Relaxed.Spare))})
	default:
		facts = append(facts, reply.Fact{Label: "fits", Value: fmt.Sprintf("no: %s too wide even when pushed together", f((-fit.Pushed.Spare).RoundUp(length.Millimetre)))})
	}
	if fit.Relaxed.Spare < 0 {
		facts = append(facts, reply.Fact{Label: "would fit", Value: fmt.Sprintf("a stick of %s (relaxed) or %s (pushed), or on this one %s (relaxed) or %s (pushed), in pairs as square knots take them",
			p.Style.Cut(fit.RodRelaxed), p.Style.Cut(fit.RodPushed), cordsOf(fit.MostRelaxed), cordsOf(fit.MostPushed))})
	}
	if !fit.Fits {
		return facts
	}
	return append(facts, reply.Fact{Label: "clear at the ends", Value: f(fit.Use.LeftBare) + " left, " + f(fit.Use.RightBare) + " right"})
}

func cordsOf(groups []int) string {
	parts := make([]string, len(groups))
	for i, n := range groups {
		parts[i] = fmt.Sprint(n)
	}
	return strings.Join(parts, " + ") + " cords"
}

// markTable says where every group begins and ends.
func markTable(l dowel.Layout, p sitting.Prefs) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "group", Right: false}, {Title: "cords", Right: true}, {Title: "from the left", Right: true}, {Title: "to", Right: true}}}
	f := func(l length.Length) string { return p.Style.Format(l.RoundHalfEven(length.Millimetre)) }
	for _, m := range l.Marks {
		t.Rows = append(t.Rows, []string{m.Group, fmt.Sprint(m.Cords), f(m.Start), f(m.End)})
		t.Short = append(t.Short, fmt.Sprintf("%s..%s %s", f(m.Start), f(m.End), m.Group))
	}
	return t
}

// sagFacts say how far the stick bends under the work.
func sagFacts(h hung, l dowel.Layout, p sitting.Prefs) []reply.Fact {
	f := func(l length.Length) string { return sagWords(l, p) }
	hangers := dowel.EvenHangers(h.rod.Length)
	ties := dowel.TieHangers(h.rod.Length)
	load := dowel.Load{Mass: h.mass, From: max(l.Marks[0].Start, 0), To: min(l.Marks[len(l.Marks)-1].End, h.rod.Length)}
	facts := []reply.Fact{
		{Label: "stick", Value: fmt.Sprintf("%s, %s thick, about %s", h.rod.Wood.Name, p.Style.Thickness(h.rod.Thickness), p.Style.Mass(h.rod.Mass()))},
		{Label: "load", Value: p.Style.Mass(h.mass)},
		{Label: "stiffness from", Value: h.rod.Wood.Source},
	}
	if h.anyWood {
		facts[0].Value += "; no wood was named, such as wood:birch"
	}
	if h.mass == 0 {
		facts[1].Value = p.Sample("only its own weight; name one with load:900g")
	}
	for _, one := range []struct {
		label string
		at    dowel.Hangers
	}{{"hanger tied " + p.Style.Format(ties.Left.RoundHalfEven(length.Millimetre)) + " from each end", ties}, {"hung where it bends least, " + p.Style.Format(hangers.Left.RoundHalfEven(length.Millimetre)) + " from each end", hangers}} {
		s, err := h.rod.Sag(one.at, []dowel.Load{load})
		if err != nil {
			facts = append(facts, reply.Fact{Label: one.label, Value: "bends by more than a tenth of its length, or tips: take a much thicker stick"})
			continue
		}
		verdict := "looks straight"
		if !s.StraightForYears {
			verdict = "will look bent; " + thicker(h.rod, one.at, load, p)
		}
		facts = append(facts, reply.Fact{Label: one.label, Value: fmt.Sprintf("bends %s, %s after years: %s", f(s.Worst), f(s.AfterYears), verdict)})
	}
	return facts
}

// sagWords writes a sag, up or down, to a tenth of a millimetre.
func sagWords(l length.Length, p sitting.Prefs) string {
	if l < 0 {
		l = -l
	}
	if p.Style.System == length.Imperial && l < length.Inch/32 {
		return "less than 1/32 in"
	}
	if l < length.Millimetre/10 {
		return "less than 0.1 mm"
	}
	return p.Style.Format(l.RoundHalfEven(length.Millimetre / 10))
}

func thicker(r dowel.Rod, at dowel.Hangers, load dowel.Load, p sitting.Prefs) string {
	enough, err := r.StraightThickness(at, []dowel.Load{load})
	if err != nil {
		return "no thickness would keep it straight"
	}
	return p.Style.Thickness(enough) + " would stay straight"
}

// hanger is the cord that the stick hangs from, tied as near its ends as a sheet's is.
func (h hung) hanger() dowel.Hanger {
	ties := dowel.TieHangers(h.rod.Length)
	return dowel.Hanger{Between: ties.Right - ties.Left, Load: h.mass + h.rod.Mass()}
}

// hung works the hanger out.
func (h hung) hung(rise length.Length, angle dowel.Degrees) (dowel.Hung, error) {
	if rise > 0 {
		return h.hanger().ForRise(rise)
	}
	return h.hanger().ForAngle(angle)
}

// hangerCut is the cord to cut for the hanger: what a sheet with that stick and that
// hanger says, so that all answers give one length.
func (h hung) hangerCut(ctx context.Context, sit sitting.Sitting, rise length.Length, angle dowel.Degrees) (length.Length, error) {
	s := sheet.Sheet{
		Cords: h.sheet.Cords[:1], Margin: h.sheet.Margin, RoundUp: h.sheet.RoundUp,
		Rod:    &sheet.Rod{Length: h.rod.Length, Thickness: h.rod.Thickness},
		Panels: []sheet.Panel{{Name: "hanger", Steps: []sheet.Step{sheet.Mount{Hung: []sheet.Hung{{Count: 1}}}}}},
		Hanger: &sheet.Hanger{Rise: rise},
	}
	if rise == 0 {
		s.Hanger.Angle = float64(angle)
	}
	sized, err := design.SizeSheet(ctx, sit, s)
	if err != nil {
		return 0, err
	}
	var cut length.Length
	for _, c := range sized.List.Cuts {
		if c.For == string(trace.ForHanger) {
			cut = c.Length
		}
	}
	return cut, nil
}

// hangerFacts are the cord the stick hangs from, and what it pulls.
func hangerFacts(h hung, done dowel.Hung, cut length.Length, p sitting.Prefs) []reply.Fact {
	f := func(l length.Length) string { return p.Style.Format(l.RoundHalfEven(length.Millimetre)) }
	cord := []reply.Fact{{Label: "hanger", Value: fmt.Sprintf("cut %s, tied %s apart, rising %s (%.0f degrees)", p.Style.Cut(cut), f(h.hanger().Between), f(done.Rise), math.Round(float64(done.Angle)))}}
	if h.mass == 0 {
		return append(cord, reply.Fact{Label: "fixing", Value: p.Sample("name the load, such as load:900g, to learn what it carries and what to rate it for")})
	}
	return append(cord, []reply.Fact{
		{Label: "each side pulls", Value: fmt.Sprintf("as %s would hang, %.2f times its share", p.Style.Mass(done.LegPull), float64(done.Factor))},
		{Label: "fixing", Value: fmt.Sprintf("carries %s; take one rated for %s or more", p.Style.Mass(done.Fixing), p.Style.MassOrMore(done.Rated))},
	}...)
}

// ringPoints is how many points a ring is taken to hang from (common practice, no source).
const ringPoints = 3

// onRing says whether the cords fit round a ring, and how far it bends.
func onRing(h hung, loadGiven bool, p sitting.Prefs) (reply.Reply, error) {
	f := func(l length.Length) string { return p.Style.Format(l.RoundHalfEven(length.Millimetre)) }
	ring := dowel.Ring{Diameter: h.rod.Length, Thickness: h.rod.Thickness, Points: ringPoints, Wood: h.rod.Wood}
	round := dowel.Round(ring.Diameter, ring.Thickness)
	relaxed, pushed := length.Length(0), length.Length(0)
	for _, g := range h.groups {
		relaxed += g.Relaxed * length.Length(g.Cords)
		pushed += g.Pushed * length.Length(g.Cords)
	}
	fits := "no: " + f((pushed - round).RoundUp(length.Millimetre)) + " too much even when pushed together"
	switch {
	case relaxed <= round:
		fits = "yes, relaxed, with " + f(round-relaxed) + " to spare"
	case pushed <= round:
		fits = "yes, pushed closer"
	}
	facts := []reply.Fact{
		{Label: "ring", Value: fmt.Sprintf("%s across, %s thick, %s round", f(ring.Diameter), p.Style.Thickness(ring.Thickness), f(round))},
		{Label: "relaxed", Value: f(relaxed)},
		{Label: "pushed together", Value: f(pushed)},
		{Label: "fits", Value: fits},
		{Label: "load", Value: p.Style.Mass(h.mass)},
	}
	if !loadGiven {
		facts[len(facts)-1].Value += " of cord, without what it will hold; load: names both together"
	}
	sag, err := ring.Sag(h.mass)
	if err != nil {
		facts = append(facts, reply.Fact{Label: "bends", Value: err.Error()})
	} else {
		facts = append(facts, reply.Fact{Label: "bends", Value: fmt.Sprintf("%s between %d points, if it is of %s; a rough figure, and a metal ring bends far less", sagWords(sag.Worst, p), ringPoints, h.rod.Wood.Name)})
	}
	blocks := []reply.Block{reply.Heading(h.name + " on a ring of " + f(ring.Diameter)), reply.Facts(facts)}
	for _, c := range dowel.Cautions(dowel.Hanging{GuessedWood: h.rod.Wood.Guess, SagComputed: true}) {
		blocks = append(blocks, reply.Caution(string(c)))
	}
	return reply.Reply{Blocks: blocks}, nil
}
