package takeup

import (
	"context"
	"fmt"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/swatch"
)

// trustWords say what a grade of trust means for the maker.
func trustWords(t knot.Trust) string {
	switch t {
	case knot.High:
		return "high: the numbers hold for evenly firm hands"
	case knot.Medium:
		return "medium: tension and friction move it; a swatch settles it"
	}
	return "low: hands decide; tie a swatch before you cut"
}

// HowTo shows how a knot is tied, step by step.
func HowTo(k *knot.Knot) []reply.Block {
	return []reply.Block{reply.Heading("How to tie it"), reply.Text(say.Numbered(k.HowTo)), say.Drawn(say.FileName(k.Name)+".png", func() *paint.Drawing { return knots.HowTo(k) }, "knot", k.Row)}
}

func showKnot(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	book, err := sit.Book()
	if err != nil {
		return reply.Reply{}, err
	}
	q := ask.Of(req, p)
	k, err := ask.Knot(req, "name", book, q.Text("name"))
	if err != nil {
		return reply.Reply{}, err
	}
	c := cord.Cord{Nominal: q.UsualThickness("thickness"), Construction: q.Construction("construction", cord.SingleStrand)}
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	c, hands, err := sit.Knotted(book, c)
	if err != nil {
		return reply.Reply{}, err
	}
	gauge := knot.Gauge{Diameter: c.Diameter(), Soft: c.Construction.Softness(), Ends: q.Count("ends", 1, 400, k.Ends), Rod: q.DowelThickness("dowel", p.UsualRod())}
	if k.Shape == knot.Wrap && q.Has("ends") {
		gauge.Ends++ // the wrapping cord itself
	}
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	answer := reply.Reply{Blocks: []reply.Block{reply.Heading(say.KnotTitle(k)), reply.Text(k.About)}}
	if k.Shape != knot.Pattern {
		if err := k.Fits(gauge.Ends); err != nil {
			return reply.Reply{}, &reply.UserError{Read: "ends: " + q.Text("ends"), Wrong: err.Error(), Right: "leave ends out for " + noun.Count(k.Ends, "end"), Try: req.Retype(nil, "ends"), Cause: err}
		}
		size, err := p.Ways.Size(k, gauge)
		if err != nil {
			return reply.Reply{}, err
		}
		answer.Blocks = append(answer.Blocks, reply.Facts(takesOf(k, size, gauge, c, hands[k.Kin()], p)))
	}
	answer.Blocks = append(answer.Blocks, HowTo(k)...)
	if facts := formulasOf(k); len(facts) > 0 {
		answer.Blocks = append(answer.Blocks, reply.Heading("The formulas"), reply.Facts(facts))
	}
	facts, err := originOf(sit, req, k)
	if err != nil {
		return reply.Reply{}, err
	}
	answer.Blocks = append(answer.Blocks, reply.Facts(facts))
	if k.Note != "" {
		answer.Blocks = append(answer.Blocks, reply.Text(k.Note))
	}
	return answer, nil
}

// takesOf is what one knot, which the book has in a cord, takes there by a hand, and what
// ten centimetres of it take.
func takesOf(k *knot.Knot, s knot.Size, g knot.Gauge, c cord.Cord, hand swatch.Hand, p sitting.Prefs) []reply.Fact {
	f := p.Style.Format
	s = hand.Tied(k, s)
	in := fmt.Sprintf("%s %s, %s when knotted", p.Style.Thickness(c.Nominal), c.Construction, p.Style.Thickness(c.Diameter()))
	if hand.From != "" {
		in += ", by your swatches of " + say.Family(hand.From)
	}
	facts := []reply.Fact{{Label: "in", Value: in}}
	if places := placesOf(k, g.Ends); places != "" {
		facts = append(facts, reply.Fact{Label: "tied by", Value: places})
	}
	switch k.Shape {
	case knot.Hitch:
		facts = append(facts, reply.Fact{Label: "tied over", Value: noun.Count(g.Ends-1, "carrier")})
	case knot.Wrap:
		facts = append(facts, reply.Fact{Label: "wound round", Value: noun.Count(g.Ends-1, "end")})
	case knot.Mount:
		facts = append(facts, reply.Fact{Label: "on", Value: "a dowel " + p.Style.Thickness(g.Rod) + " thick, counted from its axis"})
	}
	one := map[knot.Shape]string{knot.Group: "in one knot", knot.Mount: "in one mount", knot.Hitch: "in one knot, beside its straight way", knot.Plait: "in one repeat of six crossings"}[k.Shape]
	for i, role := range k.Roles {
		if role.Once {
			facts = append(facts, reply.Fact{Label: role.Name, Value: f(s.Takes[i]) + " once"})
			continue
		}
		facts = append(facts, reply.Fact{Label: "each " + role.Name, Value: strings.TrimSpace(f(s.Takes[i]) + " " + one)})
	}
	facts = append(facts, reply.Fact{Label: "height", Value: f(s.Height)}, reply.Fact{Label: "width", Value: f(s.Width)})
	if k.Shape == knot.Mount {
		facts[len(facts)-1].Value += " a cord"
	}
	if s.Closer > 0 {
		facts[len(facts)-1].Value += ", " + f(s.Closer) + " pushed together"
	}
	if k.Shape == knot.Group || k.Shape == knot.Plait {
		facts = append(facts, reply.Fact{Label: "for " + f(tenth(p)) + " of it", Value: perTenth(k, s, p)})
	}
	return facts
}

