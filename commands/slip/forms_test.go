package slip_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/commands/slip"
)

// unitForms are the ways to write one length, the plainest first.
var unitForms = [][]string{
	{"20 in", "20in", "20 inch", "20 inches", "20 ins", `20"`, "20″", "20”", "1 ft 8 in", `1'8"`, "1 foot 8 inches", "1ft8in"},
	{"2 ft", "2ft", "2 foot", "2 feet", "2'", "2′", "24 in", "2/3 yd", "2/3 yard", "⅔ yards"},
	{"0.5 m", "0.5m", "0,5 m", ".5 m", "½ m", "1/2 m", "½ metre", "0.5 meters", "50 cm", "50cm", "50 centimetres", "50 centimeter", "500 mm", "500 millimetres"},
}

// thickForms are the ways to write one thickness.
var thickForms = [][]string{
	{"4 mm", "4mm", "4", "4.0 mm", "4,0mm", "0.4 cm", "4 millimetres", "4 millimeter"},
	{"1/4 in", "1/4", "¼", `1/4"`, "¼ inch", "¼″", "0.25 in", "6.35 mm"},
}

// asTyped are the lines of an answer that may repeat a form as it was typed.
var asTyped = regexp.MustCompile(`(?m)^(?:asked|finished|cord|hung on): .*$|^# (?:To cut for|Cords on a stick of) .*$`)

// Long, short and symbol forms of a unit are read alike, by every option of every
// command that takes a length or a thickness.
func TestUnitsAreReadAlikeByEveryOption(t *testing.T) {
	commandstest.UnlessRaced(t)
	a := commandstest.New(t)
	recordsOfRefusals(t, a)
	commandstest.Answered(t, a, "/prefs units:both")
	understood := 0
	everyOption(a, func(path string, c reply.Command, o reply.Option) {
		var forms [][]string
		if sense := slip.Meanings[o.Name]; sense.Long() {
			forms = unitForms
		} else if sense.Thick() {
			forms = thickForms
		}
		base, ok := formLine(c, path)
		if !ok || path == "wrap" {
			return // /wrap is walked by its own test
		}
		for _, alike := range forms {
			answers := map[string]string{}
			for _, form := range alike {
				req := base
				req.Options = map[string]string{}
				for name, value := range base.Options {
					req.Options[name] = value
				}
				req.Options[o.Name] = form
				answer, err := a.Do(t.Context(), req)
				require.NoError(t, err)
				said := commandstest.WordsOf(answer)
				if answer.Refused {
					said = "refused"
				} else {
					understood++
				}
				answers[form] = asTyped.ReplaceAllString(said, "")
			}
			for _, form := range alike[1:] {
				require.Equal(t, answers[alike[0]], answers[form], "/%s %s:%s and %s", path, o.Name, alike[0], form)
			}
		}
	})
	require.Greater(t, understood, 200)
}

// formLine is the example of a command as a request, or a line that shows more of it.
func formLine(c reply.Command, path string) (reply.Request, bool) {
	line := c.Example
	switch path {
	case "dowel":
		line = "/dowel length:80cm cords:12 thickness:4mm"
	case "fringe":
		line = "/fringe drop:22cm loops:12"
	case "project resize":
		line = `/project resize name:"Kelp Wall" width:60cm`
	case "swatch add":
		return reply.Request{}, false // each sample is kept
	}
	l, wrong := reply.ParseLine(strings.Replace(line, "Tide Line", "Kelp Wall", 1))
	if wrong != nil {
		return reply.Request{}, false
	}
	req := commandstest.Ana
	req.Command, req.Options = strings.Join(l.Words, " "), l.Options
	return req, true
}

// A spool is read by every command as a sheet reads it.
func TestASpoolIsReadAsTheSheetReadsIt(t *testing.T) {
	a := commandstest.New(t)
	for _, label := range []string{"100 m 900 g 24.00", "100m 900g 24", "100 metres, 900 grams, 24,00", "100 m, 0.9 kg, €24"} {
		said := commandstest.WordsOf(commandstest.Answered(t, a, fmt.Sprintf("/cord width:30cm drop:50cm spool:%q", label)))
		require.Contains(t, said, "24.00", label)
		require.Equal(t, commandstest.WordsOf(commandstest.Answered(t, a, `/cord width:30cm drop:50cm spool:"100 m 900 g 24.00"`)), said, label)
		plan := commandstest.WordsOf(commandstest.Answered(t, a, fmt.Sprintf(`/plan pieces:"12 x 3.2m" spool:%q`, label)))
		require.Contains(t, plan, "24.00", label)
		require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, fmt.Sprintf("/fringe drop:22cm loops:12 spool:%q", label))), "22 cm", label)
	}
	require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, `/shelf add pieces:"2 spools 100 m 900 g 24.00" cord:"4 mm"`)), "100.00 m")
	require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, `/plan pieces:"20 x 3.2m" spool:"50 m 14.00, 100 m 24.00"`)), "24.00")
	require.Contains(t, commandstest.WordsOf(commandstest.Asked(t, a, "/cord width:30cm drop:50cm spool:900g")), "a unit of mass")
}

// A bare fraction counts inches everywhere, and the answer shows which length it is.
func TestABareFractionCountsInches(t *testing.T) {
	a := commandstest.New(t)
	require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, `/convert what:"3/16"`)), "inches")
	require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, "/cord width:40cm drop:70cm thickness:3/16")), "4.76 mm")
	commandstest.Answered(t, a, "/prefs units:imperial")
	require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, "/cord width:16 drop:28 thickness:3/16")), "3/16 in")
	require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, "/knots show name:square thickness:3/16")), "3/16 in")
}
