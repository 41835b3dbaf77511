package question_test

import (
	"testing"

	"larkfold/commands/commandstest"
)

func TestFringe(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Swag", "harbour-swag.sheet")
	commandstest.Golden(t, "fringe", commandstest.Conversation(t, a,
		"/fringe drop:22cm loops:12",
		"/fringe piece:50.5cm loops:12",
		`/shelf add pieces:"55cm x9, 40cm x6, 2.2m" cord:"4 mm single-strand"`,
		"/fringe drop:22cm loops:12",
		"/fringe drop:15cm far:25cm loops:20 per-loop:1 spool:50m",
		"/fringe drop:22cm loops:6 thickness:5mm construction:plied spool:50m",
		"/fringe drop:22cm loops:6 thickness:5mm construction:braided spool:50m",
		"/fringe drop:12cm project:Swag side:left spool:100m",
		"/prefs units:imperial",
		"/fringe drop:9 loops:12 thickness:3/16in spool:55yd",
	))
}
