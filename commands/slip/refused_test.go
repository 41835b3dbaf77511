package slip_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

// refusedLines are asked by a member who may not manage the community, with one
// design, one rule and one swatch of her own and one knot of the community's.
var refusedLines = []string{
	"/crod width:12cm drop:30cm",
	"/cord",
	"/cord width:40cm",
	"/cord width:12cm drop:7o cm",
	"/cord width:12cm drop:7000",
	"/cord width:12cm drop:30cm thikness:4mm",
	"/cord width:12cm drop:30cm thickness:40cm",
	"/cord width:12cm drop:30cm knotwork:nett",
	"/cord width:12cm drop:30cm construction:wire",
	"/cord width:12cm drop:30cm tail:28cm",
	"/cord width:12cm drop:30cm spool:100m price:cheap",
	"/cord width:12cm drop:30cm why:Q",
	"/cord width:12cm drop:30cm knot:sqare",
	"/cord width:12cm drop:30cm knotwork:bars knot:square",
	`/cord width:12cm drop:30cm save:"Kelp Wall"`,
	"/project",
	`/project show name:"Kelp Wal"`,
	`/project new name:"Kelp Wall"`,
	`/project new name:Faulty sheet:"cord main 4 mm
panel front
mount 4 foldet"`,
	`/project rename name:"Kelp Wall" to:""`,
	`/project undo name:"Kelp Wall" changes:0`,
	`/project delete name:Nothing`,
	"/prefs units:metrical",
	"/prefs step:5kg",
	"/prefs margin:ten",
	"/prefs margin:101",
	"/convert",
	`/convert what:"5 potato"`,
	"/convert what:-3cm",
	`/convert what:"3/0 in"`,
	`/convert what:"g per m"`,
	"/cut",
	"/cut finished:1.2",
	"/cut finished:1.2m count:0",
	"/cut finished:1.2m folded:perhaps",
	"/cut finished:1.2m knot:sqare",
	"/cut finished:1.2m knot:dhh",
	"/cut finished:1.2m knot:an",
	"/cut finished:1.2m knot:LH",
	"/cut finished:1.2m rule:mediun",
	`/cut finished:1.2m rule:"by width"`,
	"/cut finished:1.2m tail:1.2m",
	"/cut finished:6cm dowel:100mm",
	"/wrap",
	"/wrap ends:1",
	"/wrap ends:16 turns:5 length:50cm",
	"/wrap ends:16 length:10cm",
	"/wrap ends:16 strands:8",
	"/wrap drop:10cm",
	"/wrap ends:16 thickness:5cm5",
	"/knots show name:sqare",
	"/knots show name:berry ends:5",
	"/knots show name:nonsense",
	`/knots add name:"Shell Knot"`,
	`/knots remove name:"Pebble Knot"`,
	"/rule show name:mediun",
	`/rule add name:Bad formula:"4*finish"`,
	`/rule add name:Bad2 formula:"4*finished + 20"`,
	`/rule add name:Bad3 formula:"4*(finished"`,
	`/rule add name:Bad4 formula:"500*finished"`,
	`/rule add name:medium formula:"4*finished"`,
	`/rule add name:"by width" formula:"4*finished"`,
	`/rule add name:Ours formula:"4*finished" whose:community`,
	"/rule remove name:light",
	"/rule remove name:nothing",
	"/swatch add used:54cm",
	"/swatch add knot:sk count:10",
	"/swatch add knot:sk count:10 used:6cm",
	"/swatch add knot:sk count:10 before:40cm after:60cm",
	"/swatch add knot:sk count:10 before:40cm used:60cm",
	"/swatch add knot:wrap count:10 used:60cm",
	"/swatch add knot:sk used:54cm",
	"/swatch add knot:plait used:30cm",
	"/swatch add knot:dhh count:10 used:20cm sample:25cm",
	"/cord width:20cm drop:50cm cord:left",
	"/cut finished:1m cord:a/b",
	"/prefs tie:hard",
	"/prefs squeeze:2",
	"/prefs construction:plied",
	"/swatch add knot:sk count:many used:60cm",
	"/swatch list risk:99",
	"/swatch remove number:9",
	"/help topic:cordd",
	"/help topic:xyzzy",
}

