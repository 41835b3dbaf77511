package takeup

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/handler"
	"larkfold/commands/pages"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
	"larkfold/store"
)

// SwatchCommand is /swatch and what stands under it.
func SwatchCommand() handler.Command {
	return handler.Command{Command: reply.Command{
		Name: "swatch", Description: "Your own samples: they correct the knot book for your hands",
	}, Under: []handler.Command{
		{Run: addSwatch, Reads: sitting.Sheets, Command: reply.Command{Name: "add", Description: "Keep a sample you tied and measured; without measurements, how to tie one", Example: `/swatch add knot:"square knot" count:10 before:100cm after:46cm sample:11cm thickness:4mm`,
			Options: []reply.Option{
				{Name: "knot", Description: "that you tied, such as square knot, double half hitch, lark's head or three-strand plait", Suggest: "knot"},
				{Name: "count", Description: "how many; ten or more measure best; not for a plait", Kind: reply.Whole, Min: 1, Max: 1000},
				{Name: "used", Description: "cord that one working end used, such as 54cm; or give before and after"},
				{Name: "before", Description: "one working end before tying, such as 100cm"},
				{Name: "after", Description: "what of it hangs free after tying, such as 46cm"},
				{Name: "ends", Description: "how many working ends those lengths add up; 1 if left out", Kind: reply.Whole, Min: 1, Max: 20},
				{Name: "sample", Description: "length of all together: height of knots, hitches along the core, mounts along the rod, a plait"},
				{Name: "thickness", Description: "of the cord, such as 4mm; " + ask.ThickLeftOut(ask.UsualThick)},
				{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: ask.Constructions()},
				{Name: "cord", Description: "your name for the cord, such as undyed cotton; each cord has a hand of its own"},
				{Name: "dowel", Description: "how thick the rod is that mounts hang on; " + ask.ThickLeftOut(trace.UsualRod)},
			}}},
		{Run: listSwatches, Reads: sitting.Sheets, Command: reply.Command{Name: "list", Description: "Your samples, cord by cord, and the margin they justify", Example: "/swatch list",
			Options: []reply.Option{{Name: "risk", Description: "chance of running short that you accept, in percent; " + fmt.Sprint(100*swatch.DefaultRisk) + " if left out"}, pages.Option}}},
		{Run: removeSwatch, Command: reply.Command{Name: "remove", Description: "Take a sample out by its number in the list", Example: "/swatch remove number:1",
			Options: []reply.Option{{Name: "number", Description: "in /swatch list", Required: true, Kind: reply.Whole, Min: 1, Max: 1000}}}},
	}}
}

