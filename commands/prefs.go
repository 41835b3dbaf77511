package commands

import (
	"context"
	"encoding/json"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/store"
)

var unitChoices = []reply.Choice{{Name: "metric", Value: "metric"}, {Name: "imperial", Value: "imperial"}, {Name: "both", Value: "both"}}

func prefsCommand() command {
	return command{run: setPrefs, Command: reply.Command{
		Name: "prefs", Description: "How you like answers: units, rounding, margin, detail", Example: "/prefs units:imperial",
		Options: []reply.Option{
			{Name: "units", Description: "metric, imperial or both", Choices: unitChoices},
			{Name: "step", Description: "round cuts up to this, such as 5cm or 2in"},
			{Name: "margin", Description: "spare on every need, in percent, such as 10"},
			{Name: "detail", Description: "full, or short without the assumptions", Choices: []reply.Choice{{Name: "full", Value: "full"}, {Name: "short", Value: "short"}}},
		},
	}}
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
	switch q.Choice("detail", []reply.Choice{{Name: "full", Value: "full"}, {Name: "short", Value: "short"}}, "") {
	case "full":
		p.Short = false
	case "short":
		p.Short = true
	}
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
	return []reply.Fact{
		{Label: "units", Value: [...]string{"metric", "imperial", "both"}[p.Style.System]},
		{Label: "cuts round up to", Value: p.StepWords(p.RoundsTo())},
		{Label: "margin", Value: say.Percent(float64(p.Spare()))},
		{Label: "detail", Value: detail},
	}
}