// placesOf are the roles of so many ends from left to right, neighbours that are
// alike together: "worker, 2 fillers, worker".
func placesOf(k *knot.Knot, ends int) string {
	if len(k.Places) == 0 {
		return ""
	}
	roles, _ := k.Cast(ends)
	var parts []string
	for from := 0; from < len(roles); {
		to := from
		for to < len(roles) && roles[to] == roles[from] {
			to++
		}
		parts = append(parts, noun.Count(to-from, k.Roles[roles[from]].Name))
		from = to
	}
	return noun.Count(ends, "end") + ", left to right: " + strings.Join(parts, ", ")
}

// tenth is a length of sinnet that is easy to picture.
func tenth(p sitting.Prefs) length.Length {
	if p.Style.System == length.Imperial {
		return 4 * length.Inch
	}
	return 10 * length.Centimetre
}

func perTenth(k *knot.Knot, s knot.Size, p sitting.Prefs) string {
	times := float64(tenth(p)) / float64(s.Height)
	parts := []string{fmt.Sprintf("%.1f knots", times)}
	if k.Shape == knot.Plait {
		parts[0] = fmt.Sprintf("%.1f repeats", times)
	}
	for i, role := range k.Roles {
		takes := length.Length(float64(s.Takes[i]) * times)
		parts = append(parts, fmt.Sprintf("%s of each %s (%.1f times)", p.Style.Format(takes), role.Name, float64(s.Takes[i])/float64(s.Height)))
	}
	return strings.Join(parts, ", ")
}

// formulasOf are the closed forms of a knot.
func formulasOf(k *knot.Knot) []reply.Fact {
	var facts []reply.Fact
	for _, role := range k.Roles {
		facts = append(facts, reply.Fact{Label: role.Name, Value: role.Takes})
	}
	for _, part := range []reply.Fact{{Label: "pitch", Value: k.Pitch}, {Label: "height", Value: k.Height}, {Label: "width", Value: k.Width}, {Label: "pushed together", Value: k.Closer}} {
		if part.Value != "" {
			facts = append(facts, part)
		}
	}
	if len(facts) > 0 {
		facts = append(facts, reply.Fact{Label: "where", Value: "d is the cord when knotted, k the cords inside, n the ends, D the dowel; /help topic:formulas has them all"})
	}
	return facts
}

// originOf is where a knot's numbers come from, and who added it.
func originOf(sit sitting.Sitting, req reply.Request, k *knot.Knot) ([]reply.Fact, error) {
	var facts []reply.Fact
	if len(k.Also) > 0 {
		facts = append(facts, say.AlsoCalled(k.Also))
	}
	facts = append(facts, reply.Fact{Label: "source", Value: k.Source}, reply.Fact{Label: "trust", Value: trustWords(k.Trust)})
	if _, standard := sit.Standard.Knot(k.Name); standard {
		return facts, nil
	}
	added, err := sit.CommunityKnots()
	for _, one := range added {
		if one.Name == k.Name {
			facts = append(facts, reply.Fact{Label: "added", Value: addedBy(req, one.AddedBy) + " on " + say.Day(one.Added)})
		}
	}
	return facts, err
}
