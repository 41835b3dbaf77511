package takeup

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"larkfold/commands/ask"
	"larkfold/commands/handler"
	"larkfold/commands/pages"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/formula"
	"larkfold/sizing/length"
	"larkfold/sizing/near"
	"larkfold/store"
)

// Rule turns a finished length into the length to cut of one leg; a
// folded cord is cut twice that.
type Rule struct {
	Name    string
	Formula string
	Source  string
	Whose   Owner
	AddedBy string    // opaque id of the member; empty for built-in rules and after that member was forgotten
	Added   time.Time // zero for built-in rules
}

const (
	FringeRule = "doubled" // the one built-in rule that is not for knotwork
	thumb      = "common practice, no source"
)

// ruleData is what a rule's record holds.
type ruleData struct {
	Formula string `json:"formula"`
	Source  string `json:"source,omitempty"`
}

// builtInRules are the doubling rules that makers pass on. In all of them the
// runFringe hangs free and so counts once.
func builtInRules() []Rule {
	knotted := func(times string) string { return times + "*max(finished - fringe, 0 cm) + fringe" }
	return []Rule{
		{Name: "light", Formula: knotted("3"), Source: thumb + ": open nets and long bare runs, three times single and six times folded", Whose: BuiltIn},
		{Name: "medium", Formula: knotted("4"), Source: thumb + ": the rule that is passed on, four times single and eight times folded", Whose: BuiltIn},
		{Name: "dense", Formula: knotted("5"), Source: thumb + ": sinnets and close rows, five times single and ten times folded", Whose: BuiltIn},
		{Name: FringeRule, Formula: "finished", Source: "T. de Dillmont, Encyclopedia of Needlework, 1886, Macramé, fig. 515: threads are cut to double the fringe and folded; the knot they hang by comes on top", Whose: BuiltIn},
	}
}

// RuleCommand is /rule and what stands under it.
func RuleCommand() handler.Command {
	name := reply.Option{Name: "name", Description: "of the rule", Required: true, Suggest: "rule"}
	whose := reply.Option{Name: "whose", Description: "me or community; me if left out", Choices: []reply.Choice{{Name: forMe, Value: forMe}, {Name: forAll, Value: forAll}}}
	return handler.Command{Command: reply.Command{
		Name: "rule", Description: "Doubling rules: finished length to cut length, as formulas",
	}, Under: []handler.Command{
		{Run: listRules, Reads: sitting.Rules, Command: reply.Command{Name: "list", Description: "Built-in rules, yours and this community's", Example: "/rule list", Options: []reply.Option{pages.Option}}},
		{Run: showRule, Reads: sitting.Rules, Command: reply.Command{Name: "show", Description: "One rule, where it comes from and what it gives", Example: "/rule show name:medium", Options: []reply.Option{name}}},
		{Run: addRule, Reads: sitting.Rules, Command: reply.Command{Name: "add", Description: "Write a rule of your own", Example: `/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm"`,
			Options: []reply.Option{{Name: "name", Description: "of the new rule", Required: true}, {Name: "formula", Description: "length of one leg, such as 4.5*finished + 20 cm; a folded cord is twice that", Required: true},
				{Name: "source", Description: "where it comes from, such as: my own jar covers"}, whose}}},
		{Run: removeRule, Reads: sitting.Rules, Command: reply.Command{Name: "remove", Description: "Take a rule of yours out", Example: `/rule remove name:"Jar Cover"`, Options: []reply.Option{name, whose}}},
	}}
}

// RulesOf lists the built-in rules, the member's own and the community's.
func RulesOf(sit sitting.Sitting) ([]Rule, error) {
	own, ours, err := sit.Rules()
	if err != nil {
		return nil, err
	}
	rules, err := appendRules(builtInRules(), own, mine)
	if err != nil {
		return nil, err
	}
	return appendRules(rules, ours, communitys)
}

func appendRules(rules []Rule, entries []store.Entry, whose Owner) ([]Rule, error) {
	for _, e := range entries {
		var data ruleData
		if err := json.Unmarshal(e.Data, &data); err != nil {
			return nil, fmt.Errorf("the rule %q cannot be read: %w", e.Name, err)
		}
		rules = append(rules, Rule{Name: e.Name, Formula: data.Formula, Source: data.Source, Whose: whose, AddedBy: e.AddedBy, Added: e.Changed})
	}
	return rules, nil
}

