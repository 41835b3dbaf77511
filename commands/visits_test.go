package commands_test

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/storetest"
)

// counting is an engine that counts what is asked of it.
type counting struct {
	pairs.Engine
	views, writes int
}

func (c *counting) View(ctx context.Context, read func(pairs.Reader) error) error {
	c.views++
	return c.Engine.View(ctx, read)
}

func (c *counting) Update(ctx context.Context, change func(pairs.Writer) error) error {
	c.writes++
	return c.Engine.Update(ctx, change)
}

func (c *counting) counts() string {
	counts := fmt.Sprintf("%d views %d writes", c.views, c.writes)
	c.views, c.writes = 0, 0
	return counts
}

// What a command may ask of the store: one view, and one write at most. Those that
// ask for more say so here, with the reason.
var visits = map[string]string{
	"/cord":                 "1 views 1 writes",
	"/cord save":            "1 views 1 writes",
	"/cut":                  "1 views 0 writes",
	"/wrap":                 "1 views 0 writes",
	"/convert":              "1 views 0 writes",
	"/fringe":               "1 views 0 writes",
	"/dowel":                "1 views 0 writes",
	"/dowel project":        "1 views 0 writes",
	"/plan":                 "1 views 1 writes", // keeps the booking for its button
	"/plan book":            "1 views 2 writes", // the first looks whether this very request has booked already
	"/shelf add":            "1 views 1 writes",
	"/shelf list":           "1 views 0 writes",
	"/shelf remove":         "1 views 1 writes",
	"/swatch add":           "1 views 1 writes",
	"/swatch list":          "1 views 0 writes",
	"/swatch remove":        "1 views 1 writes",
	"/knots list":           "1 views 0 writes",
	"/knots show":           "1 views 0 writes",
	"/rule add":             "1 views 1 writes",
	"/rule list":            "1 views 0 writes",
	"/prefs":                "1 views 0 writes",
	"/prefs units":          "1 views 1 writes",
	"/help":                 "1 views 0 writes",
	"/project new":          "1 views 1 writes",
	"/project show":         "1 views 1 writes",
	"/project show again":   "1 views 1 writes",
	"/project list":         "1 views 0 writes",
	"/project print":        "1 views 0 writes",
	"/project resize":       "1 views 1 writes",
	"/project resize save":  "1 views 1 writes",
	"/project resize place": "1 views 1 writes",
	"/project share":        "1 views 1 writes",
	"/project unshare":      "1 views 1 writes",
	"/project rename":       "1 views 1 writes",
	"/project copy":         "1 views 1 writes",
	"/project delete":       "1 views 1 writes",
	"/project undo":         "1 views 1 writes",
	"/project undo steps":   "1 views 1 writes",
	"/project show unknown": "2 views 1 writes", // tries the suggestion, and keeps the suggestion for its button
	"/sharing list":         "1 views 0 writes",
	"press save it":         "1 views 0 writes",
	"press in my cord":      "1 views 0 writes",
	"press edit":            "1 views 1 writes", // keeps what is being written for the form
	"choose why":            "1 views 0 writes",
	"/size this sheet":      "1 views 1 writes",
	"/build":                "1 views 1 writes",
	"/work":                 "1 views 1 writes",
	"/project edit":         "1 views 1 writes",
	"/shelf clear":          "1 views 1 writes",
	"/shelf undo":           "1 views 1 writes",
	"/knots add":            "1 views 1 writes",
	"/knots remove":         "1 views 1 writes",
	"/rule show":            "1 views 0 writes",
	"/rule remove":          "1 views 1 writes",
	"/sharing here":         "1 views 1 writes",
	"/sharing anywhere":     "1 views 1 writes",
	"/mydata room":          "2 views 0 writes", // the second counts what is kept
	"/mydata forget":        "5 views 2 writes", // it erases in batches, and looks for traces until there are none
	"/mydata export":        "3 views 0 writes", // the second is the export, which may take long; the third counts anew who was never counted
}

