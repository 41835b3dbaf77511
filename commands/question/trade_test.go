package question_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/question"
	"larkfold/commands/reply"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/vocabulary"
)

// tradeLines are lines of a sheet that say a knot, by its shape; %s is the name.
var tradeLines = map[knot.Shape][]string{
	knot.Group:   {"sinnet %s times 2", "row %s"},
	knot.Hitch:   {"%s left to right"},
	knot.Plait:   {"%s for 10 cm"},
	knot.Wrap:    {"%s turns 3"},
	knot.Pattern: {"%s square rows 3"},
}

// saidBy is the line of a panel's first step below its mount, in the book's words.
func saidBy(t *testing.T, mount, line string) string {
	t.Helper()
	s, faults := sheet.Parse("cord main 4 mm\ndowel 60 cm x 20 mm\npanel a\n"+mount+"\n"+line, knot.Standard())
	require.NoError(t, faults.Err(), "%s\n%s", mount, line)
	return sheet.Format(s)
}

// Whatever the trade calls a knot, it is understood wherever a knot is named, and
// answered in the book's words.
func TestTradeNamesAreUnderstoodEverywhere(t *testing.T) {
	commandstest.UnlessRaced(t)
	a := commandstest.New(t)
	names := 0
	for _, k := range knot.Standard().Knots() {
		for _, name := range slices.Concat([]string{k.Name, k.Short}, k.Also) {
			names++
			quoted := `"` + name + `"`
			require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, "/knots show name:"+quoted)), "# "+k.Name+" ("+k.Short+")", name)
			if told := commandstest.WordsOf(commandstest.Answered(t, a, "/help topic:"+quoted)); !strings.Contains(told, "a word of the sheet") {
				require.Contains(t, strings.ToLower(told), k.Name, name)
			}
			for _, line := range tradeLines[k.Shape] {
				if k.Shape != knot.Group && slices.Contains([]string{"wrap", "plait", "net"}, name) {
					continue // the sheet's own word
				}
				plain := saidBy(t, "mount 6 folded", fmt.Sprintf(line, k.Name))
				require.Equal(t, plain, saidBy(t, "mount 6 folded", fmt.Sprintf(line, name)), name)
			}
			if k.Shape == knot.Mount && k.Name != "fringe lark's head" {
				require.Equal(t, saidBy(t, "mount 6 "+k.Name+" main", "row square knot"), saidBy(t, "mount 6 "+name+" main", "row square knot"), name)
			}
			if k.Shape == knot.Group {
				used := fmt.Sprintf("%dmm", 10*commandstest.WorkerOf(t, k)/length.Millimetre)
				require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, "/swatch add count:10 used:"+used+" knot:"+quoted)), k.Name, name)
				require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, "/cut finished:1m knot:"+quoted)), k.Name, name)
				require.Contains(t, commandstest.WordsOf(commandstest.Answered(t, a, "/cord width:20cm drop:40cm knotwork:sinnets knot:"+quoted)), k.Name, name)
				commandstest.Answered(t, a, "/swatch remove number:1")
			}
			if made := question.MadeOf[k.Name]; made != "" {
				require.Equal(t, commandstest.WordsOf(commandstest.Answered(t, a, "/cord width:20cm drop:40cm knotwork:"+made)), commandstest.WordsOf(commandstest.Answered(t, a, "/cord width:20cm drop:40cm knotwork:"+quoted)), name)
			}
			if slices.Contains(k.Also, name) {
				req := commandstest.Ana
				req.Command = "knots show"
				choices, err := a.Complete(context.Background(), req, "name", name[:3])
				require.NoError(t, err)
				require.Contains(t, choices, reply.Choice{Name: name + ": " + k.Name, Value: name})
			}
		}
	}
	require.Greater(t, names, 150)
}

// The lines that hang cords by a knot, and those that begin with one, are printed in
// the sheet's own words.
func TestTradeNamesArePrintedInTheSheetsWords(t *testing.T) {
	for mount, want := range map[string]string{
		"mount 6 lark's head": "mount 6 folded", "mount 6 cow hitch main": "mount 6 folded main",
		"mount 6 reversed lark’s head": "mount 6 folded", "mount 6 single mount": "mount 6 single", "mount 6 clove hitch main": "mount 6 single main",
		"mount 4 cow hitch, 2 clove hitch": "mount 4 folded, 2 single",
	} {
		require.Contains(t, saidBy(t, mount, "row square on 1-4"), "  "+want+"\n", mount)
	}
	for line, want := range map[string]string{
		"clove hitch left to middle": "bar left to middle", "diagonal double half hitch 1 to 4": "bar 1 to 4", "whipping turns 5 on left 4": "wrap turns 5 on left 4",
		"braid for 10 cm": "plait for 10 cm", "four strand braid for 10 cm": "plait 4 for 10 cm", "alternating square knots square rows 4": "net square knot rows 4",
		"row flat": "row square knot", "sinnet spiral times 9": "sinnet half knot times 9", "sennit reef knot times 3": "sinnet square knot times 3", "row coil on 1-2": "row barrel knot on 1-2",
	} {
		require.Contains(t, saidBy(t, "mount 6 folded", line), "  "+want+"\n", line)
	}
}

// Another word that the trade has for one of the sheet's begins a line like it, and
// leads to its page of help.
func TestTradeWordsBeginALine(t *testing.T) {
	a := commandstest.New(t)
	others := 0
	for _, w := range vocabulary.Words() {
		for _, also := range w.Also {
			others++
			text := strings.Replace(w.Sheet(), w.Example, also+strings.TrimPrefix(w.Example, w.Name), 1)
			plain, faults := sheet.Parse(w.Sheet(), knot.Standard())
			require.NoError(t, faults.Err())
			other, faults := sheet.Parse(text, knot.Standard())
			require.NoError(t, faults.Err(), text)
			require.Equal(t, sheet.Format(plain), sheet.Format(other))
			_, own := reply.Find(a.Commands(), []string{also})
			if page := commandstest.WordsOf(commandstest.Answered(t, a, "/help topic:"+also)); !own && also != "rod" {
				require.Contains(t, page, "# "+w.Name+", a word of the sheet")
				require.Contains(t, page, also)
			}
		}
	}
	require.Greater(t, others, 8)
}
