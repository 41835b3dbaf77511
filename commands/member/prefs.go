package member

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
	"larkfold/store"
)

// What a member chooses from: the units and the detail of answers, and the ways of
// working beside the usual.
var (
	unitChoices = []reply.Choice{{Name: "metric", Value: "metric"}, {Name: "imperial", Value: "imperial"}, {Name: "both", Value: "both"}}
	details     = []reply.Choice{{Name: "full", Value: "full"}, {Name: "short", Value: "short"}}
	ties        = []sheet.Tying{sheet.PushedUp, sheet.Slack}
	hangs       = []sheet.Hanging{sheet.Touching, sheet.Relaxed, sheet.Spread}
	plaits      = []trace.Plaiting{trace.Tight, trace.Loose}
)

// PrefsCommand is /prefs.
func PrefsCommand() handler.Command {
	return handler.Command{Run: setPrefs, Command: reply.Command{
		Name: "prefs", Description: "How you like answers: units, rounding, margin, detail", Example: "/prefs units:imperial",
		Options: []reply.Option{
			{Name: "units", Description: "metric, imperial or both", Choices: unitChoices},
			{Name: "step", Description: "round cuts up to this, such as 5cm or 2in"},
			{Name: "margin", Description: "spare on every need, in percent, such as 10"},
			{Name: "detail", Description: "full, or short without the assumptions", Choices: details},
			{Name: "tie", Description: "how you tie knots: pushed up against each other, relaxed, or as usual", Choices: ways(ties)},
			{Name: "hang", Description: "how close your cords hang on a rod: touching, spread over it, or relaxed as usual", Choices: ways(hangs)},
			{Name: "plait", Description: "how you plait: tight, loose, or as usual", Choices: ways(plaits)},
			{Name: "squeeze", Description: "how thick your cord is when knotted, as a share of its label, such as 0.75; or usual"},
			{Name: "construction", Description: "of the cord that squeeze is for; single-strand if left out", Choices: ask.Constructions()},
		},
	}}
}

// usual is the choice of a member who does as the book says.
const usual = "usual"

func ways[W ~string](of []W) []reply.Choice {
	choices := []reply.Choice{{Name: usual, Value: usual}}
	for _, w := range of {
		choices = append(choices, reply.Choice{Name: string(w), Value: string(w)})
	}
	return choices
}

// wayOf is a way that was chosen, or the one before.
func wayOf[W ~string](q *ask.Options, option string, before W, of []W) W {
	switch chosen := q.Choice(option, ways(of), ""); chosen {
	case "":
		return before
	case usual:
		return ""
	default:
		return W(chosen)
	}
}

// squeezes are the member's own with the one that was set.
func squeezes(q *ask.Options, before map[string]cord.Ratio) map[string]cord.Ratio {
	made := q.Construction("construction", cord.SingleStrand).String()
	if !q.Has("squeeze") {
		if q.Has("construction") && q.Err == nil {
			q.Err = &reply.UserError{Read: "construction: " + q.Text("construction"), Wrong: "it says which cord, but not what of it", Right: "give its squeeze", Try: q.Request.Retype(map[string]string{"squeeze": "0.75"}, "")}
		}
		return before
	}
	after := maps.Clone(before)
	if after == nil {
		after = map[string]cord.Ratio{}
	}
	if strings.EqualFold(q.Text("squeeze"), usual) {
		delete(after, made)
		return after
	}
	after[made] = q.Squeeze("squeeze")
	return after
}

// setPrefs changes what is asked for and shows all.
func setPrefs(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	switch q.Choice("units", unitChoices, "") {
	case "metric":
		p.Style.System = length.Metric
	case "imperial":
		p.Style.System = length.Imperial
	case "both":
		p.Style.System = length.Both
	}
	p.Step = q.Length("step", ask.Bounds("rounding step", length.Millimetre, length.Metre, "5 cm or 2 in"), p.Step)
	if q.Has("margin") {
		bare := q.With("margin", strings.TrimRight(q.Text("margin"), " %"))
		p.Margin, q.Err = cutlist.Fraction(bare.Count("margin", 1, 100, int(p.Spare()*100+0.5)))/100, bare.Err
	}
	switch q.Choice("detail", details, "") {
	case "full":
		p.Short = false
	case "short":
		p.Short = true
	}
	p.Ways.Tie = wayOf(q, "tie", p.Ways.Tie, ties)
	p.Ways.Hang = wayOf(q, "hang", p.Ways.Hang, hangs)
	if p.Ways.Hang == sheet.Relaxed {
		p.Ways.Hang = "" // that is the usual
	}
	p.Ways.Plait = wayOf(q, "plait", p.Ways.Plait, plaits)
	p.Squeezes = squeezes(q, p.Squeezes)
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	heading := "Your preferences"
	if len(req.Options) > 0 {
		heading = "Saved: your preferences"
		data, err := json.Marshal(p)
		if err != nil {
			return reply.Reply{}, err
		}
		_, _, err = sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
			_, err := tx.SavePreferences(data, p.Revision)
			return nil, err
		})
		if err != nil {
			return reply.Reply{}, err
		}
	}
	return reply.Reply{Blocks: []reply.Block{reply.Heading(heading), reply.Facts(prefsFacts(p))}}, nil
}

// prefsFacts are preferences in words.
func prefsFacts(p sitting.Prefs) []reply.Fact {
	detail := "full"
	if p.Short {
		detail = "short"
	}
	facts := []reply.Fact{
		{Label: "units", Value: [...]string{"metric", "imperial", "both"}[p.Style.System]},
		{Label: "cuts round up to", Value: p.StepWords(p.RoundsTo())},
		{Label: "margin", Value: say.Percent(float64(p.Spare()))},
		{Label: "detail", Value: detail},
		{Label: "knots", Value: cmp.Or(string(p.Ways.Tie), usual)},
		{Label: "hung", Value: cmp.Or(string(p.Ways.Hang), "relaxed as usual")},
		{Label: "plaits", Value: cmp.Or(string(p.Ways.Plait), usual)},
	}
	thick := make([]string, len(cord.Constructions()))
	for i, c := range cord.Constructions() {
		knotted := p.Knotted(cord.Cord{Construction: c})
		thick[i] = fmt.Sprintf("%s %.2f", c, float64(knotted.WorkingSqueeze()))
		if knotted.Squeeze == 0 {
			thick[i] += " as usual"
		}
	}
	return append(facts, reply.Fact{Label: "when knotted", Value: strings.Join(thick, ", ") + " of its label; your swatches and a sheet's own squeeze come before"})
}
