package commands

import (
	"context"
	"fmt"
	"testing"

	"larkfold/commands/reply"
	"larkfold/sizing/formula"
	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

func TestRuleAnswers(t *testing.T) {
	a := newApp(t)
	require.False(t, askedBy(t, a, mara, `/rule add name:"Harbour Rule" formula:"3.5*finished + fringe" whose:community`).Refused)
	golden(t, "rule", conversation(t, a,
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

// The built-in rules are the ones that are passed on: four times single and eight
// times folded for usual work (common practice, no source), and double for fringe
// (Dillmont 1886).
func TestBuiltInRules(t *testing.T) {
	want := map[string]length.Length{"light": 3, "medium": 4, "dense": 5, fringeRule: 1}
	for _, r := range builtInRules() {
		leg, err := r.leg(formula.Quantities{Finished: length.Metre})
		require.NoError(t, err)
		require.Equal(t, want[r.Name]*length.Metre, leg, r.Name)
		require.NotEmpty(t, r.Source)
		leg, err = r.leg(formula.Quantities{Finished: length.Metre, Fringe: 40 * length.Centimetre})
		require.NoError(t, err)
		if r.Name != fringeRule {
			require.Equal(t, want[r.Name]*60*length.Centimetre+40*length.Centimetre, leg, "%s: a fringe counts once", r.Name)
		}
	}
}

// Whose a rule is decides who sees it and who changes it.
func TestRulesOfOthers(t *testing.T) {
	a := newApp(t)
	answered(t, a, `/rule add name:Mine formula:"4.5*finished"`)
	require.True(t, asked(t, a, `/rule add name:Ours formula:"4.5*finished" whose:community`).Refused)
	require.False(t, askedBy(t, a, mara, `/rule add name:Ours formula:"4.2*finished" whose:community`).Refused)
	require.Contains(t, render(answered(t, a, "/rule list")), "Ours")
	require.NotContains(t, render(askedBy(t, a, mara, "/rule list")), "Mine")
	require.True(t, asked(t, a, "/rule remove name:Ours whose:community").Refused)
	require.True(t, asked(t, a, "/rule remove name:Ours").Refused)
	private := ana
	private.Community = ""
	require.NotContains(t, render(askedBy(t, a, private, "/rule list")), "Ours")
	require.Contains(t, render(askedBy(t, a, private, "/rule list")), "Mine")

	req := ana
	req.Command = "cut"
	choices, err := a.Complete(context.Background(), req, "rule", "m")
	require.NoError(t, err)
	require.Equal(t, []reply.Choice{{Name: "medium", Value: "medium"}, {Name: "Mine", Value: "Mine"}}, choices)
}

// Every rule is listed with its formula, and its own use works as it is shown.
func TestShownUseOfRulesWorks(t *testing.T) {
	a := newApp(t)
	answered(t, a, `/rule add name:"By Width" formula:"6*width"`)
	answered(t, a, `/rule add name:"By Cord" formula:"4*finished + 60*d"`)
	rules, err := rulesOf(seated(t, a, ana))
	require.NoError(t, err)
	require.Len(t, rules, 6)
	list := render(answered(t, a, "/rule list"))
	for _, r := range rules {
		require.Contains(t, list, r.Formula)
		use := lastVerbatim(answered(t, a, fmt.Sprintf(`/rule show name:"%s"`, r.Name)))
		answered(t, a, use)
	}
}

// What a removal says brings the rule back does.
func TestARemovedRuleComesBack(t *testing.T) {
	a := newQuickApp(t)
	for _, whose := range []string{"", " whose:community"} {
		require.False(t, askedBy(t, a, mara, `/rule add name:Ours formula:"4.2*finished"`+whose).Refused)
		back := lastVerbatim(askedBy(t, a, mara, "/rule remove name:Ours"+whose))
		require.False(t, askedBy(t, a, mara, back).Refused, back)
	}
}