func TestVisitsToTheStore(t *testing.T) {
	count := &counting{Engine: storetest.NewMemory()}
	records, err := store.New(t.Context(), count, store.Options{})
	require.NoError(t, err)
	a := commandstest.On(commands.Config{Store: records})
	count.counts()
	seen := map[string]string{}
	ask := func(name, line string) {
		who := commandstest.Ana
		if strings.HasPrefix(name, "/knots") || strings.HasPrefix(name, "/sharing") {
			who = commandstest.Mara
		}
		commandstest.AskedBy(t, a, who, line)
		seen[name] = count.counts()
	}
	sheet := strings.Replace(commandstest.HarbourSteps, "Harbour Steps", "Tide Line", 1)
	for _, one := range [][2]string{
		{"/cord", "/cord width:20cm drop:40cm"},
		{"/cord save", `/cord width:20cm drop:40cm save:"First"`},
		{"/cut", "/cut finished:1.2m count:8 folded:yes"},
		{"/wrap", "/wrap ends:16 turns:5"},
		{"/convert", "/convert what:1.5m"},
		{"/fringe", "/fringe drop:22cm loops:12"},
		{"/dowel", "/dowel length:60cm cords:30"},
		{"/shelf add", `/shelf add pieces:"45cm x12, 2 spools 100m" cord:"4 mm"`},
		{"/shelf list", "/shelf list"},
		{"/plan", `/plan pieces:"4 x 3.2m" spool:100m`},
		{"/plan book", `/plan pieces:"4 x 3.2m" spool:100m book:yes`},
		{"/shelf remove", `/shelf remove pieces:"45cm x2"`},
		{"/swatch add", "/swatch add knot:sk count:10 used:54cm"},
		{"/swatch list", "/swatch list"},
		{"/swatch remove", "/swatch remove number:1"},
		{"/knots list", "/knots list"},
		{"/knots show", "/knots show name:berry"},
		{"/rule add", `/rule add name:Mine formula:"4*finished"`},
		{"/rule list", "/rule list"},
		{"/prefs", "/prefs"},
		{"/prefs units", "/prefs units:both"},
		{"/help", "/help"},
		{"/project new", `/project new name:"Tide Line" sheet:"` + sheet + `"`},
		{"/project show", `/project show name:"Tide Line"`},
		{"/project list", "/project list"},
		{"/project print", `/project print name:"Tide Line"`},
		{"/dowel project", `/dowel project:"Tide Line"`},
		{"/project resize", `/project resize name:"Tide Line" thickness:3mm`},
		{"/project resize save", `/project resize name:"Tide Line" thickness:3mm save:Thin`},
		{"/project resize place", `/project resize name:"Tide Line" thickness:5mm save:"in place"`},
		{"/project share", `/project share name:"Tide Line"`},
		{"/project unshare", `/project unshare name:"Tide Line"`},
		{"/project rename", `/project rename name:Thin to:Thinner`},
		{"/project copy", `/project copy name:Thinner to:Thinnest`},
		{"/project delete", `/project delete name:Thinnest`},
		{"/project undo", `/project undo name:Thinnest`},
		{"/project undo steps", `/project undo name:"Tide Line"`},
		{"/project show unknown", `/project show name:"Tide Lime"`},
		{"/sharing list", "/sharing list"},
		{"/project edit", `/project edit name:"Tide Line"`},
		{"/build", "/build demo:tide-line"},
		{"/work", "/work demo:tide-line"},
		{"/shelf clear", "/shelf clear"},
		{"/shelf undo", "/shelf undo"},
		{"/rule show", "/rule show name:Mine"},
		{"/rule remove", "/rule remove name:Mine"},
		{"/knots add", commandstest.Pebble},
		{"/knots remove", `/knots remove name:"Pebble Knot"`},
		{"/sharing here", "/sharing here"},
		{"/sharing anywhere", "/sharing anywhere"},
		{"/mydata room", "/mydata room"},
		{"/mydata export", "/mydata export"},
	} {
		ask(one[0], one[1])
	}
	answer := commandstest.Asked(t, a, `/project show name:"Tide Line"`)
	seen["/project show again"] = count.counts()
	commandstest.Press(t, a, answer, "in my cord")
	seen["press in my cord"] = count.counts()
	commandstest.Press(t, a, answer, "edit")
	seen["press edit"] = count.counts()
	commandstest.Choose(t, a, answer, "A")
	seen["choose why"] = count.counts()
	answer = commandstest.Asked(t, a, "/cord width:20cm drop:40cm")
	count.counts()
	commandstest.Press(t, a, answer, "save it")
	seen["press save it"] = count.counts()
	message := commandstest.Ana
	message.Command, message.Text, message.ID = "size this sheet", commandstest.HarbourSteps, "message"
	_, err = a.Do(t.Context(), message)
	require.NoError(t, err)
	seen["/size this sheet"] = count.counts()
	ask("/mydata forget", `/mydata forget confirm:"forget me"`)
	require.Equal(t, visits, seen)

	told := slices.Collect(maps.Keys(visits))
	for _, path := range everyPath(a.Commands()) {
		assert.True(t, slices.ContainsFunc(told, func(line string) bool { return strings.HasPrefix(line+" ", "/"+path+" ") }),
			"/%s does not say what it asks of the store", path)
	}
}

// everyPath is the path of every command that can be asked for.
func everyPath(commands []reply.Command) []string {
	var paths []string
	for _, c := range commands {
		if len(c.Sub) == 0 {
			paths = append(paths, c.Name)
		}
		for _, under := range everyPath(c.Sub) {
			paths = append(paths, c.Name+" "+under)
		}
	}
	return paths
}