func addSwatch(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	book, err := sit.Book()
	if err != nil {
		return reply.Reply{}, err
	}
	q := ask.Of(req, p)
	if !q.Has("knot") && !measured(q) {
		return howToSample(samples...), nil
	}
	if !q.Has("knot") {
		return reply.Reply{}, &reply.UserError{Read: "/swatch add", Wrong: "it is not said which knot you tied", Right: "name it", Try: req.Retype(map[string]string{"knot": "square knot", "count": cmp.Or(q.Text("count"), "10")}, "")}
	}
	k, err := ask.Knot(req, "knot", book, q.Text("knot"))
	if err != nil {
		return reply.Reply{}, err
	}
	how := slices.IndexFunc(samples, func(s sample) bool { return s.shape == k.Shape })
	if how < 0 {
		return reply.Reply{}, &reply.UserError{Read: "knot: " + q.Text("knot"), Wrong: "the " + k.Name + " is not sampled by itself", Right: "square knots tell of nets, hitches of wraps", Try: "/swatch add"}
	}
	if !measured(q) {
		return howToSample(samples[how]), nil
	}
	if !q.Has("count") && k.Shape != knot.Plait {
		return reply.Reply{}, &reply.UserError{Read: "/swatch add", Wrong: "it is not said how many of them you tied", Right: "count them", Try: req.Retype(map[string]string{"count": "10"}, "")}
	}
	for one, other := range map[string]string{"before": "after", "after": "before"} {
		if q.Has(one) && !q.Has(other) && !q.Has("used") {
			return reply.Reply{}, &reply.UserError{Read: "/swatch add", Wrong: "it has " + one + ": and not " + other + ":", Right: "what was used is the difference of the two; measure both", Try: req.Retype(map[string]string{"before": "100cm", "after": "46cm"}, "")}
		}
	}
	construction := q.Construction("construction", cord.SingleStrand)
	s := sitting.Sample{
		Count: q.Count("count", 1, 1000, 10), Ends: q.Count("ends", 1, 20, 1),
		Used: q.Length("used", sampleLengths, 0), Before: q.Length("before", sampleLengths, 0), After: q.Length("after", freeLengths, 0),
		Length: q.Length("sample", sampleLengths, 0), Thickness: q.UsualThickness("thickness"), Construction: construction.String(),
	}
	if k.Shape == knot.Mount {
		s.Rod = q.DowelThickness("dowel", trace.UsualRod)
	}
	if k.Shape == knot.Plait {
		s.Count = 1
	}
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	record := store.Swatch{Knot: k.Name, Cord: q.Text("cord")}
	t, err := sitting.Compared(record, s, 0, book, p)
	if err != nil {
		return reply.Reply{}, swatchRefusal(req, err)
	}
	ratios, err := t.Measured.Ratios()
	if err != nil {
		return reply.Reply{}, swatchRefusal(req, err)
	}
	s.BookUsed, s.BookLength = t.Measured.BookUsed, t.Measured.BookLength
	if record.Data, err = json.Marshal(s); err != nil {
		return reply.Reply{}, err
	}
	sit, err = sit.Change(ctx, req, func(tx *store.Tx) error {
		_, err := tx.SaveSwatch(record, 0)
		return err
	})
	if err != nil {
		return reply.Reply{}, err
	}
	list, err := sit.Swatches(book)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading("Swatch kept"), reply.Facts(understoodSwatch(t, k, ratios, p))}
	hands, of, err := sitting.HandsIn(list, t.Making)
	if err != nil {
		return reply.Reply{}, err
	}
	facts, err := handFacts(hands[t.Measured.Family], of, swatch.DefaultRisk, p)
	if err != nil {
		return reply.Reply{}, err
	}
	if ratios.TakeUp < leastUsual || ratios.TakeUp > mostUsual {
		blocks = append(blocks, reply.Text("That is far from the book, and cords cut by it may run short. Measure once more, and take the swatch out if it was a slip: /swatch remove."))
	}
	return reply.Reply{Blocks: append(blocks, reply.Heading("Your hand in "+t.Words(p)), reply.Facts(append(facts, squeezeFact(of))),
		reply.Text("From now on every sheet and quick question in this cord is sized by it. All your swatches:"), reply.Verbatim("/swatch list"))}, nil
}

// measured tells whether a sample's measurements were given.
func measured(q *ask.Options) bool {
	return q.Has("used") || q.Has("before") || q.Has("after") || q.Has("sample") || q.Has("count")
}

// sample is how one family of knots is sampled.
type sample struct {
	shape   knot.Shape
	of      string
	how     string
	example string
}

