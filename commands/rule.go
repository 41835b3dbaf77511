package commands

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"larkfold/commands/reply"
	"larkfold/sizing/formula"
	"larkfold/sizing/length"
	"larkfold/store"
)

// doublingRule turns a finished length into the length to cut of one leg; a
// folded cord is cut twice that.
type doublingRule struct {
	Name    string
	Formula string
	Source  string
	Whose   owner
	AddedBy string // opaque id of the member; empty for built-in rules and after that member was forgotten
	Added   string // the day; empty for built-in rules
}

// owner says in whose book a knot or a rule stands.
type owner string

// The owners.
const (
	builtIn    owner = "built in"
	mine       owner = "yours"
	communitys owner = "this community's"
)

// Whose book a member names.
const (
	forMe  = "me"
	forAll = "community"
)

const (
	fringeRule = "fringe" // the one built-in rule that is not for knotwork
	dayLayout  = "2 Jan 2006"
	thumb      = "common practice, no source"
)

// ruleData is what a rule's record holds.
type ruleData struct {
	Formula string `json:"formula"`
	Source  string `json:"source,omitempty"`
}

// builtInRules are the doubling rules that makers pass on. In all of them the
// fringe hangs free and so counts once.
func builtInRules() []doublingRule {
	knotted := func(times string) string { return times + "*max(finished - fringe, 0 cm) + fringe" }
	return []doublingRule{
		{Name: "light", Formula: knotted("3"), Source: thumb + ": open nets and long bare runs, three times single and six times folded", Whose: builtIn},
		{Name: "medium", Formula: knotted("4"), Source: thumb + ": the rule that is passed on, four times single and eight times folded", Whose: builtIn},
		{Name: "dense", Formula: knotted("5"), Source: thumb + ": sinnets and close rows, five times single and ten times folded", Whose: builtIn},
		{Name: fringeRule, Formula: "finished", Source: "T. de Dillmont, Encyclopedia of Needlework, 1886, Macramé, fig. 515: threads are cut to double the fringe and folded; the knot they hang by comes on top", Whose: builtIn},
	}
}

func (a *App) ruleCommand() command {
	name := reply.Option{Name: "name", Description: "of the rule", Required: true, Suggest: "rule"}
	whose := reply.Option{Name: "for", Description: "me or community; me if left out", Choices: []reply.Choice{{Name: forMe, Value: forMe}, {Name: forAll, Value: forAll}}}
	return command{Command: reply.Command{
		Name: "rule", Description: "Doubling rules: finished length to cut length, as formulas",
	}, sub: []command{
		{run: a.listRules, Command: reply.Command{Name: "list", Description: "Built-in rules, yours and this community's", Example: "/rule list"}},
		{run: a.showRule, Command: reply.Command{Name: "show", Description: "One rule, where it comes from and what it gives", Example: "/rule show name:medium", Options: []reply.Option{name}}},
		{run: a.addRule, Command: reply.Command{Name: "add", Description: "Write a rule of your own", Example: `/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm"`,
			Options: []reply.Option{{Name: "name", Description: "of the new rule", Required: true}, {Name: "formula", Description: "length of one leg, such as 4.5*finished + 20 cm; a folded cord is twice that", Required: true},
				{Name: "source", Description: "where it comes from, such as: my own jar covers"}, whose}}},
		{run: a.removeRule, Command: reply.Command{Name: "remove", Description: "Take a rule of yours out", Example: `/rule remove name:"Jar Cover"`, Options: []reply.Option{name, whose}}},
	}}
}

// rules lists the built-in rules, the member's own and the community's.
func (a *App) rules(ctx context.Context, req reply.Request) ([]doublingRule, error) {
	rules := builtInRules()
	own, err := a.store.Entries(ctx, req.Member, store.KindRule)
	if err != nil {
		return nil, err
	}
	if rules, err = appendRules(rules, own, mine); err != nil || req.Community == "" {
		return rules, err
	}
	shared, err := a.store.CommunityEntries(ctx, req.Member, req.Community, store.KindRule)
	if err != nil {
		return nil, err
	}
	return appendRules(rules, shared, communitys)
}

