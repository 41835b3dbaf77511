package question_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

func TestConvertAnswers(t *testing.T) {
	commandstest.Golden(t, "convert", commandstest.Conversation(t, commandstest.New(t),
		`/convert what:"3/16 in"`,
		"/convert what:3/16",
		"/convert what:40",
		`/convert what:"4 ft 11 1/2 in"`,
		"/convert what:2m30",
		`/convert what:"3mm to inches"`,
		`/convert what:"1 lb 2 oz"`,
		`/convert what:"500 g per 120 m"`,
		`/convert what:"80 yd/lb"`,
		`/convert what:"Ne 10"`,
	))
}

// Published conversions, read off the answers.
func TestConvertAgainstPublishedValues(t *testing.T) {
	a := commandstest.New(t)
	for _, tt := range []struct{ what, label, want, source string }{
		{"36ft", "metric", "11.0 m", "NIST SP 811 (2008), B.7: 36 ft is 11.0 m"},
		{`"1 in"`, "exactly", "2.54 cm", "International Yard and Pound Agreement, 1959"},
		{`"1 yd"`, "exactly", "91.44 cm", "International Yard and Pound Agreement, 1959"},
		{`"1 lb"`, "exactly", "453.59237 g", "International Yard and Pound Agreement, 1959"},
		{`"5000 tex"`, "metric", "5.00 g/m, 200 m/kg", "ISO 1144: tex is grams per kilometre"},
		{`"5000 tex"`, "yarn counts", "5000 tex, 45000 den, Ne 0.118", "denier is grams per 9000 m; Ne is 590.5 over tex (from memory)"},
	} {
		got := commandstest.FactOf(commandstest.Answered(t, a, "/convert what:"+tt.what), tt.label)
		require.Equal(t, tt.want, got, "%s: %s", tt.what, tt.source)
	}
}

// A length and a mass side by side, as on a label, are offered as a mass per length with
// all their numbers; what else stands there is not guessed.
func TestALabelIsConverted(t *testing.T) {
	a := commandstest.New(t)
	for typed, again := range map[string]string{
		"100m 900g":    "/convert what:900g/100m",
		"1 kg 220 m":   `/convert what:"220 m/1 kg"`,
		"100m 900g 24": `/convert what:"3/16 in"`,
	} {
		answer := commandstest.Render(commandstest.Asked(t, a, `/convert what:"`+typed+`"`))
		require.Contains(t, answer, "no / or per stands between a mass and a length", typed)
		require.Contains(t, answer, again, typed)
	}
	require.Equal(t, "9.00 g/m, 111 m/kg", commandstest.FactOf(commandstest.Answered(t, a, "/convert what:900g/100m"), "metric"), "900 g / 100 m, 1 kg / 9 g")
}