// samples are those of every family.
var samples = []sample{
	{knot.Group, "knots, such as square knots", "Tie ten or more one below the other. Measure one working end before, and what of it hangs free below the last knot; sample: is the height of all the knots.",
		`/swatch add knot:"square knot" count:10 before:100cm after:53cm sample:9.8cm thickness:4mm`},
	{knot.Hitch, "hitches", "Stretch a piece of the same cord as the core. With one end tie ten double half hitches over it, side by side and touching. Measure that end before, and what of it hangs free; sample: is the row along the core. Bars, gathers and wraps go by it.",
		`/swatch add knot:"double half hitch" count:10 before:80cm after:29cm sample:8.2cm thickness:4mm`},
	{knot.Mount, "mounts", "Hang ten folded cords on a rod and push them together. before: is half a cord, from its fold; after: is one end from the middle of the rod down; sample: is what all ten take of the rod.",
		`/swatch add knot:"lark's head" count:10 before:50cm after:43.4cm sample:8.4cm thickness:4mm dowel:20mm`},
	{knot.Plait, "plaits", "Plait some 20 cm. Measure one strand before, and what of it hangs free; sample: is the length of the plait. Nothing is counted.",
		`/swatch add knot:"three-strand plait" before:50cm after:24cm sample:20cm thickness:4mm`},
}

// howToSample shows how samples are tied.
func howToSample(of ...sample) reply.Reply {
	blocks := []reply.Block{reply.Heading("How to tie a sample")}
	for _, s := range of {
		blocks = append(blocks, reply.Facts([]reply.Fact{{Label: s.of, Value: s.how}}), reply.Verbatim(s.example))
	}
	return reply.Reply{Blocks: append(blocks, reply.Text("Give the cord its name with cord:, so that each of your cords has a hand of its own."))}
}

// The lengths that a swatch is measured in (common practice, no source).
var (
	sampleLengths = ask.Bounds("length", length.Centimetre, 100*length.Metre, "54 cm or 21 in")
	freeLengths   = ask.Bounds("length", 0, 100*length.Metre, "46 cm or 18 in")
)

// swatchRefusal says what of a swatch is wrong.
func swatchRefusal(req reply.Request, err error) error {
	var wrong *swatch.Error
	if !errors.As(err, &wrong) {
		return err
	}
	read := wrong.What
	if wrong.Read != "" {
		read += ": " + wrong.Read
	}
	try := req.Example()
	has := func(option string) bool { return strings.TrimSpace(req.Options[option]) != "" }
	switch measured := has("before") || has("after"); {
	case has("used") && measured:
		try = req.Retype(map[string]string{"before": "", "after": ""}, "")
	case has("before") && has("after"): // the wrong way round
		try = req.Retype(map[string]string{"before": req.Options["after"], "after": req.Options["before"]}, "")
	case !has("used") && !has("before"):
		try = req.Retype(map[string]string{"before": "100cm", "after": "46cm"}, "")
	}
	return &reply.UserError{Read: read, Wrong: wrong.Wrong, Right: wrong.Right, Try: try, Cause: err}
}

// understoodSwatch is a swatch as it was read, beside the book.
func understoodSwatch(t sitting.Swatch, k *knot.Knot, r swatch.Ratios, p sitting.Prefs) []reply.Fact {
	f, beside := p.Style.Format, p.Style.Compared
	what := noun.Count(t.Count, k.Name) + " in " + t.Words(p)
	one := "a knot"
	switch k.Shape {
	case knot.Hitch:
		one = "a hitch beside its straight way"
	case knot.Mount:
		one = "each end of a cord"
		what += " on a rod of " + p.Style.Thickness(t.Rod)
	case knot.Plait:
		one = "for " + f(t.Sample.Length)
		what = f(t.Sample.Length) + " of " + k.Name + " in " + t.Words(p)
	}
	used, _ := t.Measured.TakenUp()
	each := used / length.Length(t.Measured.Count*t.Ends)
	facts := []reply.Fact{
		{Label: "understood", Value: what},
		{Label: "cord used", Value: fmt.Sprintf("%s by %s: %s %s, %.2f of the book's %s", f(t.Taken()), noun.Count(t.Ends, "working end"), beside(each), one, float64(r.TakeUp), beside(t.Measured.BookUsed))},
	}
	switch {
	case r.Height > 0:
		facts = append(facts, reply.Fact{Label: "height", Value: fmt.Sprintf("%s: %s a knot, %.2f of the book's %s", f(t.Sample.Length), beside(t.Sample.Length/length.Length(t.Count)), float64(r.Height), beside(t.Measured.BookLength))})
	case t.Sample.Length > 0 && k.Shape != knot.Plait:
		facts = append(facts, reply.Fact{Label: "side by side", Value: fmt.Sprintf("%s: %s each", f(t.Sample.Length), f(t.Sample.Length/length.Length(t.Count)))})
	case k.Shape != knot.Plait:
		facts = append(facts, reply.Fact{Label: "height", Value: "not measured; sample: tells it"})
	}
	return facts
}

