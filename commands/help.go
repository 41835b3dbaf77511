package commands

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"larkfold/commands/handler"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/commands/slip"
	"larkfold/sizing/formula"
	"larkfold/sizing/near"
	"larkfold/sizing/vocabulary"
)

func (a *App) helpCommand() handler.Command {
	return handler.Command{Run: a.help, Command: reply.Command{
		Name: "help", Description: "What Larkfold does, by task, with examples to paste", Example: "/help topic:cord",
		Options: []reply.Option{{Name: "topic", Description: "a command, a word of the sheet such as net, or: start, commands, tour, sheet, formulas, limits", Suggest: "topic"}},
	}}
}

// task is something that members want to do, and the commands for it.
type task struct {
	title    string
	commands []string // by their paths; all commands of a group are named by the group
}

// tasks is help's order. Every typed command belongs to one of them.
func tasks() []task {
	return []task{
		{"Ask how much cord a hanging needs", []string{"cord"}},
		{"Make a design by pressing, step by step", []string{"build"}},
		{"Be led through the making of a piece", []string{"work"}},
		{"Write a design down and keep it", []string{"project new", "project edit", "project show", "project list", "project copy", "project rename", "project delete", "project undo"}},
		{"Fit a design to another cord or size", []string{"project resize"}},
		{"Quick sums", []string{"cut", "wrap", "fringe", "convert"}},
		{"Print it", []string{"project print"}},
		{"Hang it", []string{"dowel"}},
		{"Use up what lies on the shelf", []string{"shelf", "plan"}},
		{"Make the numbers fit your own hands", []string{"swatch"}},
		{"Look a knot up, or add one", []string{"knots", "rule"}},
		{"Share with others", []string{"project share", "project unshare", "sharing"}},
		{"Have answers your way", []string{"prefs"}},
		{"What is kept about you", []string{"mydata"}},
		{"More about a command", []string{"help"}},
	}
}

func (a *App) help(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	page, err := a.helpOn(ctx, sit, req)
	page.Blocks = sit.Prefs.Samples(page.Blocks)
	return page, err
}

// helpOn is the page of a topic, its examples metric.
func (a *App) helpOn(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	topic := strings.Join(strings.Fields(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(req.Options["topic"])), "/")), " ")
	switch topic {
	case "", "start":
		return a.helpStart(), nil
	case "commands":
		return a.helpByTask(), nil
	case "sheet":
		return helpSheet(), nil
	case "tour":
		return helpTour(), nil
	case "limits":
		return helpLimits(sit.Prefs), nil
	case "formulas":
		return reply.Reply{Blocks: []reply.Block{
			reply.Heading("Formulas of doubling rules"), reply.Facts(say.Formula(formula.Rule)), reply.Verbatim("4.5*finished + 20 cm"),
			reply.Heading("Formulas of knots"), reply.Facts(say.Formula(formula.KnotRole)), reply.Verbatim("turn(k) + pitch + 1.5*pi*d"),
			reply.Text("d and D are different. A bare number is not a length: write 17*d or 17 mm."),
		}}, nil
	}
	word, explained := sheetWord(topic)
	if c, ok := reply.Find(a.commands, strings.Fields(topic)); ok {
		page := helpCommand(topic, c)
		if explained {
			page.Blocks = append(page.Blocks, reply.Text("In a working sheet: "+word.Means), reply.Verbatim(word.Example))
		}
		return page, nil
	}
	if explained {
		return helpWord(ctx, sit, word)
	}
	if k, ok := a.room.Book.Knot(topic); ok {
		return helpKnot(k), nil
	}
	e := &reply.UserError{Read: "topic: " + req.Options["topic"], Wrong: "there is no help on that", Right: "a command, a word of the sheet, or start, commands, tour, sheet, formulas, limits", Try: "/help"}
	if meant := near.Word(topic, a.topics()); meant != "" {
		e.Right, e.Try = "did you mean "+meant+"?", req.Retype(map[string]string{"topic": meant}, "")
	}
	return reply.Reply{}, e
}

// helpStart is the first page: three lines, what members want to do as a menu, and
// buttons that run an example.
func (a *App) helpStart() reply.Reply {
	menu := reply.Menu{Placeholder: "What do you want to do?", Do: reply.Do("help.task", "", ""), Line: "/help topic:commands"}
	for i, t := range tasks() {
		menu.Choices = append(menu.Choices, reply.Choice{Name: t.title, Value: strconv.Itoa(i), Note: "/" + strings.Join(t.commands, ", /")})
	}
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("What Larkfold does"),
		reply.Text(strings.Join([]string{
			"It follows every cord end through a design and tells how long to cut.",
			"Try an example, or choose what you want to do.",
			"/help topic:commands lists every command, /help topic:sheet every word of a working sheet, /help topic:tour shows it all.",
		}, "\n")),
		reply.Actions{
			Buttons: []reply.Button{
				a.runs("how much cord?", "cord", true),
				a.runs("build by pressing", "build", false),
				a.runs("be led through a piece", "work", false),
				a.runs("convert", "convert", false),
			},
			Menus: []reply.Menu{menu},
		},
	}}
}