func appendRules(rules []doublingRule, entries []store.Entry, whose owner) ([]doublingRule, error) {
	for _, e := range entries {
		var data ruleData
		if err := json.Unmarshal(e.Data, &data); err != nil {
			return nil, fmt.Errorf("the rule %q cannot be read: %w", e.Name, err)
		}
		rules = append(rules, doublingRule{Name: e.Name, Formula: data.Formula, Source: data.Source, Whose: whose, AddedBy: e.AddedBy, Added: e.Changed.Format(dayLayout)})
	}
	return rules, nil
}

// findRule finds a rule by name: a member's own before the community's.
func findRule(req reply.Request, option string, rules []doublingRule, name string) (doublingRule, error) {
	var names []string
	for _, r := range rules {
		if strings.EqualFold(r.Name, name) {
			return r, nil
		}
		names = append(names, r.Name)
	}
	e := &reply.UserError{Read: option + ": " + name, Wrong: "there is no rule of that name", Right: "there are " + strings.Join(names, ", "), Try: "/rule list"}
	if near := nearest(name, names); near != "" {
		e.Right, e.Try = "did you mean "+reply.Quoted(near)+"?", req.Retype(map[string]string{option: near}, "")
	}
	return doublingRule{}, e
}

func (a *App) listRules(ctx context.Context, req reply.Request) (reply.Reply, error) {
	rules, err := a.rules(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	t := reply.Table{Columns: []reply.Column{{Title: "rule", Right: false}, {Title: "one leg", Right: false}, {Title: "whose", Right: false}}}
	for _, r := range rules {
		t.Rows = append(t.Rows, []string{r.Name, r.Formula, string(r.Whose)})
		t.Short = append(t.Short, cutTo(r.Name, narrow))
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("Doubling rules"), t,
		reply.Text("A rule gives the length of one leg; a folded cord is cut twice that. Rules guess: /cut sets each beside what the knots take up."),
		reply.Verbatim("/cut finished:1.2m pieces:8 folded:yes"),
		reply.Text("Write one of your own with"), reply.Verbatim(`/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm"`),
		reply.Heading("What a formula may say"), reply.Facts(formulaWords(formula.Rule)),
	}}, nil
}

// formulaWords is every name and function that formulas of this use may hold.
func formulaWords(use formula.Use) []reply.Fact {
	var facts []reply.Fact
	for _, n := range formula.Names(use) {
		facts = append(facts, reply.Fact{Label: n.Form, Value: n.Meaning})
	}
	return append(facts, reply.Fact{Label: "+ - * / ^ ( )", Value: "the signs; a bare number is not a length: write 10 cm"})
}

