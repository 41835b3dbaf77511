package sitting

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
	"larkfold/store"
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
