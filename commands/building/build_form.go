package building

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"larkfold/commands/ask"
	"larkfold/commands/making"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/vocabulary"
)

// askedFor is a form of a design in the making: what it asks and what comes of it.
type askedFor struct {
	title  string
	word   string // that the line begins with
	blanks []making.Blank
	edit   func(line string, fields map[string]string) (making.Edit, error)
	use    string // the blank that names the panel to be taken in hand then
	fresh  bool   // nothing of what stands in it was said before
}

// line is the line of the sheet that the filled form makes.
func (a askedFor) line(fields map[string]string) string {
	return making.Line(a.word, a.blanks, fields)
}

// typed is what was filled in, in the sheet's words or blank by blank.
func (a askedFor) typed(fields map[string]string) string {
	if a.word != "" {
		return a.line(fields)
	}
	var lines []string
	for _, b := range a.blanks {
		lines = append(lines, b.Label+": "+fields[b.Name])
	}
	return strings.Join(lines, "\n")
}

// form is the form as a front end shows it.
func (b *building) form(a askedFor, p pressing) reply.Form {
	f := reply.Form{Title: a.title, Do: reply.Do("build.filled", b.key, operation(b.Turn, strings.TrimSpace(p.what+" "+p.of), b.req.ID))}
	for _, blank := range a.blanks {
		if a.fresh {
			blank.Value = b.sit.Prefs.Sample(blank.Value)
		}
		field := reply.Field{Name: blank.Name, Label: say.Sentence(blank.Label), Placeholder: blank.Like, Value: blank.Value, Required: blank.Must, MaxLength: 200}
		field.Label = strings.TrimSuffix(field.Label, ".")
		if !blank.Must && blank.Like != "" {
			field.Placeholder = "may be empty, or " + blank.Like
		}
		if blank.Long {
			field.Long, field.MaxLength = true, 0
			f.Otherwise = []reply.Block{reply.Heading("The sheet is too long to be written in a form here"), reply.Verbatim(strings.TrimRight(blank.Value, "\n")), b.back()}
		}
		for _, c := range blank.Choices {
			field.Choices = append(field.Choices, reply.Choice{Name: c, Value: c})
		}
		if len(field.Choices) > 0 && field.Value != "" && !slices.Contains(blank.Choices, field.Value) {
			field.Choices = nil // said in other words: it is typed
		}
		f.Fields = append(f.Fields, field)
	}
	return f
}

// asked is the form that a control asks for.
func (b *building) asked(ctx context.Context, page making.Page, p pressing) (askedFor, error) {
	lists := b.lists()
	switch p.what {
	case "step":
		return b.askedStep(ctx, page, p.of, lists)
	case "edit":
		word, blanks, err := page.AskedOf(p.number(), lists)
		return askedFor{title: fmt.Sprintf("Step %d of %s: %s", p.number(), page.Panel().Name, word), word: word, blanks: blanks, edit: func(line string, _ map[string]string) (making.Edit, error) {
			return making.ReplaceStep(p.number(), line), nil
		}}, err
	case "repeat":
		return askedRepeat(p.number()), nil
	case "size":
		return b.askedSize(ctx), nil
	case "write":
		return b.askedSheet(), nil
	case "panel":
		return b.askedPanel(lists), nil
	case "join":
		return askedJoin(page), nil
	case "copy":
		return askedFor{title: "Copy panel " + page.Panel().Name, blanks: []making.Blank{{Name: "name", Label: "name of the copy", Like: page.Panel().Name + "-2", Value: page.Panel().Name + "-2", Must: true}}, use: "name",
			edit: func(_ string, fields map[string]string) (making.Edit, error) {
				return making.CopyPanel(making.NameOf(fields["name"])), nil
			}}, nil
	case "line":
		return askedFor{title: "Name and shape of panel " + page.Panel().Name, word: "panel", blanks: []making.Blank{{Name: "line", Label: "name; which rod; round, or both ways", Like: "front, or front on foot, or front round", Value: page.Lines[page.Panel().Line-1][len("panel "):], Must: true}},
			edit: func(line string, _ map[string]string) (making.Edit, error) { return making.RenamePanel(line), nil }}, nil
	case "finish":
		return askedFinish(page, p.of, lists)
	case "head":
		return askedHead(page, p.of)
	}
	return askedFor{}, &reply.UserError{Wrong: "this button is from an earlier version of Larkfold", Right: "go on with the new buttons", Try: "/build"}
}