func (a *App) showRule(ctx context.Context, req reply.Request) (reply.Reply, error) {
	rules, err := a.rules(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	r, err := findRule(req, "name", rules, newAsk(req, p).text("name"))
	if err != nil {
		return reply.Reply{}, err
	}
	facts := append([]reply.Fact{{Label: "one leg", Value: r.Formula}, {Label: "folded", Value: "twice that"}}, r.origin(req)...)
	facts = append(facts, r.samples(p)...)
	return reply.Reply{Blocks: []reply.Block{reply.Heading(r.Name), reply.Facts(facts), reply.Text("Set it beside what the knots take up:"), reply.Verbatim(r.use())}}, nil
}

// origin is where a rule comes from, and who added it.
func (r doublingRule) origin(req reply.Request) []reply.Fact {
	source := r.Source
	if source == "" {
		source = "not said"
	}
	facts := []reply.Fact{{Label: "source", Value: source}, {Label: "whose", Value: string(r.Whose)}}
	if r.Whose == communitys {
		facts = append(facts, reply.Fact{Label: "added", Value: addedBy(req, r.AddedBy) + " on " + r.Added})
	}
	return facts
}

// addedBy names a member as far as the community's book knows one.
func addedBy(req reply.Request, member string) string {
	switch member {
	case "":
		return "by a member who is no longer here"
	case req.Member:
		return "by you"
	}
	return "by member " + member
}

// samples is what a rule gives for a length that is easy to judge, without and
// with a fringe.
func (r doublingRule) samples(p Prefs) []reply.Fact {
	finished, fringe := length.Metre, 20*length.Centimetre
	if p.Style.System == length.Imperial {
		finished, fringe = length.Yard, 8*length.Inch
	}
	var facts []reply.Fact
	for _, q := range []formula.Quantities{{Finished: finished}, {Finished: finished, Fringe: fringe}} {
		label, of := "for "+p.Style.Format(q.Finished), ""
		if q.Fringe > 0 {
			label, of = "with fringe", ", when "+p.Style.Format(q.Fringe)+" of it is fringe"
		}
		q.Drop, q.Diameter = q.Finished, 3*length.Millimetre
		leg, err := r.leg(q)
		if err != nil {
			return []reply.Fact{{Label: "to use it", Value: "give /cut a width as well"}}
		}
		facts = append(facts, reply.Fact{Label: label, Value: p.Style.Cut(leg) + " single, " + p.Style.Cut(2*leg) + " folded" + of})
	}
	return facts
}

// leg is the length of one leg by the rule.
func (r doublingRule) leg(q formula.Quantities) (length.Length, error) {
	f, err := formula.Compile(r.Formula, formula.Rule)
	if err != nil {
		return 0, err
	}
	return f.Length(q)
}

// use is a command that uses the rule.
func (r doublingRule) use() string {
	line := "/cut finished:1.2m folded:yes rule:" + reply.QuotedIfSpaced(r.Name)
	if _, err := r.leg(formula.Quantities{Finished: length.Metre, Drop: length.Metre, Diameter: 3 * length.Millimetre}); err != nil {
		line += " width:40cm"
	}
	return line
}

// mayManage refuses to change a community's book for whoever may not, and offers
// what they may do otherwise.
func mayManage(req reply.Request, what, otherwise string) error {
	switch {
	case req.Community == "":
		return &reply.UserError{Read: "/" + req.Command, Wrong: "there is no community here, this is a private chat", Right: "ask in your community's server", Try: otherwise}
	case !req.CanManage:
		return &reply.UserError{Read: "/" + req.Command, Wrong: "only who may manage this server can change the community's " + what, Right: "ask somebody who may", Try: otherwise}
	}
	return nil
}

// ruleFor reads whose rule is meant.
func (q *ask) ruleFor() string {
	return q.choice("for", []reply.Choice{{Name: forMe, Value: forMe}, {Name: forAll, Value: forAll}}, forMe)
}

func (a *App) addRule(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	r := doublingRule{Name: q.text("name"), Formula: q.text("formula"), Source: q.text("source"), Whose: mine}
	if q.ruleFor() == forAll {
		r.Whose = communitys
	}
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	if r.Whose == communitys {
		if err := mayManage(req, "rules", req.Retype(map[string]string{"for": ""}, "")); err != nil {
			return reply.Reply{}, err
		}
	}
	var fault *formula.Fault
	if _, err := formula.Compile(r.Formula, formula.Rule); errors.As(err, &fault) {
		return formulaRefusal("formula", fault, req.Retype(map[string]string{"formula": "4*finished + 20 cm"}, "")), nil
	} else if err != nil {
		return reply.Reply{}, err
	}
	for _, built := range builtInRules() {
		if strings.EqualFold(built.Name, r.Name) {
			return reply.Reply{}, &reply.UserError{Read: "name: " + r.Name, Wrong: "a built-in rule has that name", Right: "choose another", Try: req.Retype(map[string]string{"name": "my " + built.Name}, "")}
		}
	}
	data, err := json.Marshal(ruleData{r.Formula, r.Source})
	if err != nil {
		return reply.Reply{}, err
	}
	_, _, err = a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		entry := store.Entry{Name: r.Name, Data: data}
		if r.Whose == communitys {
			_, err := tx.SaveCommunityEntry(req.Community, store.KindRule, entry, 0)
			return nil, err
		}
		_, err := tx.SaveEntry(store.KindRule, entry, 0)
		return nil, err
	})
	var taken *store.NameTaken
	if errors.As(err, &taken) {
		return reply.Reply{}, &reply.UserError{Read: "name: " + r.Name, Wrong: "there is such a rule already", Right: "choose another name, or remove that one first", Try: removal(r), Cause: err}
	}
	if err != nil {
		return reply.Reply{}, err
	}
	facts := append([]reply.Fact{{Label: "saved", Value: r.Name}, {Label: "one leg", Value: r.Formula}, {Label: "folded", Value: "twice that"}}, r.samples(p)...)
	return reply.Reply{Blocks: []reply.Block{reply.Facts(facts), reply.Text("Use it with"), reply.Verbatim(r.use())}}, nil
}

