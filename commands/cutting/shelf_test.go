package cutting_test

import (
	"testing"

	"larkfold/commands/commandstest"
)

func TestShelf(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Golden(t, "shelf", commandstest.Conversation(t, a,
		"/shelf list",
		`/shelf add pieces:"45cm x12, 1.2m x3, 2 spools 100m" cord:"4 mm single-strand cream"`,
		`/shelf add pieces:"45cm x2" cord:"3/16 in braided" note:"from the blue bag"`,
		"/shelf add pieces:80cm",
		`/shelf remove pieces:"45cm x2"`,
		`/shelf remove pieces:"45cm x2" cord:"4 mm single-strand cream"`,
		"/shelf remove pieces:100m",
		"/shelf undo",
		"/shelf undo",
		"/shelf clear",
		"/shelf undo",
		"/prefs units:imperial",
		"/shelf list",
		`/shelf remove pieces:"17 3/4in" cord:"3/16 in braided"`,
	))
}
