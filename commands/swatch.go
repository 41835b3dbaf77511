package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"larkfold/commands/reply"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
	"larkfold/store"
)

func (a *App) swatchCommand() command {
	return command{Command: reply.Command{
		Name: "swatch", Description: "Your own samples: they correct the knot book for your hands",
	}, sub: []command{
		{run: a.addSwatch, Command: reply.Command{Name: "add", Description: "Keep a sample you tied and measured", Example: `/swatch add knot:"square knot" count:10 before:100cm after:46cm sample:11cm thickness:4mm`,
			Options: []reply.Option{
				{Name: "knot", Description: "that you tied, such as square knot", Required: true, Suggest: "knot"},
				{Name: "count", Description: "how many, one below the other; ten or more measure best", Required: true, Kind: reply.Whole, Min: 1, Max: 1000},
				{Name: "used", Description: "cord that one working end used, such as 54cm; or give before and after"},
				{Name: "before", Description: "one working end before tying, such as 100cm"},
				{Name: "after", Description: "what of it hangs free after tying, such as 46cm"},
				{Name: "ends", Description: "how many working ends those lengths add up; 1 if left out", Kind: reply.Whole, Min: 1, Max: 20},
				{Name: "sample", Description: "height of all the knots together, such as 11cm"},
				{Name: "thickness", Description: "of the cord, such as 4mm; 4 mm if left out"},
				{Name: "construction", Description: "single-strand, plied or braided; single-strand if left out", Choices: constructionChoices()},
				{Name: "cord", Description: "the cord in your own words, such as undyed cotton string"},
			}}},
		{run: a.listSwatches, Command: reply.Command{Name: "list", Description: "Your samples, cord by cord, and the margin they justify", Example: "/swatch list",
			Options: []reply.Option{{Name: "risk", Description: "chance of running short that you accept, in percent; 5 if left out"}}}},
		{run: a.removeSwatch, Command: reply.Command{Name: "remove", Description: "Take a sample out by its number in the list", Example: "/swatch remove number:1",
			Options: []reply.Option{{Name: "number", Description: "in /swatch list", Required: true, Kind: reply.Whole, Min: 1, Max: 1000}}}},
	}}
}

// sample is what a swatch's record holds. Lengths are in nanometres.
type sample struct {
	Count        int           `json:"count"`
	Ends         int           `json:"ends,omitempty"`
	Used         length.Length `json:"used_nm,omitempty"`
	Before       length.Length `json:"before_nm,omitempty"`
	After        length.Length `json:"after_nm,omitempty"`
	Length       length.Length `json:"length_nm,omitempty"`
	Thickness    length.Length `json:"thickness_nm"`
	Construction string        `json:"construction"`
	// What the book said of one knot when the swatch was added: it stands in when
	// the knot is no longer in the book.
	BookUsed   length.Length `json:"book_used_nm"`
	BookLength length.Length `json:"book_length_nm"`
}

// madeOf is what makes two cords alike for swatches: the construction, and the
// thickness to a quarter of a millimetre.
type madeOf struct {
	thickness    length.Length
	construction cord.Construction
}

func makingOf(thickness length.Length, c cord.Construction) madeOf {
	return madeOf{thickness.RoundHalfEven(length.Millimetre / 4), c}
}

// tied is a swatch beside the book.
type tied struct {
	store.Swatch
	sample
	number int // in the member's list, from 1
	making madeOf
	swatch swatch.Swatch
}

// counts tells whether the swatch can be compared with the book as it is now.
func (t tied) counts() bool {
	_, err := t.swatch.Ratios()
	return err == nil
}

// words are the cord as answers name it.
func (t tied) words(p Prefs) string {
	return p.Style.Thickness(t.Thickness) + " " + t.Construction
}

// bookOf is what the book says of one knot: what a working end takes, and the height.
func bookOf(k *knot.Knot, thickness length.Length, c cord.Construction) (used, height length.Length, err error) {
	size, err := k.Size(knot.Gauge{Diameter: cord.Cord{Nominal: thickness, Construction: c}.Diameter(), Ends: k.Ends})
	if err != nil {
		return 0, 0, err
	}
	return workersTake(k, size), size.Height, nil
}

