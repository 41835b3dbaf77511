package takeup_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/commands/takeup"
)

func TestRuleAnswers(t *testing.T) {
	a := commandstest.New(t)
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, `/rule add name:"Harbour Rule" formula:"3.5*finished + fringe" whose:community`).Refused)
	commandstest.Golden(t, "rule", commandstest.Conversation(t, a,
		"/rule list",
		"/rule show name:medium",
		`/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm" source:"my own jar covers"`,
		`/rule add name:"By Width" formula:"6*width"`,
		"/rule list",
		`/rule show name:"jar cover"`,
		`/rule show name:"harbour rule"`,
		`/rule remove name:"jar cover"`,
	))
}

// Whose a rule is decides who sees it and who changes it.
func TestRulesOfOthers(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/rule add name:Mine formula:"4.5*finished"`)
	require.True(t, commandstest.Asked(t, a, `/rule add name:Ours formula:"4.5*finished" whose:community`).Refused)
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, `/rule add name:Ours formula:"4.2*finished" whose:community`).Refused)
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/rule list")), "Ours")
	require.NotContains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, "/rule list")), "Mine")
	require.True(t, commandstest.Asked(t, a, "/rule remove name:Ours whose:community").Refused)
	require.True(t, commandstest.Asked(t, a, "/rule remove name:Ours").Refused)
	private := commandstest.Ana
	private.Community = ""
	require.NotContains(t, commandstest.Render(commandstest.AskedBy(t, a, private, "/rule list")), "Ours")
	require.Contains(t, commandstest.Render(commandstest.AskedBy(t, a, private, "/rule list")), "Mine")

	req := commandstest.Ana
	req.Command = "cut"
	choices, err := a.Complete(context.Background(), req, "rule", "m")
	require.NoError(t, err)
	require.Equal(t, []reply.Choice{{Name: "medium", Value: "medium"}, {Name: "Mine", Value: "Mine"}}, choices)
}

// Every rule is listed with its formula, and its own use works as it is shown.
func TestShownUseOfRulesWorks(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/rule add name:"By Width" formula:"6*width"`)
	commandstest.Answered(t, a, `/rule add name:"By Cord" formula:"4*finished + 60*d"`)
	rules, err := takeup.RulesOf(commandstest.Seated(t, a, commandstest.Ana))
	require.NoError(t, err)
	require.Len(t, rules, 6)
	list := commandstest.Render(commandstest.Answered(t, a, "/rule list"))
	for _, r := range rules {
		require.Contains(t, list, r.Formula)
		use := lastVerbatim(commandstest.Answered(t, a, fmt.Sprintf(`/rule show name:"%s"`, r.Name)))
		commandstest.Answered(t, a, use)
	}
}

// What a removal says brings the rule back does.
func TestARemovedRuleComesBack(t *testing.T) {
	a := commandstest.New(t)
	for _, whose := range []string{"", " whose:community"} {
		require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, `/rule add name:Ours formula:"4.2*finished"`+whose).Refused)
		back := lastVerbatim(commandstest.AskedBy(t, a, commandstest.Mara, "/rule remove name:Ours"+whose))
		require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, back).Refused, back)
	}
}

// A formula is offered again only with the numbers that were typed, in whichever of its
// wrong places a word, a sign or a unit is put right; else the list says what one may say.
func TestARuleKeepsItsNumbers(t *testing.T) {
	a := commandstest.New(t)
	for _, tt := range []struct{ formula, again string }{
		{"7*finised + 25 cm", "7*finished + 25 cm"},
		{"4,5 x finised + 30 cm", "4.5 * finished + 30 cm"},
		{"4,5*(finised + 30", "4.5*(finished + 30 cm)"},
		{"4.5*finished + 30", "4.5*finished + 30 cm"},
		{"500*finished", ""},
		{"finished + 1,000 mm", ""},
		{"4.5*finished*finished", ""},
	} {
		answer := commandstest.Asked(t, a, `/rule add name:Moss formula:"`+tt.formula+`"`)
		require.True(t, answer.Refused, tt.formula)
		again := "/rule list"
		if tt.again != "" {
			again = `/rule add name:Moss formula:"` + tt.again + `"`
			commandstest.Answered(t, a, again)
			commandstest.Answered(t, a, "/rule remove name:Moss")
		}
		require.Equal(t, again, lastVerbatim(answer), tt.formula)
	}
}
