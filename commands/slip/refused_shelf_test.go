package slip_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

// refusedShelfLines are asked by a member with one design of two cords that lie
// on no shelf, one on a ring, and a shelf of two cords.
var refusedShelfLines = []string{
	"/shelf",
	"/shelf add pieces:12",
	`/shelf add pieces:"0 x 45cm"`,
	`/shelf add pieces:"-3 x 45cm"`,
	`/shelf add pieces:"99999999 x 45cm"`,
	`/shelf add pieces:"4000 x 45cm, 4000 x 60cm"`,
	`/shelf add pieces:"45cm x12, 60 x3, lots"`,
	`/shelf add pieces:"2 spools"`,
	`/shelf add pieces:"2 spools 100m x3"`,
	`/shelf add pieces:"3 x 2mm"`,
	`/shelf add pieces:","`,
	"/shelf remove pieces:77cm",
	`/shelf remove pieces:"45cm x99" cord:"4 mm single-strand"`,
	"/shelf remove pieces:45cm",
	"/plan",
	`/plan project:"Three Herons" pieces:"12 x 3m"`,
	`/plan pieces:"12 x 3m" cord:"9 mm"`,
	`/plan pieces:"12 x 3m" cord:"4 mm single-strand"`,
	`/plan pieces:"12 x 130m" spool:100m price:24`,
	`/plan pieces:"12 x 3m" price:24`,
	`/plan pieces:"12 x 3m" spool:"50m, 100m" price:24`,
	`/plan pieces:"12 x 3m" spool:"50m, hundred"`,
	`/plan pieces:"12 x 3m" spool:"50m, 100m" price:"14, cheap"`,
	`/plan pieces:"12 x 3m" spool:100m keep:-5`,
	`/plan pieces:"12 x 3m" spool:100m book:later`,
	`/plan project:"Three Heron" spool:100m`,
	`/plan project:"Three Herons" cord:sand`,
	"/fringe",
	"/fringe loops:12",
	"/fringe loops:0 drop:22cm",
	"/fringe loops:12 drop:22cm piece:50cm",
	`/fringe loops:12 drop:22cm project:"Three Herons"`,
	"/fringe loops:12 piece:5cm",
	"/fringe loops:12 drop:22cm per-loop:500",
	`/fringe drop:22cm project:"Three Herons" panel:center`,
	`/fringe drop:22cm project:"Three Herons" side:top`,
	"/dowel",
	"/dowel cords:30",
	"/dowel cords:many length:60cm",
	"/dowel cords:0 length:60cm",
	"/dowel cords:30 length:60cm wood:birtch",
	"/dowel cords:30 length:60cm load:heavy",
	"/dowel cords:30 length:5cm",
	"/dowel cords:30 length:60cm bare:40cm",
	"/dowel cords:30 length:10cm bare:1cm dowel:120mm",
	"/dowel cords:30 length:60cm rise:20cm angle:45",
	"/dowel cords:30 length:60cm angle:95",
	"/dowel cords:30 length:60cm rise:1mm",
	"/mydata forget",
	`/mydata forget confirm:"forget"`,
	"/project print name:Nothing",
	`/project print name:"Three Herons" paper:A3`,
	"/project share name:Nothing",
	`/project unshare name:"Three Herons"`,
}

func recordsOfShelfRefusals(t *testing.T, a *commandstest.App) {
	t.Helper()
	commandstest.Demo(t, a, commandstest.Ana, "Three Herons", "three-herons.sheet")
	commandstest.Demo(t, a, commandstest.Ana, "Moss Cradle", "moss-cradle.sheet")
	commandstest.Answered(t, a, `/shelf add pieces:"45cm x12" cord:"4 mm single-strand"`)
	commandstest.Answered(t, a, `/shelf add pieces:"45cm x2" cord:"3 mm braided"`)
}

// Bad input to the commands about cutting and hanging, with the exact answers.
func TestShelfRefused(t *testing.T) {
	a := commandstest.New(t)
	recordsOfShelfRefusals(t, a)
	before := commandstest.ShelfOf(t, a, commandstest.Ana)
	said := commandstest.Sayings{}
	for _, line := range refusedShelfLines {
		answer := commandstest.Asked(t, a, line)
		require.True(t, answer.Refused, "%s\n%s", line, commandstest.Render(answer))
		require.True(t, waysOut(answer), "no way out of %s\n%s", line, commandstest.Render(answer))
		said.Add(line, answer)
	}
	said.Golden(t, "refused-shelf")
	require.Equal(t, before, commandstest.ShelfOf(t, a, commandstest.Ana))
}

// What these refusals offer to paste is no refusal.
func TestShelfOffersWork(t *testing.T) {
	a := commandstest.New(t)
	recordsOfShelfRefusals(t, a)
	for _, line := range refusedShelfLines {
		offered := ""
		blocks := commandstest.Asked(t, a, line).Blocks
		for i, block := range blocks {
			if text, ok := block.(reply.Text); ok && string(text) == "Try" {
				offered = string(blocks[i+1].(reply.Verbatim))
			}
		}
		if offered == "" || strings.Contains(offered, "Nothing") || strings.Contains(offered, "forget me") {
			continue
		}
		again := commandstest.Asked(t, a, offered)
		require.False(t, again.Refused, "%s\noffers %s\n%s", line, offered, commandstest.Render(again))
	}
}