func (b *building) askedStep(ctx context.Context, page making.Page, word string, lists making.Lists) (askedFor, error) {
	a := askedFor{fresh: true, title: "Next step of " + page.Panel().Name + ": " + word, word: word, edit: func(line string, _ map[string]string) (making.Edit, error) { return making.AddStep(line), nil }}
	if _, ok := sheet.FactsFor(word); !ok {
		return a, &reply.UserError{Read: word, Wrong: "no step begins with that word", Right: "choose one from the menu", Try: "/build"}
	}
	a.blanks = page.AskedNext(word, lists, b.size(ctx), b.ahead(ctx))
	return a, nil
}

func askedRepeat(from int) askedFor {
	return askedFor{title: fmt.Sprintf("Repeat from step %d", from), blanks: []making.Blank{
		{Name: "to", Label: "up to which step", Like: fmt.Sprint(from), Value: fmt.Sprint(from), Must: true},
		{Name: "times", Label: "how many times in all", Like: "3", Value: "2", Must: true},
	}, edit: func(_ string, fields map[string]string) (making.Edit, error) {
		to, err := wholeField(fields, "to", from, 200)
		if err != nil {
			return nil, err
		}
		times, err := wholeField(fields, "times", 2, 1000)
		return making.RepeatSteps(from, to, times), err
	}}
}

func (b *building) askedPanel(lists making.Lists) askedFor {
	return askedFor{fresh: true, title: "Another panel beside", use: "name", blanks: []making.Blank{
		{Name: "name", Label: "its name, one word", Like: "reed", Value: b.unused("panel"), Must: true},
		{Name: "mount", Label: "its cords", Like: "8 folded", Value: "8 folded", Must: true},
		{Name: "gap", Label: "bare rod before it", Like: "4 cm", Value: "2 cm"},
		{Name: "on", Label: "on which rod or ring", Like: "rod", Choices: nonEmpty(lists.Rods)},
		{Name: "more", Label: "anything more", Like: "round, both ways"},
	}, edit: func(_ string, fields map[string]string) (making.Edit, error) {
		head := []string{"panel", making.NameOf(fields["name"])}
		if on := strings.TrimSpace(fields["on"]); on != "" && on != "rod" {
			head = append(head, "on "+on)
		}
		lines := []string{strings.TrimSpace(strings.Join(append(head, fields["more"]), " "))}
		if gap := strings.TrimSpace(fields["gap"]); gap != "" {
			lines = append(lines, "gap "+gap)
		}
		return making.AddPanel(append(lines, "mount "+strings.TrimSpace(fields["mount"]))...), nil
	}}
}

func askedJoin(page making.Page) askedFor {
	var free []string
	for _, p := range page.Sheet.Panels {
		if !slices.ContainsFunc(page.Sheet.Panels, func(by sheet.Panel) bool { return slices.Contains(by.From, p.Name) }) {
			free = append(free, p.Name)
		}
	}
	return askedFor{title: "Join panels", use: "name", blanks: []making.Blank{
		{Name: "name", Label: "name of the panel that joins them", Like: "point", Value: "joined", Must: true},
		{Name: "from", Label: "the panels, from left to right", Like: "wave, reed", Value: strings.Join(free, ", "), Must: true},
	}, edit: func(_ string, fields map[string]string) (making.Edit, error) {
		return making.AddPanel("panel " + making.NameOf(fields["name"]) + " from " + strings.TrimSpace(fields["from"])), nil
	}}
}