// FindRule finds a rule by name: a member's own before the community's.
func FindRule(req reply.Request, option string, rules []Rule, name string) (Rule, error) {
	var names []string
	for _, r := range rules {
		if strings.EqualFold(r.Name, name) {
			return r, nil
		}
		names = append(names, r.Name)
	}
	e := &reply.UserError{Read: option + ": " + name, Wrong: "there is no rule of that name", Right: "there are " + strings.Join(names, ", "), Try: "/rule list"}
	if meant := near.Word(name, names); meant != "" {
		e.Right, e.Try = "did you mean "+reply.Quoted(meant)+"?", req.Retype(map[string]string{option: meant}, "")
	}
	return Rule{}, e
}

func listRules(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	rules, err := RulesOf(sit)
	if err != nil {
		return reply.Reply{}, err
	}
	t := reply.Table{Columns: []reply.Column{{Title: "rule", Right: false}, {Title: "a single cord", Right: false}, {Title: "whose", Right: false}, {Title: "changed", Right: false}}}
	for _, r := range rules {
		changed, name := "", r.Name
		if r.Whose != BuiltIn {
			changed = say.Day(r.Added)
			name += ", " + changed
		}
		t.Rows = append(t.Rows, []string{r.Name, r.Formula, string(r.Whose), changed})
		t.Short = append(t.Short, name)
	}
	shown, err := pages.Of(req, len(rules), pages.Rows)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: append(append([]reply.Block{reply.Heading("Doubling rules"), shown.Cut(t)}, shown.Others("rule list")...),
		reply.Text("A rule gives the length of a single cord; a folded one is cut twice that. Rules guess: /cut sets each beside what the knots take up."),
		reply.Verbatim(sit.Prefs.Sample("/cut finished:1.2m count:8 folded:yes")),
		reply.Text("Write one of your own with"), reply.Verbatim(sit.Prefs.Sample(`/rule add name:"Jar Cover" formula:"4.5*finished + 20 cm"`)),
		reply.Heading("What a formula may say"), reply.Facts(say.Formula(formula.Rule)),
	)}, nil
}

func showRule(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	rules, err := RulesOf(sit)
	if err != nil {
		return reply.Reply{}, err
	}
	p := sit.Prefs
	r, err := FindRule(req, "name", rules, ask.Of(req, p).Text("name"))
	if err != nil {
		return reply.Reply{}, err
	}
	facts := append([]reply.Fact{{Label: "single cord", Value: r.Formula}, {Label: "folded", Value: "twice that"}}, r.origin(req)...)
	facts = append(facts, r.samples(p)...)
	return reply.Reply{Blocks: []reply.Block{reply.Heading(r.Name), reply.Facts(facts), reply.Text("Set it beside what the knots take up:"), reply.Verbatim(sit.Prefs.Sample(r.use()))}}, nil
}

// origin is where a rule comes from, and who added it.
func (r Rule) origin(req reply.Request) []reply.Fact {
	source := r.Source
	if source == "" {
		source = "not said"
	}
	facts := []reply.Fact{{Label: "source", Value: source}, {Label: "whose", Value: string(r.Whose)}}
	if r.Whose == communitys {
		facts = append(facts, reply.Fact{Label: "added", Value: addedBy(req, r.AddedBy) + " on " + say.Day(r.Added)})
	}
	return facts
}

// samples is what a rule gives for a length that is easy to judge, without and
// with a fringe.
func (r Rule) samples(p sitting.Prefs) []reply.Fact {
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
		leg, err := r.Leg(q)
		if err != nil {
			return []reply.Fact{{Label: "to use it", Value: "give /cut a width as well"}}
		}
		facts = append(facts, reply.Fact{Label: label, Value: p.Style.Cut(leg) + " single, " + p.Style.Cut(2*leg) + " folded" + of})
	}
	return facts
}

// Leg is the length of one leg by the rule.
func (r Rule) Leg(q formula.Quantities) (length.Length, error) {
	f, err := formula.Compile(r.Formula, formula.Rule)
	if err != nil {
		return 0, err
	}
	return f.Length(q)
}

// use is a command that uses the rule.
func (r Rule) use() string {
	line := "/cut finished:1.2m folded:yes rule:" + reply.QuotedIfSpaced(r.Name)
	if _, err := r.Leg(formula.Quantities{Finished: length.Metre, Drop: length.Metre, Diameter: 3 * length.Millimetre}); err != nil {
		line += " width:40cm"
	}
	return line
}

// ruleFor reads whose rule is meant.
func ruleFor(q *ask.Options) string {
	return q.Choice("whose", []reply.Choice{{Name: forMe, Value: forMe}, {Name: forAll, Value: forAll}}, forMe)
}