// The take-up that hands commonly have, as a ratio to the book's (common practice,
// no source).
const (
	leastUsual cord.Ratio = 0.75
	mostUsual  cord.Ratio = 1.4
)

// squeezeFact is how thick the cord is when knotted, as far as its swatches tell.
func squeezeFact(of []sitting.Swatch) reply.Fact {
	squeezed := sitting.Squeeze(of)
	if squeezed == 0 {
		return reply.Fact{Label: "knotted", Value: "the swatches do not tell how thick the cord is then: it needs sample: of knots, hitches or mounts, and measurements that some cord would give"}
	}
	usual := of[0].Making.Usual()
	return reply.Fact{Label: "knotted", Value: fmt.Sprintf("as thick as %.2f of its label, where the book has %.2f: widths, mounts, mass and pictures go by it, and what knots take is compared at it", float64(squeezed), float64(usual))}
}

// handFacts is a hand in one cord, and the margin that it justifies.
func handFacts(h swatch.Hand, of []sitting.Swatch, risk cord.Ratio, p sitting.Prefs) ([]reply.Fact, error) {
	margin, err := h.TakeUp.Margin(risk)
	if err != nil {
		return nil, err
	}
	takeUp, err := factorWords(h.TakeUp, risk)
	if err != nil {
		return nil, err
	}
	facts := []reply.Fact{{Label: "take-up", Value: takeUp}}
	facts = append(facts, disagreeFact(h, of)...)
	if h.Height.N > 0 {
		height, err := factorWords(h.Height, risk)
		if err != nil {
			return nil, err
		}
		facts = append(facts, reply.Fact{Label: "height", Value: height})
	}
	facts = append(facts, changesFact(h, of, p), reply.Fact{Label: "margin", Value: fmt.Sprintf("with %s to spare, %s of your cords would still run short: /prefs margin:%.0f", say.Percent(math.Ceil(float64(margin)*1000)/1000), say.Percent(float64(risk)), math.Ceil(float64(margin)*100))})
	for _, o := range h.Outliers {
		what := "take-up"
		if o.Of == swatch.Height {
			what = "height"
		}
		facts = append(facts, reply.Fact{Label: "odd one", Value: fmt.Sprintf("number %d, its %s is %.2f of the book's. It counts all the same; measure it again, or /swatch remove number:%d", of[o.Swatch].Number, what, float64(o.Ratio), of[o.Swatch].Number)})
	}
	return facts, nil
}

// family are the swatches that a hand is made of.
func family(h swatch.Hand, of []sitting.Swatch) []sitting.Swatch {
	return slices.DeleteFunc(slices.Clone(of), func(t sitting.Swatch) bool { return t.Measured.Family != h.From })
}

// disagreeFact names the two swatches that are farthest apart, where they disagree.
func disagreeFact(h swatch.Hand, of []sitting.Swatch) []reply.Fact {
	if !h.TakeUp.Disagree() {
		return nil
	}
	takeUp := func(t sitting.Swatch) float64 {
		r, err := t.Measured.Ratios()
		if err != nil {
			return 1
		}
		return float64(r.TakeUp)
	}
	by := func(a, b sitting.Swatch) int { return cmp.Compare(takeUp(a), takeUp(b)) }
	least, most := slices.MinFunc(family(h, of), by), slices.MaxFunc(family(h, of), by)
	return []reply.Fact{{Label: "disagree", Value: fmt.Sprintf("numbers %d and %d disagree: %.2f and %.2f of the book's. If they are of two cords, give each its name with cord:; else measure again. Until then the margin has room for both", least.Number, most.Number, takeUp(least), takeUp(most))}}
}

