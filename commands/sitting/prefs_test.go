package sitting

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
	"larkfold/store"
	"larkfold/store/storetest"
)

// Preferences as they were written before members could say how they tie still open,
// and those of today come back as they were.
func TestSavedPreferencesOpen(t *testing.T) {
	before := `{"style":{"System":1,"Denominator":0},"step_nm":50800000,"margin":0.12,"short":true,"Revision":2}`
	p, err := prefsOf(store.Preferences{Data: json.RawMessage(before), Revision: 3}, reply.Request{})
	require.NoError(t, err)
	want := Prefs{Step: 2 * length.Inch, Margin: 0.12, Short: true, Revision: 3}
	want.Style.System = length.Imperial
	require.Equal(t, want, p)
	require.Zero(t, p.Squeeze(cord.Plied))

	p.Ways, p.Squeezes = trace.Ways{Tie: "pushed up", Plait: trace.Tight}, map[string]cord.Ratio{"plied": 0.8}
	data, err := json.Marshal(p)
	require.NoError(t, err)
	again, err := prefsOf(store.Preferences{Data: data, Revision: 3}, reply.Request{})
	require.NoError(t, err)
	require.Equal(t, p, again)
}

// Who has never said what they prefer is answered in the system that they type, by an
// option, a form or a sheet; a name may hold inch marks, and who has said so is not
// overruled.
func TestTheSystemIsTheOneTyped(t *testing.T) {
	const inches, metric = "cord main 1/4 in\ndowel 2 ft x 3/4 in\npanel a\n  mount 4 folded\n", "cord main 4 mm\ndowel 50 cm x 20 mm\npanel a\n  mount 4 folded\n"
	options := func(name, value string) reply.Request { return reply.Request{Options: map[string]string{name: value}} }
	fields := func(name, value string) reply.Request { return reply.Request{Fields: map[string]string{name: value}} }
	r := roomOn(t, storetest.NewMemory())
	keep(t, r, func(tx *store.Tx) error {
		_, err := tx.SaveProject(store.Project{Name: "Old Rope", Sheet: inches}, 0)
		return err
	})
	for name, one := range map[string]struct {
		req      reply.Request
		imperial bool
	}{
		"nothing":                {reply.Request{}, false},
		"an option in inches":    {options("width", "16in"), true},
		"an option in metres":    {options("width", "40cm"), false},
		"a field in inches":      {fields("width", "16 in"), true},
		"a name with inch marks": {options("name", `5" hoop`), false},
		"a sheet in inches":      {options("sheet", inches), true},
		"a sheet in metres":      {options("sheet", metric), false},
		"a form's sheet":         {fields("sheet", inches), true},
		"a message":              {reply.Request{Text: inches}, true},
		"a saved design":         {options("project", "Old Rope"), true},
		"a sheet typed over it":  {reply.Request{Options: map[string]string{"name": "Old Rope", "sheet": metric}}, false},
	} {
		one.req.Member, one.req.Now = ana.Member, ana.Now
		require.Equal(t, one.imperial, sat(t, r, one.req, Design).Prefs.Imperial(), name)
		require.Equal(t, one.imperial && name != "a saved design", r.Prefs(t.Context(), one.req).Imperial(), name)
	}
	keep(t, r, func(tx *store.Tx) error {
		_, err := tx.SavePreferences(asJSON(t, Prefs{Margin: 0.1}), 0)
		return err
	})
	for _, req := range []reply.Request{options("width", "16in"), options("project", "Old Rope")} {
		req.Member, req.Now = ana.Member, ana.Now
		require.False(t, sat(t, r, req, Design).Prefs.Imperial(), "she has said what she prefers")
	}
}

// What a member has not set is as usual; what they have set is theirs, in their units.
func TestPreferencesOrTheUsual(t *testing.T) {
	var usual Prefs
	inches := Prefs{Style: length.Style{System: length.Imperial}}
	require.Equal(t, 20*length.Millimetre, usual.UsualRod())
	require.Equal(t, 3*length.Inch/4, inches.UsualRod())
	require.Equal(t, cutlist.DefaultMargin, usual.Spare())
	require.Equal(t, cutlist.Fraction(0.2), Prefs{Margin: 0.2}.Spare())
	require.Equal(t, sizing.StepIn(length.Metric), usual.RoundsTo())
	require.Equal(t, sizing.StepIn(length.Imperial), inches.RoundsTo())
	require.Equal(t, length.Length(1), Prefs{Step: 1}.RoundsTo())

	// An eighth of an inch is a mark of the tape; what lies between two is also said as it was given.
	for step, said := range map[length.Length]string{2 * length.Inch: "2 in", length.Inch / 8: "1/8 in", 5 * length.Centimetre: "about 2 in (5 cm)"} {
		require.Equal(t, said, inches.StepWords(step))
	}
	require.Equal(t, "5 cm", usual.StepWords(5*length.Centimetre))

	plied := cord.Cord{Nominal: 4 * length.Millimetre, Construction: cord.Plied}
	tight := Prefs{Squeezes: map[string]cord.Ratio{cord.Plied.String(): 0.7}}
	require.Equal(t, cord.Ratio(0.7), tight.Knotted(plied).Squeeze)
	require.Zero(t, usual.Knotted(plied).Squeeze)
	plied.Squeeze = 0.9
	require.Equal(t, cord.Ratio(0.9), tight.Knotted(plied).Squeeze, "the cord's own comes first")
}

// Examples are in inches for whoever is answered in inches alone: 70 cm are 28 in on a
// tape. What is no example stays.
func TestExamplesAreInTheMembersUnits(t *testing.T) {
	blocks := []reply.Block{reply.Heading("70 cm"), reply.Text("as in 70 cm"), reply.Verbatim("/cord drop:70cm"), reply.Facts{{Label: "70 cm", Value: "70 cm"}}}
	inches := []reply.Block{reply.Heading("70 cm"), reply.Text("as in 28 in"), reply.Verbatim("/cord drop:28in"), reply.Facts{{Label: "70 cm", Value: "28 in"}}}
	for system, want := range map[length.System][]reply.Block{length.Metric: blocks, length.Both: blocks, length.Imperial: inches} {
		require.Equal(t, want, Prefs{Style: length.Style{System: system}}.Samples(blocks))
	}
}