// runs is a button that runs the example of a command.
func (a *App) runs(label, path string, main bool) reply.Button {
	c, _ := reply.Find(a.commands, strings.Fields(path))
	return reply.Button{Label: label, Do: reply.Do(slip.RunLine, path, ""), Main: main, Line: c.Example}
}

// helpTask is one task: its commands with an example each, and buttons that run them
// where nothing is changed by it.
func (a *App) helpTask(_ context.Context, _ sitting.Sitting, req reply.Request) (reply.Reply, error) {
	all := tasks()
	n := -1
	if len(req.Values) == 1 {
		if i, err := strconv.Atoi(req.Values[0]); err == nil {
			n = i
		}
	}
	if n < 0 || n >= len(all) {
		return reply.Reply{}, &reply.UserError{Wrong: "there is no such task any more", Right: "choose one from the first page", Try: "/help"}
	}
	blocks := []reply.Block{reply.Heading(all[n].title)}
	var buttons []reply.Button
	for _, path := range all[n].commands {
		c, ok := reply.Find(a.commands, strings.Fields(path))
		if !ok {
			continue
		}
		blocks = append(blocks, reply.Text(c.Description+"."), reply.Verbatim(strings.Join(c.Examples(), "\n")))
		if onlyAsks[path] {
			buttons = append(buttons, reply.Button{Label: "run /" + path, Do: reply.Do(slip.RunLine, path, "")})
		}
	}
	if len(buttons) > 0 {
		blocks = append(blocks, reply.Actions{Buttons: buttons})
	}
	return reply.Reply{Blocks: blocks}, nil
}

// onlyAsks are the commands whose examples can be run by whoever presses: they need
// nothing saved before, and nothing of the member's is changed.
var onlyAsks = map[string]bool{"cord": true, "build": true, "work": true, "project list": true, "cut": true, "wrap": true, "fringe": true, "convert": true, "dowel": true}

// helpByTask shows one example of every command, by what members want to do.
func (a *App) helpByTask() reply.Reply {
	blocks := []reply.Block{reply.Heading("What Larkfold does"), reply.Text("It follows every cord end through a design and tells how long to cut. Paste an example and change it.")}
	for _, t := range tasks() {
		var lines []string
		for _, path := range t.commands {
			if c, ok := reply.Find(a.commands, strings.Fields(path)); ok {
				lines = append(lines, c.Examples()...)
			}
		}
		if len(lines) > 0 {
			blocks = append(blocks, reply.Text(t.title), reply.Verbatim(strings.Join(lines, "\n")))
		}
	}
	for _, c := range a.commands {
		if c.MessageMenu {
			blocks = append(blocks, reply.Text("In the menu of a message: "+c.Name+"."))
		}
	}
	return reply.Reply{Blocks: append(blocks,
		reply.Text("Lengths are typed as you say them: 1.5m, 150 cm, 2m30, 4ft 11 1/2in, 3/16in. A value of several words stands in quotation marks. More on one command, or on writing sheets:"),
		reply.Verbatim("/help topic:\"project new\"\n/help topic:sheet"),
		reply.Text("New here? This is a walk through it all:"), reply.Verbatim("/help topic:tour"))}
}

// helpCommand explains one command.
func helpCommand(path string, c reply.Command) reply.Reply {
	blocks := []reply.Block{reply.Heading("/" + path), reply.Text(c.Description + ".")}
	if len(c.Sub) > 0 {
		var facts []reply.Fact
		for _, s := range c.Sub {
			facts = append(facts, reply.Fact{Label: s.Name, Value: s.Description})
		}
		return reply.Reply{Blocks: append(blocks, reply.Facts(facts), reply.Text("For example"), reply.Verbatim(strings.Join(c.Examples(), "\n")))}
	}
	var facts []reply.Fact
	for _, o := range c.Options {
		facts = append(facts, reply.Fact{Label: o.Name, Value: optionWords(o)})
	}
	if len(facts) > 0 {
		blocks = append(blocks, reply.Facts(facts))
	}
	if c.ManageOnly {
		blocks = append(blocks, reply.Text("Only for those who may manage this server."))
	}
	if c.Example != "" {
		blocks = append(blocks, reply.Text("For example"), reply.Verbatim(c.Example))
	}
	return reply.Reply{Blocks: blocks}
}