// askedFinish asks for what stands behind the panels.
func askedFinish(page making.Page, word string, lists making.Lists) (askedFor, error) {
	a := askedFor{fresh: true, title: "Finish with a " + word, word: word, edit: func(line string, _ map[string]string) (making.Edit, error) { return making.AddFinish(line), nil }}
	cord := making.Blank{Name: "with", Label: "of which cord", Choices: nonEmpty(lists.Cords)}
	switch word {
	case "fringe":
		a.blanks = []making.Blank{
			{Name: "drop", Label: "how long when finished", Like: "22 cm", Value: "20 cm", Must: true},
			making.Worded("by", making.Blank{Name: "by", Label: "pieces to each loop", Like: "2, or 2 each 1 cm", Value: "2", Must: true}),
			making.Worded("on", making.Blank{Name: "on", Label: "where", Like: "left of " + page.Panel().Name, Value: "both of " + page.Panel().Name, Must: true}),
			making.Worded("with", cord),
		}
	case "swag":
		cord.Name = "cord"
		a.blanks = []making.Blank{
			{Name: "count", Label: "how many cords", Like: "6", Value: "6", Must: true},
			cord,
			making.Worded("over", making.Blank{Name: "over", Label: "how far apart its ends are tied", Like: "40 cm", Value: "30 cm", Must: true}),
			making.Worded("drop", making.Blank{Name: "drop", Label: "how deep it hangs in the middle", Like: "15 cm", Value: "10 cm", Must: true}),
		}
	case "hanger":
		a.title = "Hang it from a hanger"
		a.blanks = []making.Blank{{Name: "size", Label: "how high the hook is above the rod", Like: "rise 15 cm, or angle 45", Value: usualHanger(page), Must: true}}
	default:
		return a, &reply.UserError{Read: word, Wrong: "a piece is not finished with that", Right: "fringe, swag or hanger", Try: "/build"}
	}
	return a, nil
}

// usualHanger is a hanger whose legs stand a little steeper than the 30 degrees below
// which each pulls with more than the whole weight.
func usualHanger(page making.Page) string {
	if rod := page.Sheet.Rod; rod != nil && !rod.Ring {
		return "rise " + length.Style{}.Format((rod.Length * 3 / 10).RoundUp(length.Centimetre))
	}
	return "rise 15 cm"
}

// askedHead asks for a line of the head: "cord" for another cord, "cord 2" for the
// second one, and so on.
func askedHead(page making.Page, of string) (askedFor, error) {
	word, which, _ := strings.Cut(of, " ")
	name := ""
	if n, err := strconv.Atoi(which); err == nil && n >= 1 && n <= len(page.Sheet.Cords) {
		name = page.Sheet.Cords[n-1].Name
		of = word + " " + name
	} else if slices.ContainsFunc(page.Sheet.Cords, func(c sheet.Cord) bool { return c.Name == which }) {
		name = which // as controls shown before carry it
	}
	a := askedFor{title: "The " + word, word: word, edit: func(line string, _ map[string]string) (making.Edit, error) { return making.SetHead(of, line), nil }}
	switch word {
	case "cord":
		a.blanks = cordBlanks(page, name)
		if name == "" {
			a.title = "Another cord"
			a.edit = func(line string, _ map[string]string) (making.Edit, error) { return making.SetHead("", line), nil }
		}
	case "dowel", "ring":
		a = askedRod(page, word)
	case "piece", "copies", "tie", "hang", "margin", "round", "economy":
		i := slices.IndexFunc(page.Head(), func(l string) bool { return l == word || strings.HasPrefix(l, word+" ") })
		said := ""
		if i >= 0 {
			said = strings.TrimSpace(strings.TrimPrefix(page.Head()[i], word))
		}
		like := ""
		for _, w := range vocabulary.Words() {
			if w.Name == word {
				like = strings.TrimSpace(strings.TrimPrefix(w.Example, word))
				a.title = "The line " + w.Example
			}
		}
		a.blanks = []making.Blank{{Name: "said", Label: "what it says; emptied, it is taken out", Like: like, Value: said}}
		a.edit = func(line string, fields map[string]string) (making.Edit, error) {
			if strings.TrimSpace(fields["said"]) == "" && like != "" {
				line = ""
			}
			return making.SetHead(word, line), nil
		}
		if like == "" { // a word that says it all
			a.blanks[0] = making.Blank{Name: "said", Label: "yes; emptied, it is taken out", Like: "yes", Value: map[bool]string{true: "yes"}[i >= 0]}
			a.edit = func(_ string, fields map[string]string) (making.Edit, error) {
				options := ask.Of(reply.Request{Options: fields}, sitting.Prefs{})
				line := ""
				if options.Yes("said") {
					line = word
				}
				return making.SetHead(word, line), options.Err
			}
		}
	default:
		return a, &reply.UserError{Read: of, Wrong: "the head has no such line", Right: "choose one from the menu", Try: "/build"}
	}
	return a, nil
}