// recordsOfRefusals are what the refused lines run into.
func recordsOfRefusals(t *testing.T, a *commandstest.App) {
	t.Helper()
	commandstest.AddPebble(t, a)
	commandstest.KeepDesign(t, a, "Kelp Wall")
	commandstest.Answered(t, a, `/rule add name:"By Width" formula:"6*width"`)
	commandstest.Answered(t, a, "/swatch add knot:sk count:10 used:54cm thickness:9mm")
}

// Bad input, with the exact answers. Every refusal names the way out.
func TestRefused(t *testing.T) {
	a := commandstest.New(t)
	recordsOfRefusals(t, a)
	said := commandstest.Sayings{}
	check := func(who reply.Request, line string) {
		answer := commandstest.AskedBy(t, a, who, line)
		require.True(t, answer.Refused, "%s\n%s", line, commandstest.Render(answer))
		require.True(t, waysOut(answer), "no way out of %s\n%s", line, commandstest.Render(answer))
		said.Add(line, answer)
	}
	for _, line := range refusedLines {
		check(commandstest.Ana, line)
	}
	for _, line := range refusedAdds {
		check(commandstest.Mara, line)
	}
	said.Golden(t, "refused")
}

// waysOut tells whether a refusal says what would be right, shows a command to
// paste, or has a button that mends.
func waysOut(r reply.Reply) bool {
	for _, block := range r.Blocks {
		switch block := block.(type) {
		case reply.Facts:
			for _, f := range block {
				if f.Label == "right" && f.Value != "" {
					return true
				}
			}
		case reply.Text:
			if string(block) == "Try" {
				return true
			}
		case reply.Actions:
			return true
		}
	}
	return false
}

// What a refusal offers to paste is itself no refusal, but for what the member
// alone can settle: a name that is taken, a permission.
func TestOfferedCommandsWork(t *testing.T) {
	a := commandstest.New(t)
	recordsOfRefusals(t, a)
	for _, line := range refusedLines {
		answer := commandstest.Asked(t, a, line)
		offered := ""
		for i, block := range answer.Blocks {
			if text, ok := block.(reply.Text); ok && string(text) == "Try" {
				offered = string(answer.Blocks[i+1].(reply.Verbatim))
			}
		}
		if offered == "" || strings.Contains(offered, "Tide Line") {
			continue // an example, of a design that she does not have
		}
		again := commandstest.Asked(t, a, offered)
		require.False(t, again.Refused, "%s\noffers %s\n%s", line, offered, commandstest.Render(again))
	}
}

// refusedAdds are asked by who may manage the community.
var refusedAdds = []string{
	`/knots add name:"square"`,
	`/knots add name:"Pebble Knot"`,
	`/knots add name:"pebble-knot" places:"a, a" roles:"a ties: 8*d" height:4*d across:4*d`,
	`/knots add name:"knot on row" places:"a, a" roles:"a ties: 8*d" height:4*d across:4*d`,
	`/knots add name:Shell places:"worker, worker" roles:"worker: 8*d" height:4*d across:4*d`,
	`/knots add name:Shell places:"worker, filer" roles:"worker ties: 8*d; filler runs: 4*d" height:4*d across:4*d`,
	`/knots add name:Shell places:"worker, worker" roles:"worker ties: 8*d; filler runs: 4*d" height:4*d across:4*d`,
	`/knots add name:Shell places:"worker, worker" roles:"worker ties: 8*d; worker runs: 4*d" height:4*d across:4*d`,
	`/knots add name:Shell places:"filler, filler" roles:"filler runs: 4*d" height:4*d across:4*d`,
	`/knots add name:Shell places:"worker..., worker..." roles:"worker ties: 8*d" height:4*d across:4*d`,
	`/knots add name:Shell places:"worker, worker" roles:"worker ties: 8*q" height:4*d across:4*d`,
	`/knots add name:Shell places:"worker, worker" roles:"worker ties: 8*d" across:4*d`,
	`/knots add name:Shell places:"worker, worker" roles:"worker ties: 8*d" height:4 across:4*d`,
	`/knots add name:Shell places:"worker, worker" roles:"worker ties: 2*d" height:4*d across:4*d`,
	`/knots remove name:"square knot"`,
	`/knots remove name:"Pebbel Knot"`,
	`/rule remove name:Ours whose:community`,
}