func optionWords(o reply.Option) string {
	words := o.Description
	if o.Required {
		words += " (needed)"
	}
	if len(o.Choices) > 0 {
		values := make([]string, len(o.Choices))
		for i, c := range o.Choices {
			values[i] = c.Value
		}
		words += fmt.Sprintf(" [%s]", strings.Join(values, ", "))
	}
	return words
}

// stop is one question of the tour, and what its answer shows.
type stop struct{ shows, line string }

// tour leads a newcomer through the questions of every day. Its lines build on one
// another: what one saves, a later one shows.
func tour() []stop {
	return []stop{
		{"How much cord does a hanging need? The answer says what it understood, what to cut, what to buy and what it assumed.", "/cord width:40cm drop:70cm thickness:4mm"},
		{"Why is a cut that long? In inches, because you ask in inches.", "/cord width:16in drop:28in thickness:3/16in why:A"},
		{"Keep an answer as a design, and see it again.", `/cord width:40cm drop:70cm save:"First Hanging"`},
		{"The design in thicker cord, before and after.", `/project resize name:"First Hanging" thickness:5mm`},
		{"Put your leftovers on a shelf.", `/shelf add pieces:"45cm x12, 2.5m x3" cord:"4 mm single-strand"`},
		{"Which piece to cut from which leftover or new spool. A button books it once it is cut.", `/plan project:"First Hanging" spool:100m`},
		{"Does it fit on the stick, how far does the stick bend, and what must the fixing carry?", `/dowel project:"First Hanging" length:60cm wood:birch load:900g`},
		{"A fringe on an edge, from scraps where they serve.", "/fringe drop:22cm loops:12 per-loop:2 thickness:4mm"},
		{"A gathering wrap: so many turns, or the turns that a cord gives.", "/wrap ends:16 turns:5 thickness:5mm"},
		{"Doubling rules beside what the knots take up.", "/cut finished:1.2m count:8 thickness:5mm"},
		{"A knot: what it swallows in your cord, how it is tied, where its numbers come from.", "/knots show name:square thickness:4mm"},
		{"Tie ten, measure, and the numbers fit your own hands.", `/swatch add knot:"square knot" count:10 before:100cm after:46cm sample:11cm thickness:4mm`},
		{"A sheet to print, with tick boxes and the dowel's marks at full size.", `/project print name:"First Hanging"`},
	}
}

func helpTour() reply.Reply {
	blocks := []reply.Block{reply.Heading("A short tour"), reply.Text("Paste one line after the other and look at the answers.")}
	for _, s := range tour() {
		blocks = append(blocks, reply.Text(s.shows), reply.Verbatim(s.line))
	}
	return reply.Reply{Blocks: append(blocks, reply.Text("A design of your own, word by word:"), reply.Verbatim("/help topic:sheet"))}
}

// helpSheet shows how a working sheet is written.
func helpSheet() reply.Reply {
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("The working sheet"),
		reply.Text("A design in plain words, one step a line, as you would dictate it. Ends are counted from the left; # begins a remark."),
		reply.Verbatim(vocabulary.Sample),
		helpWords(),
		reply.Text("Every word has a page with its sentence, an example and a picture:"), reply.Verbatim("/help topic:net"),
		reply.Text("Start one of your own:"), reply.Verbatim(`/project new name:"Tide Line"`),
	}}
}

// topics are what help can be asked about.
func (a *App) topics() []string {
	topics := []string{"commands", "formulas", "limits", "sheet", "start", "tour"}
	for _, c := range a.commands {
		if c.MessageMenu {
			continue
		}
		topics = append(topics, c.Name)
		for _, s := range c.Sub {
			topics = append(topics, c.Name+" "+s.Name)
		}
	}
	for _, w := range vocabulary.Words() {
		topics = append(topics, w.Name)
	}
	sort.Strings(topics)
	return slices.Compact(topics)
}

// completeTopics lists the topics that hold what was typed.
func (a *App) completeTopics(typed string) []reply.Choice {
	var choices []reply.Choice
	for _, topic := range a.topics() {
		if holds(topic, typed) {
			choices = append(choices, reply.Choice{Name: topic, Value: topic})
		}
	}
	for _, w := range vocabulary.Words() {
		for _, also := range w.Also {
			if typed != "" && strings.HasPrefix(also, strings.ToLower(typed)) && also != w.Name && !slices.Contains(a.topics(), also) {
				choices = append(choices, reply.Choice{Name: also + ": " + w.Name, Value: also})
			}
		}
	}
	return append(choices, tradeNamed(a.room.Book.Knots(), typed)...)
}