// cordBlanks ask for a cord: its name, thickness, make and colour, and anything more.
func cordBlanks(page making.Page, name string) []making.Blank {
	c := sheet.Cord{Name: "accent", Thickness: page.Sheet.Cords[0].Thickness, Construction: page.Sheet.Cords[0].Construction}
	i := slices.IndexFunc(page.Sheet.Cords, func(c sheet.Cord) bool { return c.Name == name })
	thickness, rest := "", ""
	if i >= 0 {
		c = page.Sheet.Cords[i]
		thickness, rest = page.CordSays(c)
	} else {
		thickness, _ = page.CordSays(c)
	}
	return []making.Blank{
		{Name: "name", Label: "its name, one word", Like: "main", Value: c.Name, Must: true},
		{Name: "thickness", Label: "its thickness", Like: "4 mm", Value: thickness, Must: true},
		{Name: "made", Label: "how it is made", Value: c.Construction, Choices: constructions()},
		making.Worded("colour", making.Blank{Name: "colour", Label: "its colour", Like: "teal, or #2f6f6f", Value: string(c.Colour)}),
		{Name: "more", Label: "anything more", Like: "squeeze 0.7, spool 100 m 900 g 24.00", Value: rest},
	}
}

func constructions() []string {
	return []string{cord.SingleStrand.String(), cord.Plied.String(), cord.Braided.String()}
}

// askedRod asks for a dowel or a ring: the one that is there, or another.
func askedRod(page making.Page, word string) askedFor {
	says := ""
	for _, l := range page.Head() {
		if strings.HasPrefix(l, word+" ") && strings.ContainsAny(strings.Fields(l)[1][:1], "0123456789") {
			says = strings.TrimPrefix(l, word+" ")
		}
	}
	like := map[string]string{"dowel": "60 cm x 20 mm birch", "ring": "20 cm x 5 mm"}[word]
	if says == "" && (page.Sheet.Rod != nil) {
		like = "foot " + like
		says = like
	} else if says == "" {
		says = like
	}
	return askedFor{title: "A " + word, word: word, blanks: []making.Blank{
		{Name: "says", Label: "name if it is not the first, size, thickness", Like: like, Value: says, Must: true},
	}, edit: func(line string, _ map[string]string) (making.Edit, error) {
		return making.SetHead(page.RodLine(line), line), nil
	}}
}

func nonEmpty(names []string) []string {
	if len(names) < 2 || len(names) > mostChoices {
		return nil
	}
	return names
}

// wholeField reads a whole number of a form.
func wholeField(fields map[string]string, name string, least, most int) (int, error) {
	first, _, _ := strings.Cut(strings.TrimSpace(fields[name]), " ") // "3 times" is as good as 3
	n, err := strconv.Atoi(first)
	if err != nil || n < least || n > most {
		return 0, &reply.UserError{Read: name + ": " + fields[name], Wrong: "a whole number is needed here", Right: fmt.Sprintf("from %d to %d", least, most)}
	}
	return n, nil
}