func addRule(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	r := Rule{Name: q.Text("name"), Formula: q.Text("formula"), Source: q.Text("source"), Whose: mine}
	if ruleFor(q) == forAll {
		r.Whose = communitys
	}
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	if r.Whose == communitys {
		if err := mayManage(req, "rules", req.Retype(map[string]string{"whose": ""}, "")); err != nil {
			return reply.Reply{}, err
		}
	}
	var fault *formula.Fault
	if _, err := formula.Compile(r.Formula, formula.Rule); errors.As(err, &fault) {
		try := "/rule list" // which says what a formula may say
		if meant := likelyFormula(fault, p); meant != "" {
			try = req.Retype(map[string]string{"formula": meant}, "")
		}
		return formulaRefusal("formula", fault, try), nil
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
	_, _, err = sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
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
	facts := append([]reply.Fact{{Label: "saved", Value: r.Name}, {Label: "single cord", Value: r.Formula}, {Label: "folded", Value: "twice that"}}, r.samples(p)...)
	return reply.Reply{Blocks: []reply.Block{reply.Facts(facts), reply.Text("Use it with"), reply.Verbatim(sit.Prefs.Sample(r.use()))}}, nil
}

// removal is the command that takes a rule out.
func removal(r Rule) string {
	line := "/rule remove name:" + reply.QuotedIfSpaced(r.Name)
	if r.Whose == communitys {
		line += " whose:" + forAll
	}
	return line
}

// likelyFormula is a refused formula with what was likely meant in its wrong places, or
// with what it lacks, a unit or a bracket; empty where that is no formula either. Its
// numbers are the member's own.
func likelyFormula(f *formula.Fault, p sitting.Prefs) string {
	const most = 4 // wrong places
	for range most {
		if f.Likely == "" {
			break
		}
		_, err := formula.Compile(f.Likely, formula.Rule)
		if err == nil {
			return f.Likely
		}
		if !errors.As(err, &f) {
			return ""
		}
	}
	unit := " cm"
	if p.Style.System == length.Imperial {
		unit = " in"
	}
	for _, lacks := range []string{unit, ")", unit + ")"} {
		if _, err := formula.Compile(f.Source+lacks, formula.Rule); err == nil {
			return f.Source + lacks
		}
	}
	return ""
}

// formulaRefusal shows where a formula is wrong.
func formulaRefusal(read string, f *formula.Fault, try string) reply.Reply {
	return reply.Refused(
		reply.Facts{{Label: "read", Value: read + ": " + f.Source}, {Label: "wrong", Value: f.Wrong}, {Label: "right", Value: f.Right}},
		reply.Verbatim(f.Picture()),
		reply.Text("Try"), reply.Verbatim(try),
	)
}

func removeRule(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	p := sit.Prefs
	q := ask.Of(req, p)
	name, whose := q.Text("name"), ruleFor(q)
	if q.Err != nil {
		return reply.Reply{}, q.Err
	}
	if whose == forAll {
		if err := mayManage(req, "rules", "/rule list"); err != nil {
			return reply.Reply{}, err
		}
	}
	result, _, err := sit.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		removed, err := removeEntry(tx, req, whose, name)
		if err != nil {
			return nil, err
		}
		return json.Marshal(removed)
	})
	if errors.Is(err, store.ErrNotFound) {
		return reply.Reply{}, noSuchRule(sit, req, name, whose, err)
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
		again += " whose:" + forAll
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
func noSuchRule(sit sitting.Sitting, req reply.Request, name, whose string, cause error) error {
	rules, err := RulesOf(sit)
	if err != nil {
		return err
	}
	e := &reply.UserError{Read: "name: " + name, Wrong: "you have no rule of that name", Right: "/rule list shows them all", Try: "/rule list", Cause: cause}
	if whose == forAll {
		e.Wrong = "this community has no rule of that name"
	}
	r, err := FindRule(req, "name", rules, name)
	switch {
	case err != nil:
	case r.Whose == BuiltIn:
		e.Wrong, e.Right = "that rule is built in", "it stays; pass it over by naming another in /cut"
	default:
		e.Right, e.Try = "the rule of that name is "+string(r.Whose), removal(r)
	}
	return e
}

// CompleteRules lists the rules whose names hold what was typed.
func CompleteRules(sit sitting.Sitting, typed string) ([]reply.Choice, error) {
	rules, err := RulesOf(sit)
	var choices []reply.Choice
	for _, r := range rules {
		if strings.Contains(strings.ToLower(r.Name), strings.ToLower(typed)) {
			choices = append(choices, reply.Choice{Name: r.Name, Value: r.Name})
		}
	}
	return choices, err
}
