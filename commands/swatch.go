package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/swatch"
	"larkfold/store"
)

func swatchCommand() command {
	return command{Command: reply.Command{
		Name: "swatch", Description: "Your own samples: they correct the knot book for your hands",
	}, sub: []command{
		{run: addSwatch, reads: sitting.Sheets, Command: reply.Command{Name: "add", Description: "Keep a sample you tied and measured", Example: `/swatch add knot:"square knot" count:10 before:100cm after:46cm sample:11cm thickness:4mm`,
			Options: []reply.Option{
				{Name: "knot", Description: "that you tied, such as square knot", Required: true, Suggest: "knot"},
				{Name: "count", Description: "how many, one below the other; ten or more measure best", Required: true, Kind: reply.Whole, Min: 1, Max: 1000},
				{Name: "used", Description: "cord that one working end used, such as 54cm; or give before and after"},
				{Name: "before", Description: "one working end before tying, such as 100cm"},
				{Name: "after", Description: "what of it hangs free after tying, such as 46cm"},
				{Name: "ends", Description: "how many working ends those lengths add up; 1 if left out", Kind: reply.Whole, Min: 1, Max: 20},
				{Name: "sample", Description: "height of all the knots together, such as 11cm"},
				{Name: "thickness", Description: "of the cord, such as 4mm; 4 mm if left out"},
				{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: ask.Constructions()},
				{Name: "cord", Description: "the cord in your own words, such as undyed cotton string"},
			}}},
		{run: listSwatches, reads: sitting.Sheets, Command: reply.Command{Name: "list", Description: "Your samples, cord by cord, and the margin they justify", Example: "/swatch list",
			Options: []reply.Option{{Name: "risk", Description: "chance of running short that you accept, in percent; 5 if left out"}}}},
		{run: removeSwatch, Command: reply.Command{Name: "remove", Description: "Take a sample out by its number in the list", Example: "/swatch remove number:1",
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
	k, err := ask.Knot(req, "knot", book, q.Text("knot"))
	if err != nil {
		return reply.Reply{}, err
	}
	if k.Shape != knot.Group {
		return reply.Reply{}, &reply.UserError{Read: "knot: " + q.Text("knot"), Wrong: "a swatch is of knots tied one below the other, and the " + k.Name + " is not", Right: "tie a sinnet, such as ten square knots", Try: req.Example()}
	}
	construction := q.Construction("construction", cord.SingleStrand)
	s := sitting.Sample{
		Count: q.Count("count", 1, 1000, 10), Ends: q.Count("ends", 1, 20, 1),
		Used: q.Length("used", sampleLengths, 0), Before: q.Length("before", sampleLengths, 0), After: q.Length("after", freeLengths, 0),
		Length: q.Length("sample", sampleLengths, 0), Thickness: q.Thickness("thickness", 4*length.Millimetre), Construction: construction.String(),
	}
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	if s.BookUsed, s.BookLength, err = sitting.BookOf(k, s.Thickness, construction); err != nil {
		return reply.Reply{}, err
	}
	record := store.Swatch{Knot: k.Name, Cord: q.Text("cord")}
	if record.Data, err = json.Marshal(s); err != nil {
		return reply.Reply{}, err
	}
	t, err := sitting.Compared(record, 0, book)
	if err != nil {
		return reply.Reply{}, err
	}
	ratios, err := t.Measured.Ratios()
	if err != nil {
		return reply.Reply{}, swatchRefusal(req, err)
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
	squeezed, err := squeezeFact(t, k)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading("Swatch kept"), reply.Facts(append(understoodSwatch(t, k, ratios, p), squeezed))}
	hands, of, err := sitting.HandsIn(list, t.Making)
	if err != nil {
		return reply.Reply{}, err
	}
	facts, err := handFacts(hands[t.Measured.Family], of, swatch.DefaultRisk)
	if err != nil {
		return reply.Reply{}, err
	}
	if ratios.TakeUp < leastUsual || ratios.TakeUp > mostUsual {
		blocks = append(blocks, reply.Text("That is far from the book, and cords cut by it may run short. Measure once more, and take the swatch out if it was a slip: /swatch remove."))
	}
	return reply.Reply{Blocks: append(blocks, reply.Heading("Your hand in "+t.Words(p)), reply.Facts(facts),
		reply.Text("From now on every sheet and quick question in this cord is sized by it. All your swatches:"), reply.Verbatim("/swatch list"))}, nil
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
	case !has("used") && !has("before"):
		try = req.Retype(map[string]string{"before": "100cm", "after": "46cm"}, "")
	}
	return &reply.UserError{Read: read, Wrong: wrong.Wrong, Right: wrong.Right, Try: try, Cause: err}
}

// understoodSwatch is a swatch as it was read, beside the book.
func understoodSwatch(t sitting.Swatch, k *knot.Knot, r swatch.Ratios, p sitting.Prefs) []reply.Fact {
	f := p.Style.Format
	what := noun.Count(t.Count, k.Name) + " in " + t.Words(p)
	if t.Cord != "" {
		what += ", " + t.Cord
	}
	used, _ := t.Measured.TakenUp()
	each := used / length.Length(t.Count*t.Ends)
	facts := []reply.Fact{
		{Label: "understood", Value: what},
		{Label: "cord used", Value: fmt.Sprintf("%s by %s: %s a knot, %.2f of the book's %s", f(used), noun.Count(t.Ends, "working end"), f(each), float64(r.TakeUp), f(t.Measured.BookUsed))},
	}
	if r.Height > 0 {
		return append(facts, reply.Fact{Label: "height", Value: fmt.Sprintf("%s: %s a knot, %.2f of the book's %s", f(t.Sample.Length), f(t.Sample.Length/length.Length(t.Count)), float64(r.Height), f(t.Measured.BookLength))})
	}
	return append(facts, reply.Fact{Label: "height", Value: "not measured; sample: tells it"})
}

// The take-up that hands commonly have, as a ratio to the book's (common practice,
// no source).
const (
	leastUsual cord.Ratio = 0.75
	mostUsual  cord.Ratio = 1.4
)

// squeezeFact is how far the cord was pressed, if all the difference from the
// book came from that.
func squeezeFact(t sitting.Swatch, k *knot.Knot) (reply.Fact, error) {
	construction, err := cord.ParseConstruction(t.Construction)
	if err != nil {
		return reply.Fact{}, err
	}
	used, err := t.Measured.TakenUp()
	if err != nil {
		return reply.Fact{}, err
	}
	each := used / length.Length(t.Count*t.Ends)
	squeezed, err := swatch.Squeeze(each, func(s cord.Ratio) length.Length {
		c := cord.Cord{Nominal: t.Thickness, Construction: construction, Squeeze: s}
		size, sizeErr := k.Size(knot.Gauge{Diameter: c.Diameter(), Soft: construction.Softness(), Ends: k.Ends})
		if sizeErr != nil {
			return 0
		}
		return sitting.WorkersTake(k, size)
	})
	var outside *swatch.Error
	if errors.As(err, &outside) {
		return reply.Fact{Label: "squeeze", Value: "no cord is pressed so that it would use this; the difference is in the tying"}, nil
	}
	return reply.Fact{Label: "squeeze", Value: fmt.Sprintf("it used as much as a cord pressed to %.2f of its label; the book takes %.2f", float64(squeezed), float64(construction.Squeeze()))}, err
}

// handFacts is a hand in one cord, and the margin that it justifies.
func handFacts(h swatch.Hand, of []sitting.Swatch, risk cord.Ratio) ([]reply.Fact, error) {
	margin, err := h.TakeUp.Margin(risk)
	if err != nil {
		return nil, err
	}
	takeUp, err := factorWords(h.TakeUp, risk)
	if err != nil {
		return nil, err
	}
	facts := []reply.Fact{{Label: "take-up", Value: takeUp}}
	if h.Height.N > 0 {
		height, err := factorWords(h.Height, risk)
		if err != nil {
			return nil, err
		}
		facts = append(facts, reply.Fact{Label: "height", Value: height})
	}
	facts = append(facts, reply.Fact{Label: "margin", Value: fmt.Sprintf("with %s spare, %s of pieces run short: /prefs margin:%.0f", say.Percent(math.Ceil(float64(margin)*1000)/1000), say.Percent(float64(risk)), math.Ceil(float64(margin)*100))})
	for _, o := range h.Outliers {
		what := "take-up"
		if o.Of == swatch.Height {
			what = "height"
		}
		facts = append(facts, reply.Fact{Label: "odd one", Value: fmt.Sprintf("number %d, its %s is %.2f of the book's. It counts all the same; measure it again, or /swatch remove number:%d", of[o.Swatch].Number, what, float64(o.Ratio), of[o.Swatch].Number)})
	}
	return facts, nil
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
		return reply.Reply{Blocks: []reply.Block{reply.Text("You have no swatches yet. Tie ten square knots, measure one working end before and after, and say:"), reply.Verbatim(`/swatch add knot:"square knot" count:10 before:100cm after:46cm sample:11cm thickness:4mm`)}}, nil
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
		hands, of, err := sitting.HandsIn(list, t.Making)
		if err != nil {
			return reply.Reply{}, err
		}
		blocks = append(blocks, reply.Heading(t.Words(p)), swatchTable(of))
		for _, family := range knot.Families() {
			if hands[family].From != family {
				continue
			}
			facts, err := handFacts(hands[family], of, risk)
			if err != nil {
				return reply.Reply{}, err
			}
			blocks = append(blocks, reply.Facts(facts))
		}
	}
	return reply.Reply{Blocks: append(blocks, reply.Text("A cord is the same when its construction is, and its thickness to a quarter of a millimetre. Sheets in these cords are sized by them. The chance of running short is that of one piece: when none of 25 cords may, divide it by 25: /swatch list risk:0.2."))}, nil
}

func swatchTable(of []sitting.Swatch) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "", Right: true}, {Title: "knots", Right: false}, {Title: "take-up", Right: true}, {Title: "height", Right: true}, {Title: "cord", Right: false}, {Title: "day", Right: false}}}
	for _, s := range of {
		r, err := s.Measured.Ratios()
		if err != nil {
			continue
		}
		takeUp, height := fmt.Sprintf("%.2f", float64(r.TakeUp)), ""
		if r.Height > 0 {
			height = fmt.Sprintf("%.2f", float64(r.Height))
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(s.Number), noun.Count(s.Count, s.Knot), takeUp, height, s.Cord, say.Day(s.Created)})
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
	return reply.Reply{Blocks: []reply.Block{reply.Text(fmt.Sprintf("The swatch of %s is removed, and the ones after it move up. This brings it back:", noun.Count(s.Count, removed.Knot))), reply.Verbatim(swatchLine(s, removed))}}, nil
}

// swatchLine is the line that adds the swatch.
func swatchLine(s sitting.Sample, record store.Swatch) string {
	var b strings.Builder
	fmt.Fprintf(&b, "/swatch add knot:%s count:%d", reply.QuotedIfSpaced(record.Knot), s.Count)
	for _, o := range []struct {
		name   string
		length length.Length
	}{{"used", s.Used}, {"before", s.Before}, {"after", s.After}, {"sample", s.Length}, {"thickness", s.Thickness}} {
		if o.length > 0 {
			fmt.Fprintf(&b, " %s:%s", o.name, ask.Compact(o.length.String()))
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