// buildAsk opens a form.
func buildAsk(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	b, err := pressedBuild(ctx, sit, req)
	if err != nil {
		return reply.Reply{}, err
	}
	p := pressOf(req)
	if p.turn != b.Turn {
		return b.moved(""), nil
	}
	if p.what == "save" {
		return reply.Reply{Blocks: []reply.Block{reply.Form{Title: "Save this design", Do: reply.Do("build.filled", b.key, operation(b.Turn, "save", req.ID)),
			Fields: []reply.Field{{Name: "name", Label: "Name", Placeholder: "Tide Line", Value: b.Name, Required: true, MaxLength: 80}}}}}, nil
	}
	page, err := b.page()
	if err != nil {
		return reply.Reply{}, err
	}
	a, err := b.asked(ctx, page, p)
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Reply{Blocks: []reply.Block{b.form(a, p)}}, nil
}

// hungOn is what a design can begin on.
var hungOn = []reply.Choice{{Name: "a dowel", Value: "dowel"}, {Name: "a ring", Value: "ring"}, {Name: "nothing: worked both ways from the middle", Value: "both ways"}}

// startForm asks for what a design begins with.
func startForm(sit sitting.Sitting, req reply.Request) reply.Reply {
	cordLike := "4 mm single-strand"
	cord := cordLike
	cord = sit.Prefs.Sample(cord)
	if own := ownCords(sit); len(own) > 0 {
		cord = own[0]
	}
	return reply.Reply{Blocks: []reply.Block{reply.Form{Title: "A new design", Do: reply.Do("build.start", "", req.ID), Fields: []reply.Field{
		{Name: "hung", Label: "Hung on", Value: "dowel", Required: true, Choices: hungOn},
		{Name: "size", Label: "Length (of a ring, width) and thickness", Placeholder: "50 cm x 20 mm", Value: sit.Prefs.Sample("50 cm x 20 mm"), MaxLength: 60},
		{Name: "cord", Label: "Cord", Placeholder: cordLike, Value: cord, Required: true, MaxLength: 100},
		{Name: "count", Label: "How many cords", Placeholder: "12", Value: "12", Required: true, MaxLength: 100},
		{Name: "way", Label: "Each cord is", Value: "folded", Required: true, Choices: []reply.Choice{{Name: "folded and hung by a lark's head", Value: "folded"}, {Name: "tied on by one end", Value: "single"}, {Name: "laid over, without a knot", Value: "laid"}}},
	}}}}
}

// startSheet is the sheet that the filled form makes.
func startSheet(fields map[string]string, prefs sitting.Prefs) (string, error) {
	f := func(name string) string { return strings.Join(strings.Fields(fields[name]), " ") }
	lines := []string{"cord main " + f("cord")}
	panel := "panel front"
	options := ask.Of(reply.Request{Options: fields}, prefs)
	switch options.Choice("hung", hungOn, "dowel") {
	case "dowel":
		lines = append(lines, "dowel "+f("size"))
	case "ring":
		lines, panel = append(lines, "ring "+f("size")), "panel front round"
	case "both ways":
		panel = "panel front both ways"
	}
	return strings.Join(append(lines, panel, "  mount "+f("count")+" "+f("way")), "\n") + "\n", options.Err
}

// buildStart begins with what the form says.
func buildStart(ctx context.Context, sit sitting.Sitting, req reply.Request) (reply.Reply, error) {
	typed, err := startSheet(req.Fields, sit.Prefs)
	var answer reply.Reply
	if err != nil {
		typed = filledIn(req.Fields)
	} else {
		answer, err = begin(ctx, sit, req, making.Design{}, typed)
	}
	why, refused := faultsOf(err)
	if !refused {
		return answer, err
	}
	form := startForm(sit, req).Blocks[0].(reply.Form)
	for i, field := range form.Fields {
		form.Fields[i].Value = req.Fields[field.Name]
	}
	key, err := sit.Keep(ctx, req, "typed", typedForm{Form: form})
	if err != nil {
		return reply.Reply{}, err
	}
	return reply.Refused(reply.Heading("That does not fit yet"), reply.Verbatim(why), reply.Text("What you typed is kept:"), reply.Verbatim(strings.TrimRight(typed, "\n")),
		reply.Actions{Buttons: []reply.Button{{Label: "mend it", Do: reply.Do("build.mend", key, ""), Main: true}}}), nil
}