// changesFact is what a hand changes, by the knot that was sampled last.
func changesFact(h swatch.Hand, of []sitting.Swatch, p sitting.Prefs) reply.Fact {
	mine := family(h, of)
	t := mine[len(mine)-1]
	book, beside := t.Measured.BookUsed, p.Style.Compared
	value := fmt.Sprintf("%s: %s, where the book has %s", t.Knot, beside(length.Length(float64(book)*float64(h.TakeUp.Mean))), beside(book))
	if h.Height.N > 0 {
		value += fmt.Sprintf(", and %s high, not %s", beside(length.Length(float64(t.Measured.BookLength)*float64(h.Height.Mean))), beside(t.Measured.BookLength))
	}
	return reply.Fact{Label: "changes", Value: value}
}

// borrowedFact says whose hand the families without a swatch go by.
func borrowedFact(hands swatch.Hands) []reply.Fact {
	var facts []reply.Fact
	for _, f := range knot.Families() {
		if from := hands[f].From; from != f && from != "" {
			facts = append(facts, reply.Fact{Label: say.Family(f), Value: fmt.Sprintf("go by your %s, %s less sure: /swatch add shows how to sample them", say.Family(from), say.Percent(float64(swatch.SpreadOfFamilies)))})
		}
	}
	return facts
}

// factorWords is a factor with the range that its mean may lie in.
func factorWords(f swatch.Factor, risk cord.Ratio) (string, error) {
	low, high, err := f.Interval(risk)
	if err != nil {
		return "", err
	}
	words := fmt.Sprintf("%.2f of the book's (%s sure: %.2f to %.2f), from %s", float64(f.Mean), say.Percent(1-float64(risk)), float64(low), float64(high), noun.Count(f.N, "swatch"))
	if f.Assumed {
		return fmt.Sprintf("%s; a spread of %s is assumed, three or more swatches would show yours", words, say.Percent(float64(f.Spread))), nil
	}
	return fmt.Sprintf("%s that differ by %s", words, say.Percent(float64(f.Spread)/float64(f.Mean))), nil
}

func listSwatches(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	risk := q.Risk("risk")
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	book, err := sit.Book()
	if err != nil {
		return reply.Reply{}, err
	}
	list, err := sit.Swatches(book)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(list) == 0 {
		return reply.Reply{Blocks: []reply.Block{reply.Text("You have no swatches yet. Tie ten square knots, measure one working end before and after, and say:"), reply.Verbatim(sit.Prefs.Sample(`/swatch add knot:"square knot" count:10 before:100cm after:46cm sample:11cm thickness:4mm`))}}, nil
	}
	cords := map[sitting.Making]bool{}
	for _, t := range list {
		if t.Counts() {
			cords[t.Making] = true
		}
	}
	const cordsEach = 6 // on one page
	on, err := pages.Of(req, len(cords), cordsEach)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading("Your swatches")}
	shown := map[sitting.Making]bool{}
	for _, t := range list {
		if !t.Counts() {
			blocks = append(blocks, reply.Text(fmt.Sprintf("Number %d (%s) does not compare with the book any more and does not count. Take it out with /swatch remove number:%d", t.Number, noun.Count(t.Count, t.Knot), t.Number)))
		}
		if shown[t.Making] || !t.Counts() {
			continue
		}
		shown[t.Making] = true
		if n := len(shown); n <= on.From || n > on.To {
			continue
		}
		hands, of, err := sitting.HandsIn(list, t.Making)
		if err != nil {
			return reply.Reply{}, err
		}
		blocks = append(blocks, reply.Heading(t.Words(p)), swatchTable(of))
		for _, family := range knot.Families() {
			if hands[family].From != family {
				continue
			}
			facts, err := handFacts(hands[family], of, risk, p)
			if err != nil {
				return reply.Reply{}, err
			}
			blocks = append(blocks, reply.Heading(strings.TrimSuffix(say.Sentence(say.Family(family)), ".")), reply.Facts(facts))
		}
		blocks = append(blocks, reply.Facts(append([]reply.Fact{squeezeFact(of)}, borrowedFact(hands)...)))
	}
	blocks = append(blocks, on.Others("swatch list")...)
	return reply.Reply{Blocks: append(blocks, reply.Text("A cord is the same when its name and construction are, and its thickness to a quarter of a millimetre. Sheets in these cords are sized by them. The chance of running short is that of one cord: when none of 25 may, divide it by 25: /swatch list risk:0.2."))}, nil
}