// compared sets a member's swatch beside the book.
func compared(s store.Swatch, number int, book *knot.Book) (tied, error) {
	t := tied{Swatch: s, number: number}
	if err := json.Unmarshal(s.Data, &t.sample); err != nil {
		return t, fmt.Errorf("a swatch cannot be read: %w", err)
	}
	construction, err := cord.ParseConstruction(t.Construction)
	if err != nil {
		return t, fmt.Errorf("a swatch cannot be read: %w", err)
	}
	t.making = makingOf(t.Thickness, construction)
	used, height := t.BookUsed, t.BookLength
	if k, ok := book.Knot(s.Knot); ok {
		if used, height, err = bookOf(k, t.Thickness, construction); err != nil {
			return t, err
		}
	}
	t.swatch = swatch.Swatch{
		Knot: s.Knot, Cord: fmt.Sprintf("%s %s", t.making.thickness, construction), Count: t.Count, Ends: t.Ends,
		Before: t.Before, After: t.After, Used: t.Used, SampleLength: t.sample.Length, BookUsed: used, BookLength: height,
	}
	return t, nil
}

// swatches are the member's swatches beside the book, oldest first.
func (a *App) swatches(ctx context.Context, req reply.Request, book *knot.Book) ([]tied, error) {
	saved, err := a.store.Swatches(ctx, req.Member)
	if err != nil {
		return nil, err
	}
	list := make([]tied, len(saved))
	for i, s := range saved {
		if list[i], err = compared(s, i+1, book); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// handIn is the member's hand in one cord, from the swatches of it. One that the
// book has left behind, so that it compares with nothing, does not count.
func handIn(list []tied, making madeOf) (swatch.Hand, []tied, error) {
	var of []tied
	var swatches []swatch.Swatch
	for _, t := range list {
		if t.making == making && t.counts() {
			of = append(of, t)
			swatches = append(swatches, t.swatch)
		}
	}
	hand, err := swatch.HandOf(swatches)
	return hand, of, err
}

// hands are the member's hands in the cords of a sheet, with a note for each cord
// that swatches speak of.
func (a *App) hands(ctx context.Context, req reply.Request, p Prefs, book *knot.Book, cords []sheet.Cord) (map[string]trace.Hand, []trace.Note, error) {
	list, err := a.swatches(ctx, req, book)
	if err != nil || len(list) == 0 {
		return nil, nil, err
	}
	hands := map[string]trace.Hand{}
	var notes []trace.Note
	for _, c := range cords {
		construction := cord.SingleStrand
		if c.Construction != "" {
			if construction, err = cord.ParseConstruction(c.Construction); err != nil {
				return nil, nil, err
			}
		}
		hand, of, err := handIn(list, makingOf(c.Thickness, construction))
		if err != nil {
			return nil, nil, err
		}
		if len(of) == 0 {
			continue
		}
		hands[c.Name] = trace.Hand{TakeUp: float64(hand.TakeUp.Mean), Height: float64(hand.Height.Mean)}
		text := fmt.Sprintf("cord %s: by your %s of %s %s, take-up %.2f and height %.2f of the book's", c.Name, count(len(of), "swatch"), p.Style.Thickness(c.Thickness), construction, float64(hand.TakeUp.Mean), float64(hand.Height.Mean))
		if len(of) < enoughSwatches {
			text += "; three or more would show how much your hand varies"
		}
		notes = append(notes, trace.Note{Place: c.Place, Text: text})
	}
	return hands, notes, nil
}

// enoughSwatches is how many show a spread of their own (see package swatch).
const enoughSwatches = 3

func (a *App) addSwatch(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	book, err := a.bookFor(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	k, err := findKnot(req, "knot", book, q.text("knot"))
	if err != nil {
		return reply.Reply{}, err
	}
	if k.Shape != knot.Group {
		return reply.Reply{}, &reply.UserError{Read: "knot: " + q.text("knot"), Wrong: "a swatch is of knots tied one below the other, and the " + k.Name + " is not", Right: "tie a sinnet, such as ten square knots", Try: req.Example()}
	}
	construction := q.construction("construction", cord.SingleStrand)
	s := sample{
		Count: q.count("count", 1, 1000, 10), Ends: q.count("ends", 1, 20, 1),
		Used: q.length("used", sampleLengths, 0), Before: q.length("before", sampleLengths, 0), After: q.length("after", freeLengths, 0),
		Length: q.length("sample", sampleLengths, 0), Thickness: q.thickness("thickness", 4*length.Millimetre), Construction: construction.String(),
	}
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	if s.BookUsed, s.BookLength, err = bookOf(k, s.Thickness, construction); err != nil {
		return reply.Reply{}, err
	}
	record := store.Swatch{Knot: k.Name, Cord: q.text("cord")}
	if record.Data, err = json.Marshal(s); err != nil {
		return reply.Reply{}, err
	}
	t, err := compared(record, 0, book)
	if err != nil {
		return reply.Reply{}, err
	}
	ratios, err := t.swatch.Ratios()
	if err != nil {
		return reply.Reply{}, swatchRefusal(req, err)
	}
	_, _, err = a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		_, err := tx.SaveSwatch(record, 0)
		return nil, err
	})
	if err != nil {
		return reply.Reply{}, err
	}
	list, err := a.swatches(ctx, req, book)
	if err != nil {
		return reply.Reply{}, err
	}
	squeezed, err := squeezeFact(t, k)
	if err != nil {
		return reply.Reply{}, err
	}
	blocks := []reply.Block{reply.Heading("Swatch kept"), reply.Facts(append(understoodSwatch(t, k, ratios, p), squeezed))}
	hand, of, err := handIn(list, t.making)
	if err != nil {
		return reply.Reply{}, err
	}
	facts, err := handFacts(hand, of, defaultRisk)
	if err != nil {
		return reply.Reply{}, err
	}
	if ratios.TakeUp < leastUsual || ratios.TakeUp > mostUsual {
		blocks = append(blocks, reply.Text("That is far from the book, and cords cut by it may run short. Measure once more, and take the swatch out if it was a slip: /swatch remove."))
	}
	return reply.Reply{Blocks: append(blocks, reply.Heading("Your hand in "+t.words(p)), reply.Facts(facts),
		reply.Text("From now on every sheet and quick question in this cord is sized by it. All your swatches:"), reply.Verbatim("/swatch list"))}, nil
}

// The lengths that a swatch is measured in (common practice, no source).
var (
	sampleLengths = boundsOf("length", length.Centimetre, 100*length.Metre, "54 cm or 21 in")
	freeLengths   = boundsOf("length", 0, 100*length.Metre, "46 cm or 18 in")
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
func understoodSwatch(t tied, k *knot.Knot, r swatch.Ratios, p Prefs) []reply.Fact {
	f := p.Style.Format
	what := count(t.Count, k.Name) + " in " + t.words(p)
	if t.Cord != "" {
		what += ", " + t.Cord
	}
	used, _ := t.swatch.TakenUp()
	each := used / length.Length(t.Count*t.Ends)
	facts := []reply.Fact{
		{Label: "understood", Value: what},
		{Label: "cord used", Value: fmt.Sprintf("%s by %s: %s a knot, %.2f of the book's %s", f(used), count(t.Ends, "working end"), f(each), float64(r.TakeUp), f(t.swatch.BookUsed))},
	}
	if r.Height > 0 {
		return append(facts, reply.Fact{Label: "height", Value: fmt.Sprintf("%s: %s a knot, %.2f of the book's %s", f(t.sample.Length), f(t.sample.Length/length.Length(t.Count)), float64(r.Height), f(t.swatch.BookLength))})
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
func squeezeFact(t tied, k *knot.Knot) (reply.Fact, error) {
	construction, err := cord.ParseConstruction(t.Construction)
	if err != nil {
		return reply.Fact{}, err
	}
	used, err := t.swatch.TakenUp()
	if err != nil {
		return reply.Fact{}, err
	}
	each := used / length.Length(t.Count*t.Ends)
	squeezed, err := swatch.Squeeze(each, func(s cord.Ratio) length.Length {
		c := cord.Cord{Nominal: t.Thickness, Construction: construction, Squeeze: s}
		size, sizeErr := k.Size(knot.Gauge{Diameter: c.Diameter(), Ends: k.Ends})
		if sizeErr != nil {
			return 0
		}
		return workersTake(k, size)
	})
	var outside *swatch.Error
	if errors.As(err, &outside) {
		return reply.Fact{Label: "squeeze", Value: "no cord is pressed so that it would use this; the difference is in the tying"}, nil
	}
	return reply.Fact{Label: "squeeze", Value: fmt.Sprintf("it used as much as a cord pressed to %.2f of its label; the book takes %.2f", float64(squeezed), float64(construction.Squeeze()))}, err
}

// workersTake is what one working end uses in one knot.
func workersTake(k *knot.Knot, size knot.Size) length.Length {
	for i, role := range k.Roles {
		if role.Works {
			return size.Takes[i]
		}
	}
	return 0
}

// defaultRisk is the chance of running short that is planned for when nobody says.
const defaultRisk cord.Ratio = 0.05

// handFacts is a hand in one cord, and the margin that it justifies.
func handFacts(h swatch.Hand, of []tied, risk cord.Ratio) ([]reply.Fact, error) {
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
	facts = append(facts, reply.Fact{Label: "margin", Value: fmt.Sprintf("with %s spare, %s of pieces run short: /prefs margin:%.0f", percent(math.Ceil(float64(margin)*1000)/1000), percent(float64(risk)), math.Ceil(float64(margin)*100))})
	for _, o := range h.Outliers {
		what := "take-up"
		if o.Of == swatch.Height {
			what = "height"
		}
		facts = append(facts, reply.Fact{Label: "odd one", Value: fmt.Sprintf("number %d, its %s is %.2f of the book's. It counts all the same; measure it again, or /swatch remove number:%d", of[o.Swatch].number, what, float64(o.Ratio), of[o.Swatch].number)})
	}
	return facts, nil
}

// factorWords is a factor with the range that its mean may lie in.
func factorWords(f swatch.Factor, risk cord.Ratio) (string, error) {
	low, high, err := f.Interval(risk)
	if err != nil {
		return "", err
	}
	words := fmt.Sprintf("%.2f of the book's (%s sure: %.2f to %.2f), from %s", float64(f.Mean), percent(1-float64(risk)), float64(low), float64(high), count(f.N, "swatch"))
	if f.Assumed {
		return fmt.Sprintf("%s; a spread of %s is assumed, three or more swatches would show yours", words, percent(float64(f.Spread))), nil
	}
	return fmt.Sprintf("%s that differ by %s", words, percent(float64(f.Spread)/float64(f.Mean))), nil
}

func (a *App) listSwatches(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	risk := q.risk("risk")
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	book, err := a.bookFor(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	list, err := a.swatches(ctx, req, book)
	if err != nil {
		return reply.Reply{}, err
	}
	if len(list) == 0 {
		return reply.Reply{Blocks: []reply.Block{reply.Text("You have no swatches yet. Tie ten square knots, measure one working end before and after, and say:"), reply.Verbatim(`/swatch add knot:"square knot" count:10 before:100cm after:46cm sample:11cm thickness:4mm`)}}, nil
	}
	blocks := []reply.Block{reply.Heading("Your swatches")}
	shown := map[madeOf]bool{}
	for _, t := range list {
		if !t.counts() {
			blocks = append(blocks, reply.Text(fmt.Sprintf("Number %d (%s) does not compare with the book any more and does not count. Take it out with /swatch remove number:%d", t.number, count(t.Count, t.Knot), t.number)))
		}
		if shown[t.making] || !t.counts() {
			continue
		}
		shown[t.making] = true
		hand, of, err := handIn(list, t.making)
		if err != nil {
			return reply.Reply{}, err
		}
		facts, err := handFacts(hand, of, risk)
		if err != nil {
			return reply.Reply{}, err
		}
		blocks = append(blocks, reply.Heading(t.words(p)), swatchTable(of), reply.Facts(facts))
	}
	return reply.Reply{Blocks: append(blocks, reply.Text("A cord is the same when its construction is, and its thickness to a quarter of a millimetre. Sheets in these cords are sized by them. The chance of running short is that of one piece: when none of 25 cords may, divide it by 25: /swatch list risk:0.2."))}, nil
}

// risk reads a chance of running short in percent.
func (q *ask) risk(option string) cord.Ratio {
	if q.err != nil || !q.has(option) {
		return defaultRisk
	}
	typed := strings.TrimSpace(strings.TrimSuffix(q.text(option), "%"))
	x, err := strconv.ParseFloat(strings.Replace(typed, ",", ".", 1), 64)
	risk := cord.Ratio(x / 100)
	if err != nil || !(risk >= swatch.LeastRisk && risk <= swatch.MostRisk) {
		q.err = &reply.UserError{
			Read: option + ": " + q.text(option), Wrong: "it is no chance that can be planned for",
			Right: fmt.Sprintf("a number from %g to %g, in percent", 100*float64(swatch.LeastRisk), 100*float64(swatch.MostRisk)),
			Try:   q.req.Retype(map[string]string{option: "5"}, ""), Cause: err,
		}
	}
	return risk
}

func swatchTable(of []tied) reply.Table {
	t := reply.Table{Columns: []reply.Column{{Title: "", Right: true}, {Title: "knots", Right: false}, {Title: "take-up", Right: true}, {Title: "height", Right: true}, {Title: "cord", Right: false}, {Title: "day", Right: false}}}
	for _, s := range of {
		r, err := s.swatch.Ratios()
		if err != nil {
			continue
		}
		takeUp, height := fmt.Sprintf("%.2f", float64(r.TakeUp)), ""
		if r.Height > 0 {
			height = fmt.Sprintf("%.2f", float64(r.Height))
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(s.number), count(s.Count, s.Knot), takeUp, height, s.Cord, s.Created.Format(dayLayout)})
		t.Short = append(t.Short, cutTo(strings.TrimSpace(fmt.Sprintf("%d  %s %s  %s", s.number, takeUp, height, s.Knot)), narrow))
	}
	return t
}

func (a *App) removeSwatch(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	number := q.count("number", 1, 1000, 1)
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	result, _, err := a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		list, err := tx.Swatches()
		if err != nil {
			return nil, err
		}
		if number > len(list) {
			e := &reply.UserError{Read: "number: " + q.text("number"), Wrong: "you have " + count(len(list), "swatch"), Right: "/swatch list numbers them", Try: "/swatch list"}
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
	var s sample
	if err := errors.Join(json.Unmarshal(result, &removed), json.Unmarshal(removed.Data, &s)); err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text(fmt.Sprintf("The swatch of %s is removed, and the ones after it move up. This brings it back:", count(s.Count, removed.Knot))), reply.Verbatim(s.command(removed))}}, nil
}

// command is the line that adds the swatch.
func (s sample) command(record store.Swatch) string {
	var b strings.Builder
	fmt.Fprintf(&b, "/swatch add knot:%s count:%d", reply.QuotedIfSpaced(record.Knot), s.Count)
	for _, o := range []struct {
		name   string
		length length.Length
	}{{"used", s.Used}, {"before", s.Before}, {"after", s.After}, {"sample", s.Length}, {"thickness", s.Thickness}} {
		if o.length > 0 {
			fmt.Fprintf(&b, " %s:%s", o.name, compact(o.length.String()))
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
