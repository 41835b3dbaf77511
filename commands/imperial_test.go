package commands_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

// metricFigure is a metric quantity in an answer, and oddFraction a fraction that no
// tape shows.
var (
	metricFigure = regexp.MustCompile(`[0-9] ?(?:mm|cm|m|kg|g)\b(?:[^/]|$)`)
	oddFraction  = regexp.MustCompile(`[0-9]/128\b`)
)

// inInches are the words of an answer that its reader measures by: without what was
// typed, sheets, how a knot's numbers were come by, and what follows in parentheses.
func inInches(answer reply.Reply, typed string) string {
	var b strings.Builder
	for _, block := range answer.Blocks {
		switch block := block.(type) {
		case reply.Verbatim:
			if strings.HasPrefix(string(block), "/") {
				commandstest.RenderBlock(&b, block)
			}
		case reply.Text:
			if !strings.HasPrefix(string(block), "Changed\n") { // lines of a sheet
				commandstest.RenderBlock(&b, block)
			}
		case reply.Facts:
			commandstest.RenderBlock(&b, slices.DeleteFunc(slices.Clone(block), func(f reply.Fact) bool {
				return slices.Contains([]string{"read", "source", "exactly", "metric", "a kilogram holds", "yarn counts", "with it", "example", "understood", "stiffness from"}, f.Label)
			}))
		case reply.File, reply.Form, reply.Actions, reply.Picture:
		default:
			commandstest.RenderBlock(&b, block)
		}
	}
	said := regexp.MustCompile(`“[^”]*”|\([^)]*\)`).ReplaceAllString(b.String(), "")
	for _, typed := range quantityTyped.FindAllStringSubmatch(typed, -1) {
		unit := typed[2]
		if unit == "" {
			unit = "(?:mm|cm|m|kg|g)" // it was bare
		}
		forms := regexp.QuoteMeta(typed[1]) + ` ?` + unit
		if cm, err := strconv.ParseFloat(typed[1], 64); err == nil && unit == "cm" { // 220cm comes back as 2.2m
			forms += `|` + regexp.QuoteMeta(strconv.FormatFloat(cm/100, 'f', -1, 64)) + ` ?m`
		}
		said = regexp.MustCompile(`(^|[^0-9.])(?:`+forms+`)\b`).ReplaceAllString(said, "$1")
	}
	return said
}

var quantityTyped = regexp.MustCompile(`([0-9]+(?:\.[0-9]+)?) ?(mm|cm|m|kg|g)?\b`)

// Whoever prefers inches is answered in them: no answer of the golden files has a
// metric figure alone, nor a fraction finer than any tape. Conversions speak of both
// systems, formulas and lists of what is read have their own words.
func TestAnswersInInches(t *testing.T) {
	commandstest.UnlessRaced(t)
	asks, answers := 0, 0
	for _, file := range goldenFiles(t) {
		name := strings.TrimSuffix(filepath.Base(file), ".golden")
		if slices.Contains([]string{"convert", "refused-convert", "mydata", "message", "clash", "rule", "refused-rule", "refused-shelf-shelf"}, name) {
			continue
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		a := commandstest.New(t)
		typed := "4 mm" // of the demo designs
		commandstest.Answered(t, a, "/prefs units:imperial")
		for _, design := range []string{"Tide Line", "Three Herons", "Harbour Swag"} {
			commandstest.Demo(t, a, commandstest.Ana, design, strings.ReplaceAll(strings.ToLower(design), " ", "-")+".sheet")
		}
		if name == "short" {
			commandstest.ShortDesigns(t, a)
		}
		for _, line := range strings.Split(string(text), "\n") {
			line, ok := strings.CutPrefix(line, "> ")
			if !ok || !strings.HasPrefix(line, "/") || strings.HasPrefix(line, "/prefs") || strings.Count(line, `"`)%2 != 0 || strings.Contains(line, "formulas") || strings.HasPrefix(line, "/help topic:both") {
				continue
			}
			asks++
			typed += " " + line
			answer := commandstest.Asked(t, a, line)
			if !answer.Refused {
				answers++
			}
			said := inInches(answer, typed)
			require.NotRegexp(t, metricFigure, said, "%s: %s", name, line)
			require.NotRegexp(t, oddFraction, said, "%s: %s", name, line)
		}
	}
	require.Greater(t, asks, 200)
	require.Greater(t, answers, asks/3, "the others are refused")
}

// A quarter of 24 in is 6 in, and what an imperial maker saves is written in inches.
func TestImperialDesignsAreSavedInInches(t *testing.T) {
	a := commandstest.New(t)
	answer := commandstest.Render(commandstest.Answered(t, a, `/cord width:"16 in" drop:"24 in" save:Pier`))
	require.Contains(t, answer, "6 in of it")
	text := commandstest.Render(commandstest.Answered(t, a, "/project show name:Pier written:yes"))
	require.NotRegexp(t, metricFigure, text)
	resized := commandstest.Render(commandstest.Answered(t, a, `/project resize name:Pier width:"21 in" save:"Long Pier"`))
	require.NotRegexp(t, metricFigure, resized)
	require.NotRegexp(t, metricFigure, commandstest.Render(commandstest.Answered(t, a, `/project show name:"Long Pier" written:yes`)))
}