// removal is the command that takes a rule out.
func removal(r doublingRule) string {
	line := "/rule remove name:" + reply.QuotedIfSpaced(r.Name)
	if r.Whose == communitys {
		line += " for:" + forAll
	}
	return line
}

// formulaRefusal shows where a formula is wrong.
func formulaRefusal(read string, f *formula.Fault, try string) reply.Reply {
	return reply.Refused(
		reply.Facts{{Label: "read", Value: read + ": " + f.Source}, {Label: "wrong", Value: f.Wrong}, {Label: "right", Value: f.Right}},
		reply.Verbatim(f.Picture()),
		reply.Text("Try"), reply.Verbatim(try),
	)
}

func (a *App) removeRule(ctx context.Context, req reply.Request) (reply.Reply, error) {
	p, err := a.prefs(ctx, req)
	if err != nil {
		return reply.Reply{}, err
	}
	q := newAsk(req, p)
	name, whose := q.text("name"), q.ruleFor()
	if q.err != nil {
		return reply.Reply{}, q.err
	}
	if whose == forAll {
		if err := mayManage(req, "rules", "/rule list"); err != nil {
			return reply.Reply{}, err
		}
	}
	result, _, err := a.store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		removed, err := removeEntry(tx, req, whose, name)
		if err != nil {
			return nil, err
		}
		return json.Marshal(removed)
	})
	if errors.Is(err, store.ErrNotFound) {
		return reply.Reply{}, a.noSuchRule(ctx, req, name, whose, err)
	}
	if err != nil {
		return reply.Reply{}, err
	}
	var removed store.Entry
	var data ruleData
	if err := errors.Join(json.Unmarshal(result, &removed), json.Unmarshal(removed.Data, &data)); err != nil {
		return reply.Reply{}, err
	}
	again := fmt.Sprintf(`/rule add name:%s formula:"%s"`, reply.QuotedIfSpaced(removed.Name), data.Formula)
	if data.Source != "" {
		again += " source:" + reply.QuotedIfSpaced(data.Source)
	}
	if whose == forAll {
		again += " for:" + forAll
	}
	return reply.Reply{Blocks: []reply.Block{reply.Text(reply.Quoted(removed.Name) + " is removed. This brings it back:"), reply.Verbatim(again)}}, nil
}

func removeEntry(tx *store.Tx, req reply.Request, whose, name string) (store.Entry, error) {
	if whose == forAll {
		return tx.DeleteCommunityEntry(req.Community, store.KindRule, name)
	}
	return tx.DeleteEntry(store.KindRule, name)
}

// noSuchRule says which rules could be removed.
func (a *App) noSuchRule(ctx context.Context, req reply.Request, name, whose string, cause error) error {
	rules, err := a.rules(ctx, req)
	if err != nil {
		return err
	}
	e := &reply.UserError{Read: "name: " + name, Wrong: "you have no rule of that name", Right: "/rule list shows them all", Try: "/rule list", Cause: cause}
	if whose == forAll {
		e.Wrong = "this community has no rule of that name"
	}
	r, err := findRule(req, "name", rules, name)
	switch {
	case err != nil:
	case r.Whose == builtIn:
		e.Wrong, e.Right = "that rule is built in", "it stays; pass it over by naming another in /cut"
	default:
		e.Right, e.Try = "the rule of that name is "+string(r.Whose), removal(r)
	}
	return e
}

// completeRules lists the rules whose names hold what was typed.
func (a *App) completeRules(ctx context.Context, req reply.Request, typed string) ([]reply.Choice, error) {
	rules, err := a.rules(ctx, req)
	var choices []reply.Choice
	for _, r := range rules {
		if len(choices) < mostChoices && strings.Contains(strings.ToLower(r.Name), strings.ToLower(typed)) {
			choices = append(choices, reply.Choice{Name: r.Name, Value: r.Name})
		}
	}
	return choices, err
}