func swatchTable(of []sitting.Swatch) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "", Right: true}, {Title: "knots", Right: false}, {Title: "take-up", Right: true}, {Title: "height", Right: true}, {Title: "day", Right: false}}}
	for _, s := range of {
		r, err := s.Measured.Ratios()
		if err != nil {
			continue
		}
		takeUp, height := fmt.Sprintf("%.2f", float64(r.TakeUp)), ""
		if r.Height > 0 {
			height = fmt.Sprintf("%.2f", float64(r.Height))
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(s.Number), noun.Count(s.Count, s.Knot), takeUp, height, say.Day(s.Created)})
		t.Short = append(t.Short, strings.TrimSpace(fmt.Sprintf("%d  %s %s  %s", s.Number, takeUp, height, s.Knot)))
	}
	return t
}

func removeSwatch(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	number := q.Count("number", 1, 1000, 1)
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		list, err := tx.Swatches()
		if err != nil {
			return nil, err
		}
		if number > len(list) {
			e := &reply.UserError{Read: "number: " + q.Text("number"), Wrong: "you have " + noun.Count(len(list), "swatch"), Right: "/swatch list numbers them", Try: "/swatch list"}
			return nil, e
		}
		removed, err := tx.DeleteSwatch(list[number-1].ID)
		if err != nil {
			return nil, err
		}
		return json.Marshal(removed)
	})
	if err != nil {
		return reply.Reply{}, err
	}
	var removed store.Swatch
	var s sitting.Sample
	if err := errors.Join(json.Unmarshal(result, &removed), json.Unmarshal(removed.Data, &s)); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text(fmt.Sprintf("The swatch of %s is removed; any after it move up. This brings it back:", noun.Count(s.Count, removed.Knot))), reply.Verbatim(swatchLine(s, removed))}}, nil
}

// swatchLine is the line that adds the swatch.
func swatchLine(s sitting.Sample, record store.Swatch) string {
	var b strings.Builder
	fmt.Fprintf(&b, "/swatch add knot:%s count:%d", reply.QuotedIfSpaced(record.Knot), s.Count)
	for _, o := range []struct {
		name   string
		length length.Length
	}{{"used", s.Used}, {"before", s.Before}, {"after", s.After}, {"sample", s.Length}, {"thickness", s.Thickness}, {"dowel", s.Rod}} {
		if o.length > 0 || o.name == "after" && s.Before > 0 {
			exact := o.length.String()
			if o.length%length.Millimetre != 0 && o.length%(length.Inch/64) == 0 {
				exact = length.FormatImperial(o.length, 64)
			}
			fmt.Fprintf(&b, " %s:%s", o.name, reply.QuotedIfSpaced(ask.Compact(exact)))
		}
	}
	if s.Ends > 1 {
		fmt.Fprintf(&b, " ends:%d", s.Ends)
	}
	if s.Construction != cord.SingleStrand.String() {
		b.WriteString(" construction:" + s.Construction)
	}
	if record.Cord != "" {
		b.WriteString(" cord:" + reply.QuotedIfSpaced(record.Cord))
	}
	return b.String()
}
