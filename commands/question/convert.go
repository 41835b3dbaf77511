package question

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/length"
)

// ConvertCommand is /convert.
func ConvertCommand() handler.Command {
	return handler.Command{Run: runConvert, Command: reply.Command{
		Name: "convert", Description: "Metric and imperial: lengths, thickness, mass, mass per length", Example: `/convert what:"3/16 in"`,
		Options: []reply.Option{{Name: "what", Description: `such as 3/16 in, 1.5 m, 2 lb 3 oz, 4.5 g/m, 220 m/kg`, Required: true}},
	}}
}

// runConvert tries a length, a mass and a mass per length in turn.
func runConvert(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	typed, _, _ := strings.Cut(q.Text("what"), " to ") // the other units come by themselves
	unit, note := q.Unit, ""
	reading, noLength := length.Read(typed, unit)
	if noLength == nil {
		if reading.Bare > 0 {
			note = ", as a number without a unit counts " + unitName(reading.Bare)
		}
		return convertedLength(typed, reading, note), nil
	}
	mass, noMass := length.ParseMass(typed, 0)
	if noMass == nil {
		return convertedMass(typed, mass), nil
	}
	density, noDensity := length.ParseDensity(typed)
	if noDensity == nil {
		return convertedDensity(typed, density), nil
	}
	return reply.Reply{}, &reply.UserError{
		Read:  typed,
		Wrong: fmt.Sprintf("as a length, %s; as a mass, %s; as a mass per length, %s", wrongOf(noLength), wrongOf(noMass), wrongOf(noDensity)),
		Right: "a length such as 3/16 in or 1.5 m, a mass such as 500 g or 2 lb 3 oz, or a mass per length such as 4.5 g/m, 220 m/kg or 5000 tex",
		Try:   likelyQuantity(req, typed, unit),
		Cause: noLength,
	}
}

// likelyQuantity is the line with what was likely meant by a text that is no quantity,
// or an example. What speaks of a mass is never taken for a length.
func likelyQuantity(req reply.Request, typed string, unit length.Length) string {
	whole := strings.ReplaceAll(typed, ",", "")
	if namesMass.MatchString(typed) {
		if meant := cmp.Or(massIn(typed), massIn(whole), sideBySide(typed)); meant != "" {
			return req.Retype(map[string]string{"what": meant}, "")
		}
		return req.Example()
	}
	if whole != typed {
		if _, err := length.Read(whole, unit); err == nil {
			return req.Retype(map[string]string{"what": ask.Compact(whole)}, "")
		}
	}
	if sum := carried(typed); sum != "" {
		return req.Retype(map[string]string{"what": sum}, "")
	}
	if meant := ask.Likely(typed, ask.Bounds("length", 1, 0, "1.5 m"), unit); meant != "" {
		return req.Retype(map[string]string{"what": meant}, "")
	}
	return req.Example()
}

var (
	massUnit  = "(?:" + strings.Join(length.MassUnits(), "|") + ")"
	namesMass = regexp.MustCompile(`(?i)\d\s*(?:[a-z]+\s*/\s*)?[km]?` + massUnit + `\b|\b(?:ne|tex)\s*\d|\s` + massUnit + `\b`)
	perWords  = regexp.MustCompile(`(?i)\s+(?:an?|the|each|every|on|in|for)\s+`) // between a mass and a length
	numbers   = regexp.MustCompile(`\d+`)
)

// massIn is the mass per length, or else the mass, among the words of a text, with every number
// of it; empty where there is none.
func massIn(typed string) string {
	words := strings.Fields(perWords.ReplaceAllString(typed, " per "))
	const most = 12 // words of a text that is looked through
	for n := min(len(words), most); n > 0; n-- {
		for from := range len(words) - n + 1 {
			text := strings.Trim(strings.Join(words[from:from+n], " "), "/,;.?!")
			_, noDensity := length.ParseDensity(text)
			_, noMass := length.ParseMass(text, 0)
			if (noDensity == nil || noMass == nil) && slices.Equal(numbers.FindAllString(text, -1), numbers.FindAllString(typed, -1)) {
				return text
			}
		}
	}
	return ""
}

