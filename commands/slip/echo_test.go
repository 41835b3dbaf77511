package slip_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// Whatever is typed, a refusal does not repeat the whole of it.
func TestLongNamesAreNotEchoedWhole(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	long := strings.Repeat("ö", 10_000)
	for _, line := range []string{
		"/project show name:" + long, "/project new name:" + long + ` sheet:"cord main 4 mm"`, `/project rename name:"Tide Line" to:` + long,
		"/project resize name:" + long + " width:60cm", `/project resize name:"Tide Line" have:` + long, `/project resize name:"Tide Line" cord:` + long + " thickness:3mm",
		"/cord width:" + long + " drop:70cm", "/cord width:40cm drop:70cm save:" + long, "/cord width:40cm drop:70cm knot:" + long, "/cord width:40cm drop:70cm knotwork:" + long,
		"/shelf add pieces:" + long, "/shelf remove pieces:1m cord:" + long, "/rule show name:" + long, "/knots show name:" + long,
		"/help topic:" + long, "/convert what:" + long, "/swatch remove number:" + long, "/dowel cords:" + long, "/plan project:" + long, "/" + long,
		"/cord width:40cm drop:70cm " + long + ":4mm", "/wrap ends:" + long, "/fringe loops:" + long,
	} {
		answer := commandstest.Asked(t, a, line)
		require.True(t, answer.Refused, line[:40])
		require.Less(t, utf8.RuneCountInString(commandstest.Render(answer)), 4000, line[:40])
	}
}
