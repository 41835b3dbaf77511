package commands

import (
	"context"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"

	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/store"
)

// Prefs is how a member likes answers. The zero value is the default.
type Prefs struct {
	Style  length.Style  `json:"style"`
	Step   length.Length `json:"step_nm,omitempty"` // cuts are rounded up to it
	Margin cutlist.Share `json:"margin,omitempty"`
	Short  bool          `json:"short,omitempty"` // leave out assumptions and notes

	revision uint64
}

// prefs reads what the member prefers. One who has never said so and types feet
// or inches is answered in them.
func (a *App) prefs(ctx context.Context, req reply.Request) (Prefs, error) {
	saved, err := a.store.Preferences(ctx, req.Member)
	if err != nil {
		return Prefs{}, err
	}
	var p Prefs
	if len(saved.Data) > 0 {
		if err := json.Unmarshal(saved.Data, &p); err != nil {
			return Prefs{}, fmt.Errorf("the preferences of a member cannot be read: %w", err)
		}
	}
	p.revision = saved.Revision
	if p.revision == 0 && typedImperial(req) {
		p.Style.System = length.Imperial
	}
	return p, nil
}

// imperialSigns are how feet, inches and yards are written behind a number.
var imperialSigns = regexp.MustCompile(`(?i)[0-9¼½¾⅛⅜⅝⅞]\s*("|”|″|'|’|′|in\b|inch|ft\b|foot|feet|yd\b|yard)`)

func typedImperial(req reply.Request) bool {
	for _, typed := range []map[string]string{req.Options, req.Fields} {
		for name, value := range typed {
			if name != "name" && name != "sheet" && imperialSigns.MatchString(value) {
				return true
			}
		}
	}
	return false
}

var unitChoices = []reply.Choice{{Name: "metric", Value: "metric"}, {Name: "imperial", Value: "imperial"}, {Name: "both", Value: "both"}}

func (a *App) prefsCommand() command {
	return command{run: a.setPrefs, Command: reply.Command{
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
func (a *App) setPrefs(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	switch q.choice("units", unitChoices, "") {
	case "metric":
		p.Style.System = length.Metric
	case "imperial":
		p.Style.System = length.Imperial
	case "both":
		p.Style.System = length.Both
	}
	p.Step = q.length("step", boundsOf("rounding step", length.Millimetre, length.Metre, "5 cm or 2 in"), p.Step)
	if q.has("margin") {
		bare := q.with("margin", strings.TrimRight(q.text("margin"), " %"))
		p.Margin, q.err = cutlist.Share(bare.count("margin", 1, 100, int(p.margin()*100+0.5)))/100, bare.err
	}
	switch q.choice("detail", []reply.Choice{{Name: "full", Value: "full"}, {Name: "short", Value: "short"}}, "") {
	case "full":
		p.Short = false
	case "short":
		p.Short = true
	}
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	heading := "Your preferences"
	if len(req.Options) > 0 {
		heading = "Saved: your preferences"
		data, err := json.Marshal(p)
		if err != nil {
			return reply.Reply{}, err
		}
		_, _, err = a.store.Once(ctx, req.Member, req.Now, req.ID, func(tx *store.Tx) (json.RawMessage, error) {
			_, err := tx.SavePreferences(data, p.revision)
			return nil, err
		})
		if err != nil {
			return reply.Reply{}, err
		}
	}
	return reply.Reply{Blocks: []reply.Block{reply.Heading(heading), reply.Facts(p.facts())}}, nil
}

// step and margin with their defaults.
func (p Prefs) step() length.Length {
	if p.Step > 0 {
		return p.Step
	}
	if p.Style.System == length.Imperial {
		return 2 * length.Inch
	}
	return sizing.DefaultStep
}

// stepWords is a rounding step in the member's units, or as it was given where
// theirs would only come near it.
func (p Prefs) stepWords(step length.Length) string {
	if p.Style.System == length.Imperial && step%(length.Inch/8) != 0 {
		return step.String()
	}
	return p.Style.Format(step)
}

func (p Prefs) margin() cutlist.Share {
	if p.Margin > 0 {
		return p.Margin
	}
	return cutlist.DefaultMargin
}

func (p Prefs) facts() []reply.Fact {
	detail := "full"
	if p.Short {
		detail = "short"
	}
	return []reply.Fact{
		{Label: "units", Value: [...]string{"metric", "imperial", "both"}[p.Style.System]},
		{Label: "cuts round up to", Value: p.stepWords(p.step())},
		{Label: "margin", Value: percent(float64(p.margin()))},
		{Label: "detail", Value: detail},
	}
}

func percent(share float64) string { return fmt.Sprintf("%.3g %%", share*100) }