// sideBySide is the mass per length of a length and a mass that stand side by side, as a
// spool's label has them; empty for anything else.
func sideBySide(typed string) string {
	words := strings.Fields(typed)
	for i := 1; i < len(words); i++ {
		one, other := strings.Join(words[:i], " "), strings.Join(words[i:], " ")
		for _, text := range []string{other + "/" + one, one + "/" + other} {
			if _, err := length.ParseDensity(text); err == nil {
				return text
			}
		}
	}
	return ""
}

var feetAndInches = regexp.MustCompile(`(?i)^(\d+\s*(?:ft|feet|foot|'))\s*(\d+\s*(?:in|inch|inches|"))$`)

// carried is a length of feet and a foot of inches or more, carried over; empty for others.
func carried(typed string) string {
	parts := feetAndInches.FindStringSubmatch(typed)
	if parts == nil {
		return ""
	}
	feet, noFeet := length.Parse(parts[1], 0)
	inches, noInches := length.Parse(parts[2], 0)
	if noFeet != nil || noInches != nil {
		return ""
	}
	return length.Style{System: length.Imperial}.Format(feet + inches)
}

func unitName(unit length.Length) string {
	if unit == length.Inch {
		return "inches"
	}
	return "centimetres"
}

func wrongOf(err error) string {
	var input *length.InputError
	if errors.As(err, &input) {
		return input.Wrong
	}
	return err.Error()
}

func convertedLength(typed string, r length.Reading, note string) reply.Reply {
	l := r.Length
	facts := []reply.Fact{
		{Label: "understood", Value: fmt.Sprintf("%s: a length%s", typed, note)},
		{Label: "metric", Value: r.Metric()},
		{Label: "imperial", Value: r.Imperial()},
	}
	if l >= length.Yard {
		facts = append(facts, reply.Fact{Label: "in yards", Value: say.Decimals(float64(l)/float64(length.Yard), float64(r.Place)/float64(length.Yard)) + " yd"})
	}
	if length.Thicknesses().Check(l) == nil {
		facts = append(facts, reply.Fact{Label: "as a thickness", Value: length.Style{System: length.Both}.Thickness(l)})
	}
	facts = append(facts, reply.Fact{Label: "exactly", Value: l.String()})
	return reply.Reply{Blocks: []reply.Block{reply.Facts(facts), reply.Text("Metric and imperial are as fine as what you typed. To have every answer in the units you like:"), reply.Verbatim("/prefs units:both")}}
}

func convertedMass(typed string, m length.Mass) reply.Reply {
	return reply.Reply{Blocks: []reply.Block{reply.Facts{
		{Label: "understood", Value: typed + ": a mass"},
		{Label: "metric", Value: length.Style{}.Mass(m)},
		{Label: "imperial", Value: length.Style{System: length.Imperial}.Mass(m)},
		{Label: "exactly", Value: m.String()},
	}}}
}

func convertedDensity(typed string, d length.Density) reply.Reply {
	return reply.Reply{Blocks: []reply.Block{reply.Facts{
		{Label: "understood", Value: typed + ": a mass per length"},
		{Label: "metric", Value: fmt.Sprintf("%s g/m, %s m/kg", say.Figures(d.GramsPerMetre()), say.Figures(d.MetresPerKilogram()))},
		{Label: "imperial", Value: fmt.Sprintf("%s oz/yd, %s yd/lb", say.Figures(d.OuncesPerYard()), say.Figures(d.YardsPerPound()))},
		{Label: "yarn counts", Value: fmt.Sprintf("%s tex, %s den, Ne %s", say.Figures(d.Tex()), say.Figures(d.Denier()), say.Figures(d.CottonCount()))},
		{Label: "a kilogram holds", Value: length.Style{System: length.Both}.Format(d.LengthOf(length.Kilogram))},
	}}}
}
